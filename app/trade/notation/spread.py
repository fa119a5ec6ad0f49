"""From figures and the marks between them to limits, and the same figure in two systems held against itself."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from app.trade.notation.amounts import Amount, Item
from app.trade.notation.refusal import WANTED, Ambiguous, Ask, NotationError, short, unreadable
from app.trade.notation.writing import FAR, far_apart, joined_sign, write_figure, write_magnitude
from app.trade.quantity import Kind, Unit

# Heights and clearances may stand proud, dishes and domes have either sign, a gauge may read below the air's pressure.
_SIGNED = {Kind.LENGTH, Kind.VOLUME, Kind.TEMPERATURE, Kind.ANGLE, Kind.PRESSURE, Kind.NUMBER}


class Given(NamedTuple):
    """A figure with its unit and the half of its last digit, in that unit."""

    value: float
    half: float
    unit: Unit
    text: str


class Point(NamedTuple):
    """A figure in the base unit, with half of what its last digit may have been rounded by, and as it was typed.

    `coarse` is that half where the figure was rounded to fives or tens, or to the fraction.
    """

    base: float
    half: float
    coarse: float
    text: str


class Spread(NamedTuple):
    """The ends and the target of a figure, each where it is said, and the unit."""

    low: Point | None
    high: Point | None
    target: Point | None
    unit: Unit


_RANGES = {"n-n", "ntn", "fntn", "fn-n", "bn&n", "nrn", "n/n"}
_TOLERANCES = {"n±n": (1, 1), "n+n/-n": (1, 2), "n+n-n": (1, 2), "n-n/+n": (2, 1), "n-n+n": (2, 1)}
# One tolerance of a pair printed one above the other, the bare one nothing: 86.00 +0.02 0.
_STACKED = {"n+nn": (1, 2), "n-nn": (2, 1), "nn-n": (1, 2), "nn+n": (2, 1), "n+n/n": (1, 2), "n-n/n": (2, 1)}
_BOUNDS = re.compile(r"(?:[<>LG]n[,;&]?){1,2}|(?:n[<>lg][,;&]?){1,2}")
_HOW_MUCH = re.compile(r"nn?[LG]")


def shape_of(items: Sequence[Item]) -> str:
    """The make of a figure as one letter for each number and mark."""
    return "".join(item if isinstance(item, str) else "n" for item in items)


def spread(items: Sequence[Item], ask: Ask) -> Spread:
    """What the figures and the marks between them say, told by their order. Raises NotationError or Ambiguous."""
    shape = shape_of(items)
    _check_shape(shape, ask)
    figures = with_units([item for item in items if isinstance(item, Amount)], ask.unit, ask)
    _check_kinds(figures, ask.kind)
    if shape == "n":
        return checked(Spread(None, None, _point(figures[0]), figures[0].unit), ask)
    if shape in _RANGES:
        return _range(figures[0], figures[1], ask)
    if shape in _TOLERANCES:
        plus, minus = _TOLERANCES[shape]
        return checked(_tolerance(figures[0], figures[plus], figures[minus]), ask)
    if shape in _STACKED and figures[1 if shape[1] == "n" else 2].value == 0:
        plus, minus = _STACKED[shape]
        return checked(_tolerance(figures[0], figures[plus], figures[minus]), ask)
    if _BOUNDS.fullmatch(shape):
        return checked(_bounds([_SIDES[mark] for mark in shape if mark in _SIDES], figures, ask), ask)
    if "nn" in shape:
        raise _side_by_side(ask)
    if ask.kind is Kind.TORQUE and shape.startswith("n+n"):
        raise NotationError(
            f"“{short(ask.text)}” adds a figure without saying what: give turns in degrees, such as 25 N·m + 90°."
        )
    raise unreadable(ask)


_SIDES = {"<": "<", "L": "<", "l": "<", ">": ">", "G": ">", "g": ">"}


def _check_shape(shape: str, ask: Ask) -> None:
    if "n" not in shape:
        raise unreadable(ask)
    if "nn" in shape and shape not in _STACKED:
        raise _side_by_side(ask)
    if _HOW_MUCH.fullmatch(shape):
        raise NotationError(
            f"“{short(ask.text)}” says by how much, which is no limit: write the size, or the word before the figure."
        )


def _side_by_side(ask: Ask) -> NotationError:
    return NotationError(f"“{short(ask.text)}” has two numbers side by side: write one number, without spaces inside.")


def _check_kinds(figures: Sequence[Given], kind: Kind) -> None:
    for figure in figures:
        if figure.unit.kind is not kind:
            other = WANTED[figure.unit.kind].noun
            raise NotationError(f"“{_said(figure)}” is {other}, not {WANTED[kind].noun}: leave it out.")


def with_units(amounts: Sequence[Amount], default: Unit | None, ask: Ask) -> list[Given]:
    """A figure without a unit has that of the next one that has it, or of the last one, or the default."""
    said = [amount.unit for amount in amounts if amount.unit is not None]
    following = said[-1] if said else default
    if following is None:
        wanted = WANTED[ask.kind]
        raise NotationError(f"“{short(ask.text)}” has no unit: add {wanted.units}.")
    figures: list[Given] = []
    for amount in reversed(amounts):
        following = amount.unit or following
        figures.append(Given(amount.value, amount.half, following, amount.text))
    return figures[::-1]


def _point(figure: Given) -> Point:
    factor = figure.unit.factor
    return Point(figure.unit.to_base(figure.value), figure.half * factor, _coarse_half(figure) * factor, _said(figure))


def _coarse_half(figure: Given) -> float:
    """Half of what a figure may have been rounded to where somebody rounds to fives, to tens or to a fraction."""
    digits = figure.text.lstrip("+-")
    if "/" in digits:
        under = digits.rpartition("/")[2].strip()
        return 0.5 / int(under) if under.isdigit() and int(under) else figure.half
    if not digits.isdigit() or len(digits) < 2:
        return figure.half
    return max(figure.half, {"0": 5.0, "5": 2.5}.get(digits[-1], 0.5))


def _said(figure: Given) -> str:
    return f"{figure.text}{joined_sign(figure.unit)}"


def _tolerance(target: Given, plus: Given, minus: Given) -> Spread:
    """Limits either side of a target; a tolerance is a difference, so a temperature's zero does not count in it."""
    middle = _point(target)
    ends = []
    for side, part in ((-1, minus), (1, plus)):
        half, sign = part.half * part.unit.factor, "-+"[side > 0]
        base = _tidy(middle.base + side * part.value * part.unit.factor)
        ends.append(Point(base, middle.half + half, middle.coarse + half, f"{target.text} {sign} {_said(part)}"))
    return Spread(ends[0], ends[1], middle, target.unit)


def _tidy(value: float) -> float:
    """The value without the noise of adding floats: 0.15 - 0.05 is 0.1 and not 0.09999999999999999."""
    return float(f"{value:.12g}")


def _range(first: Given, second: Given, ask: Ask) -> Spread:
    found = checked(Spread(_point(first), _point(second), None, first.unit), ask)
    low, high = found.low, found.high
    if low and high and far_apart(ask.kind, low.base, high.base) and not ask.scale:
        raise _far(first, second, ask)
    return found


def _far(first: Given, second: Given, ask: Ask) -> Ambiguous:
    """A mark was lost, as in 0.04 to 0.7 mm; or so wide a band is meant, which can be said in two words."""
    sign = joined_sign(second.unit)
    shown = second.unit.from_base(first.unit.to_base(first.value))
    other = second.value
    while other > FAR * shown:
        other /= 10
    if other <= shown:
        other = second.value
        while other > FAR * shown:
            shown *= 10
    low, high = (write_figure(value, second.unit.id).removesuffix(sign) for value in (shown, other))
    wide = f"at least {_said(first)}, at most {_said(second)}".replace("  ", " ")
    choices = (wide, f"{low} to {high}{sign}".replace(".", ask.decimal))
    return Ambiguous(
        f"“{short(ask.text)}” has ends more than twenty times apart: write {choices[0]}, or check where its mark "
        f"belongs, such as {choices[1]}.",
        ask.text,
        choices,
    )


def _bounds(marks: Sequence[str], figures: Sequence[Given], ask: Ask) -> Spread:
    if len(set(marks)) != len(marks):
        raise NotationError(f"“{short(ask.text)}” sets the same limit twice: write it once.")
    points = dict(zip(marks, map(_point, figures), strict=True))
    return Spread(points.get(">"), points.get("<"), None, figures[0].unit)


def checked(found: Spread, ask: Ask) -> Spread:
    """The spread itself. Raises NotationError where its ends are the wrong way round or below zero and cannot be."""
    low, high = found.low, found.high
    if low and high and high.base < low.base:
        raise NotationError(f"The upper limit {high.text} is below the lower limit {low.text}: check order and digits.")
    for point in (low, high, found.target):
        if point and point.base < 0 and ask.kind not in _SIGNED:
            raise NotationError(f"{point.text} is below zero, which {WANTED[ask.kind].noun} cannot be: check the sign.")
    return found


# --- The same figure printed in two systems


def agreed(first: Spread, again: Spread, ask: Ask, span: tuple[int, int], *, about: bool) -> bool:
    """Whether what stands in brackets at `span` says the same to within its digits, or roughly where it says “about”.

    Raises Ambiguous where both agree only if one was rounded to fives or tens, NotationError where they contradict.
    """
    exact = True
    for one, two in _pairs(first, again, ask):
        apart = abs(one.base - two.base)
        if apart <= (one.half + two.half) * (1 + 1e-9):
            continue
        if apart > (one.coarse + two.coarse) * (1 + 1e-9):
            raise NotationError(_contradiction(one, two, first.unit, again.unit, ask))
        exact = False
    if not exact and not about:
        raise _rounded(ask, span)
    return exact


def _rounded(ask: Ask, span: tuple[int, int]) -> NotationError:
    start, end = span
    opening = max(ask.bare.rfind(mark, 0, start) for mark in "([{") if start >= 0 else -1
    closing = min((at for mark in ")]}" if (at := ask.bare.find(mark, end)) >= 0), default=-1)
    before = ask.text[:opening].strip()
    said = ask.text[start:end].strip() if start >= 0 else ""
    if opening < 0 or closing < 0 or not before:
        return NotationError(f"“{short(ask.text)}” agrees only roughly in its two systems: write the one you go by.")
    begin = len(ask.bare[:opening]) - len(ask.bare[:opening].lstrip())
    part, before = ask.text[begin : closing + 1], ask.text[begin:opening].strip()
    choices = (f"{before} (about {said})", f"{said} (about {before})")
    return Ambiguous(
        f"“{short(ask.text)}” agrees only roughly in its two systems: write {choices[0]} to go by the first, or "
        f"{choices[1]} to go by the other.",
        part,
        choices,
    )


def _contradiction(first: Point, again: Point, unit: Unit, other: Unit, ask: Ask) -> str:
    said = first.text if unit is other else f"{first.text}, which is {write_magnitude(first.base, other.id)},"
    return f"“{short(ask.text)}” contradicts itself: it says {said} and then {again.text}, so look it up again."


def _pairs(first: Spread, second: Spread, ask: Ask) -> list[tuple[Point, Point]]:
    pairs = [(one, two) for one, two in zip(first[:3], second[:3], strict=True) if one and two]
    alone = [point for point in (first.low, first.high) if point]
    if not pairs and len(alone) == 1 and second.target:
        pairs = [(alone[0], second.target)]
    if not pairs:
        raise NotationError(f"“{short(ask.text)}” says one thing and another in brackets: write it once.")
    return pairs
