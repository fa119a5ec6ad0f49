"""Stretch, turn, and acceptance by torque and stretch together."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.quantity import UNITS
from app.trade.shipped_tables import shipped_tables
from app.trade.stretch import (
    STEEL_MPA,
    Answer,
    Attempt,
    Bolt,
    Section,
    TwoSided,
    accept,
    elongation_mm,
    force_from_stretch_n,
    free_length_mm,
    sections_of,
    stretch_from_turn_mm,
    tensile_stress_mpa,
    turn_for_stress_deg,
    turn_for_stretch_deg,
)
from app.trade.threads import read_thread, stress_area_mm2, stress_diameter_mm

TABLES = shipped_tables()
M10 = read_thread("M10", TABLES)
HEAD_BOLT = Bolt(M10, shank_mm=60, clamped_mm=80, head_mm=6.4, nut_mm=8)

sizes = st.floats(0.1, 500)
sections = st.lists(st.builds(Section, sizes, sizes), min_size=1, max_size=4)
forces = st.floats(1, 200_000)


@given(forces, sections, st.floats(50_000, 300_000))
def test_stretch_and_force_undo_each_other(force: float, parts: list[Section], modulus: float) -> None:
    stretch = elongation_mm(force, parts, modulus)
    assert force_from_stretch_n(stretch, parts, modulus) == pytest.approx(force)


@given(forces, sections, sections)
def test_sections_in_a_row_add_their_stretch(force: float, some: list[Section], more: list[Section]) -> None:
    together = elongation_mm(force, [*some, *more])
    assert together == pytest.approx(elongation_mm(force, some) + elongation_mm(force, more))


@given(forces, sizes, sizes)
def test_pounds_and_inches_in_give_inches_out(force: float, length: float, area: float) -> None:
    inch, pound = UNITS["in"].factor, UNITS["lbf"].factor
    stretch_mm = elongation_mm(force, [Section(length, area)])
    psi = STEEL_MPA / (pound / inch**2)
    stretch_in = (force / pound) * (length / inch) / (area / inch**2 * psi)
    assert stretch_in * inch == pytest.approx(stretch_mm, rel=1e-9)


@given(forces, sizes)
def test_stress_is_force_over_area(force: float, area: float) -> None:
    assert tensile_stress_mpa(force, area) * area == pytest.approx(force)


def test_half_the_head_and_half_the_nut_stretch_too() -> None:
    # (8.5927 / 10)² (60 + 3.2) + 80 - 60 + 4 = 46.664 + 24 (MIL-HDBK-60 form, read)
    assert stress_diameter_mm(M10) == pytest.approx(8.5927, abs=1e-4)
    assert free_length_mm(HEAD_BOLT) == pytest.approx(70.664, abs=0.002)


@given(st.floats(0, 80), st.floats(0, 20), st.floats(0.1, 20), forces)
def test_the_free_length_stretches_as_the_sections_do(shank: float, head: float, nut: float, force: float) -> None:
    bolt = Bolt(M10, shank, 80, head, nut)
    as_one = elongation_mm(force, [Section(free_length_mm(bolt), stress_area_mm2(M10))])
    assert as_one == pytest.approx(elongation_mm(force, sections_of(bolt)))


def test_a_bolt_threaded_all_along_is_one_section() -> None:
    (only,) = sections_of(Bolt(M10, 0, 80, 0, 8))
    assert only == Section(84, stress_area_mm2(M10))


@given(st.floats(1, 1500), st.floats(1, 500), st.floats(0.5, 4))
def test_the_turn_for_a_stress_brings_its_stretch(stress: float, free: float, lead: float) -> None:
    turn = turn_for_stress_deg(stress, free, lead)
    assert stretch_from_turn_mm(turn, lead) == pytest.approx(stress * free / STEEL_MPA)
    assert turn_for_stretch_deg(stretch_from_turn_mm(turn, lead), lead) == pytest.approx(turn)


@pytest.mark.parametrize(
    "call",
    [
        lambda: elongation_mm(1000, []),
        lambda: elongation_mm(1000, [Section(0, 50)]),
        lambda: elongation_mm(1000, [Section(50, -1)]),
        lambda: elongation_mm(-1, [Section(50, 50)]),
        lambda: elongation_mm(1000, [Section(50, 50)], 0),
        lambda: force_from_stretch_n(0, [Section(50, 50)]),
        lambda: tensile_stress_mpa(1000, 0),
        lambda: turn_for_stress_deg(600, 0, 1.5),
        lambda: turn_for_stretch_deg(math.inf, 1.5),
        lambda: stretch_from_turn_mm(90, 0),
        lambda: free_length_mm(Bolt(M10, 90, 80, 6, 8)),
        lambda: free_length_mm(Bolt(M10, -1, 80, 6, 8)),
        lambda: free_length_mm(Bolt(M10, 0, 0, 6, 8)),
        lambda: sections_of(Bolt(M10, 0, 80, 6, math.nan)),
        lambda: TwoSided(94, 79, 0.483, 0.610),
        lambda: TwoSided(79, 94, 0, 0.610),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"^[A-Z][^.]*(\.\d[^.]*)*\.$"):
        call()


# --- Torque and stretch together

# Main studs of a seven-bearing diesel in a US Army manual: 79 to 94 N·m and 0.483 to 0.610 mm (read)
MAIN_STUD = TwoSided(79, 94, 0.483, 0.610)


@pytest.mark.parametrize(
    ("attempt", "answer"),
    [
        (Attempt(85, 0.55), Answer.WITHIN),
        (Attempt(94, 0.483), Answer.WITHIN),
        (Attempt(79, 0.610), Answer.WITHIN),
        (Attempt(57, 0.20), Answer.KEEP_GOING),
        (Attempt(85, 0.40), Answer.KEEP_GOING),
        (Attempt(70, 0.50), Answer.KEEP_GOING),
        (Attempt(70, 0.62), Answer.REPLACE),
        (Attempt(85, 0.62), Answer.REPLACE),
        (Attempt(94, 0.40), Answer.SLACKEN_GROUP),
        (Attempt(95, 0.40), Answer.SLACKEN_GROUP),
        (Attempt(95, 0.55), Answer.SLACKEN_GROUP),
        (Attempt(94, 0.40, 2), Answer.REPLACE),
        (Attempt(85, 0.55, 2), Answer.WITHIN),
        (Attempt(85, 0.40, 2), Answer.KEEP_GOING),
    ],
)
def test_a_stud_is_judged_by_both(attempt: Attempt, answer: Answer) -> None:
    assert accept(MAIN_STUD, attempt) is answer


@given(st.floats(1, 150), st.floats(0, 1), st.integers(1, 2))
def test_within_is_within_both_and_nothing_else(torque: float, stretch: float, number: int) -> None:
    within = 79 <= torque <= 94 and 0.483 <= stretch <= 0.610
    assert (accept(MAIN_STUD, Attempt(torque, stretch, number)) is Answer.WITHIN) is within


@given(st.floats(1, 150), st.floats(0, 1))
def test_the_second_try_is_the_last(torque: float, stretch: float) -> None:
    assert accept(MAIN_STUD, Attempt(torque, stretch, 2)) is not Answer.SLACKEN_GROUP


@pytest.mark.parametrize("attempt", [Attempt(85, 0.5, 3), Attempt(85, 0.5, 0), Attempt(85, -0.1), Attempt(0, 0.1)])
def test_an_attempt_that_cannot_be_is_refused(attempt: Attempt) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        accept(MAIN_STUD, attempt)
