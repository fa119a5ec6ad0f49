"""Whether a reading meets its limits, given how far the gauge can be trusted."""

import math
from enum import Enum

from app.trade.notation import difference, write_magnitude
from app.trade.quantity import Limits, Quantity


class Verdict(Enum):
    """In, out, or cannot tell with this gauge or these limits."""

    IN = "In"
    OUT = "Out"
    UNDECIDED = "Cannot decide"


# Conversion leaves noise in the last digits: 1 1/2 in comes out as 38.099999999999994 mm and must not miss a limit of
# 38.1 mm. A billionth of the figure is far above such noise and far below what any gauge can show.
_SAME = 1e-9


def judge(reading: Quantity, limits: Limits, doubt: float = 0.0) -> Verdict:
    """Say whether a reading is inside its limits, allowing for the gauge's expanded uncertainty (base unit).

    Inside and outside are each proven only beyond a guard band as wide as the doubt (ISO 14253-1, JCGM 106); between
    them, and where there are no limits, nothing can be decided. A reading on a limit with no doubt is in.
    Raises ValueError when the kinds differ or the doubt is not a size.
    """
    if reading.kind is not limits.kind:
        raise ValueError(f"A {reading.kind.value} cannot be judged by limits of {limits.kind.value}.")
    if not (math.isfinite(doubt) and doubt >= 0):
        raise ValueError(f"The doubt of a gauge is a size of 0 or more, not {doubt}.")
    sides = ((limits.low, -1), (limits.high, 1))
    overs = [_over(reading.magnitude, limit, side, doubt) for limit, side in sides if limit is not None]
    if not overs:
        return Verdict.UNDECIDED
    if any(over > 0 for over in overs):
        return Verdict.OUT
    inner = [_over(reading.magnitude, limit, side, -doubt) for limit, side in sides if limit is not None]
    return Verdict.IN if all(over <= 0 for over in inner) else Verdict.UNDECIDED


def _over(magnitude: float, limit: float, side: int, allowed: float = 0.0) -> float:
    """How far a reading is beyond a limit moved outward by `allowed`, negative inside; noise counts as nothing."""
    over = side * (magnitude - limit) - allowed
    return 0.0 if abs(over) <= _SAME * max(abs(magnitude), abs(limit)) else over


def miss(reading: Quantity, limits: Limits) -> str:
    """Say by how much a reading misses its limits, in the unit of the limits; empty when it does not."""
    if limits.low is None and limits.high is None:
        wanted = "This" if limits.target is None else write_magnitude(limits.target, limits.unit)
        return f"{wanted} is a target without limits, so nothing can be judged by it"
    for limit, side, words in ((limits.low, -1, "under the {} needed"), (limits.high, 1, "over the {} allowed")):
        if limit is not None and _over(reading.magnitude, limit, side) > 0:
            gap = difference(reading.magnitude, limit, limits.unit)
            return f"{gap} {words.format(write_magnitude(limit, limits.unit))}"
    return ""


def judge_between(lowest: Quantity, highest: Quantity, limits: Limits) -> Verdict:
    """Say whether a value known only to lie between two readings is inside its limits; a gauge of steps gives such.

    In when all of the span is inside, out when none of it is, undecided otherwise or where there are no limits.
    Raises ValueError when the kinds differ or the two readings stand the wrong way round.
    """
    if highest.magnitude < lowest.magnitude:
        raise ValueError(f"A value cannot lie between {lowest.text} and {highest.text}: write the smaller one first.")
    ends = (judge(lowest, limits), judge(highest, limits))
    if ends == (Verdict.IN, Verdict.IN):
        return Verdict.IN
    below = limits.low is not None and _over(highest.magnitude, limits.low, -1) > 0
    above = limits.high is not None and _over(lowest.magnitude, limits.high, 1) > 0
    return Verdict.OUT if below or above else Verdict.UNDECIDED


def check_size(what: str, value: float, unit: str, *, zero: bool = False) -> float:
    """The value itself when it is a size: above zero, or zero too where that is allowed.

    `what` begins the sentence (“The bore”), `unit` is how the figure is said. Raises ValueError with one sentence.
    """
    if math.isfinite(value) and (value > 0 or (zero and value == 0)):
        return value
    least = "0 or more" if zero else "more than 0"
    raise ValueError(f"{what} must be {least} {unit}".rstrip() + f", not {value:g}: measure or type it again.")


def check_figure(what: str, value: float, unit: str) -> float:
    """The value itself when it is a figure at all, of either sign. Raises ValueError with one sentence."""
    if math.isfinite(value):
        return value
    raise ValueError(f"{what} must be a figure in {unit}, not {value}: measure or type it again.")


def check_share(what: str, value: float) -> float:
    """The value itself when it is a share above 0 and below 1. Raises ValueError with one sentence."""
    if 0 < value < 1:
        return value
    raise ValueError(f"{what} must lie between 0 and 1, not {value:g}: write 95 % as 0.95.")
