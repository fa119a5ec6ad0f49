"""Thread names, geometry, limits of size and loads."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange.tables import shipped_tables
from app.trade.quantity import UNITS
from app.trade.tables import Series, ThreadSize, find_head, find_pressure_limits, find_strength
from app.trade.threads import (
    Thread,
    external_limits,
    internal_limits,
    minor_diameter_mm,
    pitch_diameter_mm,
    proof_load_n,
    read_thread,
    root_diameter_mm,
    stress_area_mm2,
    stress_diameter_mm,
    tensile_load_n,
    tension_n,
    triangle_height_mm,
    yield_load_n,
)

TABLES = shipped_tables()
INCH = UNITS["in"].factor

pitches = st.floats(0.3, 4)


@st.composite
def threads(draw: st.DrawFn) -> Thread:
    pitch = draw(pitches)
    return Thread("a thread", pitch * draw(st.floats(3, 20)), pitch, draw(st.booleans()))


@pytest.mark.parametrize(
    ("text", "name", "diameter_mm", "pitch_mm"),
    [
        ("M10x1.25", "M10x1.25", 10, 1.25),
        ("M10 x 1,25", "M10x1.25", 10, 1.25),
        ("M10×1.25", "M10x1.25", 10, 1.25),
        ("m 10 X 1.25", "M10x1.25", 10, 1.25),
        ("M10", "M10", 10, 1.5),
        ("M10x1.5", "M10", 10, 1.5),
        (" M8 x 1 ", "M8x1", 8, 1),
        ("3/8-24 UNF", "3/8-24 UNF", 0.375 * INCH, INCH / 24),
        ("3/8-24", "3/8-24 UNF", 0.375 * INCH, INCH / 24),
        ("3/8 in - 24 unf", "3/8-24 UNF", 0.375 * INCH, INCH / 24),
        ("7/16-14", "7/16-14 UNC", 0.4375 * INCH, INCH / 14),
        ("1/4 UNC", "1/4-20 UNC", 0.25 * INCH, INCH / 20),
        ("#10-32", "#10-32 UNF", 0.19 * INCH, INCH / 32),
        ("10-32 UNF", "#10-32 UNF", 0.19 * INCH, INCH / 32),
        ("No. 8-32", "#8-32 UNC", 0.164 * INCH, INCH / 32),
    ],
)
def test_threads_are_read_as_they_are_written(text: str, name: str, diameter_mm: float, pitch_mm: float) -> None:
    thread = read_thread(text, TABLES)
    assert thread.name == name
    assert (thread.diameter_mm, thread.pitch_mm) == pytest.approx((diameter_mm, pitch_mm))
    assert thread.unified is not name.startswith("M")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("M10x1.6", "No standard M10 has a pitch of 1.6 mm: it comes with 1.5, 1.25 or 1 mm."),
        ("M9", "“M9” is not a size known here"),
        ("1/2", "“1/2” can be coarse or fine: write 1/2-13 UNC or 1/2-20 UNF."),
        ("3/8-24 UNC", "that size comes as 3/8-16 UNC or 3/8-24 UNF."),
        ("3/8-20", "that size comes as 3/8-16 UNC or 3/8-24 UNF."),
        ("11/13-20", "not a size known here"),
        ("banana", "“banana” is not a thread"),
        ("", "is not a thread"),
        ("M10x1.25 x 30", "is not a thread"),
        ("3/0-20", "not a size known here"),
    ],
)
def test_an_unknown_thread_is_refused_in_one_sentence(text: str, said: str) -> None:
    with pytest.raises(ValueError) as refusal:
        read_thread(text, TABLES)
    assert said in str(refusal.value)
    assert str(refusal.value).endswith(".")


@pytest.mark.parametrize("row", TABLES.threads, ids=lambda row: f"{row.name} {row.series.value}")
def test_every_thread_of_the_tables_reads_back_from_its_own_name(row: ThreadSize) -> None:
    thread = read_thread(typed(row), TABLES)
    assert (thread.diameter_mm, thread.pitch_mm) == (row.diameter_mm, row.pitch_mm)
    assert read_thread(thread.name, TABLES) == thread


def typed(row: ThreadSize) -> str:
    if row.series in (Series.UNC, Series.UNF):
        return f"{row.name}-{round(INCH / row.pitch_mm)}"
    return f"{row.name}x{row.pitch_mm:g}"


# d2, d3 and the stress area of M10: ISO 724 and ISO 898-1 (from memory)
def test_the_geometry_of_m10() -> None:
    thread = read_thread("M10", TABLES)
    assert triangle_height_mm(thread) == pytest.approx(1.299, abs=0.0005)
    assert pitch_diameter_mm(thread) == pytest.approx(9.026, abs=0.0005)
    assert root_diameter_mm(thread) == pytest.approx(8.160, abs=0.0005)
    assert minor_diameter_mm(thread) == pytest.approx(8.376, abs=0.0005)
    assert stress_area_mm2(thread) == pytest.approx(57.99, abs=0.005)


@given(threads())
def test_diameters_lie_in_their_order(thread: Thread) -> None:
    assert root_diameter_mm(thread) < minor_diameter_mm(thread) < pitch_diameter_mm(thread) < thread.diameter_mm
    assert root_diameter_mm(thread) < stress_diameter_mm(thread) < pitch_diameter_mm(thread)


@given(threads(), st.floats(0.1, 10))
def test_an_area_grows_with_the_square_of_the_size(thread: Thread, scale: float) -> None:
    larger = Thread("scaled", thread.diameter_mm * scale, thread.pitch_mm * scale, thread.unified)
    assert stress_area_mm2(larger) == pytest.approx(stress_area_mm2(thread) * scale**2, rel=1e-9)


@given(threads(), st.floats(0.01, 0.99))
def test_a_finer_thread_has_the_larger_area(thread: Thread, share: float) -> None:
    finer = Thread("finer", thread.diameter_mm, thread.pitch_mm * share, thread.unified)
    assert stress_area_mm2(finer) > stress_area_mm2(thread)


@pytest.mark.parametrize(("diameter", "pitch"), [(0, 1), (-5, 1), (5, 0), (5, -1), (1, 2), (math.nan, 1)])
def test_a_thread_that_cannot_be_is_refused(diameter: float, pitch: float) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        stress_area_mm2(Thread("this thread", diameter, pitch, unified=False))


# Limits of size in mm (ISO 965-2, from memory): bolt 6g major and pitch, hole 6H pitch and minor
@pytest.mark.parametrize(
    ("name", "bolt", "hole"),
    [
        ("M6", (5.794, 5.974, 5.212, 5.324), (5.350, 5.500, 4.917, 5.153)),
        ("M8", (7.760, 7.972, 7.042, 7.160), (7.188, 7.348, 6.647, 6.912)),
        ("M10", (9.732, 9.968, 8.862, 8.994), (9.026, 9.206, 8.376, 8.676)),
        ("M12", (11.701, 11.966, 10.679, 10.829), (10.863, 11.063, 10.106, 10.441)),
    ],
)
def test_metric_limits_of_size(
    name: str, bolt: tuple[float, float, float, float], hole: tuple[float, float, float, float]
) -> None:
    thread = read_thread(name, TABLES)
    outer, inner = external_limits(thread), internal_limits(thread)
    assert (outer.major_min_mm, outer.major_max_mm, outer.pitch_min_mm, outer.pitch_max_mm) == pytest.approx(
        bolt, abs=0.0006
    )
    assert (inner.pitch_min_mm, inner.pitch_max_mm, inner.minor_min_mm, inner.minor_max_mm) == pytest.approx(
        hole, abs=0.0006
    )


# Limits of size in inches, 3/8-16 UNC-2A and 2B (ASME B1.1, from memory)
def test_unified_limits_of_size() -> None:
    thread = read_thread("3/8-16", TABLES)
    outer, inner = external_limits(thread), internal_limits(thread)
    assert outer.major_min_mm / INCH == pytest.approx(0.3643, abs=0.00006)
    assert outer.pitch_min_mm / INCH == pytest.approx(0.3287, abs=0.00006)
    assert inner.pitch_max_mm / INCH == pytest.approx(0.3401, abs=0.00006)
    assert inner.minor_max_mm / INCH == pytest.approx(0.3214, abs=0.00006)


# Greatest minor diameter of a 2B hole in inches (ASME B1.1, from memory): below 1/4 it has a formula of its own
@pytest.mark.parametrize(("name", "minor_in"), [("#10-24", 0.156), ("#10-32", 0.164), ("1/4-20", 0.207)])
def test_small_unified_holes(name: str, minor_in: float) -> None:
    assert internal_limits(read_thread(name, TABLES)).minor_max_mm / INCH == pytest.approx(minor_in, abs=0.0006)


@pytest.mark.parametrize("row", TABLES.threads, ids=lambda row: f"{row.name} {row.series.value}")
def test_every_bolt_goes_into_its_hole_and_holds(row: ThreadSize) -> None:
    thread = read_thread(typed(row), TABLES)
    outer, inner = external_limits(thread), internal_limits(thread)
    assert outer.pitch_min_mm < outer.pitch_max_mm < inner.pitch_min_mm < inner.pitch_max_mm
    assert inner.minor_min_mm < inner.minor_max_mm < outer.major_min_mm < outer.major_max_mm < thread.diameter_mm


@pytest.mark.parametrize(("diameter", "pitch"), [(30, 2), (2, 0.4), (10, 1.4), (10, 2)])
def test_limits_nobody_knows_are_refused(diameter: float, pitch: float) -> None:
    with pytest.raises(ValueError, match="limits of this thread are not known here"):
        external_limits(Thread("this thread", diameter, pitch, unified=False))


def test_loads_of_m10_10_9() -> None:
    # ISO 898-1: 48.1 kN proof, 60.3 kN tensile (read in reproductions; the standard rounds by up to 0.6 %)
    thread, strength = read_thread("M10", TABLES), find_strength(TABLES, "10.9", 10)
    assert proof_load_n(thread, strength) == pytest.approx(48_100, rel=0.006)
    assert tensile_load_n(thread, strength) == pytest.approx(60_300, rel=0.006)
    assert proof_load_n(thread, strength) < yield_load_n(thread, strength) < tensile_load_n(thread, strength)


def test_a_strength_is_for_its_own_sizes() -> None:
    small = find_strength(TABLES, "8.8", 16)
    assert (small.proof_mpa, find_strength(TABLES, "8.8", 18).proof_mpa) == (580, 600)
    with pytest.raises(ValueError, match="not for M18"):
        proof_load_n(read_thread("M18", TABLES), small)


@given(st.floats(1, 1000), st.floats(0, 2000))
def test_a_force_is_area_times_stress(area: float, stress: float) -> None:
    assert tension_n(area, stress) / area == pytest.approx(stress)


@pytest.mark.parametrize(("area", "stress"), [(0, 100), (-1, 100), (10, -1), (math.inf, 1)])
def test_a_force_from_nothing_is_refused(area: float, stress: float) -> None:
    with pytest.raises(ValueError, match="needs an area above 0"):
        tension_n(area, stress)


def test_what_the_tables_do_not_hold_is_refused_with_what_they_do() -> None:
    with pytest.raises(ValueError, match=r"“11\.7” is not a strength known here.*8\.8"):
        find_strength(TABLES, "11.7", 10)
    with pytest.raises(ValueError, match="known up to a diameter of 16 mm, not 20 mm"):
        find_strength(TABLES, "9.8", 20)
    with pytest.raises(ValueError, match="measure its bearing face"):
        find_head(TABLES, "M7")
    with pytest.raises(ValueError, match=r"cheese.*mild steel"):
        find_pressure_limits(TABLES, "cheese")
