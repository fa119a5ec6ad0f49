"""Quantities, limits and the closed table of units and their spellings.

A magnitude is always held in the base unit of its kind: mm, N·m, kPa, mL, °C, degrees, g, s, N, rpm, % or a bare 1.
Factors are the exact definitions behind NIST SP 811: inch 25.4 mm, lbf 4.4482216152605 N, kgf 9.80665 N, grain
0.06479891 g, atmosphere 101.325 kPa, and the conventional columns of mercury (13.5951 g/cm³) and water (1 g/cm³).
"""

from collections.abc import Iterable, Mapping
from enum import Enum
from types import MappingProxyType

from msgspec import Struct


class Kind(Enum):
    """What is measured."""

    LENGTH = "length"
    TORQUE = "torque"
    PRESSURE = "pressure"
    VOLUME = "volume"
    TEMPERATURE = "temperature"
    ANGLE = "angle"
    MASS = "mass"
    TIME = "time"
    FORCE = "force"
    SPEED = "speed"
    SHARE = "share"
    NUMBER = "number"


class Unit(Struct, frozen=True):
    """A unit: base = (shown - offset) x factor. `sign` is how it is shown, `system` is metric, inch or both."""

    id: str
    sign: str
    kind: Kind
    factor: float
    offset: float
    system: str

    def to_base(self, shown: float) -> float:
        """The figure in the base unit of the kind."""
        return (shown - self.offset) * self.factor

    def from_base(self, magnitude: float) -> float:
        """The figure in this unit, from one in the base unit."""
        shown = magnitude / self.factor + self.offset
        # Adding the zero of a scale leaves noise that would stand out near 0 °F; nobody reads a billionth of a degree
        return round(shown, 9) if self.offset else shown


class Quantity(Struct, frozen=True):
    """One value: magnitude in the base unit of the kind, the unit it was given in, and the text exactly as typed."""

    kind: Kind
    magnitude: float
    unit: str
    text: str


class Limits(Struct, frozen=True):
    """What a reading must meet, in the base unit of the kind; a side that is None is open.

    A target without low and high is a wish nothing can be judged by.
    """

    kind: Kind
    low: float | None
    high: float | None
    target: float | None
    unit: str
    text: str

    @property
    def middle(self) -> float | None:
        """What is aimed at, in the base unit: the target, else the middle of the limits, else the one there is."""
        if self.target is not None:
            return self.target
        ends = [end for end in (self.low, self.high) if end is not None]
        return sum(ends) / len(ends) if ends else None


class TorqueTurn(Struct, frozen=True):
    """A torque followed by one or more turns, in degrees, each a pass of its own.

    `windows_deg` is the low and high end of each turn where any has a tolerance, else empty.
    """

    torque: Limits
    turns_deg: tuple[float, ...]
    text: str
    windows_deg: tuple[tuple[float, float], ...] = ()


_INCH_MM = 25.4
_FOOT_MM = 12 * _INCH_MM
_POUND_G = 453.59237
_LBF_N = 4.4482216152605
_KGF_N = 9.80665
# Pascals under one millimetre of the column: density in g/cm³ x 9.80665 m/s².
_MERCURY_PA = 13.5951 * 9.80665
_WATER_PA = 9.80665
_CUBIC_INCH_ML = 16.387064
_US_GALLON_ML = 231 * _CUBIC_INCH_ML
_IMPERIAL_GALLON_ML = 4546.09
_METRIC, _INCH, _BOTH = "metric", "inch", "both"
SYSTEMS = (_METRIC, _INCH)

# id, factor to the base unit, system. The id is also the sign, except where a row of _SIGNS says otherwise.
_TABLE: Mapping[Kind, tuple[tuple[str, float, str], ...]] = {
    Kind.LENGTH: (
        ("mm", 1.0, _METRIC),
        ("cm", 10.0, _METRIC),
        ("m", 1000.0, _METRIC),
        ("km", 1_000_000.0, _METRIC),
        ("µm", 0.001, _METRIC),
        ("in", _INCH_MM, _INCH),
        ("thou", _INCH_MM / 1000, _INCH),
        ("µin", _INCH_MM / 1_000_000, _INCH),
        ("ft", _FOOT_MM, _INCH),
        ("mi", 5280 * _FOOT_MM, _INCH),
    ),
    Kind.TORQUE: (
        ("N·m", 1.0, _METRIC),
        ("daN·m", 10.0, _METRIC),
        ("kN·m", 1000.0, _METRIC),
        ("N·cm", 0.01, _METRIC),
        ("kgf·m", _KGF_N, _METRIC),
        ("kgf·cm", _KGF_N / 100, _METRIC),
        ("lbf·ft", _LBF_N * _FOOT_MM / 1000, _INCH),
        ("lbf·in", _LBF_N * _INCH_MM / 1000, _INCH),
        ("ozf·in", _LBF_N / 16 * _INCH_MM / 1000, _INCH),
    ),
    Kind.PRESSURE: (
        ("kPa", 1.0, _METRIC),
        ("Pa", 0.001, _METRIC),
        ("MPa", 1000.0, _METRIC),
        ("bar", 100.0, _METRIC),
        ("mbar", 0.1, _METRIC),
        ("atm", 101.325, _METRIC),
        ("mmHg", _MERCURY_PA / 1000, _METRIC),
        ("kgf/cm²", _KGF_N * 10, _METRIC),
        ("psi", _LBF_N / _INCH_MM**2 * 1000, _INCH),
        ("inHg", _MERCURY_PA * _INCH_MM / 1000, _INCH),
        ("inH2O", _WATER_PA * _INCH_MM / 1000, _INCH),
    ),
    Kind.VOLUME: (
        ("mL", 1.0, _METRIC),
        ("L", 1000.0, _METRIC),
        ("in³", _CUBIC_INCH_ML, _INCH),
        ("US fl oz", _US_GALLON_ML / 128, _INCH),
        ("US pt", _US_GALLON_ML / 8, _INCH),
        ("US qt", _US_GALLON_ML / 4, _INCH),
        ("US gal", _US_GALLON_ML, _INCH),
        ("imp fl oz", _IMPERIAL_GALLON_ML / 160, _INCH),
        ("imp pt", _IMPERIAL_GALLON_ML / 8, _INCH),
        ("imp qt", _IMPERIAL_GALLON_ML / 4, _INCH),
        ("imp gal", _IMPERIAL_GALLON_ML, _INCH),
    ),
    Kind.TEMPERATURE: (("°C", 1.0, _METRIC), ("°F", 5 / 9, _INCH)),
    Kind.ANGLE: (("deg", 1.0, _BOTH), ("turn", 360.0, _BOTH)),
    Kind.MASS: (
        ("g", 1.0, _METRIC),
        ("kg", 1000.0, _METRIC),
        ("grains", 0.06479891, _INCH),
        ("oz", _POUND_G / 16, _INCH),
        ("lb", _POUND_G, _INCH),
    ),
    Kind.TIME: (
        ("s", 1.0, _BOTH),
        ("min", 60.0, _BOTH),
        ("h", 3600.0, _BOTH),
        ("days", 86400.0, _BOTH),
        ("weeks", 604800.0, _BOTH),
    ),
    Kind.FORCE: (("N", 1.0, _METRIC), ("kN", 1000.0, _METRIC), ("kgf", _KGF_N, _METRIC), ("lbf", _LBF_N, _INCH)),
    Kind.SPEED: (("rpm", 1.0, _BOTH),),
    Kind.SHARE: (("%", 1.0, _BOTH),),
    Kind.NUMBER: (("1", 1.0, _BOTH), (":1", 1.0, _BOTH)),
}
_SIGNS = {"deg": "°", "1": "", "mmHg": "mm Hg", "inHg": "in Hg", "inH2O": "in H2O"}
_OFFSETS = {"°F": 32.0}

UNITS: Mapping[str, Unit] = MappingProxyType(
    {
        id_: Unit(id_, _SIGNS.get(id_, id_), kind, factor, _OFFSETS.get(id_, 0.0), system)
        for kind, rows in _TABLE.items()
        for id_, factor, system in rows
    }
)
BASE_UNITS: Mapping[Kind, str] = MappingProxyType({kind: rows[0][0] for kind, rows in _TABLE.items()})


def _either_way(firsts: str, seconds: str) -> str:
    """Every spelling of two words run together in either order: a torque is said “ft-lb” and “lb-ft” alike."""
    pairs = [(first, second) for first in firsts.split() for second in seconds.split()]
    return " ".join([first + second for first, second in pairs] + [second + first for first, second in pairs])


_POUND = "lb lbs lbf pound pounds poundforce poundsforce"
_FOOT = "ft foot feet"
_INCHES = "in ins inch inches"
_KILO = "kg kgf kp kilogram kilograms kilogramforce kilopond"

# Spellings as they stand after spaces, dots, hyphens and capitals are taken out (“ft. lbs.” is ftlbs).
_SPELLINGS: Mapping[Kind, Mapping[str, str]] = {
    Kind.LENGTH: {
        "mm": "mm millimetre millimetres millimeter millimeters",
        "cm": "cm centimetre centimetres centimeter centimeters",
        "m": "m metre metres meter meters",
        "km": "km kms kilometre kilometres kilometer kilometers",
        "µm": "µm um micron microns micrometre micrometres micrometer micrometers",
        "in": f"{_INCHES} \" ''",
        "thou": "thou thous thousandth thousandths",
        "µin": "µin uin microinch microinches",
        "ft": f"{_FOOT} '",
        "mi": "mi mile miles",
    },
    Kind.TORQUE: {
        "N·m": "nm newtonm newtonmetre newtonmetres newtonsmetres newtonmeter newtonmeters newtonsmeters",
        "daN·m": _either_way("dan", "m"),
        "kN·m": "knm kilonewtonmetre kilonewtonmetres kilonewtonmeter kilonewtonmeters",
        "N·cm": "ncm newtoncentimetre newtoncentimetres newtoncentimeter newtoncentimeters",
        "kgf·m": "kpm mkp " + _either_way(_KILO, "m metre metres meter meters"),
        "kgf·cm": _either_way(_KILO, "cm centimetre centimetres centimeter centimeters"),
        "lbf·ft": _either_way(_POUND, _FOOT),
        "lbf·in": _either_way(_POUND, _INCHES),
        "ozf·in": _either_way("oz ozs ozf ounce ounces ounceforce", _INCHES),
    },
    Kind.PRESSURE: {
        "kPa": "kpa kilopascal kilopascals",
        "Pa": "pa pascal pascals",
        "MPa": "mpa megapascal megapascals n/mm2",
        "bar": "bar bars",
        "mbar": "mbar mbars millibar millibars hpa",
        "atm": "atm atms atmosphere atmospheres",
        "mmHg": "mmhg mmofhg mmofmercury",
        "inHg": 'inhg inshg inchhg incheshg inofhg inchesofhg inchesofmercury inchofmercury "hg',
        "inH2O": 'inh2o inchh2o inchesh2o inofh2o inchesofwater inchofwater inwater "h2o',
        "kgf/cm²": "kgf/cm2 kg/cm2 kp/cm2",
        "psi": "psi psig lbf/in2 lb/in2 lbs/in2 lbf/sqin lb/sqin lbs/sqin lbsqin lbssqin poundspersquareinch",
    },
    Kind.VOLUME: {
        "mL": "ml cc ccs ccm cm3 cucm millilitre millilitres milliliter milliliters",
        "L": "l ltr ltrs litre litres liter liters dm3",
        "in³": "in3 cuin cuins ci cid cubicinch cubicinches",
    },
    Kind.TEMPERATURE: {
        "°C": "°c c ℃ degc degsc degreec degreesc celsius degreescelsius °celsius",
        "°F": "°f f ℉ degf degsf degreef degreesf fahrenheit degreesfahrenheit °fahrenheit",
    },
    Kind.ANGLE: {"deg": "° deg degs degree degrees", "turn": "turn turns"},
    Kind.MASS: {
        "g": "g gram grams gramme grammes",
        "kg": "kg kgs kilo kilos kilogram kilograms",
        "grains": "grain grains",
        "oz": "oz ozs ounce ounces",
        "lb": "lb lbs pound pounds",
    },
    Kind.TIME: {
        "s": "s sec secs second seconds",
        "min": "min mins minute minutes",
        "h": "h hr hrs hour hours",
        "days": "d day days",
        "weeks": "wk wks week weeks",
    },
    Kind.FORCE: {
        "N": "n newton newtons",
        "kN": "kn kilonewton kilonewtons",
        "kgf": "kgf kp kilopond kiloponds kilogramforce",
        "lbf": _POUND,
    },
    Kind.SPEED: {"rpm": "rpm r/min rev/min revs/min 1/min /min min1 revolutionsperminute"},
    Kind.SHARE: {"%": "% pct percent"},
    Kind.NUMBER: {"1": "mm/mm in/in", ":1": ":1"},
}
_VESSELS = {
    "fl oz": "floz fluidounce fluidounces",
    "pt": "pt pts pint pints",
    "qt": "qt qts quart quarts",
    "gal": "gal gals gallon gallons",
}
_COUNTRIES = {"US": "us usa usliquid", "imp": "imp imperial uk"}


def _vessels() -> Iterable[tuple[str, str]]:
    for vessel, names in _VESSELS.items():
        for country, before in _COUNTRIES.items():
            for word in before.split():
                for name in names.split():
                    yield word + name, f"{country} {vessel}"
                    yield name + word, f"{country} {vessel}"


def _spelled(kind: Kind) -> Mapping[str, str]:
    # casefold makes the micro sign and the Greek letter mu one and the same
    found = {word.casefold(): id_ for id_, words in _SPELLINGS[kind].items() for word in words.split()}
    return found | dict(_vessels()) if kind is Kind.VOLUME else found


SPELLINGS: Mapping[Kind, Mapping[str, str]] = MappingProxyType({kind: _spelled(kind) for kind in Kind})

# A grain is a fifteenth of a gram: which one “gr” means has to be asked.
TWO_MASSES: Mapping[str, tuple[str, str]] = MappingProxyType(dict.fromkeys(("gr", "grs"), ("g", "grains")))
# Said without a country these differ by a fifth: which one is meant has to be asked.
TWO_COUNTRIES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {name: (f"US {vessel}", f"imp {vessel}") for vessel, names in _VESSELS.items() for name in names.split()}
)

_NOT_A_TORQUE = "is not a torque but one thing divided by another: did you mean {}?"
# Spellings people do use for something, but that cannot be trusted to mean it.
REFUSED: Mapping[tuple[Kind, str], str] = MappingProxyType(
    {
        (Kind.LENGTH, mil): "is a thousandth of an inch to some and a millimetre to others: write thou or mm."
        for mil in ("mil", "mils")
    }
    | {
        (Kind.TORQUE, f"{first}/{second}"): _NOT_A_TORQUE.format(meant)
        for firsts, seconds, meant in (
            (_POUND, _INCHES, "lbf·in (in-lb)"),
            (_INCHES, _POUND, "lbf·in (in-lb)"),
            (_POUND, _FOOT, "lbf·ft (ft-lb)"),
            (_FOOT, _POUND, "lbf·ft (ft-lb)"),
            (_KILO, "m metre meter", "kgf·m"),
            (_KILO, "cm", "kgf·cm"),
            ("n newton newtons", "m metre meter", "N·m"),
            ("oz ozf ounces", _INCHES, "ozf·in"),
        )
        for first in firsts.split()
        for second in seconds.split()
    }
    # The pressure of a thousandth of a pascal does not occur in an engine; the capital was forgotten, or k was meant.
    | {(Kind.PRESSURE, "mPa"): "is a thousandth of a pascal: did you mean MPa or kPa?"}
)
