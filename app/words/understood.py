"""What a typed value or figure was taken for: the value with its unit, the other system, and the verdict."""

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds, read_figure, with_unit
from app.assembly.said.readings import Reading
from app.assembly.standing.entry_places import verdict_on
from app.assembly.standing.meant import meant_so
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import figure_unit, unit_at
from app.assembly.standing.verdicts import is_target, under_in
from app.trade.conditions import Answer
from app.trade.notation import (
    NotationError,
    read_quantity,
    second,
    write_limits,
    write_programme,
    write_quantity,
)
from app.trade.quantity import Kind, Limits, Quantity, TorqueTurn
from app.trade.verdict import Verdict
from app.words.conditions import conditions_words


class Understood(Struct, frozen=True):
    """What a text was taken for, in words, or the sentence that refuses it; the verdict where there is one."""

    words: str
    good: bool = True
    verdict: Verdict | None = None


def value_understood(survey: Survey, line: Line, place: str, text: str, decimal: str = ".") -> Understood:
    """What a value typed at a place of a line is taken for: “0.012 in = 0.305 mm: Out, at most 0.008 in”."""
    spec = line.step.spec
    if spec is None or spec.kind.in_words or not text.strip():
        return Understood("")
    try:
        quantity = read_quantity(
            text, Kind(spec.kind.value), unit=unit_at(survey, line, place) or None, decimal=decimal
        )
    except NotationError as error:
        return Understood(str(error), good=False)
    said = _both_systems(write_quantity(quantity), quantity)
    limits = _limits(survey, line, place)
    if limits is None:
        return Understood(said)
    reading = Reading(text, quantity.magnitude, quantity.unit, "", survey.now)
    verdict = verdict_on(survey, line, place, reading)
    bounds = survey.bounds(line)
    assert bounds is not None  # there are limits
    wanted = f", {write_limits(limits)}{', a width is not said' if is_target(limits) else ''}"
    meant = meant_so(line.step, bounds, reading, under_in(survey.build, line))
    unsure = f" ({bounds.text}; {_UNSURE[meant.answer]})" if meant.answer is not Answer.YES else ""
    return Understood(f"{said}: {verdict.value}{unsure or wanted}", verdict=verdict)


_UNSURE = {Answer.NO: "read otherwise than it is meant", Answer.UNKNOWN: "say how it is read"}


def figure_understood(survey: Survey, line: Line, text: str, decimal: str = ".") -> Understood:
    """What a figure typed for a line is taken for: in its own unit and the other system, and how it is meant."""
    spec = line.step.spec
    if spec is None or spec.kind.in_words or not text.strip():
        return Understood("")
    kind, unit = Kind(spec.kind.value), figure_unit(survey, line)
    try:
        bounds = read_figure(with_unit(text, kind, unit, decimal), kind, unit, decimal=decimal)
    except NotationError as error:
        return Understood(str(error), good=False)
    return Understood(bounds_understood(bounds))


def bounds_understood(bounds: Bounds) -> str:
    """A figure as it is taken: “0.20 to 0.25 mm = 0.0079 to 0.0098 in, cold”."""
    if bounds.programme is not None:
        said = [write_programme(bounds.programme)]
    else:
        own = [] if bounds.own in bounds.parts.values() else [_figure(bounds.limits)]
        said = own + [f"{label}: {_figure(one)}" for label, one in bounds.parts.items()]
    words = ["; ".join(said)]
    if bounds.worn is not None:
        words.append(f"a worn part {_figure(bounds.worn)}")
    words += conditions_words(bounds.conditions)
    words += [note.value.removesuffix(".").lower() for note in bounds.notes]
    return ", ".join(words)


def _figure(limits: Limits | TorqueTurn) -> str:
    if isinstance(limits, TorqueTurn):
        turns = " + ".join(f"{turn:g}°" for turn in limits.turns_deg)
        return f"{_figure(limits.torque)}, then {turns}"
    return _both_systems(write_limits(limits), limits)


def _both_systems(own: str, what: Quantity | Limits) -> str:
    other = second(what)
    return f"{own} = {other}" if other else own


def _limits(survey: Survey, line: Line, place: str) -> Limits | None:
    """The limits a value at this place is held against; none where it is only a part of what is worked out."""
    bounds = survey.bounds(line)
    if bounds is None or line.step.works_out:
        return None
    limits = bounds.limits_at(place)
    return None if isinstance(limits, TorqueTurn) else limits
