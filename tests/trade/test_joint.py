"""Joints: pressure under the head, threads in the tapped part, what gives way first, and each warning."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.trade.joint import (
    First,
    Joint,
    Sizes,
    allowed_preload_n,
    bearing_area_mm2,
    bolt_strip_area_mm2,
    engagement_bolt_breaks_mm,
    equal_material_engagement_mm,
    findings,
    limits,
    needed_engagement_mm,
    pressure_findings,
    rule_findings,
    shear_mpa,
    strength_ratio,
    strip_area_mm2,
    strip_load_n,
    surface_pressure_mpa,
    two_diameters_mm,
    which_first,
)
from app.trade.preload import Window
from app.trade.shipped_tables import shipped_tables
from app.trade.tables import find_pressure_limits, find_strength
from app.trade.threads import proof_load_n, read_thread, tensile_load_n

TABLES = shipped_tables()
M10 = read_thread("M10", TABLES)
CLASS_8_8 = find_strength(TABLES, "8.8", 10)
CLASS_12_9 = find_strength(TABLES, "12.9", 10)
(CAST_ALUMINIUM,) = find_pressure_limits(TABLES, "pressure-cast aluminium-silicon-copper")
GREY_IRON = find_pressure_limits(TABLES, "grey iron 250")[0]

# A well-made joint: 8.8 in cast aluminium, two diameters deep, a 20 mm hard washer
SOUND = Joint(M10, CLASS_8_8, 20.0, 11.0, CAST_ALUMINIUM, 220.0, 20.0)
USUAL = Window(18_000, 28_800)

forces = st.floats(100, 200_000)
faces = st.floats(12, 40)
engagements = st.floats(1, 50)
metric = st.sampled_from(["M5", "M6", "M8", "M8x1", "M10", "M10x1.25", "M12", "M12x1.5", "M14"])


# --- Under the head


@given(forces, faces)
def test_pressure_and_allowed_preload_undo_each_other(force: float, face: float) -> None:
    assert allowed_preload_n(surface_pressure_mpa(force, face, 11), face, 11) == pytest.approx(force)


@given(forces, faces, st.floats(0.1, 10))
def test_a_wider_face_presses_less(force: float, face: float, more: float) -> None:
    assert surface_pressure_mpa(force, face + more, 11) < surface_pressure_mpa(force, face, 11)


@given(forces, faces, st.floats(0.1, 20))
def test_pressure_scales_with_the_drawing(force: float, face: float, scale: float) -> None:
    larger = surface_pressure_mpa(force * scale**2, face * scale, 11 * scale)
    assert larger == pytest.approx(surface_pressure_mpa(force, face, 11))


@pytest.mark.parametrize(
    ("force", "face", "hole", "said"),
    [
        (28_800, 11, 14.63, "does not reach over a hole"),
        (28_800, 0, 0, "does not reach over a hole"),
        (28_800, 14, -1, "does not reach over a hole"),
        (-1, 14, 11, "preload is 0 N or more"),
    ],
)
def test_a_head_that_cannot_be_is_refused(force: float, face: float, hole: float, said: str) -> None:
    with pytest.raises(ValueError, match=rf"{said}.*\.$"):
        surface_pressure_mpa(force, face, hole)


def test_a_bearing_ring_by_hand() -> None:
    assert bearing_area_mm2(20, 11) == pytest.approx(math.pi / 4 * (400 - 121))


# --- Threads


@pytest.mark.parametrize(("name", "flattered"), [("M5", 1.37), ("M14", 1.24)])
def test_nominal_sizes_flatter_a_tapped_hole(name: str, flattered: float) -> None:
    # 24 to 37 % larger than the worst case of 6H/6g, M14 to M5 (computed)
    thread = read_thread(name, TABLES)
    nominal, worst = (strip_area_mm2(thread, 10, sizes) for sizes in (Sizes.NOMINAL, Sizes.WORST))
    assert nominal / worst == pytest.approx(flattered, abs=0.01)


@given(metric, engagements, st.floats(0.1, 5))
def test_areas_grow_evenly_with_the_engagement(name: str, engagement: float, times: float) -> None:
    thread = read_thread(name, TABLES)
    for area in (strip_area_mm2, bolt_strip_area_mm2):
        assert area(thread, engagement * times) == pytest.approx(area(thread, engagement) * times)


@given(metric)
def test_the_hole_has_more_to_shear_than_the_bolt(name: str) -> None:
    thread = read_thread(name, TABLES)
    assert strip_area_mm2(thread, 10) > bolt_strip_area_mm2(thread, 10)


@given(metric, st.floats(50, 400))
def test_at_the_needed_engagement_bolt_and_hole_give_way_together(name: str, shear: float) -> None:
    thread = read_thread(name, TABLES)
    engagement = engagement_bolt_breaks_mm(thread, CLASS_8_8, shear)
    assert strip_load_n(thread, engagement, shear) == pytest.approx(tensile_load_n(thread, CLASS_8_8))


def test_an_m10_in_cast_aluminium_needs_1_64_diameters() -> None:
    # 16.4 mm for 8.8 in an alloy of 220 MPa (computed on the published strip area; 0.6 Rm is common practice)
    assert engagement_bolt_breaks_mm(M10, CLASS_8_8, shear_mpa(220)) == pytest.approx(16.4, abs=0.05)


def test_one_material_needs_less_than_a_diameter() -> None:
    assert 0.5 < equal_material_engagement_mm(M10) / 10 < 1


def test_j_is_above_one_for_a_strong_bolt_in_a_soft_hole() -> None:
    assert strength_ratio(M10, 800, 220) > 1
    assert strength_ratio(M10, 800, 800) < 1
    assert strength_ratio(M10, 1600, 220) == pytest.approx(2 * strength_ratio(M10, 800, 220))


def test_the_shear_strength_is_the_known_one_or_a_share() -> None:
    assert shear_mpa(220) == pytest.approx(132)
    assert shear_mpa(220, 150) == 150


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: strip_area_mm2(M10, 0), "more than 0 mm"),
        (lambda: bolt_strip_area_mm2(M10, -2), "more than 0 mm"),
        (lambda: two_diameters_mm(0), "more than 0 mm"),
        (lambda: needed_engagement_mm(0, 100, 20), "more than 0"),
        (lambda: needed_engagement_mm(1000, 0, 20), "more than 0"),
        (lambda: needed_engagement_mm(1000, 100, 0), "more than 0"),
        (lambda: strength_ratio(M10, 800, 0), "more than 0 MPa"),
        (lambda: shear_mpa(-5), "more than 0 MPa"),
    ],
)
def test_threads_that_cannot_be_are_refused(call: Callable[[], float], said: str) -> None:
    with pytest.raises(ValueError, match=rf"{said}.*\.$"):
        call()


# --- The joint


def test_a_sound_joint_has_no_findings() -> None:
    assert findings(SOUND, USUAL) == ()
    assert which_first(SOUND).first is First.BOLT_YIELDS


def test_over_proof() -> None:
    # 8.8 proof of M10: 58.0 mm² x 580 MPa = 33.6 kN
    (sentence,) = findings(SOUND, Window(20_000, 35_000))
    assert sentence == "The preload may reach 35.0 kN, over the 33.6 kN proof load of M10 8.8."


def test_pressure_over_its_limit() -> None:
    # A plain head, dw 14.63 on an 11 mm hole, at 28.8 kN: 394 MPa, over the 290 of the cast alloy (VDI 2230:2003, read)
    plain = replace(SOUND, head_face_mm=14.63)
    (sentence,) = findings(plain, USUAL)
    assert sentence == (
        "The head may press 394 MPa on pressure-cast aluminium-silicon-copper, which takes 290 MPa (VDI 2230:2003): "
        "put a hard washer under it."
    )
    first = which_first(plain)
    assert first.first is First.SURFACE_SINKS
    assert first.load_n == pytest.approx(21_190, abs=10)


def test_engagement_too_short() -> None:
    # 14 mm holds 132 MPa x 21.48 x 14 = 39.7 kN: more than the bolt's yield of 37.1, less than its 46.4 to break
    (sentence,) = findings(replace(SOUND, engagement_mm=14), USUAL)
    assert sentence == (
        "The threads engage over 14.0 mm, and 16.4 mm (1.64 diameters) are needed for the bolt to break before they "
        "strip."
    )


def test_a_stronger_stud_in_a_softer_head() -> None:
    stud = replace(SOUND, strength=CLASS_12_9, engagement_mm=14)
    found = findings(stud, USUAL)
    assert "The 12.9 bolt is stronger than the threads it screws into" in found[-1]
    assert found[-1].endswith("keep the torque given for the original bolt.")
    assert which_first(stud).first is First.HOLE_STRIPS


def test_threads_that_strip_at_the_preload() -> None:
    found = findings(replace(SOUND, engagement_mm=8), USUAL)
    assert found[0] == "The preload may reach 28.8 kN, and the threads in the hole strip at 22.7 kN."


def test_a_short_thread_in_a_hard_part_strips_the_bolt() -> None:
    hard = replace(SOUND, clamped=GREY_IRON, head_face_mm=30.0, tapped_tensile_mpa=1500, engagement_mm=3)
    assert which_first(hard).first is First.BOLT_STRIPS


@given(st.floats(1, 40), st.floats(100, 1500), faces)
def test_the_weakest_way_goes_first(engagement: float, tensile: float, face: float) -> None:
    joint = replace(SOUND, engagement_mm=engagement, tapped_tensile_mpa=tensile, head_face_mm=face)
    found = limits(joint)
    assert {limit.first for limit in found} == set(First)
    assert which_first(joint).load_n == min(limit.load_n for limit in found)


@given(st.floats(1_000, 60_000), st.floats(1_000, 60_000))
def test_more_preload_never_clears_a_finding(force: float, more: float) -> None:
    low, high = findings(SOUND, Window(0, force)), findings(SOUND, Window(0, force + more))
    assert len(low) <= len(high)


def test_every_edition_is_asked_for_what_is_clamped() -> None:
    # Mild steel: 260 MPa in 1986, 490 in 2003 (read): one preload is over the first and within the second
    mild = replace(SOUND, clamped=find_pressure_limits(TABLES, "mild steel")[0], head_face_mm=14.63)
    assert pressure_findings(28_800, mild, TABLES) == (
        "394 MPa is over the 260 MPa of VDI 2230:1986 for mild steel.",
        "394 MPa is within the 490 MPa of VDI 2230:2003 for mild steel.",
    )
    assert "not proved" in pressure_findings(28_800, SOUND, TABLES)[0]


def test_every_rule_of_diameters_is_asked() -> None:
    # Two diameters in aluminium (US Army manual, read); 1.5 to 2 is common practice
    found = rule_findings("aluminium", M10, 16.0, TABLES)
    assert found[0] == "1.60 diameters are short of the 2 that US Army TM 5-3895-367-14&P asks for in aluminium."
    assert len(found) == 3
    assert "within the 1.5" in rule_findings("grey iron", M10, 15.0, TABLES)[0]
    with pytest.raises(ValueError, match="take one of aluminium, steel, grey iron"):
        rule_findings("cheese", M10, 16.0, TABLES)


def test_proof_is_what_the_window_is_held_against() -> None:
    proof = proof_load_n(M10, CLASS_8_8)
    assert findings(SOUND, Window(0, proof)) == ()
    assert len(findings(SOUND, Window(0, proof * 1.001))) == 1
