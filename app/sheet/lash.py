"""Setting lash: which valves from which crank stop, how far the crank may stand off, and what is written of each."""

from collections.abc import Iterator
from datetime import datetime

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Adjuster
from app.assembly.rules import rounds_moved
from app.assembly.said.marks import State
from app.assembly.said.readings import Reading
from app.assembly.standing.entry_places import HIDDEN, as_seen, hides_first
from app.assembly.standing.lash_stops import LashStops, cam_said, cam_words, is_lash, lash_stops, margin_at
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.sheet.draw.dial import ValveRow
from app.sheet.rows import Run
from app.sheet.sections import Item, Section
from app.trade.notation import write_magnitude
from app.trade.quantity import Limits
from app.trade.valves import lift_arc, mates, safe_span

READY, SET, CHECKED, MOVED = State.TO_DO, State.STARTED, State.DONE, State.LOOK_AGAIN


class LashView(Struct, frozen=True):
    """A lash line at one of its stops."""

    number: str
    title: str
    note: str
    count: str
    figure: str
    stop: int
    stops: int
    theta_deg: float
    back_deg: float
    forward_deg: float
    rows: tuple[ValveRow, ...]
    offered: tuple[str, ...]
    heading: str
    where: str
    then: str


def lash_view(survey: Survey, line: Line, stop: int) -> LashView:
    """The line as it stands at a stop, counted from 0; raises ValueError where no stops can be worked out."""
    found = lash_stops(survey.build)
    stop = min(max(stop, 0), len(found.stops) - 1)
    here = found.stops[stop]
    offered = tuple(valve for valve, _ in here.valves)
    back, forward = safe_span(found.engine, found.cam, offered, here.theta_deg, found.margin_deg)
    places = survey.places(line)
    bounds = survey.bounds(line)
    read = sum(_read_here(survey, line, place) for place in places)
    return LashView(
        number=line.number,
        title=line.step.do,
        note=line.step.note,
        count=f"{read} of {len(places)}",
        figure=bounds.text if bounds else "figure not entered",
        stop=stop,
        stops=len(found.stops),
        theta_deg=here.theta_deg,
        back_deg=back,
        forward_deg=forward,
        rows=tuple(_rows(survey, line, found, stop)),
        offered=offered,
        heading=f"At this stop: {', '.join(_short(place) for place in places if place.id in offered)}",
        where=where_words(found, stop),
        then=_then(found, stop),
    )


def first_open_stop(survey: Survey, line: Line) -> int:
    """The first stop with a valve that is not read yet, the first of all where every valve is."""
    found = lash_stops(survey.build)
    for number, stop in enumerate(found.stops):
        offered = {valve for valve, _ in stop.valves}
        if any(place.id in offered and not _read_here(survey, line, place) for place in survey.places(line)):
            return number
    return 0


def _read_here(survey: Survey, line: Line, place: Place) -> bool:
    """Whether a valve was read in every round since the line was last disturbed."""
    return len(_standing(survey, line, place.id)) >= len(line.rounds)


def _standing(survey: Survey, line: Line, place: str) -> dict[int, Reading]:
    """What a valve was read at since the line was last disturbed, by round."""
    standing = survey.build.facts.standing
    return {turn: one for turn in survey.rounds(line) if (one := standing(line.id, place, turn)) is not None}


def _rows(survey: Survey, line: Line, found: LashStops, stop: int) -> Iterator[ValveRow]:
    """The valves in the sheet's order, as they stand at a stop."""
    verdicts = {(one.place.id, one.round): one.verdict for one in survey.judged(line)}
    hidden = hides_first(survey, line)
    end = rounds_moved.of_line(survey, line)
    moved = end.places if end is not None else ()
    unit = unit_at(survey, line)
    for place in survey.places(line):
        readings = _standing(survey, line, place.id)
        last = max(readings, default=0)
        own = found.stop_of(place.id)
        yield ValveRow(
            key=place.id,
            title=_short(place),
            intake=place.id.startswith("in"),
            arc=lift_arc(found.engine, found.cam, place.id),
            margin_deg=margin_at(found, place.id, found.stops[stop]),
            offered=own == stop,
            state=_state(len(readings), len(line.rounds), moved=place.id in moved),
            value=(HIDDEN if hidden else as_seen(readings[last], unit)) if last else "",
            other="" if own == stop else f"stop {own + 1}",
            verdict=verdicts[place.id, last] if last and survey.judgeable(line) and not hidden else None,
        )


def _state(read: int, rounds: int, *, moved: bool) -> State:
    """Ready, set (read once of several times), checked, or moved between rounds."""
    if read == 0:
        return READY
    if moved:
        return MOVED
    return CHECKED if read >= rounds else SET


def _short(place: Place) -> str:
    """“1 intake”, the way it is said at the engine."""
    kind, _, number = place.title.partition(" ")
    return f"{number} {kind.lower()}"


def where_words(found: LashStops, stop: int) -> str:
    """Where the crank stands, by the cylinder that is at a dead centre there, and by what is seen."""
    theta = found.stops[stop].theta_deg % 720
    first = found.engine.order[0]
    if theta % 360 == 0:
        firing = first if theta == 0 else _mate(found, first)
        on = (
            f"cylinder {firing} at firing top dead centre"
            if firing is not None
            else f"one full turn past firing of {first}"
        )
        return f"{on}: both its valves shut"
    return f"{theta:g}° after cylinder {first} fired"


def _mate(found: LashStops, cylinder: int) -> int | None:
    """The cylinder that fires one full turn after another; None where the engine has no such pairs."""
    try:
        pairs = mates(found.engine)
    except ValueError:
        return None
    return next((b if a == cylinder else a for a, b in pairs if cylinder in (a, b)), None)


def _then(found: LashStops, stop: int) -> str:
    if stop + 1 >= len(found.stops):
        return (
            "The last stop. Then turn it two full turns the way it runs, and read again."
            if len(found.stops) > 1
            else ""
        )
    turn = found.stops[stop + 1].turn_deg
    said = "one full turn" if abs(turn - 360) < 0.5 else f"{turn:g}°"
    return f"Then turn the crank {said}, the way it runs, to stop {stop + 2}."


# --- words beside the map


def lash_sections(survey: Survey, line: Line, chosen: str) -> tuple[Section, ...]:
    """What is said of the valve in hand, and what the stops were worked out from."""
    found = lash_stops(survey.build)
    sections = []
    place = next((one for one in survey.places(line) if one.id == chosen), None)
    if place is not None:
        sections.append(Section(place.title, tuple(_of_valve(survey, line, place))))
    sections.append(Section("Worked out from", (_plain(cam_words(found)), _plain(_margin_words(found)))))
    return tuple(sections)


def _margin_words(found: LashStops) -> str:
    return f"Every valve is at least {found.least_deg:.0f} crank degrees off its lift at its stop."


def _of_valve(survey: Survey, line: Line, place: Place) -> Iterator[Item]:
    bounds = survey.bounds(line)
    limits = bounds.limits_at(place.id) if bounds is not None else None
    if isinstance(limits, Limits):
        yield _plain(_wanted(limits, line))
    readings = _standing(survey, line, place.id)
    last = readings[max(readings)] if readings else None
    if last is not None and isinstance(limits, Limits) and not hides_first(survey, line):
        yield from _change(survey, line, limits, last)
    for when, heading, text in _earlier(survey, line, place):
        yield Item((Run(f"{when:%d %b %Y}  {heading}  ", "quiet"), Run(text, "text")))


def _wanted(limits: Limits, line: Line) -> str:
    measure = line.step.measure
    heat = f" {measure.heat.value}" if measure is not None and measure.heat is not None else ""
    return f"wanted {limits.text if limits.text else ''}{heat}".strip()


def _change(survey: Survey, line: Line, limits: Limits, last: Reading) -> Iterator[Item]:
    """How far to turn the screw, where its pitch is said, or what the next shim would be less or more."""
    target = limits.middle
    said, measure = cam_said(survey.build), line.step.measure
    if target is None or last.magnitude is None or measure is None or abs(last.magnitude - target) < 0.005:
        return
    apart = last.magnitude - target
    unit = unit_at(survey, line) or "mm"
    way = "too much" if apart > 0 else "too little"
    yield _plain(
        f"{write_magnitude(abs(round(apart, 4)), unit)} {way} against {write_magnitude(round(target, 4), unit)}"
    )
    if measure.adjuster is Adjuster.SHIM:
        thicker = "thicker" if apart > 0 else "thinner"
        yield _plain(
            f"a shim {write_magnitude(abs(round(apart, 4)), unit)} {thicker} would do; choose toward the looser side"
        )
    elif measure.adjuster is Adjuster.SCREW and said is not None and said.pitch_mm:
        from app.trade.lash import screw_turn_deg  # with its solver, wanted only where a screw is turned

        turn = screw_turn_deg(abs(apart), said.pitch_mm, said.rocker_ratio or 1.0)
        yield _plain(f"about {turn:.0f}° {'in' if apart > 0 else 'out'} at the screw")


def _earlier(survey: Survey, line: Line, place: Place) -> Iterator[tuple[datetime, str, str]]:
    """What was read of this valve on the other lash lines, oldest first."""
    rows = []
    for other in survey.build.lines:
        if other is line or not is_lash(other) or hides_first(survey, other):
            continue
        for (where, turn), one in survey.build.facts.readings.get(other.id, {}).items():
            if where == place.id:
                rows.append((one.at.astimezone(), other.number + (f", round {turn}" if turn > 1 else ""), one.said))
    yield from sorted(rows)


def _plain(text: str) -> Item:
    return Item((Run(text, "text"),))
