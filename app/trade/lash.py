"""Valve lash: shims, screws, blades, and what a lash figure means without its condition (nothing)."""

import math
from collections.abc import Mapping, Sequence
from enum import Enum
from statistics import median

from msgspec import Struct

from app.trade.matching import NoMatch, assign
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.verdict import Verdict, check_figure, check_size, judge, judge_between

_NOISE_MM = 1e-9


class Condition(Enum):
    """Whether the engine was cold or hot: part of the figure, never converted into the other."""

    COLD = "cold"
    HOT = "hot"


class Lash(Struct, frozen=True):
    """A lash as read, in mm, and the engine's condition at the time."""

    value_mm: float
    condition: Condition


class LashSpec(Struct, frozen=True):
    """The lash a valve must have, in mm, and the condition it holds for.

    Raises ValueError unless low <= target <= high.
    """

    low_mm: float
    target_mm: float
    high_mm: float
    condition: Condition

    def __post_init__(self) -> None:
        check_size("The lowest lash", self.low_mm, "mm", zero=True)
        if not self.low_mm <= self.target_mm <= self.high_mm < math.inf:
            raise ValueError(
                f"A lash target of {self.target_mm:g} mm must lie in its band, "
                f"not outside {self.low_mm:g} to {self.high_mm:g} mm."
            )


class BladeReading(Struct, frozen=True):
    """What two blades tell, in mm: the lash is at least `go_mm` and under `no_go_mm` (None: no blade was refused)."""

    go_mm: float
    no_go_mm: float | None
    condition: Condition

    def __post_init__(self) -> None:
        check_size("The blade that goes", self.go_mm, "mm", zero=True)
        if self.no_go_mm is not None and not self.no_go_mm > self.go_mm:
            raise ValueError(
                f"The blade that goes ({self.go_mm:g} mm) must be thinner than the one that does not "
                f"({self.no_go_mm:g} mm): measure again."
            )


def judge_lash(reading: Lash, spec: LashSpec, doubt_mm: float = 0.0) -> Verdict:
    """Whether a lash is inside its band, given the doubt of the reading (mm).

    Raises ValueError when one figure is hot and the other cold: cold and hot differ by 0.003 to 0.005 in one way on
    some engines (TM 5-3820-233-12/1, read) and the other way on others (from memory).
    """
    _same_condition(reading.condition, spec.condition)
    return judge(_length(reading.value_mm), _limits(spec), doubt_mm)


def judge_blades(reading: BladeReading, spec: LashSpec) -> Verdict:
    """Whether a lash known only between two blades is inside its band.

    A blade that goes and a neighbour 0.001 in thicker that does not is what the manuals call correct
    (TM 5-3820-233-12/1, read). With no blade refused nothing bounds the lash above, so it is out or undecided.
    """
    _same_condition(reading.condition, spec.condition)
    if reading.no_go_mm is None:
        return Verdict.OUT if reading.go_mm > spec.high_mm + _NOISE_MM else Verdict.UNDECIDED
    if reading.no_go_mm <= spec.low_mm + _NOISE_MM:  # the blade at the low limit itself was refused
        return Verdict.OUT
    return judge_between(_length(reading.go_mm), _length(reading.no_go_mm), _limits(spec))


def _same_condition(read: Condition, wanted: Condition) -> None:
    if read is not wanted:
        raise ValueError(
            f"A lash read {read.value} cannot be judged by a {wanted.value} figure: measure again with the engine "
            f"{wanted.value}, or find the {read.value} figure."
        )


def _length(value_mm: float) -> Quantity:
    return Quantity(Kind.LENGTH, value_mm, "mm", f"{value_mm:g} mm")


def _limits(spec: LashSpec) -> Limits:
    return Limits(Kind.LENGTH, spec.low_mm, spec.high_mm, spec.target_mm, "mm", "")


# --- Shims


def ideal_shim_mm(old_mm: float, measured_mm: float, target_mm: float) -> float:
    """The shim that gives the target lash: old + measured - target, in mm.

    Source: shim chart at oplib.ru and a three-cylinder engine manual p. 45 (read). Raises ValueError where a figure is
    no size, or no shim is thin enough.
    """
    check_size("The old shim", old_mm, "mm")
    check_size("The measured lash", measured_mm, "mm", zero=True)
    check_size("The target lash", target_mm, "mm", zero=True)
    return check_size("The shim this asks for", old_mm + measured_mm - target_mm, "mm")


def resulting_lash_mm(old_mm: float, measured_mm: float, new_mm: float) -> float:
    """The lash after a swap of shims, in mm: measured + old - new; negative means the valve is held open."""
    check_size("The old shim", old_mm, "mm")
    check_size("The new shim", new_mm, "mm")
    return check_figure("The measured lash", measured_mm, "mm") + old_mm - new_mm


def stock_sizes_mm(low_mm: float, high_mm: float, step_mm: float) -> tuple[float, ...]:
    """Every shim size of a stock, in mm. Raises ValueError where the range is not a whole number of steps."""
    check_size("The step of the stock", step_mm, "mm")
    check_size("The thinnest shim", low_mm, "mm")
    count = round((high_mm - low_mm) / step_mm)
    if count < 0 or abs(low_mm + count * step_mm - high_mm) > 1e-6:
        raise ValueError(f"{low_mm:g} to {high_mm:g} mm is not a whole number of {step_mm:g} mm steps: check the list.")
    return tuple(round(low_mm + step * step_mm, 6) for step in range(count + 1))


def stock_shim_mm(ideal_mm: float, stock_mm: Sequence[float]) -> float:
    """The thickest shim of a stock that is no thicker than the ideal one, so the lash comes out on the loose side.

    Source: two manuals choose so, 2.50 for an ideal 2.525 (read). Raises ValueError where all are thicker.
    """
    thin_enough = [size for size in stock_mm if size <= ideal_mm + _NOISE_MM]
    if not thin_enough:
        raise ValueError(f"Every shim of this stock is thicker than the {ideal_mm:g} mm needed: find thinner ones.")
    return max(thin_enough)


class ValveShim(Struct, frozen=True):
    """A valve, the shim in it now, the lash measured over it (mm) and what the lash must be."""

    valve: str
    shim_mm: float
    measured_mm: float
    spec: LashSpec


class ShimChoice(Struct, frozen=True):
    """The shim a valve gets, in mm, where it comes from and the lash that gives.

    `source` is the valve it is taken from, “spare” or “buy”.
    """

    valve: str
    shim_mm: float
    source: str
    lash_mm: float


SPARE, BUY = "spare", "buy"


def choose_shims(
    valves: Sequence[ValveShim], own_shims: Sequence[float] = (), stock: Sequence[float] = ()
) -> tuple[ShimChoice, ...]:
    """Which shim goes where in the whole engine: fewest to buy, every lash in its band, nearest target, rather loose.

    `own_shims` are loose spares (mm), `stock` the sizes that can be bought (mm). A lash on the tight side counts as
    twice as far from target (common practice: choose toward the looser side); on a tie a shim stays where it is.
    Raises NoMatch naming the valves no shim serves, ValueError for measured figures that cannot be.
    """
    parts = [(valve.shim_mm, valve.valve) for valve in valves]
    parts += [(size, SPARE) for size in own_shims] + [(size, BUY) for size in sorted(set(stock))]
    off = [[_off_target(valve, size) for size, _ in parts] for valve in valves]
    helpless = [valve.valve for valve, row in zip(valves, off, strict=True) if all(far is None for far in row)]
    if helpless:
        raise NoMatch(f"No shim there is brings {', '.join(helpless)} into its lash band: find other sizes.")
    dearest = 1.0 + sum(max(far for far in row if far is not None) + 1 for row in off)
    costs = [
        [
            None
            if far is None
            else far + (dearest if source == BUY else 0.0) + (0.0 if source == valve.valve else 0.25)
            for far, (_, source) in zip(row, parts, strict=True)
        ]
        for valve, row in zip(valves, off, strict=True)
    ]
    columns = assign(costs, [None if source == BUY else 1 for _, source in parts])
    return tuple(
        ShimChoice(valve.valve, *parts[column], round(valve.measured_mm + valve.shim_mm - parts[column][0], 6))
        for valve, column in zip(valves, columns, strict=True)
    )


def _off_target(valve: ValveShim, size_mm: float) -> float | None:
    """How far from its target a shim leaves a valve, in micrometres, tight counting double; None outside the band."""
    lash = resulting_lash_mm(valve.shim_mm, valve.measured_mm, size_mm)
    spec = valve.spec
    if not spec.low_mm - _NOISE_MM <= lash <= spec.high_mm + _NOISE_MM:
        return None
    return round((lash - spec.target_mm if lash >= spec.target_mm else 2 * (spec.target_mm - lash)) * 1000, 3)


# --- Screws, eccentrics, hydraulic lifters


def screw_change_mm(pitch_mm: float, turn_deg: float, rocker_ratio: float = 1.0) -> float:
    """How far the lash at the valve changes when an adjusting screw is turned: pitch x turn / 360 x ratio, in mm.

    `rocker_ratio` is 1 for a screw over the valve, the rocker's ratio for one over the push rod (common practice).
    """
    check_size("The pitch", pitch_mm, "mm")
    check_size("The rocker ratio", rocker_ratio, "")
    return pitch_mm * check_figure("The turn", turn_deg, "degrees") / 360 * rocker_ratio


def screw_turn_deg(pitch_mm: float, change_mm: float, rocker_ratio: float = 1.0) -> float:
    """The turn of the adjusting screw that changes the lash at the valve by so much, in degrees."""
    return check_figure("The change", change_mm, "mm") / screw_change_mm(pitch_mm, 1.0, rocker_ratio)


def lobe_lash_mm(valve_lash_mm: float, rocker_ratio: float) -> float:
    """The lash at the cam lobe: the lash at the valve divided by the rocker ratio, in mm (common practice)."""
    check_size("The rocker ratio", rocker_ratio, "")
    return check_size("The lash", valve_lash_mm, "mm", zero=True) / rocker_ratio


def eccentric_next_deg(
    first_deg: float, first_lash_mm: float, second_deg: float, second_lash_mm: float, target_mm: float
) -> float:
    """Where to turn an eccentric adjuster next, in degrees, from two positions with the lash measured at each.

    Its throw is not known, so only the measured change counts, taken as even over a small turn: measure again there.
    Raises ValueError where the two readings show no change, or the answer lies more than that turn beyond them.
    """
    change = check_figure("The second lash", second_lash_mm, "mm") - check_figure("The first lash", first_lash_mm, "mm")
    if abs(change) < _NOISE_MM or second_deg == first_deg:
        raise ValueError("The lash did not change between the two positions: turn the eccentric further and measure.")
    share = (target_mm - first_lash_mm) / change
    if not -1 <= share <= 2:
        raise ValueError("The target is too far from both readings to guess the turn: go halfway and measure again.")
    return first_deg + share * (second_deg - first_deg)


def hydraulic_preload_mm(turns: float, pitch_mm: float) -> float:
    """How far a hydraulic lifter is pressed down past zero lash: turns x pitch at the adjuster, in mm.

    Common practice; for an adjuster directly over the push rod or lifter.
    """
    return check_size("The turns past zero lash", turns, "turns", zero=True) * check_size("The pitch", pitch_mm, "mm")


# --- Over time


class Moved(Struct, frozen=True):
    """A valve whose lash moved on its own: its change and that of the others' middle, in mm."""

    valve: str
    change_mm: float
    others_mm: float


def moving_alone(history: Mapping[str, Sequence[float]], least_mm: float = 0.05) -> tuple[Moved, ...]:
    """Valves whose lash moved otherwise than the middle of the others between the first and the last round.

    `history` holds each valve's readings in mm, all in the same condition, oldest first. Wear of the whole engine moves
    all valves; one alone points to its seat, shim or lobe (common practice).
    Raises ValueError where there are fewer than three valves or two rounds.
    """
    if len(history) < 3 or any(len(readings) < 2 for readings in history.values()):
        raise ValueError("Telling one valve from the rest takes at least three valves and two rounds of readings.")
    check_size("The least change worth telling", least_mm, "mm")
    changes = {valve: readings[-1] - readings[0] for valve, readings in history.items()}
    found = []
    for valve, change in changes.items():
        others = median(other for name, other in changes.items() if name != valve)
        if abs(change - others) > least_mm + _NOISE_MM:
            found.append(Moved(valve, round(change, 6), round(others, 6)))
    return tuple(found)
