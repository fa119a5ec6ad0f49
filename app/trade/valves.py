"""Which valves can be set at which crank position, worked out from the firing order and the cam.

Crank angles are in degrees, 720 to a cycle, 0 at the first cylinder's firing TDC, growing in the running direction.
An exhaust valve is lifted from 180 - EVO to 360 + EVC after its own cylinder's firing TDC, an intake valve from
360 - IVO to 540 + IVC (four-stroke definition). The margin of a valve is how many crank degrees the crank stands away
from its lift; valves are named as places are: in1, ex3, in2a.
"""

import math
import re
from collections.abc import Sequence
from enum import Enum
from functools import lru_cache
from itertools import combinations, pairwise

from msgspec import Struct

from app.trade.quantity import Kind, Quantity
from app.trade.verdict import check_figure, check_size

CYCLE_DEG = 720.0
TURN_DEG = 360.0
# Common practice: 20 to 30 crank degrees clear the ramps of the lobe at either end of the lift.
USUAL_MARGIN_DEG = 20.0
# Common practice: a valve moves some 25 to 30 degrees more each side than events at 0.050 in (1 mm) lift say.
_UNSEEN_DEG = 30.0
_SEAT_LIFT_MM = 0.2
_LONGEST_DEG = 400.0
_MOST_OVERLAP_DEG = 180.0
_NOISE_DEG = 1e-6
# TDC of No 1 is marked and found with a stop, so a few degrees more are not worth another position.
_WORTH_LEAVING_TDC_DEG = 5.0
_LETTERS = "abcdef"
SEAT = Quantity(Kind.LENGTH, 0.0, "mm", "seat to seat")


class Firing(Enum):
    """How the firing intervals follow from the layout."""

    SINGLE = "single"
    INLINE_TWIN_180 = "inline twin, 180° crank"
    INLINE_TWIN_360 = "inline twin, 360° crank"
    V_TWIN = "V-twin on one crank pin"
    EVEN = "even intervals"


class Engine(Struct, frozen=True):
    """A firing order with the crank degrees to the next firing, and how its cylinders are numbered.

    `set_at_deg` is how far past TDC such an engine is set, where a cam has a bump that eases starting.
    Raises ValueError unless every cylinder from 1 fires once and the intervals sum to 720 degrees.
    """

    order: tuple[int, ...]
    intervals_deg: tuple[float, ...]
    numbering: str = ""
    intake_per_cylinder: int = 1
    exhaust_per_cylinder: int = 1
    set_at_deg: float = 0.0

    def __post_init__(self) -> None:
        said = "-".join(map(str, self.order))
        if not self.order or sorted(self.order) != list(range(1, len(self.order) + 1)):
            raise ValueError(f"The firing order {said or '(none)'} must name each cylinder from 1 up exactly once.")
        if len(self.intervals_deg) != len(self.order):
            raise ValueError(
                f"The firing order {said} needs {len(self.order)} intervals, one after each cylinder, "
                f"not {len(self.intervals_deg)}."
            )
        for interval in self.intervals_deg:
            check_size("A firing interval", interval, "crank degrees", zero=True)
        if abs(sum(self.intervals_deg) - CYCLE_DEG) > 0.01:
            raise ValueError(
                f"The firing intervals of {said} sum to {sum(self.intervals_deg):g}° and must sum to 720°: "
                "write the crank degrees from each firing to the next, all the way round to the first."
            )
        for count in (self.intake_per_cylinder, self.exhaust_per_cylinder):
            if not 1 <= count <= len(_LETTERS):
                raise ValueError(
                    f"A cylinder has 1 to {len(_LETTERS)} valves of a kind, not {count}: count them again."
                )
        check_figure("The offset an engine is set at", self.set_at_deg, "crank degrees")


class CamEvents(Struct, frozen=True):
    """When the valves open and close, in crank degrees, and the valve lift the events were read at.

    IVO before TDC, IVC after BDC, EVO before BDC, EVC after TDC; an event on the other side of its dead centre is
    negative. Raises ValueError for a duration outside 0 to 400 degrees or an overlap above 180.
    """

    ivo_deg: float
    ivc_deg: float
    evo_deg: float
    evc_deg: float
    lift: Quantity = SEAT

    def __post_init__(self) -> None:
        if self.lift.kind is not Kind.LENGTH:
            raise ValueError(
                f"Cam events are read at a valve lift such as 0.050 in or 1 mm, not at “{self.lift.text}”."
            )
        for word, opens, closes in (
            ("intake", self.ivo_deg, self.ivc_deg),
            ("exhaust", self.evo_deg, self.evc_deg),
        ):
            duration = opens + closes + 180
            if not 0 < duration <= _LONGEST_DEG:
                raise ValueError(
                    f"These events keep the {word} valve open for {duration:g} crank degrees, which no cam does "
                    f"(0 to {_LONGEST_DEG:g}): check the figures and on which side of the dead centre each one is."
                )
        overlap = self.ivo_deg + self.evc_deg
        if not overlap <= _MOST_OVERLAP_DEG:
            raise ValueError(
                f"These events overlap by {overlap:g} crank degrees, more than any cam ({_MOST_OVERLAP_DEG:g}): "
                "check that IVO is before TDC and EVC after it."
            )


# A long cam stands for every shorter one of its kind: what is safe on it is safe on those. General, never a cam card.
GENERAL_CAM = CamEvents(45, 75, 80, 45)
GENERAL_CAM_SAYS = (
    f"A long general cam was assumed (IVO {GENERAL_CAM.ivo_deg:g}°, IVC {GENERAL_CAM.ivc_deg:g}°, "
    f"EVO {GENERAL_CAM.evo_deg:g}°, EVC {GENERAL_CAM.evc_deg:g}°, seat to seat) because this engine’s own events are "
    "not known."
)


class Stop(Struct, frozen=True):
    """A crank position, the turn forward that leads to it, and each valve set there with its margin."""

    theta_deg: float
    turn_deg: float
    valves: tuple[tuple[str, float], ...]


class PrintedStop(Struct, frozen=True):
    """One stop of a table from elsewhere: the crank position and the valves it lists."""

    theta_deg: float
    valves: tuple[str, ...]


# --- The engine


def intervals_of(firing: Firing, cylinders: int = 1, v_angle_deg: float | None = None) -> tuple[float, ...]:
    """The usual firing intervals of a layout, in crank degrees, beginning after the first cylinder of the order.

    V-twins (one crank pin): 360 - angle, then 360 + angle, for 0 to 180 degrees. Raises ValueError otherwise.
    Source: public encyclopedia page on V-twins (45°: 315/405, read); small-diesel service manual p. 6-32 (twin with a
    180° crank: 180/540, read); even firing is 720 / cylinders (common practice).
    """
    if firing is Firing.V_TWIN:
        if v_angle_deg is None or not 0 < v_angle_deg < 180:
            raise ValueError("A V-twin needs the angle between its cylinders, more than 0° and less than 180°.")
        return TURN_DEG - v_angle_deg, TURN_DEG + v_angle_deg
    fixed = {
        Firing.SINGLE: (CYCLE_DEG,),
        Firing.INLINE_TWIN_180: (180.0, 540.0),
        Firing.INLINE_TWIN_360: (TURN_DEG, TURN_DEG),
    }
    if firing in fixed:
        return fixed[firing]
    if cylinders < 1:
        raise ValueError(f"An engine has at least 1 cylinder, not {cylinders}: count them again.")
    return (CYCLE_DEG / cylinders,) * cylinders


def phases(engine: Engine) -> dict[int, float]:
    """Crank degrees after the first cylinder's firing TDC at which each cylinder fires."""
    found, at = {}, 0.0
    for cylinder, interval in zip(engine.order, engine.intervals_deg, strict=True):
        found[cylinder] = at
        at += interval
    return found


def valves_of(engine: Engine) -> tuple[str, ...]:
    """The names of all valves, cylinder by cylinder, intake first."""
    return tuple(
        f"{short}{cylinder}{letter}"
        for cylinder in sorted(engine.order)
        for short, count in (("in", engine.intake_per_cylinder), ("ex", engine.exhaust_per_cylinder))
        for letter in (_LETTERS[:count] if count > 1 else ("",))
    )


def mates(engine: Engine) -> tuple[tuple[int, int], ...]:
    """Running mates: pairs of cylinders one crank turn apart, in firing order.

    Raises ValueError where a cylinder has none (odd number of cylinders, uneven firing).
    Source: halving the firing order, diesel owners site article r297 (read); 360° apart in general (common practice).
    """
    at = phases(engine)
    half = len(engine.order) // 2
    pairs = tuple(zip(engine.order[:half], engine.order[half:], strict=False))
    if len(engine.order) % 2 or any(abs(at[b] - at[a] - TURN_DEG) > 0.01 for a, b in pairs):
        raise ValueError(
            f"The order {'-'.join(map(str, engine.order))} has no running mates one crank turn apart, so valves "
            "cannot be set by rocking a mate: set each cylinder at its own firing TDC."
        )
    return pairs


# --- Lift and margin


def seat_events(cam: CamEvents) -> CamEvents:
    """The events from seat to seat; those read above 0.2 mm lift are widened by 30 degrees each side.

    Common practice: events at 0.050 in or 1 mm lift do not bound the lift, which goes on some 25 to 30 degrees beyond.
    """
    if cam.lift.magnitude <= _SEAT_LIFT_MM:
        return cam
    more = _UNSEEN_DEG
    return CamEvents(cam.ivo_deg + more, cam.ivc_deg + more, cam.evo_deg + more, cam.evc_deg + more)


@lru_cache(maxsize=256)
def lift_arc(engine: Engine, cam: CamEvents, valve: str) -> tuple[float, float]:
    """The crank degree at which a valve starts to lift (0 to 720) and for how many degrees it stays lifted.

    Raises ValueError for a valve the engine has not.
    """
    intake, cylinder = _read_valve(engine, valve)
    seat = seat_events(cam)
    opens, lasts = (
        (360 - seat.ivo_deg, 180 + seat.ivo_deg + seat.ivc_deg)
        if intake
        else (180 - seat.evo_deg, 180 + seat.evo_deg + seat.evc_deg)
    )
    return (phases(engine)[cylinder] + opens) % CYCLE_DEG, lasts


def _read_valve(engine: Engine, valve: str) -> tuple[bool, int]:
    match = re.fullmatch(r"(in|ex)(\d+)[a-f]?", valve)
    if match is None or valve not in valves_of(engine):
        first, last = valves_of(engine)[0], valves_of(engine)[-1]
        raise ValueError(f"This engine has no valve “{valve}”; its valves are named {first} to {last}.")
    return match[1] == "in", int(match[2])


def margin(engine: Engine, cam: CamEvents, valve: str, theta_deg: float) -> float:
    """How many crank degrees the crank at `theta_deg` stands off the lift of a valve; negative while it is lifted."""
    opens, lasts = lift_arc(engine, cam, valve)
    since = (check_figure("A crank position", theta_deg, "degrees") - opens) % CYCLE_DEG
    return -min(since, lasts - since) if since < lasts else min(since - lasts, CYCLE_DEG - since)


def settable(
    engine: Engine, cam: CamEvents, valve: str, theta_deg: float, margin_deg: float = USUAL_MARGIN_DEG
) -> bool:
    """Whether a valve rests on the base circle with at least the margin asked for."""
    return margin(engine, cam, valve, theta_deg) >= margin_deg - _NOISE_DEG


def safe_span(
    engine: Engine, cam: CamEvents, valves: Sequence[str], theta_deg: float, margin_deg: float = USUAL_MARGIN_DEG
) -> tuple[float, float]:
    """How many degrees the crank may stand before and past `theta_deg` with every one of the valves still settable.

    Raises ValueError when one of them is not settable at `theta_deg` itself, or none is named.
    """
    if not valves:
        raise ValueError("Name at least one valve to say how far the crank may stand off.")
    back, forward = CYCLE_DEG, CYCLE_DEG
    for valve in valves:
        if not settable(engine, cam, valve, theta_deg, margin_deg):
            raise ValueError(_being_lifted(engine, cam, valve, theta_deg, margin_deg))
        opens, lasts = lift_arc(engine, cam, valve)
        since_closed = (theta_deg - opens - lasts) % CYCLE_DEG
        back = min(back, max(0.0, since_closed - margin_deg))
        forward = min(forward, max(0.0, CYCLE_DEG - lasts - since_closed - margin_deg))
    return back, forward


def _being_lifted(engine: Engine, cam: CamEvents, valve: str, theta_deg: float, margin_deg: float) -> str:
    off = margin(engine, cam, valve, theta_deg)
    if off < 0:
        return f"Valve {valve} is being lifted at {theta_deg:g}° ({-off:g}° inside its lift): set it at another stop."
    return (
        f"Valve {valve} is only {off:g}° off its lift at {theta_deg:g}°, and {margin_deg:g}° are wanted: "
        "set it at another stop."
    )


# --- Tables of stops


def table_for(
    engine: Engine, cam: CamEvents, stops_deg: Sequence[float], margin_deg: float = USUAL_MARGIN_DEG
) -> tuple[Stop, ...]:
    """Each valve at the stop where it is furthest from its lift (the earlier on a tie); turns are forward only.

    The first stop's turn is 0. Raises ValueError where a valve is out of reach of every stop.
    """
    at: list[list[tuple[str, float]]] = [[] for _ in stops_deg]
    for valve in valves_of(engine):
        margins = [round(margin(engine, cam, valve, theta), 6) for theta in stops_deg]
        best = max(margins, default=-math.inf)
        if best < margin_deg - _NOISE_DEG:
            raise ValueError(f"No stop of this list reaches valve {valve} with {margin_deg:g}° to spare: add a stop.")
        at[margins.index(best)].append((valve, best))
    turns = [0.0] + [(b - a) % CYCLE_DEG for a, b in pairwise(stops_deg)]
    return tuple(Stop(theta, turn, tuple(valves)) for theta, turn, valves in zip(stops_deg, turns, at, strict=True))


def check_table(
    engine: Engine, cam: CamEvents, printed: Sequence[PrintedStop], margin_deg: float = USUAL_MARGIN_DEG
) -> tuple[str, ...]:
    """What is wrong with a table from elsewhere, a sentence each; empty when every valve can be set as it says."""
    listed = [(valve, stop.theta_deg) for stop in printed for valve in stop.valves]
    known = valves_of(engine)
    found = [f"The table lists {valve}, a valve this engine has not." for valve, _ in listed if valve not in known]
    found += [
        _being_lifted(engine, cam, valve, theta, margin_deg)
        for valve, theta in listed
        if valve in known and not settable(engine, cam, valve, theta, margin_deg)
    ]
    counts = [(valve, sum(valve == other for other, _ in listed)) for valve in known]
    found += [f"Valve {valve} is listed {count} times; once is enough." for valve, count in counts if count > 1]
    found += [f"Valve {valve} is never listed." for valve, count in counts if not count]
    return tuple(found)


def worst_margin(engine: Engine, cam: CamEvents, stops_deg: Sequence[float]) -> float:
    """The least, over all valves, of the best margin a valve has at any of the stops."""
    return min(max(margin(engine, cam, valve, theta) for theta in stops_deg) for valve in _one_of_each(engine))


def _one_of_each(engine: Engine) -> tuple[str, ...]:
    """One valve of each kind per cylinder: its sisters move with it."""
    return tuple(valve for valve in valves_of(engine) if valve[-1].isdigit() or valve.endswith("a"))


def tdc_stops(engine: Engine) -> tuple[float, ...]:
    """Every crank position of the cycle where some piston is at TDC, moved on by what the engine is set at."""
    firing = phases(engine).values()
    at = {round((phase + turn + engine.set_at_deg) % CYCLE_DEG, 6) for phase in firing for turn in (0.0, TURN_DEG)}
    return tuple(sorted(at))


def best_pair(engine: Engine, cam: CamEvents) -> tuple[float, float]:
    """The two stops one crank turn apart that leave the most margin; TDC of No 1 where others gain less than 5 degrees.

    If duration + 2 margin <= 360, any two stops one turn apart reach every valve of any four-stroke engine (by arc
    length). The worst margin changes slope only midway between an end of one lift and an end of another.
    """
    candidates = [0.0, *(point % TURN_DEG for point in _midways(engine, cam))]
    ranked = {round(theta, 6): round(worst_margin(engine, cam, (theta, theta + TURN_DEG)), 6) for theta in candidates}
    best = max(ranked.values())
    enough = ranked[0.0] > best - _WORTH_LEAVING_TDC_DEG
    first = 0.0 if enough else min(theta for theta, worst in ranked.items() if worst == best)
    return first, first + TURN_DEG


def _edges(engine: Engine, cam: CamEvents) -> tuple[list[float], list[float]]:
    arcs = [lift_arc(engine, cam, valve) for valve in _one_of_each(engine)]
    return [opens for opens, _ in arcs], [(opens + lasts) % CYCLE_DEG for opens, lasts in arcs]


def _midways(engine: Engine, cam: CamEvents) -> list[float]:
    opens, closes = _edges(engine, cam)
    halves = {round((a + b) / 2 % 180, 6) for a in opens for b in closes}
    return sorted(half + more for half in halves for more in (0.0, 180.0, 360.0, 540.0))


def fewest_stops(
    engine: Engine, cam: CamEvents, margin_deg: float = USUAL_MARGIN_DEG, tdc_only: bool = False
) -> tuple[float, ...]:
    """The fewest crank stops that reach every valve, and among those the ones that leave the most margin.

    `tdc_only` allows only positions where some piston is at TDC. Raises ValueError where no stops reach every valve.
    Method: a valve is settable over one arc of the cycle, so the ends of the arcs are candidates enough.
    """
    check_size("The margin", margin_deg, "degrees", zero=True)
    candidates = list(tdc_stops(engine)) if tdc_only else _arc_ends(engine, cam, margin_deg)
    count = _fewest(engine, cam, candidates, margin_deg)
    if tdc_only or count > 2:
        return max(combinations(candidates, count), key=lambda stops: _rank(engine, cam, stops, margin_deg))
    if count == 1:
        return max(((theta,) for theta in _midways(engine, cam)), key=lambda stops: worst_margin(engine, cam, stops))
    pair = best_pair(engine, cam)
    if worst_margin(engine, cam, pair) >= margin_deg - _NOISE_DEG:
        return pair
    return max(combinations(candidates, 2), key=lambda stops: _rank(engine, cam, stops, margin_deg))


def _rank(engine: Engine, cam: CamEvents, stops: Sequence[float], margin_deg: float) -> tuple[bool, float]:
    worst = round(worst_margin(engine, cam, stops), 6)
    return worst >= margin_deg - _NOISE_DEG, worst


def _arc_ends(engine: Engine, cam: CamEvents, margin_deg: float) -> list[float]:
    opens, closes = _edges(engine, cam)
    ends = [(at - margin_deg) % CYCLE_DEG for at in opens] + [(at + margin_deg) % CYCLE_DEG for at in closes]
    return sorted({round(end, 6) for end in ends})


def _fewest(engine: Engine, cam: CamEvents, candidates: Sequence[float], margin_deg: float) -> int:
    valves = _one_of_each(engine)
    reached = {
        frozenset(valve for valve in valves if settable(engine, cam, valve, theta, margin_deg)) for theta in candidates
    }
    useful = [group for group in reached if not any(group < other for other in reached)]
    for count in range(1, len(useful) + 1):
        if any(len(frozenset().union(*groups)) == len(valves) for groups in combinations(useful, count)):
            return count
    raise ValueError(
        f"No crank stops reach every valve with {margin_deg:g}° to spare on this cam: ask for a smaller margin."
    )


# --- Other methods


def exhaust_opening_intake_closing(engine: Engine, cam: CamEvents) -> tuple[tuple[str, float, float], ...]:
    """Valve, crank position and margin when each intake is set as its exhaust starts to open, each exhaust as its
    intake is nearly shut.

    Works for any layout; costs two stops per cylinder. Common practice; the margins are computed.
    """
    rows = []
    for valve in valves_of(engine):
        intake, cylinder = _read_valve(engine, valve)
        partner = next(v for v in valves_of(engine) if _read_valve(engine, v) == (not intake, cylinder))
        opens, lasts = lift_arc(engine, cam, partner)
        theta = opens if intake else (opens + lasts) % CYCLE_DEG
        rows.append((valve, theta, margin(engine, cam, valve, theta)))
    return tuple(rows)


def sum_rule_margins(engine: Engine, cam: CamEvents, head: str) -> tuple[tuple[int, int, float], ...]:
    """For each valve n along the head: n at full lift, the valve N + 1 - n set, and the margin of that valve.

    `head` is the sequence of the valves along an inline head, E and I, two to a cylinder: EIIEEIIE. Says nothing about
    whether the rule is safe there: `sum_rule_fault` does. Raises ValueError for a head that does not fit the engine.
    """
    along = _along(engine, head)
    last = len(along)
    rows = []
    for number, valve in enumerate(along, 1):
        opens, lasts = lift_arc(engine, cam, valve)
        partner = along[last - number]
        rows.append((number, last + 1 - number, margin(engine, cam, partner, opens + lasts / 2)))
    return tuple(rows)


def sum_rule_fault(engine: Engine, head: str) -> str:
    """Why the rule “numbers of the pressed and the set valve sum to N + 1” is unsafe here; empty where it is safe.

    Source: pairs of the rule of nine on an owners club page (read); that it needs a mirror-image head and mates that
    sum to the cylinders plus one is computed.
    """
    along = _along(engine, head)
    if head != head[::-1]:
        return (
            f"On a head with valves {' '.join(head)} the sum rule pairs an exhaust with an intake valve, which may be "
            "on its ramp: use the table of stops."
        )
    try:
        pairs = mates(engine)
    except ValueError as error:
        return str(error)
    if any(a + b != len(along) // 2 + 1 for a, b in pairs):
        return "The sum rule pairs cylinders that are not running mates in this firing order: use the table of stops."
    return ""


def _along(engine: Engine, head: str) -> list[str]:
    count = len(engine.order)
    if (engine.intake_per_cylinder, engine.exhaust_per_cylinder) != (1, 1):
        raise ValueError(
            "A sum rule counts two valves to a cylinder, and this engine has more: use the table of stops."
        )
    if any(sorted(head[2 * n : 2 * n + 2]) != ["E", "I"] for n in range(count)) or len(head) != 2 * count:
        raise ValueError(
            f"“{head}” is not the valves along a head of {count} cylinders: write one E and one I for each, as EIIE."
        )
    return [("ex" if kind == "E" else "in") + str(place // 2 + 1) for place, kind in enumerate(head)]
