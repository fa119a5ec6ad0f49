"""A ring gap so small that a figure per inch of bore was read as the gap itself."""

from collections.abc import Iterator

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
    """One loose end for each line of ring gaps with one that cannot be meant."""
    lines = [line for line in survey.build.lines if line.step.places == _RINGS and line.reads]
    lines = [line for line in lines if survey.build.facts.readings.get(line.id)]
    bore = _bore_mm(survey) if lines else None
    if bore is None:
        return
    from app.trade.clearances import per_inch_fault  # with its tables, wanted only where rings are measured

    for line in lines:
        readings = survey.build.facts.readings[line.id]
        faults = {
            place: fault
            for (place, _), one in readings.items()
            if one.magnitude and one.magnitude > 0 and (fault := per_inch_fault(one.magnitude, bore))
        }
        since = max(one.at for one in readings.values())
        if faults and not survey.taken_on(line, ID, since):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.GAP_PER_INCH,
                args={"text": next(iter(faults.values()))},
                since=since,
                places=tuple(faults),
            )


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
