"""Conversion factors against NIST SP 811, printed manuals and pint."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.conversion import PINT_NAMES, convert, registry
from app.trade.notation import read_quantity
from app.trade.quantity import BASE_UNITS, UNITS, Kind, Quantity, Unit

NIST = "NIST SP 811 appendix B.8, as transcribed in the public repository cran/NISTunits, R/NISTfactors.R 1.0.1 (read)"
EXACT = "exact definitions: inch 25.4 mm, pound-force 4.4482216152605 N, kilogram-force 9.80665 N (from memory)"
PAGE = "conversion page of a repair-manual site (read)"
TM_669 = "US Army TM 10-3930-669-20 table E-1, head screw preload (read)"
TM_305 = "US Army TM 5-3810-305-23, torque wrench adapter example (read)"
TM_238 = "US Army TM 10-6640-238-13 table G-1, Grade 5 (read)"
TM_362 = "US Army TM 9-2320-362-14&P table F-1 (read)"
TM_251 = "US Army TM 55-2840-251-23 table E-1, where the unit is printed kg/m (read)"


# number, unit, printed number, printed unit, half of what the source rounds to, source
PUBLISHED = [
    (1, "lbf·ft", 1.355818, "N·m", 1e-6, NIST),
    (1, "lbf·in", 0.1129848, "N·m", 1e-7, NIST),
    (1, "kgf·m", 9.80665, "N·m", 1e-9, NIST),
    (1, "ozf·in", 0.007061552, "N·m", 1e-9, NIST),
    (1, "thou", 0.0254, "mm", 1e-12, NIST),
    (1, "psi", 6894.757, "Pa", 1e-3, NIST),
    (1, "bar", 100_000, "Pa", 1e-9, NIST),
    (1, "US qt", 0.9463529, "L", 1e-7, NIST),
    (1, "imp qt", 1.137, "L", 0.0005, PAGE),
    (29, "psi", 1.9995, "bar", 1e-4, EXACT),
    (1, "lbf·ft", 1.3558179483314004, "N·m", 1e-15, EXACT),
    (1, "lbf·in", 0.1129848290276167, "N·m", 1e-16, EXACT),
    (1, "ozf·in", 0.0070615518142260435, "N·m", 1e-17, EXACT),
    (1, "psi", 6894.757293168361, "Pa", 1e-11, EXACT),
    (1, "US qt", 0.946352946, "L", 1e-12, EXACT),
    (1, "imp qt", 1.1365225, "L", 1e-12, EXACT),
    (29.5, "lbf·ft", 40, "N·m", 0.51, TM_669),
    (300, "lbf·ft", 407, "N·m", 0.51, TM_305),
    (225, "lbf·ft", 305, "N·m", 0.51, TM_305),
    (270, "lbf·ft", 366, "N·m", 0.51, TM_238),
    (75, "lbf·ft", 102, "N·m", 0.51, TM_238),
    (185, "lbf·ft", 251, "N·m", 0.51, TM_362),
    (140, "lbf·ft", 19.4, "kgf·m", 0.05, TM_251),
    (150, "lbf·ft", 20.7, "kgf·m", 0.05, TM_251),
    (240, "lbf·ft", 33.2, "kgf·m", 0.05, TM_251),
]


@pytest.mark.parametrize(("number", "unit", "printed", "printed_unit", "half", "source"), PUBLISHED)
def test_published_conversions(
    number: float, unit: str, printed: float, printed_unit: str, half: float, source: str
) -> None:
    quantity = read_quantity(f"{number} {unit}", UNITS[unit].kind)
    assert UNITS[printed_unit].from_base(quantity.magnitude) == pytest.approx(printed, rel=1e-15, abs=half), source


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda unit: unit.id)
def test_every_factor_is_pints(unit: Unit) -> None:
    quantity = registry().Quantity(1000.0, PINT_NAMES[unit.id]).to(PINT_NAMES[BASE_UNITS[unit.kind]])
    # rel 1e-12: both hold the exact definitions and differ in float rounding only
    assert unit.to_base(1000.0) == pytest.approx(float(quantity.magnitude), rel=1e-12)


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda unit: unit.id)
def test_every_unit_has_the_dimension_of_its_kind(unit: Unit) -> None:
    here, base = (registry().Unit(PINT_NAMES[id_]).dimensionality for id_ in (unit.id, BASE_UNITS[unit.kind]))
    assert here == base


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(UNITS)))
def test_there_and_back(number: float, unit_id: str) -> None:
    unit = UNITS[unit_id]
    assert unit.from_base(unit.to_base(number)) == pytest.approx(number, rel=1e-12, abs=1e-9)


def test_water_boils_and_freezes_where_both_scales_say() -> None:
    # Celsius and Fahrenheit fixed points, common knowledge
    for fahrenheit, celsius in ((32, 0), (212, 100), (-40, -40)):
        assert read_quantity(f"{fahrenheit} °F", Kind.TEMPERATURE).magnitude == pytest.approx(celsius, abs=1e-12)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(UNITS)), st.data())
def test_what_a_person_asks_and_what_the_sheet_shows_are_the_same(
    number: float, given_in: str, data: st.DataObject
) -> None:
    kind = UNITS[given_in].kind
    asked = data.draw(st.sampled_from([one.id for one in UNITS.values() if one.kind is kind]))
    value = Quantity(kind, UNITS[given_in].to_base(number), given_in, f"{number} {given_in}")
    assert convert(value, asked) == pytest.approx(UNITS[asked].from_base(value.magnitude), rel=1e-12, abs=1e-9)


def test_a_converted_temperature_has_no_noise_and_no_sign_at_zero() -> None:
    zero = read_quantity("0 °F", Kind.TEMPERATURE)
    assert str(convert(zero, "°F")) == "0.0"
    assert convert(read_quantity("-40 °C", Kind.TEMPERATURE), "°F") == -40.0
