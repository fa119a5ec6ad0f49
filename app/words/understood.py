"""What a typed value or figure was taken for: the value with its unit, the other system, and the verdict."""

from dataclasses import dataclass

from app.assembly.lines import Line
from app.assembly.plan.figures import read_figure
from app.assembly.plan.steps import How, Measured
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.trade.notation import NotationError, read_quantity, second, write_limits, write_quantity
from app.trade.quantity import Kind, Limits, Quantity, TorqueTurn
from app.trade.verdict import Verdict, judge


@dataclass(frozen=True, slots=True)
class Understood:
    """What a text was taken for, in words, or the sentence that refuses it; the verdict where there is one."""

    words: str
    good: bool = True
    verdict: Verdict | None = None


def value_understood(survey: Survey, line: Line, place: str, text: str, decimal: str = ".") -> Understood:
    """What a value typed at a place of a line is taken for: “0.012 in = 0.305 mm: Out, at most 0.008 in”."""
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT) or not text.strip():
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
    verdict = judge(quantity, limits)
    return Understood(f"{said}: {verdict.value}, {write_limits(limits)}", verdict=verdict)


def figure_understood(line: Line, text: str, decimal: str = ".") -> Understood:
    """What a figure typed for a line is taken for, in its own unit and the other system."""
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT) or not text.strip():
        return Understood("")
    try:
        limits, parts = read_figure(text, Kind(spec.kind.value), spec.unit, decimal)
    except NotationError as error:
        return Understood(str(error), good=False)
    said = [f"{label}: {_figure(one)}" for label, one in parts.items()]
    return Understood("; ".join(said or [_figure(limits)]))


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
    measure = line.step.measure
    bounds = survey.bounds(line)
    if bounds is None or (measure is not None and measure.how not in (None, How.SHAPE)):
        return None
    limits = bounds.limits_at(place)
    return None if isinstance(limits, TorqueTurn) else limits
