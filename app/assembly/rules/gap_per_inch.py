"""A ring gap so small that a figure per inch of bore was read as the gap itself."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "gap-per-inch"
_RINGS = "rings"
# No bore of an engine is smaller; what is read below it at a cylinder is a clearance.
_LEAST_BORE_MM = 25.0


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line of ring gaps with a gap, or a figure for it, that cannot be meant."""
    lines = [line for line in survey.build.lines if line.step.places == _RINGS and line.reads]
    facts = survey.build.facts
    lines = [line for line in lines if facts.readings.get(line.id) or line.id in facts.figures]
    bore = _bore_mm(survey) if lines else None
    if bore is None:
        return
    for line in lines:
        found = list(_faults(survey, line, bore))
        since = max((at for _, _, at in found), default=survey.now)
        if found and not survey.taken_on(line, ID, since):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.GAP_PER_INCH,
                args={"text": found[0][1]},
                since=since,
                places=tuple(place for place, _, _ in found if place),
            )


def _faults(survey: Survey, line: Line, bore: float) -> Iterator[tuple[str, str, datetime]]:
    """The place ("" for the figure), what is the matter there, and since when."""
    from app.trade.ring_gap import per_inch_fault  # wanted only where rings are measured

    figure, bounds = survey.build.facts.figures.get(line.id), survey.bounds(line)
    if figure is not None and bounds is not None:
        ends = [end for one in (bounds.own, *bounds.parts.values()) for end in (one.low, one.target, one.high) if end]
        fault = next((found for end in ends if end > 0 and (found := per_inch_fault(end, bore))), None)
        if fault is not None:
            yield "", fault, figure.at
    for (place, _), one in survey.build.facts.readings.get(line.id, {}).items():
        if one.magnitude and one.magnitude > 0 and (fault := per_inch_fault(one.magnitude, bore)):
            yield place, fault, one.at


def _bore_mm(survey: Survey) -> float | None:
    """The greatest length read at a cylinder that can be a bore."""
    sizes = [
        one.magnitude
        for line in survey.build.lines
        if line.step.places == "cylinders" and line.step.spec and line.step.spec.kind is Measured.LENGTH
        for one in survey.build.facts.readings.get(line.id, {}).values()
        if one.magnitude is not None and one.magnitude > _LEAST_BORE_MM
    ]
    return max(sizes, default=None)


RULE = Rule(ID, find)
