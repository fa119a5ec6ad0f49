"""Values and figures that are worth asking about: of a size their kind of line never has, or far from values like them.

Nothing is judged by this. What is kept all the same stands until somebody says in writing that it is so.
"""

import re
from collections.abc import Iterator
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds, read_figure, with_unit
from app.assembly.plan.places import Place
from app.assembly.said.readings import Reading
from app.assembly.standing.results import ROUND, TAPER, width_of
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import joint_of
from app.assembly.standing.units import figure_unit, unit_at
from app.trade.envelope import Outside, kind_of_line, outside, outside_limits
from app.trade.notation import NotationError, read_quantity
from app.trade.odd import Odd, floor_of, groups, odd_among, odd_ones
from app.trade.quantity import UNITS, Kind, Limits
from app.trade.shipped_tables import shipped_envelopes
from app.trade.tables import Envelope, Per


class Doubtful(NamedTuple):
    """A value or figure worth asking about, and why: outside its envelope, or odd among others.

    `place` is None for the line's figure, `unit` is the one it is said in, `since` when it was written.
    """

    place: Place | None
    text: str
    unit: str
    since: datetime
    why: Outside | Odd


def measured_kind(line: Line) -> Kind | None:
    """What a line measures; None where it is not a quantity."""
    spec = line.step.spec
    return Kind(spec.kind.value) if spec is not None and not spec.kind.in_words else None


def doubtful(survey: Survey, line: Line) -> tuple[Doubtful, ...]:
    """What of a line's figure and readings is worth asking about."""
    if measured_kind(line) is None:
        return ()
    measure = line.step.measure
    if measure is not None and measure.takes:  # its results hang on other lines' readings too
        return tuple(_doubtful(survey, line))
    return survey.kept("doubtful", line, lambda one: tuple(_doubtful(survey, one)))


def _doubtful(survey: Survey, line: Line) -> Iterator[Doubtful]:
    yield from _of_figure(survey, line)
    readings = [one for one in survey.judged(line) if one.reading.magnitude is not None]
    odd = {turn: _odd_places(survey, line, turn) for turn in {one.round for one in readings}}
    for one in readings:
        why = _outside(survey, line, one.place.id, one.reading) or odd[one.round].get(one.place.id)
        if why is not None:
            yield Doubtful(one.place, one.reading.said, one.reading.unit, one.reading.at, why)
    yield from _of_results(survey, line)


def _odd_places(survey: Survey, line: Line, turn: int, typed: tuple[str, Reading] | None = None) -> dict[str, Odd]:
    """The places of a round whose value is unlike its like, with one that is about to be written in its place."""
    readings = {one.place.id: one.reading for one in survey.judged(line) if one.round == turn}
    readings |= dict([typed] if typed is not None else ())
    sizes = {where: one.magnitude for where, one in readings.items() if one.magnitude is not None}
    step = max((_step(one) for one in readings.values()), default=0.0)
    bounds = survey.bounds(line)
    # What a result may differ by is also the scale of its parts.
    widths = {where: width_of(bounds.limits_at(where)) if bounds is not None else None for where in sizes}
    floors = {where: max(floor_of(readings[where].doubt, widths[where]), step) for where in sizes}
    found: dict[str, Odd] = {}
    for group in groups(sizes):
        found = odd_ones({where: sizes[where] for where in group}, floors) | found
    return found


def doubt_about(survey: Survey, line: Line, place: Place, turn: int, text: str, decimal: str = ".") -> Doubtful | None:
    """Whether a value about to be written is worth asking about; None where not, or where it cannot be read."""
    kind = measured_kind(line)
    if kind is None:
        return None
    unit = unit_at(survey, line, place.id)
    try:
        typed = read_quantity(text, kind, unit=unit or None, decimal=decimal)
    except NotationError:
        return None  # refused in words when it is kept
    reading = Reading(text, typed.magnitude, typed.unit, "", survey.now)
    why = _outside(survey, line, place.id, reading) or _odd_places(survey, line, turn, (place.id, reading)).get(
        place.id
    )
    return Doubtful(place, reading.said, typed.unit, survey.now, why) if why is not None else None


# --- one value


def _outside(survey: Survey, line: Line, place: str, reading: Reading) -> Outside | None:
    assert reading.magnitude is not None  # only what has a size is asked about
    row = _envelope_at(line, _point(line, place))
    return outside(row, reading.magnitude, of=_share_of(survey, line, row), unit=reading.unit) if row else None


_DECIMALS = re.compile(r"[0-9]*(?:[.,](?P<decimals>[0-9]+))?")


def _step(reading: Reading) -> float:
    """The last digit that was written, in the base unit: values read to a tenth differ by a tenth for nothing."""
    match = _DECIMALS.match(reading.text.lstrip("+- "))
    unit = UNITS.get(reading.unit)
    if match is None or not match[0] or unit is None:
        return 0.0
    return unit.factor * 10.0 ** -len(match["decimals"] or "")


def _point(line: Line, place: str) -> str:
    points = line.step.measure.points if line.step.measure is not None else ()
    return next((one for one in points if place.endswith(f" {one}")), "")


# --- the figure, and what is worked out


def _of_figure(survey: Survey, line: Line) -> Iterator[Doubtful]:
    figure, bounds = survey.build.facts.figures.get(line.id), survey.bounds(line)
    found = _outside_figure(survey, line, bounds, figure.at) if figure is not None and bounds is not None else None
    if found is not None:
        yield found


def _outside_figure(survey: Survey, line: Line, bounds: Bounds, since: datetime) -> Doubtful | None:
    for part, limits in (("", bounds.own), *bounds.parts.items()):
        row = _envelope_at(line, part)
        why = outside_limits(row, limits, of=_share_of(survey, line, row)) if row is not None else None
        if why is not None:
            return Doubtful(None, _text(bounds.text, limits), limits.unit, since, why)
    return None


def doubt_about_figure(survey: Survey, line: Line, text: str, decimal: str = ".") -> Doubtful | None:
    """Whether a figure about to be entered is worth asking about; None where not, or where it cannot be read."""
    kind, unit = measured_kind(line), figure_unit(survey, line)
    if kind is None:
        return None
    try:
        bounds = read_figure(with_unit(text, kind, unit, decimal), kind, unit, decimal=decimal)
    except NotationError:
        return None  # refused in words when it is kept
    return _outside_figure(survey, line, bounds, survey.now)


def _text(whole: str, limits: Limits) -> str:
    return limits.text.strip() or whole


def _of_results(survey: Survey, line: Line) -> Iterator[Doubtful]:
    """A taper or an out-of-round that no part of its size can have, and a result outside its envelope."""
    if line.step.measure is None or line.step.measure.how is None:
        return
    for one in survey.worked(line):
        if one.size is None or not one.parts or one.since is None:
            continue
        why: Outside | Odd | None = None
        if one.name in (TAPER, ROUND):
            whole = max(part.size for part in one.parts)
            why = odd_among((), one.size, part_size=whole) if whole > 0 else None
        elif line.step.works_out and (row := _envelope_at(line, "")) is not None:
            why = outside(row, one.size, of=_share_of(survey, line, row), unit=one.unit)
        if why is not None:
            yield Doubtful(one.place, one.text, one.unit, one.since, why)


# --- envelopes


def _envelope_at(line: Line, part: str) -> Envelope | None:
    kind = measured_kind(line)
    return _envelope(kind, line.id, line.step.do, part) if kind is not None else None


@lru_cache(maxsize=4096)
def _envelope(kind: Kind, id_: str, do: str, part: str) -> Envelope | None:
    name = kind_of_line(kind, id_, do, part)
    return shipped_envelopes().get(name) if name is not None else None


def _share_of(survey: Survey, line: Line, row: Envelope | None) -> float | None:
    """What the envelope goes by, where it is known: of a bolt proof load times diameter, in N·m."""
    if row is None or row.per is not Per.PROOF:
        return None
    said = joint_of(survey.build, line)
    if said is None:
        return None
    from app.assembly.standing.joints import strength_of, thread_of  # wanted only where a joint is described
    from app.trade.envelope import torque_scale_nm

    thread, strength = thread_of(said), strength_of(said)
    if thread is None or strength is None:
        return None
    try:
        return torque_scale_nm(thread, strength)
    except ValueError:
        return None  # a pipe thread, or a strength of another size: its joint says so already
