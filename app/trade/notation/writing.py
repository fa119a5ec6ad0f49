"""Writing values, limits and tightenings as the trade does, also in the other system."""

import math
import re
from collections.abc import Callable
from decimal import Decimal

from app.trade.notation.tokens import ALIKE, LETTER
from app.trade.notation.words import take_asides
from app.trade.quantity import SYSTEMS, UNITS, Kind, Limits, Quantity, TorqueTurn, Unit


def write_quantity(q: Quantity) -> str:
    """The value as it was typed, with its unit added where none was typed."""
    alike = q.text.translate(ALIKE)
    if q.kind is Kind.NUMBER or _HAS_UNIT.search(take_asides(alike, q.kind).bare):
        return q.text
    if not _HAS_UNIT.search(alike):
        return _with_sign(q.text.strip(), UNITS[q.unit])
    # “0.34 hot” is 0.34 mm, hot
    end = max((match.end() for match in _FIGURE.finditer(alike)), default=len(alike))
    return f"{_with_sign(q.text[:end].strip(), UNITS[q.unit])}{q.text[end:].rstrip()}"


def write_magnitude(magnitude: float, unit_id: str) -> str:
    """A magnitude (base unit) in the unit named, with the digits it was given in, or as many as make sense."""
    return write_figure(UNITS[unit_id].from_base(magnitude), unit_id)


def write_figure(figure: float, unit_id: str) -> str:
    """A figure in the unit named, with the digits it was given in, or as many as make sense."""
    return _as_given(figure, UNITS[unit_id])


def write_limits(limits: Limits) -> str:
    """Limits as the trade writes them, in their own unit: “0.04 to 0.07 mm”, “at most 0.25 mm”, “0.10 ± 0.02 mm”."""
    unit = UNITS[limits.unit]
    if limits.low is None and limits.high is None:
        return "no limits" if limits.target is None else write_magnitude(limits.target, limits.unit)
    if limits.low is not None and limits.low == limits.high:
        only = write_magnitude(limits.low, limits.unit)
        return only if limits.kind is Kind.TORQUE else f"{only} to {only}"
    low, high, target = (_shown(value, unit.from_base) for value in (limits.low, limits.high, limits.target))
    return _around(low, high, target, unit) or _band(low, high, unit, None)


def write_spec(spec: Limits | TorqueTurn) -> str:
    """Limits as the trade writes them, or a torque with its turns: “25 N·m + 90°”."""
    return write_limits(spec) if isinstance(spec, Limits) else write_limits(spec.torque) + _turns(spec)


def second(spec: Quantity | Limits | TorqueTurn) -> str:
    """The same in the other system, limits rounded inward so no more can pass; empty for units both systems share."""
    if isinstance(spec, TorqueTurn):
        return second(spec.torque) + _turns(spec)
    values = [spec.magnitude] if isinstance(spec, Quantity) else [spec.low, spec.high, spec.target]
    unit = _other_unit(spec.unit, max((abs(value) for value in values if value is not None), default=0.0))
    if unit is None or all(value is None for value in values):
        return ""
    if isinstance(spec, Quantity):
        return _converted(unit.from_base(spec.magnitude), unit)
    low, high, target = (_shown(value, unit.from_base) for value in values)
    only = target if low is None and high is None else low if low == high else None
    return _band(low, high, unit, _usual_decimals(unit) + 2) if only is None else _converted(only, unit)


def difference(first: float, other: float, unit_id: str) -> str:
    """How far two magnitudes (base unit) of one kind are apart, in the unit named, without a sign."""
    # The zero of a scale cancels in a difference, so only the factor counts
    return _as_given(_apart(first, other) / UNITS[unit_id].factor, UNITS[unit_id])


_HAS_UNIT = re.compile(LETTER)
_FIGURE = re.compile(r"^[-+]?[0-9][0-9.,/ ]*(?<! )")
# A blank between figure and unit, except for signs that belong to the figure.
_CLOSE = {"deg", "1", ":1"}
_PLURALS = {"days": "day", "weeks": "week"}
# Fewest decimals of a figure below one, as the trade writes it: 0.10 mm, 0.010 in.
_AT_LEAST_DECIMALS = {"mm": 2, "in": 3}
# What a computed figure is rounded to, where it is not one decimal: about what a gauge in that unit is read to.
_USUAL_DECIMALS = dict.fromkeys(("mm", "cm", "m", "ft", "MPa", "bar", "L", "kgf·m", "kg", "h"), 2) | {"µin": 0, "in": 4}
_CLEAN_DIGITS = 9


def _usual_decimals(unit: Unit) -> int:
    return _USUAL_DECIMALS.get(unit.id, 1)


def joined_sign(unit: Unit) -> str:
    """The sign of a unit as it stands behind a figure, with its blank where it has one."""
    return unit.sign if unit.id in _CLOSE else f" {unit.sign}"


def _with_sign(figure: str, unit: Unit) -> str:
    return f"1 {_PLURALS[unit.id]}" if figure == "1" and unit.id in _PLURALS else f"{figure}{joined_sign(unit)}"


def _after_many(unit: Unit) -> str:
    """The unit after two figures; a ratio's “:1” would seem to belong to the last alone."""
    return "" if unit.id == ":1" else joined_sign(unit)


def _turns(spec: TorqueTurn) -> str:
    windows = spec.windows_deg or tuple((turn, turn) for turn in spec.turns_deg)
    return "".join(f" + {write_turn(low, high)}" for low, high in windows)


def write_turn(low: float, high: float) -> str:
    """A turn in degrees from low to high: “90°” where both are one, else “85° to 95°”."""
    ends = [write_magnitude(low, "deg"), write_magnitude(high, "deg")]
    return ends[0] if low == high else " to ".join(ends)


def _shown(value: float | None, convert: Callable[[float], float]) -> float | None:
    return None if value is None else convert(value)


def _single(value: float, decimals: int, unit: Unit) -> str:
    return _with_sign(_figure(value, decimals), unit)


def _as_given(value: float, unit: Unit) -> str:
    clean = _clean_decimals(value)
    return _single(value, _sensible_decimals(value, unit) if clean is None else _filled(clean, value, unit), unit)


def _converted(value: float, unit: Unit) -> str:
    """A converted figure, whole where it comes out even (3/8 in is 9.525 mm) but never with a tail of digits."""
    decimals = _sensible_decimals(value, unit)
    clean = _clean_decimals(value)
    return _single(value, decimals if clean is None else _filled(min(clean, decimals + 1), value, unit), unit)


def _figure(value: float, decimals: int) -> str:
    """The value in plain figures, never with an exponent and never as minus nothing."""
    if abs(value) >= 1e15:
        return f"{Decimal(f'{value:.12g}'):f}"
    text = f"{value:.{decimals}f}"
    return text if text.strip("-0.") else text.removeprefix("-")


def _sensible_decimals(value: float, unit: Unit) -> int:
    """Decimals for a computed figure: what the unit is read to, and three digits at least."""
    return max(_usual_decimals(unit), 2 - _exponent(value))


def _filled(decimals: int, value: float, unit: Unit) -> int:
    return max(decimals, _AT_LEAST_DECIMALS.get(unit.id, 0)) if 0 < abs(value) < 1 else decimals


def _exponent(value: float) -> int:
    """The power of ten of the first digit; nothing counts as one."""
    return math.floor(math.log10(abs(value))) if value else 0


def _clean_decimals(value: float) -> int | None:
    """How many decimals the value was given in, or None where it has more digits than anybody types."""
    for digits in range(1, _CLEAN_DIGITS + 1):
        short = f"{value:.{digits}g}"
        if abs(float(short) - value) <= 1e-10 * abs(value):
            exponent = Decimal(short).normalize().as_tuple().exponent
            return max(0, -int(exponent))
    return None


def _apart(first: float, other: float) -> float:
    """The size of a difference; what is below the twelfth digit of the figures is noise and left out."""
    apart = abs(first - other)
    return round(apart, 11 - _exponent(max(abs(first), abs(other)))) or apart


def _around(low: float | None, high: float | None, target: float | None, unit: Unit) -> str:
    """A target with its tolerance, where all of them are figures somebody may have typed; empty otherwise."""
    if low is None or high is None or target is None or not low <= target <= high:
        return ""
    plus, minus = _apart(high, target), _apart(target, low)
    clean = [count for count in map(_clean_decimals, (target, plus, minus)) if count is not None]
    if len(clean) < 3:
        return ""
    decimals = _filled(max(clean), target, unit)
    middle, above, below = (_figure(value, decimals) for value in (target, plus, minus))
    if above == below:
        return f"{middle} ± {above}{_after_many(unit)}"
    return f"{middle} +{above if plus else 0}/-{below if minus else 0}{_after_many(unit)}"


def _band(low: float | None, high: float | None, unit: Unit, most: int | None) -> str:
    """A range or a one-sided limit, rounded inward unless it comes out even (within `most` decimals)."""
    decimals = _even_decimals(low, high, unit, most)
    if decimals is None:
        decimals = _inward_decimals(low, high, unit)
    bottom = "" if low is None else _figure(_inward(low, decimals, math.ceil), decimals)
    top = "" if high is None else _figure(_inward(high, decimals, math.floor), decimals)
    if bottom and top and far_apart(unit.kind, float(bottom), float(top)):
        return f"at least {bottom}, at most {top}{_after_many(unit)}"
    if bottom and top:
        return f"{bottom} to {top}{_after_many(unit)}"
    return f"at least {_with_sign(bottom, unit)}" if bottom else f"at most {_with_sign(top, unit)}"


FAR = 20.0
_NEVER_FAR = {Kind.TEMPERATURE, Kind.ANGLE, Kind.TIME, Kind.SPEED, Kind.SHARE, Kind.NUMBER}


def far_apart(kind: Kind, low: float, high: float) -> bool:
    """Whether the ends of a range (one unit) are more than twenty times apart: written in words, and asked when read.

    Twenty is common practice: the widest ranges printed, of oil pressure and of roughness, stay below it.
    """
    return kind not in _NEVER_FAR and low > 0 and high > FAR * low * (1 + 1e-9)


def _even_decimals(low: float | None, high: float | None, unit: Unit, most: int | None) -> int | None:
    """The decimals that show every end exactly, or None."""
    found = []
    for end in (low, high):
        if end is not None:
            clean = _clean_decimals(end)
            if clean is None or (most is not None and clean > most):
                return None
            found.append(_filled(clean, end, unit))
    return max(found)


def _inward_decimals(low: float | None, high: float | None, unit: Unit) -> int:
    """So many decimals that rounding inward takes no more than a tenth of a band, or a fiftieth of a lone limit."""
    ends = [end for end in (low, high) if end is not None]
    spare = (ends[1] - ends[0]) / 10 if len(ends) == 2 else abs(ends[0]) / 50
    decimals = _usual_decimals(unit)
    finest = min(300, max(decimals, 11 - _exponent(max(map(abs, ends)))))
    while _lost(low, high, decimals) > spare and decimals < finest:
        decimals += 1
    return decimals


def _lost(low: float | None, high: float | None, decimals: int) -> float:
    bottom = 0.0 if low is None else _inward(low, decimals, math.ceil) - low
    top = 0.0 if high is None else high - _inward(high, decimals, math.floor)
    return bottom + top


def _inward(value: float, decimals: int, to_whole: Callable[[float], int]) -> float:
    """The value rounded up or down to some decimals; noise beyond twelve digits does not push it over."""
    scaled = float(f"{value * 10.0**decimals:.12g}")
    return to_whole(scaled) / 10.0**decimals


# --- The other system

_OTHER = {
    **dict.fromkeys(("mm", "cm"), "in"),
    **dict.fromkeys(("in", "thou"), "mm"),
    **{"m": "ft", "ft": "m", "km": "mi", "mi": "km", "µm": "µin", "µin": "µm"},
    **dict.fromkeys(("N·m", "daN·m", "kN·m", "N·cm", "kgf·m", "kgf·cm"), "lbf·ft"),
    **dict.fromkeys(("lbf·ft", "lbf·in", "ozf·in"), "N·m"),
    **dict.fromkeys(("kPa", "Pa", "MPa", "bar", "mbar", "atm", "kgf/cm²"), "psi"),
    **{"mmHg": "inHg", "inHg": "kPa", "inH2O": "kPa", "grains": "g"},
    **{"psi": "kPa", "mL": "in³", "L": "US qt", "in³": "mL", "US fl oz": "mL", "imp fl oz": "mL"},
    **dict.fromkeys(("US pt", "US qt", "US gal", "imp pt", "imp qt", "imp gal"), "L"),
    **{"°C": "°F", "°F": "°C", "g": "oz", "kg": "lb", "oz": "g", "lb": "kg"},
    **dict.fromkeys(("N", "kN", "kgf"), "lbf"),
    "lbf": "N",
}
# Below this the trade says inch-pounds, and a foot-pound wrench is out of its range.
_SMALL_TORQUE_NM = 20.0


def in_system(unit_id: str, system: str) -> str:
    """The unit of a system, metric or inch, the trade has for this one; itself where it belongs to it, or to both."""
    if unit_id not in UNITS or UNITS[unit_id].system in (system, "both") or system not in SYSTEMS:
        return unit_id
    return _OTHER.get(unit_id, unit_id)


def _other_unit(unit_id: str, size: float) -> Unit | None:
    other = _OTHER.get(unit_id)
    if other == "lbf·ft" and size < _SMALL_TORQUE_NM:
        other = "lbf·in"
    return None if other is None else UNITS[other]
