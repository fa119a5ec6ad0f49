"""A person's own question what a value is in another unit, worked by pint from its own definitions.

What the sheet shows in the other system goes by the factors of `quantity` and never loads pint, whose registry takes a
quarter of a second with the import. The tests hold each factor against it. Pint never sees typed text.
"""

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING

from app.trade.quantity import UNITS, Quantity

if TYPE_CHECKING:
    from pint import UnitRegistry

PINT_NAMES: Mapping[str, str] = {
    **{"mm": "millimeter", "cm": "centimeter", "m": "meter", "km": "kilometer", "µm": "micrometer"},
    **{"in": "inch", "thou": "thou", "µin": "microinch", "ft": "foot", "mi": "mile"},
    **{"N·m": "newton * meter", "daN·m": "decanewton * meter", "kgf·m": "kilogram_force * meter"},
    **{"kgf·cm": "kilogram_force * centimeter", "lbf·ft": "pound_force * foot", "lbf·in": "pound_force * inch"},
    **{"ozf·in": "ounce_force * inch", "kPa": "kilopascal", "Pa": "pascal", "MPa": "megapascal", "bar": "bar"},
    **{"kN·m": "kilonewton * meter", "N·cm": "newton * centimeter", "mbar": "millibar", "atm": "standard_atmosphere"},
    **{"mmHg": "millimeter_Hg", "inHg": "inch_Hg", "inH2O": "inch_H2O", "grains": "grain"},
    **{"kgf/cm²": "kilogram_force / centimeter ** 2", "psi": "pound_force / inch ** 2"},
    **{"mL": "milliliter", "L": "liter", "in³": "inch ** 3", "US fl oz": "fluid_ounce", "US pt": "pint"},
    **{"US qt": "quart", "US gal": "gallon", "imp fl oz": "imperial_fluid_ounce", "imp pt": "imperial_pint"},
    **{"imp qt": "imperial_quart", "imp gal": "imperial_gallon", "°C": "degree_Celsius", "°F": "degree_Fahrenheit"},
    **{"deg": "degree", "turn": "turn", "g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound"},
    **{"s": "second", "min": "minute", "h": "hour", "days": "day", "weeks": "week", "N": "newton", "kN": "kilonewton"},
    **{"kgf": "kilogram_force", "lbf": "pound_force", "rpm": "revolutions_per_minute", "%": "percent"},
    **{"1": "dimensionless", ":1": "dimensionless"},
}
# The zero of a scale leaves noise that would stand out near 0 °F; nobody reads a billionth of a degree
_DECIMALS_OF_A_SCALE = 9


@cache
def registry() -> "UnitRegistry[float]":
    """Pint's registry, built once and only when a person asks for a conversion."""
    from pint import UnitRegistry

    return UnitRegistry()


def convert(value: Quantity, unit_id: str) -> float:
    """The value as a figure in another unit of its kind, by pint; raises KeyError for a unit nobody knows."""
    given = registry().Quantity(UNITS[value.unit].from_base(value.magnitude), PINT_NAMES[value.unit])
    figure = float(given.to(PINT_NAMES[unit_id]).magnitude)
    return round(figure, _DECIMALS_OF_A_SCALE) + 0.0 if UNITS[unit_id].offset else figure
