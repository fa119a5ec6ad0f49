"""What people may type for a value, and what is made of it."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.conditions import Tier
from app.trade.figure import Note, Target
from app.trade.notation import (
    Ambiguous,
    NotationError,
    difference,
    read_figure,
    read_limits,
    read_quantity,
    read_span,
    read_spec,
    read_torque_turn,
    second,
    split_labelled,
    write_limits,
    write_magnitude,
    write_quantity,
    write_spec,
)
from app.trade.quantity import SPELLINGS, TWO_COUNTRIES, UNITS, Kind, Limits, Quantity, TorqueTurn

LBF_FT = 1.3558179483314004  # N·m, NIST SP 811 definitions
LBF_IN = LBF_FT / 12

close = pytest.approx


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.18 mm", 0.18),
        ("0.18mm", 0.18),
        ("0,18 mm", 0.18),
        ("+0.18 mm", 0.18),
        ("  0.18  mm ", 0.18),
        ("0.18\u00a0mm", 0.18),
        ("-0.1 mm", -0.1),
        ("−0.1 mm", -0.1),
        ("3 cm", 30),
        ("1.5 m", 1500),
        ("0.18 Millimetres", 0.18),
        (".007 in", 0.1778),
        ("0.007 inch", 0.1778),
        ("2 inches", 50.8),
        ('4.030"', 102.362),
        ("4.030″", 102.362),
        ("4.030''", 102.362),
        ("7 thou", 0.1778),
        ("1/2 thou", 0.0127),
        ("12 µm", 0.012),
        ("12 μm", 0.012),
        ("12 um", 0.012),
        ("3 microns", 0.003),
        ("70 µin", 0.001778),
        ('3/8"', 9.525),
        ("3⁄8 in", 9.525),
        ("1 1/2 in", 38.1),
        ("1-1/2 in", 38.1),
        ("½ in", 12.7),
        ("1½ in", 38.1),
        ("1 ¼ in", 31.75),
        ("1-¾ in", 44.45),
        ("6 ft", 1828.8),
        ("500 miles", 804_672_000),
        ("800 km", 800_000_000),
    ],
)
def test_lengths(text: str, mm: float) -> None:
    quantity = read_quantity(text, Kind.LENGTH)
    assert quantity.magnitude == close(mm, rel=1e-12)
    assert quantity.text == text


@pytest.mark.parametrize("spelling", ["Nm", "N·m", "N.m", "N-m", "N m", "N*m", "N⋅m", "NM", "nm", "newton metres"])
def test_newton_metres(spelling: str) -> None:
    quantity = read_quantity(f"25 {spelling}", Kind.TORQUE)
    assert (quantity.magnitude, quantity.unit) == (25, "N·m")


@pytest.mark.parametrize(
    "spelling",
    [
        *(
            "ft-lb",
            "lb-ft",
            "ft lbs",
            "ft.lbs.",
            "ft. lbs.",
            "ft.-lbs.",
            "lbf ft",
            "lbf·ft",
            "lbf.ft",
            "lb ft",
            "FT-LB",
        ),
        *("foot pounds", "foot-pounds", "pounds feet", "ftlb"),
    ],
)
def test_pound_feet(spelling: str) -> None:
    quantity = read_quantity(f"90 {spelling}", Kind.TORQUE)
    assert quantity.magnitude == close(90 * LBF_FT)
    assert quantity.unit == "lbf·ft"


@pytest.mark.parametrize("spelling", ["in-lb", "lb-in", "in lbs", "in.-lbs.", "lbf·in", "inch pounds", "inch-pounds"])
def test_pound_inches(spelling: str) -> None:
    quantity = read_quantity(f"106 {spelling}", Kind.TORQUE)
    assert quantity.magnitude == close(106 * LBF_IN)
    assert quantity.unit == "lbf·in"


@pytest.mark.parametrize("spelling", ["kg-m", "kgm", "kgf·m", "mkg", "kgf m", "kg.m"])
def test_kilogram_metres(spelling: str) -> None:
    assert read_quantity(f"2 {spelling}", Kind.TORQUE).magnitude == close(19.6133)


@pytest.mark.parametrize(
    ("text", "kind", "base"),
    [
        ("20 kgf·cm", Kind.TORQUE, 1.96133),
        ("20 cm-kg", Kind.TORQUE, 1.96133),
        ("40 ozf·in", Kind.TORQUE, 0.28246207),
        ("40 oz-in", Kind.TORQUE, 0.28246207),
        ("2 daN·m", Kind.TORQUE, 20),
        ("350 kPa", Kind.PRESSURE, 350),
        ("3.5 bar", Kind.PRESSURE, 350),
        ("1.2 MPa", Kind.PRESSURE, 1200),
        ("10 psi", Kind.PRESSURE, 68.94757),
        ("2 kgf/cm²", Kind.PRESSURE, 196.133),
        ("2 kg/cm2", Kind.PRESSURE, 196.133),
        ("42.5 cc", Kind.VOLUME, 42.5),
        ("42.5 cm³", Kind.VOLUME, 42.5),
        ("42.5 ml", Kind.VOLUME, 42.5),
        ("4.5 L", Kind.VOLUME, 4500),
        ("4.5 litres", Kind.VOLUME, 4500),
        ("350 cu. in.", Kind.VOLUME, 5735.4724),
        ("5 US qt", Kind.VOLUME, 4731.76473),
        ("5 U.S. quarts", Kind.VOLUME, 4731.76473),
        ("5 imp. qt", Kind.VOLUME, 5682.6125),
        ("5 imperial quarts", Kind.VOLUME, 5682.6125),
        ("1 imp gal", Kind.VOLUME, 4546.09),
        ("8 US fl. oz.", Kind.VOLUME, 236.5882365),
        ("90 °C", Kind.TEMPERATURE, 90),
        ("90 deg C", Kind.TEMPERATURE, 90),
        ("-5 C", Kind.TEMPERATURE, -5),
        ("212 °F", Kind.TEMPERATURE, 100),
        ("90°", Kind.ANGLE, 90),
        ("90 deg", Kind.ANGLE, 90),
        ("90 degrees", Kind.ANGLE, 90),
        ("1/4 turn", Kind.ANGLE, 90),
        ("612 g", Kind.MASS, 612),
        ("1.2 kg", Kind.MASS, 1200),
        ("2 oz", Kind.MASS, 56.69904625),
        ("2 lbs", Kind.MASS, 907.18474),
        ("90 s", Kind.TIME, 90),
        ("30 min", Kind.TIME, 1800),
        ("24 h", Kind.TIME, 86400),
        ("1 h 30 min", Kind.TIME, 5400),
        ("1h30min", Kind.TIME, 5400),
        ("1 day 12 hours", Kind.TIME, 129600),
        ("2 weeks", Kind.TIME, 1209600),
        ("450 N", Kind.FORCE, 450),
        ("2 kN", Kind.FORCE, 2000),
        ("100 lb", Kind.FORCE, 444.82216),
        ("100 lbf", Kind.FORCE, 444.82216),
        ("10 kgf", Kind.FORCE, 98.0665),
        ("2000 rpm", Kind.SPEED, 2000),
        ("2000 r/min", Kind.SPEED, 2000),
        ("2000 1/min", Kind.SPEED, 2000),
        ("2000 min⁻¹", Kind.SPEED, 2000),
        ("12 %", Kind.SHARE, 12),
        ("12%", Kind.SHARE, 12),
        ("10.5", Kind.NUMBER, 10.5),
        ("10.5:1", Kind.NUMBER, 10.5),
        ("10.5 to 1", Kind.NUMBER, 10.5),
        ("0.0007 in/in", Kind.NUMBER, 0.0007),
    ],
)
def test_every_other_kind(text: str, kind: Kind, base: float) -> None:
    assert read_quantity(text, kind).magnitude == close(base, rel=1e-7)


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("5 mil", Kind.LENGTH, "write thou or mm"),
        ("20 in/lb", Kind.TORQUE, "did you mean lbf·in"),
        ("20 lb/ft", Kind.TORQUE, "did you mean lbf·ft"),
        ("2 kg/m", Kind.TORQUE, "did you mean kgf·m"),
        ("5 mm", Kind.TORQUE, "“mm” is a unit of length, but a torque is wanted, in N·m"),
        ("25 N·m", Kind.LENGTH, "“N·m” is a unit of torque, but a length is wanted, in mm"),
        ("90 deg", Kind.TEMPERATURE, "°C or °F"),
        ("50 lb", Kind.PRESSURE, "unit of mass or force"),
        ("5 kg", Kind.FORCE, "unit of mass"),
        ("5 mPa", Kind.PRESSURE, "did you mean MPa or kPa"),
        ("5 furlongs", Kind.LENGTH, "“furlongs” is not a unit of length: use mm, in, thou or µm"),
        ("5", Kind.LENGTH, "has no unit: add mm, in, thou or µm"),
        ("90", Kind.TEMPERATURE, "has no unit: add °C or °F"),
        ("", Kind.LENGTH, "Nothing is written"),
        ("   ", Kind.LENGTH, "Nothing is written"),
        ("mm", Kind.LENGTH, "cannot be read as a length"),
        ("mm 5", Kind.LENGTH, "cannot be read as a length"),
        ("nan", Kind.LENGTH, "cannot be read as a length"),
        ("inf mm", Kind.LENGTH, "cannot be read as a length"),
        ("1e400 mm", Kind.LENGTH, "“e” is not a unit"),
        ("9**9**9", Kind.LENGTH, "“*”"),
        ("1.234,5 mm", Kind.LENGTH, "two marks in one number"),
        ("1,234,567 mm", Kind.LENGTH, "two marks in one number"),
        ("1 234 mm", Kind.LENGTH, "without spaces inside"),
        ("0. 18 mm", Kind.LENGTH, "cannot be read"),
        ("٣ mm", Kind.LENGTH, "figures 0 to 9"),
        ("３ mm", Kind.LENGTH, "figures 0 to 9"),
        ("1/0 in", Kind.LENGTH, "divides by nothing"),
        ("1 9/8 in", Kind.LENGTH, "cannot be read"),
        ("-5 N·m", Kind.TORQUE, "below zero, which a torque cannot be"),
        ("-1 kg", Kind.MASS, "below zero"),
        ("5 mm mm", Kind.LENGTH, "not a unit"),
        ("5 mm )", Kind.LENGTH, "cannot be read"),
        ("(5 mm", Kind.LENGTH, "cannot be read"),
        ("5 mm ()", Kind.LENGTH, "cannot be read"),
        ("max 5 mm", Kind.LENGTH, "without limits"),
        ("4 to 5 mm", Kind.LENGTH, "without limits"),
        ("25 N·m + 90°", Kind.TORQUE, "leave it out"),
        ("25 N·m + 90", Kind.TORQUE, "give turns in degrees"),
        ("1 h 30", Kind.TIME, "two numbers side by side"),
        ("1 " * 1000, Kind.LENGTH, "too long"),
    ],
)
def test_refusals_say_what_is_wrong(text: str, kind: Kind, says: str) -> None:
    with pytest.raises(NotationError) as caught:
        read_quantity(text, kind)
    message = str(caught.value)
    assert says in message
    assert message.endswith((".", "?")), message
    assert len(message) < 250
    assert "\n" not in message


def test_a_very_long_text_is_refused_quickly() -> None:
    for text in ("9" * 1_000_000, "9**" * 300_000, "1/" * 100_000, "(" * 100_000, "N·" * 100_000):
        begun = time.perf_counter()
        with pytest.raises(NotationError):
            read_quantity(text, Kind.LENGTH)
        assert time.perf_counter() - begun < 0.1


# Both marks, both locales: the rule for the number field of the program.
@pytest.mark.parametrize("decimal", [".", ","])
@pytest.mark.parametrize(
    ("text", "value"),
    [("0,05", 0.05), ("0.05", 0.05), ("0,050", 0.05), ("0.050", 0.05), ("1,3", 1.3), ("1.3", 1.3), (",05", 0.05)],
)
def test_either_mark_is_decimal(text: str, value: float, decimal: str) -> None:
    assert read_quantity(text, Kind.LENGTH, unit="mm", decimal=decimal).magnitude == value


@pytest.mark.parametrize(
    ("text", "decimal", "choices"),
    [
        ("1,234 mm", ".", ("1.234", "1234")),
        ("1.234 mm", ",", ("1,234", "1234")),
        ("12,500 mm", ".", ("12.500", "12500")),
    ],
)
def test_a_mark_before_three_digits_is_asked_about(text: str, decimal: str, choices: tuple[str, str]) -> None:
    with pytest.raises(Ambiguous) as caught:
        read_quantity(text, Kind.LENGTH, decimal=decimal)
    assert caught.value.choices == choices
    assert all(choice in str(caught.value) for choice in choices)
    small, large = (
        read_quantity(text.replace(caught.value.part, choice), Kind.LENGTH, decimal=decimal).magnitude
        for choice in choices
    )
    assert large == close(1000 * small)


@pytest.mark.parametrize(("text", "decimal"), [("1,234 mm", ","), ("1.234 mm", ".")])
def test_the_locales_own_mark_is_never_asked_about(text: str, decimal: str) -> None:
    assert read_quantity(text, Kind.LENGTH, decimal=decimal).magnitude == 1.234


@pytest.mark.parametrize("vessel", sorted(TWO_COUNTRIES))
def test_vessels_without_a_country_are_asked_about(vessel: str) -> None:
    with pytest.raises(Ambiguous) as caught:
        read_quantity(f"5 {vessel}", Kind.VOLUME, unit="L")
    first, other = (read_quantity(f"5 {choice}", Kind.VOLUME).magnitude for choice in caught.value.choices)
    assert first != close(other, rel=0.01)


@pytest.mark.parametrize("unit", ["N·m", "Nm", "lbf·ft", "ft-lb"])
def test_the_default_unit_is_an_id_or_any_spelling(unit: str) -> None:
    quantity = read_quantity("25", Kind.TORQUE, unit=unit)
    assert quantity.unit in {"N·m", "lbf·ft"}
    assert write_quantity(quantity) == f"25 {quantity.unit}"


def test_a_default_unit_of_another_kind_is_refused() -> None:
    with pytest.raises(NotationError, match="unit of length"):
        read_quantity("25", Kind.TORQUE, unit="mm")


def test_a_typed_unit_goes_before_the_default() -> None:
    assert read_quantity("7 thou", Kind.LENGTH, unit="mm").magnitude == close(0.1778)


@pytest.mark.parametrize(
    ("text", "kind", "low", "high", "target"),
    [
        ("18-20 ft-lb", Kind.TORQUE, 18 * LBF_FT, 20 * LBF_FT, None),
        ("18 to 20 ft-lb", Kind.TORQUE, 18 * LBF_FT, 20 * LBF_FT, None),
        ("18…20 ft-lb", Kind.TORQUE, 18 * LBF_FT, 20 * LBF_FT, None),
        ("18..20 ft-lb", Kind.TORQUE, 18 * LBF_FT, 20 * LBF_FT, None),
        ("18–20 N·m", Kind.TORQUE, 18, 20, None),
        ("18 ft-lb-20 ft-lb", Kind.TORQUE, 18 * LBF_FT, 20 * LBF_FT, None),
        ("between 18 and 20 N·m", Kind.TORQUE, 18, 20, None),
        ("from 18 to 20 N·m", Kind.TORQUE, 18, 20, None),
        ("61 N·m", Kind.TORQUE, 61, 61, 61),
        ("61 ± 3 N·m", Kind.TORQUE, 58, 64, 61),
        ("1.5 mm", Kind.LENGTH, None, None, 1.5),
        ("0.10 ± 0.02 mm", Kind.LENGTH, 0.08, 0.12, 0.10),
        ("0.10 mm ± 0.02", Kind.LENGTH, 0.08, 0.12, 0.10),
        ("0.10 +/- 0.02 mm", Kind.LENGTH, 0.08, 0.12, 0.10),
        ("0.10 mm ± 1 thou", Kind.LENGTH, 0.0746, 0.1254, 0.10),
        ("0.15 +0.05/-0 mm", Kind.LENGTH, 0.15, 0.20, 0.15),
        ("0.15 +0.05 -0.00 mm", Kind.LENGTH, 0.15, 0.20, 0.15),
        ("0.15 +0.05/−0.10 mm", Kind.LENGTH, 0.05, 0.20, 0.15),
        ("0.15 -0.10/+0.05 mm", Kind.LENGTH, 0.05, 0.20, 0.15),
        ("max 0.25 mm", Kind.LENGTH, None, 0.25, None),
        ("0.25 mm max.", Kind.LENGTH, None, 0.25, None),
        ("at most 0.25 mm", Kind.LENGTH, None, 0.25, None),
        ("<= 0.25 mm", Kind.LENGTH, None, 0.25, None),
        ("≤0.25mm", Kind.LENGTH, None, 0.25, None),
        ("under 0.25 mm", Kind.LENGTH, None, 0.25, None),
        ("min 1.5 mm", Kind.LENGTH, 1.5, None, None),
        ("1.5 mm min.", Kind.LENGTH, 1.5, None, None),
        ("at least 1.5 mm", Kind.LENGTH, 1.5, None, None),
        (">= 1.5 mm", Kind.LENGTH, 1.5, None, None),
        ("≥ 1.5 mm", Kind.LENGTH, 1.5, None, None),
        ("over 1.5 mm", Kind.LENGTH, 1.5, None, None),
        ("min 0.10, max 0.25 mm", Kind.LENGTH, 0.10, 0.25, None),
        ("0.10 mm min 0.25 mm max", Kind.LENGTH, 0.10, 0.25, None),
        ("0.004 in - 0.006 in", Kind.LENGTH, 0.1016, 0.1524, None),
        ('.0015"-.0025"', Kind.LENGTH, 0.0381, 0.0635, None),
        ("0.004 in - 0.15 mm", Kind.LENGTH, 0.1016, 0.15, None),
        ("1/4-3/8 in", Kind.LENGTH, 6.35, 9.525, None),
        ("-0.05 to +0.05 mm", Kind.LENGTH, -0.05, 0.05, None),
        ("-5 - -2 °C", Kind.TEMPERATURE, -5, -2, None),
        ("90 ± 5 °C", Kind.TEMPERATURE, 85, 95, 90),
        ("at least 10 psi", Kind.PRESSURE, 68.947573, None, None),
        ("24 h", Kind.TIME, None, None, 86400),
        ("at least 24 h", Kind.TIME, 86400, None, None),
        ("min 5 min", Kind.TIME, 300, None, None),
        ("5 min min", Kind.TIME, 300, None, None),
        ("9.5:1 to 10.5:1", Kind.NUMBER, 9.5, 10.5, None),
        ("0.5 to 1", Kind.NUMBER, 0.5, 1, None),
        ("4", Kind.NUMBER, None, None, 4),
    ],
)
def test_limits(text: str, kind: Kind, low: float | None, high: float | None, target: float | None) -> None:
    limits = read_limits(text, kind)
    for read, wanted in ((limits.low, low), (limits.high, high), (limits.target, target)):
        assert read == (None if wanted is None else close(wanted, rel=1e-7))
    assert limits.text == text


def test_tolerances_leave_no_noise() -> None:
    limits = read_limits("0.15 +0.05/-0.05 mm", Kind.LENGTH)
    assert (limits.low, limits.high) == (0.1, 0.2)


def test_a_fahrenheit_tolerance_is_a_difference() -> None:
    limits = read_limits("212 ± 18 °F", Kind.TEMPERATURE)
    assert [limits.low, limits.high] == close([90, 110])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0.006 to 0.004 inch", "The upper limit 0.004 in is below the lower limit 0.006 in"),
        ("20-18 mm", "The upper limit 18 mm is below the lower limit 20 mm"),
        ("max 5 mm max 6 mm", "the same limit twice"),
        ("0.10 ± -0.02 mm", "The upper limit"),
        ("4 to 5 to 6 mm", "cannot be read"),
        ("max mm", "cannot be read"),
    ],
)
def test_limits_refused(text: str, says: str) -> None:
    with pytest.raises(NotationError, match=says):
        read_limits(text, Kind.LENGTH)


def test_a_tolerance_wider_than_a_torque_is_refused() -> None:
    with pytest.raises(NotationError, match="below zero"):
        read_limits("5 ± 10 N·m", Kind.TORQUE)


@pytest.mark.parametrize(
    ("text", "torque", "turns"),
    [
        ("25 N·m + 90°", 25, (90,)),
        ("40 Nm + 45 + 45 deg", 40, (45, 45)),
        ("40 Nm + 45° + 45° + 45° + 30°", 40, (45, 45, 45, 30)),
        ("30 ft-lb then 90 deg + 90 deg", 30 * LBF_FT, (90, 90)),
        ("25 N·m, then 90°", 25, (90,)),
        ("25 N·m + 1/4 turn", 25, (90,)),
        ("61 N·m (45 lbf·ft) + 90°", 61, (90,)),
    ],
)
def test_torque_and_turns(text: str, torque: float, turns: tuple[float, ...]) -> None:
    read = read_torque_turn(text)
    assert [read.torque.low, read.torque.high] == close([torque, torque])
    assert read.turns_deg == turns
    assert read_spec(text, Kind.TORQUE) == read


def test_a_torque_range_may_be_followed_by_a_turn() -> None:
    read = read_torque_turn("18-20 + 90°", unit="N·m")
    assert (read.torque.low, read.torque.high, read.turns_deg) == (18, 20, (90,))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("25 N·m", "no angle"),
        ("25 N·m + 5 N·m + 90°", "not a turn"),
        ("25 + 90°", "has no unit"),
        ("90°", "not a torque"),
    ],
)
def test_torque_and_turns_refused(text: str, says: str) -> None:
    with pytest.raises(NotationError, match=says):
        read_torque_turn(text)


def test_a_spec_without_a_turn_is_limits() -> None:
    assert isinstance(read_spec("25 N·m", Kind.TORQUE), Limits)
    assert read_spec("0.04 to 0.07 mm", Kind.LENGTH) == read_limits("0.04 to 0.07 mm", Kind.LENGTH)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("0.10-0.25 mm (0.004-0.010 in)", Kind.LENGTH),
        ("0.10-0.25 mm [0.004-0.010 in]", Kind.LENGTH),
        ("at most 0.25 mm (0.010 in)", Kind.LENGTH),
        ("1.5 mm (0.06 in) min", Kind.LENGTH),
        ("61 N·m (45 lbf·ft)", Kind.TORQUE),
        ("110 N·m (80 lbf·ft)", Kind.TORQUE),
        ("28 N·m (250 in·lb)", Kind.TORQUE),
        ("1.96 N·m (0.2 kgf·m, 1 ft·lb)", Kind.TORQUE),
        ("90 °C (194 °F)", Kind.TEMPERATURE),
        ("4.5 L (4.8 US qt)", Kind.VOLUME),
    ],
)
def test_figures_in_two_systems_that_agree_to_their_rounding(text: str, kind: Kind) -> None:
    bare = text[: text.index("(" if "(" in text else "[")] + text[text.rindex(")" if ")" in text else "]") + 1 :]
    read, alone = read_limits(text, kind), read_limits(bare, kind)
    assert (read.low, read.high, read.target, read.unit) == (alone.low, alone.high, alone.target, alone.unit)


# Misprints read in public manuals, and what gives each away.
@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("0.10–0.25 mm (0.004–0.0010 in)", Kind.LENGTH, "The upper limit 0.0010 in is below the lower limit 0.004 in"),
        ("0.006 to 0.004 inch", Kind.LENGTH, "below the lower limit"),
        ("1.0 mm (0.004 in)", Kind.LENGTH, "contradicts itself: it says 1.0 mm, which is 0.0394 in, and then 0.004 in"),
        ("0.0007 mm/mm (0.0004 in/in)", Kind.NUMBER, "contradicts itself: it says 0.0007 and then 0.0004"),
        ("1.78–4.57 µm (15–80 µin)", Kind.LENGTH, "contradicts itself"),
        ("1.96 N·m (0.2 kgf·cm, 1 ft·lb)", Kind.TORQUE, "1.96 N·m, which is 20.0 kgf·cm, and then 0.2 kgf·cm"),
        ("8–12 N·m (71.4–107.1 in/lb)", Kind.TORQUE, "did you mean lbf·in"),
        ("28 N·m (250 ft·lb)", Kind.TORQUE, "contradicts itself"),
        ("12 N·m (105 ft. lbs.)", Kind.TORQUE, "contradicts itself"),
        ("100 mm (2.937 in)", Kind.LENGTH, "contradicts itself"),
        ("0.012 in (0.03 mm)", Kind.LENGTH, "contradicts itself"),
        ("0.10-0.25 mm (0.010 in)", Kind.LENGTH, "one thing and another in brackets"),
        ("1.0 mm (0.04)", Kind.LENGTH, "has no unit"),
    ],
)
def test_misprinted_figures_are_caught(text: str, kind: Kind, says: str) -> None:
    with pytest.raises(NotationError) as caught:
        read_limits(text, kind)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("magnitude", "unit", "text"),
    [
        (0.1, "mm", "0.10 mm"),
        (0.18, "mm", "0.18 mm"),
        (0.1 + 0.2, "mm", "0.30 mm"),
        (1.5, "mm", "1.5 mm"),
        (85, "mm", "85 mm"),
        (1 / 3, "mm", "0.333 mm"),
        (7 * 0.0254, "in", "0.007 in"),
        (7 * 0.0254, "thou", "7 thou"),
        (25.4, "in", "1 in"),
        (-0.0, "mm", "0 mm"),
        (25, "N·m", "25 N·m"),
        (25, "lbf·ft", "18.4 lbf·ft"),
        (100, "°F", "212 °F"),
        ((0.0007 - 32) * 5 / 9, "°F", "0.0007 °F"),
        (90, "deg", "90°"),
        (10.5, ":1", "10.5:1"),
        (4, "1", "4"),
        (86400, "days", "1 day"),
        (172800, "days", "2 days"),
        (1e23, "mm", "1" + "0" * 23 + " mm"),
    ],
)
def test_writing_a_magnitude(magnitude: float, unit: str, text: str) -> None:
    assert write_magnitude(magnitude, unit) == text


@pytest.mark.parametrize(
    ("text", "kind", "unit", "shown"),
    [
        ("0,18", Kind.LENGTH, "mm", "0,18 mm"),
        ("0,18 mm", Kind.LENGTH, "in", "0,18 mm"),
        ('3/8"', Kind.LENGTH, "mm", '3/8"'),
        ("3/8″", Kind.LENGTH, "mm", "3/8″"),
        ("90", Kind.ANGLE, "deg", "90°"),
        ("1", Kind.TIME, "weeks", "1 week"),
        ("4", Kind.NUMBER, None, "4"),
    ],
)
def test_a_quantity_is_shown_as_typed(text: str, kind: Kind, unit: str | None, shown: str) -> None:
    assert write_quantity(read_quantity(text, kind, unit=unit)) == shown


@pytest.mark.parametrize(
    ("text", "kind", "shown", "other"),
    [
        ("0.04-0.07 mm", Kind.LENGTH, "0.04 to 0.07 mm", "0.0016 to 0.0027 in"),
        ("max 0.25mm", Kind.LENGTH, "at most 0.25 mm", "at most 0.0098 in"),
        ("≥1.5 mm", Kind.LENGTH, "at least 1.5 mm", "at least 0.0591 in"),
        ("0.1 +/- .02 mm", Kind.LENGTH, "0.10 ± 0.02 mm", "0.0032 to 0.0047 in"),
        ("0.15 +0.05 -0 mm", Kind.LENGTH, "0.15 +0.05/-0 mm", "0.0060 to 0.0078 in"),
        ("1.5 mm", Kind.LENGTH, "1.5 mm", "0.0591 in"),
        (".0015-.0025 in", Kind.LENGTH, "0.0015 to 0.0025 in", "0.0381 to 0.0635 mm"),
        ("4.0157-4.0203 in", Kind.LENGTH, "4.0157 to 4.0203 in", "102.00 to 102.11 mm"),
        ('3/8"', Kind.LENGTH, "0.375 in", "9.525 mm"),
        ("18-20 ft-lb", Kind.TORQUE, "18 to 20 lbf·ft", "24.5 to 27.1 N·m"),
        ("61 N·m", Kind.TORQUE, "61 N·m", "45.0 lbf·ft"),
        ("12 N·m", Kind.TORQUE, "12 N·m", "106.2 lbf·in"),
        ("25 N·m + 90° + 45°", Kind.TORQUE, "25 N·m + 90° + 45°", "18.4 lbf·ft + 90° + 45°"),
        ("90 ± 5 °C", Kind.TEMPERATURE, "90 ± 5 °C", "185 to 203 °F"),
        ("at least 10 psi", Kind.PRESSURE, "at least 10 psi", "at least 69.0 kPa"),
        ("4.5 L", Kind.VOLUME, "4.5 L", "4.76 US qt"),
        ("at least 24 h", Kind.TIME, "at least 24 h", ""),
        ("9.5:1 to 10.5:1", Kind.NUMBER, "9.5 to 10.5", ""),
        ("0.5-0.5 mm", Kind.LENGTH, "0.50 mm to 0.50 mm", "0.0197 in"),
    ],
)
def test_limits_are_written_as_the_trade_does(text: str, kind: Kind, shown: str, other: str) -> None:
    spec = read_spec(text, kind)
    assert write_spec(spec) == shown
    assert second(spec) == other


def test_limits_nobody_has_given() -> None:
    empty = Limits(Kind.LENGTH, None, None, None, "mm", "")
    assert write_limits(empty) == "no limits"
    assert second(empty) == ""


def test_a_difference_of_temperatures_has_no_zero() -> None:
    assert difference(100, 90, "°F") == "18 °F"
    assert difference(0.27, 0.25, "mm") == "0.02 mm"


def test_reading_is_quick() -> None:
    begun = time.perf_counter()
    for _ in range(2000):
        read_quantity("0.18 mm", Kind.LENGTH)
    assert (
        time.perf_counter() - begun
    ) / 2000 < 200e-6  # about 14 µs on the slowest machine tried; wide for a busy one


# --- What a slash is, what stands side by side, and what is asked


@pytest.mark.parametrize(
    ("text", "kind", "unit", "base"),
    [
        ("1/32 in", Kind.LENGTH, None, 0.79375),
        ("3/8", Kind.LENGTH, "in", 9.525),
        ("1 / 2 in", Kind.LENGTH, None, 12.7),
        ("1 1/2 mm", Kind.LENGTH, None, 1.5),
        ("2/3 turn", Kind.ANGLE, None, 240),
        ("1/4-turn", Kind.ANGLE, None, 90),
        ("1/2 US qt", Kind.VOLUME, None, 473.176473),
        ("1/2 gal. imp.", Kind.VOLUME, None, 2273.045),
    ],
)
def test_fractions_where_the_trade_writes_them(text: str, kind: Kind, unit: str | None, base: float) -> None:
    assert read_quantity(text, kind, unit=unit).magnitude == close(base)


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("65/70 N·m", Kind.TORQUE, 65, 70),
        ("30/32 N·m", Kind.TORQUE, 30, 32),
        ("0.20/0.25 mm", Kind.LENGTH, 0.20, 0.25),
        ("0.20 mm/0.25 mm", Kind.LENGTH, 0.20, 0.25),
        ("10/12 mm (0.39/0.47 in)", Kind.LENGTH, 10, 12),
        ("20/25 in", Kind.LENGTH, 508, 635),
    ],
)
def test_any_other_slash_is_a_range_and_says_so(text: str, kind: Kind, low: float, high: float) -> None:
    figure = read_figure(text, kind)
    assert isinstance(figure.meant, Limits)
    assert [figure.meant.low, figure.meant.high] == close([low, high])
    assert figure.notes == (Note.READ_AS_RANGE,)


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [
        ("1/32", Kind.LENGTH, "mm"),
        ("1/32 mm", Kind.LENGTH, None),
        ("5/8 N·m", Kind.TORQUE, None),
        ("2/4 in", Kind.LENGTH, None),
        ("1/2", Kind.NUMBER, None),
        ("12 gr", Kind.MASS, None),
        ("5 qt", Kind.VOLUME, None),
        ("0.04 to 0.9 mm", Kind.LENGTH, None),
        ("1-25 N·m", Kind.TORQUE, None),
        ("80 N·m (60 lb ft)", Kind.TORQUE, None),
        ("1/16 in (1.5 mm)", Kind.LENGTH, None),
        ("80 N·m (60 lb ft) + 90° oiled", Kind.TORQUE, None),
        ("28 Nm + 90° (20 ft lbs) + 45°", Kind.TORQUE, None),
        ("28 Nm + 90° (20 ft lb + 90°) + 90°", Kind.TORQUE, None),
    ],
)
def test_what_is_asked_can_be_answered_with_either_choice(text: str, kind: Kind, unit: str | None) -> None:
    with pytest.raises(Ambiguous) as caught:
        read_figure(text, kind, unit=unit)
    error = caught.value
    answers = [read_figure(text.replace(error.part, choice, 1), kind, unit=unit).meant for choice in error.choices]
    assert answers[0] != answers[1]
    assert all(choice in str(error) for choice in error.choices)


@pytest.mark.parametrize("text", ["0.04 to 0.8 mm", "0 to 5 mm", "-0.1 to 5 mm", "at least 1 mm, at most 50 mm"])
def test_ends_near_enough_are_not_asked_about(text: str) -> None:
    assert isinstance(read_figure(text, Kind.LENGTH).meant, Limits)


def test_the_scale_of_a_tool_may_be_wide() -> None:
    span = read_span("5-200 N·m", Kind.TORQUE)
    assert (span.low, span.high) == (5, 200)
    with pytest.raises(Ambiguous):
        read_limits("5-200 N·m", Kind.TORQUE)


def test_so_wide_a_band_is_written_in_words_and_read_again() -> None:
    shown = write_limits(Limits(Kind.LENGTH, 0.04, 2.0, None, "mm", ""))
    assert shown == "at least 0.04, at most 2.00 mm"
    assert write_limits(read_limits(shown, Kind.LENGTH)) == shown


@pytest.mark.parametrize(
    ("text", "kind", "base", "unit", "notes"),
    [
        ("45 N·m 33 lbf ft", Kind.TORQUE, 45, "N·m", ()),
        ("27 Nm = 20 lbf ft", Kind.TORQUE, 27, "N·m", ()),
        ("27 Nm/20 lbf ft", Kind.TORQUE, 27, "N·m", ()),
        ("0.10 mm / .004 in", Kind.LENGTH, 0.1, "mm", ()),
        ("4.5 L/4.8 US qt", Kind.VOLUME, 4500, "L", ()),
        ("100 N·m (74 lb/ft)", Kind.TORQUE, 100, "N·m", ()),
        ("88 N·m {65 lbf·ft}", Kind.TORQUE, 88, "N·m", ()),
        ("80 N·m (about 60 lb ft)", Kind.TORQUE, 80, "N·m", (Note.ROUNDED,)),
        ("5 qt (4.7 L)", Kind.VOLUME, 4731.76473, "US qt", (Note.SETTLED,)),
        ("5 qt (5.7 L)", Kind.VOLUME, 5682.6125, "imp qt", (Note.SETTLED,)),
        ("4.3 L (4.5 qts.)", Kind.VOLUME, 4300, "L", (Note.SETTLED,)),
        ("1,250 mm (49.2 in)", Kind.LENGTH, 1250, "mm", (Note.SETTLED,)),
        ("1,250 mm (0.049 in)", Kind.LENGTH, 1.25, "mm", (Note.SETTLED,)),
    ],
)
def test_the_same_in_two_systems(text: str, kind: Kind, base: float, unit: str, notes: tuple[Note, ...]) -> None:
    figure = read_figure(text, kind)
    assert isinstance(figure.meant, Target)
    assert figure.meant.value == close(base)
    assert (figure.meant.unit, figure.notes) == (unit, notes)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("45 N·m 50 lbf ft", Kind.TORQUE),
        ("100 N·m (50 lb/ft)", Kind.TORQUE),
        ("80 N·m (about 90 lb ft)", Kind.TORQUE),
        ("5 qt (6.5 L)", Kind.VOLUME),
        ("27 Nm + 90° (20 ft lb + 60°)", Kind.TORQUE),
    ],
)
def test_two_systems_that_disagree_are_refused(text: str, kind: Kind) -> None:
    with pytest.raises(NotationError):
        read_figure(text, kind)


@pytest.mark.parametrize(
    ("text", "low", "high", "target"),
    [
        ("86.00 +0.02 0 mm", 86.0, 86.02, 86.0),
        ("86.00 0 -0.02 mm", 85.98, 86.0, 86.0),
        ("86.00 -0.02 0 mm", 85.98, 86.0, 86.0),
        ("86.00 +0.02/0 mm", 86.0, 86.02, 86.0),
        ("0.10 mm or more", 0.1, None, None),
        ("0.10 mm or less", None, 0.1, None),
        ("not to exceed 0.10 mm", None, 0.1, None),
        ("4 thru 5 mm", 4, 5, None),
        ("4~5 mm", 4, 5, None),
        ("service limit 0.10 mm", None, 0.1, None),
        ("0.10 mm limit", None, 0.1, None),
        ("limit min 12 mm", 12, None, None),
    ],
)
def test_further_ways_to_write_limits(text: str, low: float | None, high: float | None, target: float | None) -> None:
    limits = read_limits(text, Kind.LENGTH)
    for found, wanted in ((limits.low, low), (limits.high, high), (limits.target, target)):
        assert found == (None if wanted is None else close(wanted))


@pytest.mark.parametrize("text", [".030 over", "0.030 in over", "0.030 in under", "0.5 mm below"])
def test_how_much_over_is_no_limit(text: str) -> None:
    with pytest.raises(NotationError, match="says by how much"):
        read_limits(text, Kind.LENGTH, unit="in")


@pytest.mark.parametrize(
    ("text", "kind", "base"),
    [
        ("12 in H2O", Kind.PRESSURE, 2.98906692),  # 249.08891 Pa an inch: NIST SP 811
        ("12 inches of water", Kind.PRESSURE, 2.98906692),
        ("18 inHg", Kind.PRESSURE, 60.955),  # 3.386389 kPa: NIST SP 811
        ('18" Hg', Kind.PRESSURE, 60.955),
        ("760 mm Hg", Kind.PRESSURE, 101.325),  # the standard atmosphere
        ("1 atm", Kind.PRESSURE, 101.325),
        ("900 hPa", Kind.PRESSURE, 90),
        ("50 lbs/sq. in.", Kind.PRESSURE, 344.738),
        ("100 N·cm", Kind.TORQUE, 1),
        ("1 kN·m", Kind.TORQUE, 1000),
        ("100 grains", Kind.MASS, 6.479891),
    ],
)
def test_further_units(text: str, kind: Kind, base: float) -> None:
    assert read_quantity(text, kind).magnitude == close(base, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "low", "high", "worn"),
    [
        ("new 0.02 to 0.05, replace over 0.10", 0.02, 0.05, (None, 0.10)),
        ("0.02-0.05 mm (limit 0.10 mm)", 0.02, 0.05, (None, 0.10)),
        ("0.02-0.05, service limit 0.10 mm", 0.02, 0.05, (None, 0.10)),
        ("35.20-35.30 mm, wear limit 35.00", 35.20, 35.30, (35.00, None)),
        ("35.20-35.30 mm, replace under 35.00 mm", 35.20, 35.30, (35.00, None)),
    ],
)
def test_two_tiers_in_one_figure(text: str, low: float, high: float, worn: tuple[float | None, float | None]) -> None:
    figure = read_figure(text, Kind.LENGTH, unit="mm")
    assert isinstance(figure.meant, Limits)
    assert figure.worn is not None
    assert (figure.meant.low, figure.meant.high) == (low, high)
    assert (figure.worn.low, figure.worn.high) == worn
    assert figure.conditions.tier is Tier.NEW


def test_the_unit_of_a_worn_limit_holds_for_the_new_part_too() -> None:
    figure = read_figure("0.001 to 0.002, limit 0.004 in", Kind.LENGTH, unit="mm")
    assert isinstance(figure.meant, Limits)
    assert figure.meant.low == close(0.0254)


@pytest.mark.parametrize("text", ["0.02-0.05 mm, limit 0.03 mm", "0.02-0.05 mm, replace over 0.04 mm"])
def test_a_worn_part_is_never_held_closer_than_a_new_one(text: str) -> None:
    with pytest.raises(NotationError, match="more closely"):
        read_figure(text, Kind.LENGTH)


@pytest.mark.parametrize(
    ("text", "turns", "windows"),
    [
        ("25 N·m, 90°, 90°", (90, 90), ()),
        ("25 N·m 90°", (90,), ()),
        ("25 N·m + 2 x 90°", (90, 90), ()),
        ("30 Nm + 90° ± 5°", (90,), ((85, 95),)),
        ("30 Nm + 65° to 75°", (70,), ((65, 75),)),
        ("30 Nm + 90° + 85°-95°", (90, 90), ((90, 90), (85, 95))),
        ("30 N·m + 90° (1/4 turn)", (90,), ()),
        ("28 Nm (20 ft lb) + 90° + 90°", (90, 90), ()),
        ("60+3/-2 N·m + 90°", (90,), ()),
    ],
)
def test_further_ways_to_write_turns(
    text: str, turns: tuple[float, ...], windows: tuple[tuple[float, float], ...]
) -> None:
    read = read_torque_turn(text)
    assert (read.turns_deg, read.windows_deg) == (turns, windows)
    again = read_torque_turn(write_spec(read))
    assert (again.turns_deg, again.windows_deg) == (turns, windows)


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("IN .008 EX .010 HOT", [("in", ".008 HOT"), ("ex", ".010 HOT")]),
        ("In: 0.20 mm Ex: 0.25 mm", [("in", "0.20 mm"), ("ex", "0.25 mm")]),
        ("Intake .008, exhaust .010 in.", [("in", ".008 in."), ("ex", ".010 in.")]),
        ("in: 0.20 to 0.25 mm; ex: 0.25 to 0.30 mm", [("in", "0.20 to 0.25 mm"), ("ex", "0.25 to 0.30 mm")]),
        ("0.02 mm; taper: at most 0.01 mm", [("", "0.02 mm"), ("taper", "at most 0.01 mm")]),
        ("Torque: 45 N·m", [("", "Torque: 45 N·m")]),
        ("0.20 in", [("", "0.20 in")]),
    ],
)
def test_figures_with_a_label_each(text: str, pieces: list[tuple[str, str]]) -> None:
    assert [(one.label, one.text.strip()) for one in split_labelled(text)] == pieces


def test_labelled_figures_are_refused_where_one_is_wanted() -> None:
    with pytest.raises(NotationError, match="holds 2 figures"):
        read_spec("IN .008 EX .010 HOT", Kind.LENGTH, unit="in")


def test_a_label_is_kept() -> None:
    figure = read_figure("Intake clearance: 0.20 mm cold", Kind.LENGTH)
    assert figure.label == "Intake clearance"


# --- Laws

KINDS = st.sampled_from(Kind)
ANY_UNIT = st.sampled_from(sorted(UNITS))
TYPED = st.decimals(0, 100_000, places=4, allow_nan=False).map(lambda number: f"{number:f}")
PIECES = st.sampled_from(
    [
        *".,+-±/:()[]<>≤≥°\"'½¾⁄…–− 0123456789",
        *("1/2", "0.18", "1,234", "mm", "in", "thou", "N·m", "ft-lb", "lb", "deg", "°C", "h", "min", "max", "at most"),
        *("at least", "to", "then", "between", "and", "qt", "mil", "1/min", "+/-", "..", "rpm", "%"),
        *("hot", "at 20 °C", "@ 2000 rpm", "with oil", "BTDC", "Ra", "Ø", "limit", "new", "replace over", "Stage 1:"),
        *(
            "slacken",
            "wait 5 min",
            "again",
            "plus",
            "x",
            "{",
            "}",
            "about",
            "IN",
            "EX",
            "gr",
            "or less",
            "=",
            "Torque:",
        ),
    ]
)
MESS = st.one_of(
    st.text(max_size=40), st.lists(PIECES, max_size=12).map("".join), st.lists(PIECES, max_size=12).map(" ".join)
)


@given(MESS, KINDS, st.sampled_from([".", ","]), st.one_of(st.none(), ANY_UNIT))
def test_reading_raises_nothing_but_its_own_error(text: str, kind: Kind, decimal: str, unit: str | None) -> None:
    for read in (read_quantity, read_spec, read_span):
        try:
            spec = read(text, kind, unit=unit, decimal=decimal)
        except NotationError:
            continue
        assert spec.text == text
        if isinstance(spec, Quantity):
            assert write_quantity(spec).strip()
            assert write_magnitude(spec.magnitude, spec.unit)
        else:
            assert write_spec(spec)


@given(MESS, KINDS, st.sampled_from([".", ","]), st.one_of(st.none(), ANY_UNIT))
def test_reading_a_figure_raises_nothing_but_its_own_error(
    text: str, kind: Kind, decimal: str, unit: str | None
) -> None:
    split_labelled(text)
    try:
        figure = read_figure(text, kind, unit=unit, decimal=decimal)
    except NotationError:
        return
    assert figure.text == text


@given(TYPED, TYPED, ANY_UNIT)
def test_a_figure_written_is_never_read_as_another(one: str, other: str, unit: str) -> None:
    kind = UNITS[unit].kind
    low, high = sorted(UNITS[unit].to_base(float(text)) for text in (one, other))
    written = [Limits(kind, low, None, None, unit, ""), Limits(kind, None, high, None, unit, "")]
    written += [Limits(kind, low, high, None, unit, "")] if low < high and kind is not Kind.NUMBER else []
    for limits in written:
        meant = read_figure(write_limits(limits), kind, unit=unit).meant
        assert isinstance(meant, Limits)
        for found, meant_to in ((meant.low, limits.low), (meant.high, limits.high)):
            assert found == (None if meant_to is None else close(meant_to, rel=1e-9, abs=1e-9))


@given(TYPED, ANY_UNIT)
def test_writing_then_reading_gives_the_same_magnitude(number: str, unit: str) -> None:
    kind = UNITS[unit].kind
    quantity = read_quantity(f"{number} {UNITS[unit].sign}".replace(" :", ":"), kind)
    again = read_quantity(write_magnitude(quantity.magnitude, quantity.unit), kind)
    assert again.magnitude == close(quantity.magnitude, rel=1e-9, abs=1e-9)
    assert read_quantity(write_quantity(quantity), kind) == quantity


@given(TYPED, TYPED, ANY_UNIT)
def test_limits_survive_writing_and_never_widen(one: str, other: str, unit: str) -> None:
    kind = UNITS[unit].kind
    low, high = sorted((one, other), key=float)
    limits = read_span(f"{low} to {high}", kind, unit=unit)
    if kind is Kind.NUMBER and limits.low is None:
        return  # “5 to 1” is a ratio, “1 to 5” a range: only the latter is meant here
    assert limits.low is not None
    assert limits.high is not None
    again = read_limits(write_limits(limits), kind, unit=unit)
    assert [again.low, again.high] == close([limits.low, limits.high], rel=1e-9, abs=1e-9)
    shown = second(limits)
    if shown and limits.low < limits.high:
        inner = read_limits(shown, kind)
        assert inner.low is not None
        assert inner.high is not None
        assert inner.low >= limits.low - 1e-9 * abs(limits.low) - 1e-9
        assert inner.high <= limits.high + 1e-9 * abs(limits.high) + 1e-9


@given(st.floats(0.0001, 100_000), st.floats(0, 1000), st.sampled_from(["mm", "in", "N·m", "lbf·ft", "psi", "kPa"]))
def test_computed_limits_never_widen_in_either_system(low: float, width: float, unit: str) -> None:
    kind = UNITS[unit].kind
    limits = Limits(kind, low, low + width, None, unit, "")
    for shown in (write_limits(limits), second(limits)) if width > 1e-6 * low else ():
        inner = read_limits(shown, kind)
        assert inner.low is not None
        assert inner.high is not None
        assert limits.low is not None
        assert limits.high is not None
        assert inner.low >= limits.low * (1 - 1e-9)
        assert inner.high <= limits.high * (1 + 1e-9)
        assert inner.high - inner.low >= 0.89 * width or shown == write_limits(limits)


@given(TYPED, st.sampled_from([(kind, spelling) for kind in Kind for spelling in sorted(SPELLINGS[kind])]))
def test_every_spelling_means_its_unit(number: str, spelled: tuple[Kind, str]) -> None:
    kind, spelling = spelled
    if spelling == "min1":
        spelling = "min-1"
    if spelling == ":1":
        number, spelling = f"{number}:1", ""
    quantity = read_quantity(f"{number} {spelling}", kind)
    unit = UNITS[quantity.unit]
    assert unit.kind is kind
    assert quantity.magnitude == unit.to_base(float(number.removesuffix(":1")))


def test_spec_types() -> None:
    assert isinstance(read_spec("25 N·m + 90°", Kind.TORQUE), TorqueTurn)
