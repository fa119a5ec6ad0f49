"""Odd one out: whether a value lies so far from values like it, or from its part's size, that it is worth asking about.

The unit does not matter, as long as all values share it.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import Enum
from functools import lru_cache
from statistics import median

from msgspec import Struct


class Against(Enum):
    """What a value is odd against."""

    LIKE = "values like it"
    PART = "the size of its part"


class Odd(Struct, frozen=True):
    """Why a value is worth asking about: against what, the size it was held to, how far it may lie off, and does.

    `times` is the value over that size, None where either is 0 or below; at 0.1 or 10 a point may be in
    the wrong place.
    """

    against: Against
    middle: float
    allowed: float
    away: float
    times: float | None


# The spread of a normal distribution over its median absolute deviation, and the cut-off (Iglewicz and Hoaglin 1993).
_NORMAL = 1.4826
_CUT = 3.5
# In few values the deviation is itself far off by chance; with this, values of one normal distribution are asked about
# in about one case of a hundred from four values on (worked out by drawing 20,000 sets of each size).
_FEW = 28.0
# Two values do not say which of them is odd, nor how far such values stray: only a multiple no measuring gives.
_MULTIPLE = 5.0
# Taper, out of round and the like are far below this share of the part, on a part that is worn out too.
_OF_PART = 0.02
# What arithmetic leaves of equal values.
_NOISE = 1e-9


def odd_among(values: Sequence[float], own: float, *, part_size: float | None = None, floor: float = 0.0) -> Odd | None:
    """Why a value is worth asking about, None where it is like the others or nothing can be said.

    `values` are the others: of like places (see `like`), or of one place. `floor` is the least spread to reckon with,
    as `floor_of` gives it. `part_size` is for a value that is a small difference on a part: the taper of a bore.
    Raises ValueError for a value that is no number, a floor below 0 or a part of no size. Source: modified z-score over
    the median absolute deviation, cut off at 3.5 (Iglewicz and Hoaglin 1993, from memory), wider for few values.
    """
    _check(values, own, part_size, floor)
    found = _among(values, own, floor)
    if found is not None or part_size is None:
        return found
    allowed = _OF_PART * part_size
    if abs(own) <= allowed:
        return None
    return Odd(Against.PART, part_size, allowed, abs(own), _times(own, part_size))


def _check(values: Sequence[float], own: float, part_size: float | None, floor: float) -> None:
    if not all(math.isfinite(value) for value in (*values, own)):
        raise ValueError("Values that are held against each other have to be numbers.")
    if not (math.isfinite(floor) and floor >= 0):
        raise ValueError(f"The least spread is 0 or more, not {floor:g}.")
    if part_size is not None and not (math.isfinite(part_size) and part_size > 0):
        raise ValueError(f"A part has a size of more than 0, not {part_size:g}: measure it again.")


def _among(values: Sequence[float], own: float, floor: float) -> Odd | None:
    if len(values) < 2:
        return _beside(values[0], own, floor) if values else None
    return _Spread((*values, own)).odd(own, floor)


class _Spread:
    """How far values of one kind lie apart; worked out once for all of them."""

    def __init__(self, every: tuple[float, ...]) -> None:
        self._middle = median(every)
        spread = _NORMAL * median_deviation(every)
        noise = _NOISE * max(abs(value) for value in every)
        self._allowed = max((_CUT + _FEW / len(every)) * spread, noise)

    def odd(self, own: float, floor: float) -> Odd | None:
        """Why one of them is worth asking about."""
        allowed = max(self._allowed, _CUT * floor)
        away = abs(own - self._middle)
        return Odd(Against.LIKE, self._middle, allowed, away, _times(own, self._middle)) if away > allowed else None


def odd_ones(values: Mapping[str, float], floors: Mapping[str, float]) -> dict[str, Odd]:
    """Those of values of one kind that are worth asking about, by name: what `odd_among` says of each of them.

    `floors` has the least spread to reckon with for each. Errors as for `odd_among`.
    """
    if len(values) < 3:
        rest = {name: [other for place, other in values.items() if place != name] for name in values}
        told = ((name, odd_among(rest[name], own, floor=floors[name])) for name, own in values.items())
        return {name: found for name, found in told if found is not None}
    for name, own in values.items():
        _check((), own, None, floors[name])
    spread = _Spread(tuple(values.values()))
    told = ((name, spread.odd(own, floors[name])) for name, own in values.items())
    return {name: found for name, found in told if found is not None}


def _beside(other: float, own: float, floor: float) -> Odd | None:
    """A value beside a single other one."""
    times, away = _times(own, other), abs(own - other)
    if times is None or away <= _CUT * floor or 1 / _MULTIPLE <= times <= _MULTIPLE:
        return None
    allowed = max(_CUT * floor, other * (_MULTIPLE - 1 if times > 1 else 1 - 1 / _MULTIPLE))
    return Odd(Against.LIKE, other, allowed, away, times)


def _times(own: float, middle: float) -> float | None:
    return own / middle if own > 0 and middle > 0 else None


def median_deviation(values: Sequence[float]) -> float:
    """The median of how far the values lie from their median. Raises ValueError for no values."""
    if not values:
        raise ValueError("There is no median of no values.")
    middle = median(values)
    return median(abs(value - middle) for value in values)


def floor_of(gauge: float, width: float | None = None) -> float:
    """The least spread to reckon with: what the gauge can be off, or a quarter of the limits' width if that is more.

    Raises ValueError for one below 0. Limits are usually four standard deviations or more wide (common practice).
    """
    if gauge < 0 or (width is not None and width < 0):
        raise ValueError("What a gauge can be off, and the width of limits, are 0 or more.")
    return max(gauge, width / 4 if width is not None else 0.0)


# Every place of a line is held against every other.
@lru_cache(maxsize=4096)
def kind_of_place(place: str) -> str:
    """What a place is, without its number: “in” for in1 and in3a, “-top” for 2-top, “ top along” for “1 top along”."""
    return re.sub(r"\d+[a-f]?(?![a-z])", "", place)


def groups(places: Iterable[str]) -> Iterator[tuple[str, ...]]:
    """The places that are held against each other: those of one kind, and the points of one place.

    Intake beside intake and top ring beside top ring; “1 top across” and “1 middle along” beside “1 top along”.
    """
    kinds: dict[str, list[str]] = {}
    starts: dict[str, list[str]] = {}
    for place in places:
        kinds.setdefault(kind_of_place(place), []).append(place)
        start = place.split(" ", 1)[0]
        if start != place:
            starts.setdefault(start, []).append(place)
    yield from (tuple(one) for one in (*kinds.values(), *starts.values()) if len(one) > 1)
