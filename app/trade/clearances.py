"""Clearances, wear limits, plug torques: what they should be and what to do about them.

Lengths in mm, torques in N·m. Rules that disagree are given side by side, each with its source; nothing here chooses.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from app.trade.matching import NoMatch, assign
from app.trade.measuring_tables import ClearanceRow, LimitKind, PlugTorque
from app.trade.quantity import Limits
from app.trade.verdict import check_figure, check_share, check_size

_NOISE_MM = 1e-9
# 0.001 per inch of journal, the same as 0.01 mm per 10 mm.
_BEARING_PER_JOURNAL = 0.001


# --- Clearances between parts


def clearance_mm(hole_mm: float, shaft_mm: float) -> float:
    """Hole - shaft, in mm, for bores and pistons, bearings and journals, grooves and rings; negative interferes."""
    return check_size("The hole", hole_mm, "mm") - check_size("The shaft", shaft_mm, "mm")


def clearance_span_mm(hole_mm: tuple[float, float], shaft_mm: tuple[float, float]) -> tuple[float, float]:
    """The least and the most clearance any pair made to these limits can have, in mm."""
    for name, (low, high) in (("hole", hole_mm), ("shaft", shaft_mm)):
        if low > high:
            raise ValueError(f"The limits of the {name} stand the wrong way round: write {high:g} to {low:g} mm.")
    return clearance_mm(hole_mm[0], shaft_mm[1]), clearance_mm(hole_mm[1], shaft_mm[0])


class ShellPlace(Struct, frozen=True):
    """A bearing and its oil clearance in mm with the shells in it now."""

    place: str
    clearance_mm: float


def bearing_clearances(housings_mm: Mapping[str, float], journals_mm: Mapping[str, float]) -> tuple[ShellPlace, ...]:
    """The oil clearance at every bearing, from its bore with shells in and caps torqued and its own journal, in mm.

    Raises ValueError naming the bearings where only one of the two was measured, or that interfere.
    """
    lone = sorted(set(housings_mm) ^ set(journals_mm))
    if lone:
        raise ValueError(f"Bore and journal were not both measured at {', '.join(lone)}: measure the other one too.")
    rows = tuple(ShellPlace(place, clearance_mm(bore, journals_mm[place])) for place, bore in housings_mm.items())
    tight = [row.place for row in rows if row.clearance_mm <= 0]
    if tight:
        raise ValueError(f"The journal is not smaller than its bore at {', '.join(tight)}: measure both again.")
    return rows


def bearing_rule_mm(journal_mm: float) -> float:
    """The rule of thumb for oil clearance: 0.001 in per inch of journal, 0.01 mm per 10 mm.

    Source: a magazine's bearing guide and a training site's page on bearing clearances (read).
    """
    return _BEARING_PER_JOURNAL * check_size("The journal", journal_mm, "mm")


def strip_clearance_mm(strip_mm: float, width_mm: float) -> float:
    """The clearance a round plastic strip was pressed to: pi d² / (4 width), in mm.

    The strip's area stays the same (strip maker's specification, read). Raises ValueError where the strip was not
    pressed at all.
    """
    check_size("The strip", strip_mm, "mm")
    if not width_mm > strip_mm:
        raise ValueError(
            f"A strip of {strip_mm:g} mm pressed to {width_mm:g} mm was not touched: take a thicker strip."
        )
    return math.pi * strip_mm**2 / (4 * check_size("The width of the strip", width_mm, "mm"))


class ShellSet(Struct, frozen=True):
    """A pair of shells, how it changes the clearance against those in now (mm), and how many pairs there are.

    None pairs means as many as wanted. A mixed pair is a set of its own, with its own change.
    """

    name: str
    change_mm: float
    pairs: int | None = None


class ShellChoice(Struct, frozen=True):
    """The shells a bearing gets and the clearance they give, in mm."""

    place: str
    shells: str
    clearance_mm: float


class Shell(Struct, frozen=True):
    """A size of bearing shell that can be had: the thickness of one shell in mm, and how many pairs there are."""

    name: str
    thickness_mm: float
    pairs: int | None = None


def without_shells(places: Sequence[ShellPlace], thickness_mm: Mapping[str, float]) -> tuple[ShellPlace, ...]:
    """The room at each bearing with no shells in it: clearance + 2 x the thickness of those in now, in mm (geometry).

    Raises ValueError naming the bearings whose shells were not measured.
    """
    unknown = [place.place for place in places if place.place not in thickness_mm]
    if unknown:
        raise ValueError(f"The shells in {', '.join(unknown)} were not measured: give their thickness too.")
    return tuple(
        ShellPlace(one.place, one.clearance_mm + 2 * check_size("A shell", thickness_mm[one.place], "mm"))
        for one in places
    )


def shell_sets(shells: Sequence[Shell], *, mixed: bool = False) -> tuple[ShellSet, ...]:
    """Every pair these shells make, each with what it takes from the room without shells, in mm (geometry).

    `mixed` adds pairs of two neighbouring sizes. Raises ValueError where such sizes are counted: how many mixed pairs
    there are then depends on which others are used.
    """
    alike = [ShellSet(one.name, -2 * check_size("A shell", one.thickness_mm, "mm"), one.pairs) for one in shells]
    if not mixed:
        return tuple(alike)
    if any(one.pairs is not None for one in shells):
        raise ValueError("Sizes that may be mixed cannot be counted in pairs: leave out how many there are.")
    by_size = sorted(shells, key=lambda one: one.thickness_mm)
    halves = [ShellSet(f"{a.name} with {b.name}", -a.thickness_mm - b.thickness_mm) for a, b in pairwise(by_size)]
    return (*alike, *halves)


def out_of_reach(
    places: Sequence[ShellPlace], sets: Sequence[ShellSet], low_mm: float, high_mm: float
) -> tuple[ShellChoice, ...]:
    """The bearings no set brings into the band, each with the set that comes nearest and the clearance it gives, in mm.

    Raises ValueError where there are no sets at all.
    """
    there = [one for one in sets if one.pairs != 0]
    if not there:
        raise ValueError("There are no shells to choose from: give at least one size.")
    found = []
    for place in places:
        reached = [(place.clearance_mm + one.change_mm, one.name) for one in there]
        gap, name = min(reached, key=lambda each: max(low_mm - each[0], each[0] - high_mm))
        if not low_mm - _NOISE_MM <= gap <= high_mm + _NOISE_MM:
            found.append(ShellChoice(place.place, name, round(gap, 6)))
    return tuple(found)


def choose_shells(
    places: Sequence[ShellPlace], sets: Sequence[ShellSet], low_mm: float, target_mm: float, high_mm: float
) -> tuple[ShellChoice, ...]:
    """Which shells go where so that every oil clearance is in its band and all lie nearest the target.

    Nearest is the least sum of squares. Raises NoMatch naming the bearings no set serves, ValueError for a target
    outside its band.
    """
    if not low_mm <= target_mm <= high_mm:
        raise ValueError(f"The target {target_mm:g} mm must lie in its band {low_mm:g} to {high_mm:g} mm.")
    reached = [[place.clearance_mm + one.change_mm for one in sets] for place in places]
    costs = [
        [((gap - target_mm) * 1000) ** 2 if low_mm - _NOISE_MM <= gap <= high_mm + _NOISE_MM else None for gap in row]
        for row in reached
    ]
    helpless = [place.place for place, row in zip(places, costs, strict=True) if all(cost is None for cost in row)]
    if helpless:
        raise NoMatch(f"No shells there are bring {', '.join(helpless)} into the band: find other sizes or grind.")
    columns = assign(costs, [one.pairs for one in sets])
    return tuple(
        ShellChoice(place.place, sets[column].name, round(row[column], 6))
        for place, row, column in zip(places, reached, columns, strict=True)
    )


# --- Shape


def run_out_mm(dial_swing_mm: float) -> float:
    """How far a shaft is bent: half the swing of the dial over a turn, in mm (TM 10-3930-653-14&P p. 4-37, read)."""
    return check_size("The dial’s swing", dial_swing_mm, "mm", zero=True) / 2


def taper_mm(along_mm: Sequence[float]) -> float:
    """The largest less the smallest diameter along one bore or journal, all read in one direction, in mm."""
    return _spread("A taper", along_mm)


def out_of_round_mm(across_mm: Sequence[float]) -> float:
    """The largest less the smallest diameter round one height of a bore or journal, in mm."""
    return _spread("Out-of-round", across_mm)


def protrusion_step_mm(proud_mm: Sequence[float]) -> float:
    """The largest step between neighbours that stand proud of a deck, such as liners, in mm, in their order."""
    _spread("A step", proud_mm)
    return max(abs(b - a) for a, b in pairwise(proud_mm))


def straightness_mm(blades_mm: Sequence[float]) -> float:
    """The thickest blade that goes under a straightedge in any of its directions, in mm."""
    if not blades_mm:
        raise ValueError("Straightness takes at least one reading: try a blade along, across and on both diagonals.")
    return max(check_size("A blade", blade, "mm", zero=True) for blade in blades_mm)


def end_float_mm(pushed_one_way_mm: float, pushed_other_way_mm: float) -> float:
    """End float from the dial with the shaft pushed each way: the whole difference, in mm."""
    return abs(
        check_figure("The first reading", pushed_one_way_mm, "mm")
        - check_figure("The second reading", pushed_other_way_mm, "mm")
    )


def _spread(what: str, readings_mm: Sequence[float]) -> float:
    if len(readings_mm) < 2:
        raise ValueError(f"{what} takes at least two readings: measure in another place too.")
    for reading in readings_mm:
        check_figure("A reading", reading, "mm")
    return max(readings_mm) - min(readings_mm)


# --- Wear


def wear_limit_mm(row: ClearanceRow) -> float:
    """What a part may wear to, in mm, whatever the printed limit means: absolute, added to or taken from the new size.

    One printed column can mix the meanings (TM 5-6115-585-34 table 1-2, read). Raises ValueError where the row has no
    limit, or no new size to count from.
    """
    if row.wear_mm is None or row.wear_kind is None:
        raise ValueError(f"{row.title} has no wear limit in {row.origin.source}: judge it by the band when new.")
    if row.wear_kind is LimitKind.ABSOLUTE:
        return row.wear_mm
    if row.wear_kind is LimitKind.ADDED:
        return _new_end(row, row.new.high if row.new else None) + row.wear_mm
    return _new_end(row, row.new.low if row.new else None) - row.wear_mm


def _new_end(row: ClearanceRow, end_mm: float | None) -> float:
    if end_mm is None:
        raise ValueError(f"{row.title} allows wear on its new size, which is not given: find the size when new.")
    return end_mm


# --- Plugs and pulleys


def plug_torques(thread_mm: int, seat: str, head: str, rows: Sequence[PlugTorque]) -> tuple[PlugTorque, ...]:
    """What every chart says for a plug, side by side; they do not always overlap.

    Raises ValueError, naming what there is, where no chart has such a plug.
    """
    found = tuple(row for row in rows if (row.thread_mm, row.seat, row.head) == (thread_mm, seat, head))
    if not found:
        known = sorted({f"{row.thread_mm} mm {row.seat} in {row.head}" for row in rows})
        raise ValueError(
            f"No chart has a {thread_mm} mm plug with {seat} seat in {head}: they have {', '.join(known)}."
        )
    return found


def greased_torque_nm(dry: Limits, least_share: float = 0.20, most_share: float = 0.30) -> tuple[float, float]:
    """The range a dry plug torque falls to with anti-seize on the threads, in N·m, as a range and never one figure.

    A reduction of 20 to 30 % is quoted (a repair site, read). Raises ValueError for shares that cannot be.
    """
    if dry.low is None or dry.high is None:
        raise ValueError("A reduced torque needs both ends of the dry one: write it as a range.")
    if not check_share("The least reduction", least_share) <= check_share("The most reduction", most_share):
        raise ValueError("The least reduction must not be above the most: swap them.")
    return dry.low * (1 - most_share), dry.high * (1 - least_share)


def rim_arc_mm(diameter_mm: float, angle_deg: float) -> float:
    """The arc on a pulley's rim for a crank angle: pi x diameter x angle / 360, in mm (TM 5-3895-382-24, read)."""
    return math.pi * check_size("The pulley", diameter_mm, "mm") * check_figure("The angle", angle_deg, "degrees") / 360
