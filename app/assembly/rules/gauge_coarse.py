"""A gauge in more doubt than its limits are wide: whatever it reads, nothing can be proven with it."""

from collections.abc import Iterator
from functools import partial

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.readings import Reading
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.results import width_of
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.trade.notation import write_magnitude

ID = "gauge-coarse"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line read with a gauge whose doubt leaves no room between its limits."""
    for line in survey.read_lines:
        if line.id not in survey.build.facts.readings or (line.step.measure is not None and line.step.measure.how):
            continue
        coarse = survey.kept(ID, line, partial(_all_coarse, survey))
        if coarse:
            first = next(iter(coarse.values()))
            doubt = write_magnitude(first.doubt, unit_at(survey, line, next(iter(coarse))) or "mm")
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.GAUGE_COARSE,
                args={"tool": first.tool, "doubt": doubt},
                since=min(one.at for one in coarse.values()),
                places=tuple(coarse),
                blocks=False,
            )


def _all_coarse(survey: Survey, line: Line) -> dict[str, Reading]:
    readings = survey.build.facts.readings[line.id]
    return {place: one for (place, _), one in readings.items() if one.doubt and _coarse(survey, line, place, one)}


def _coarse(survey: Survey, line: Line, place: str, reading: Reading) -> bool:
    bounds = survey.bounds(line)
    width = width_of(bounds.limits_at(place)) if bounds is not None else None
    return width is not None and 2 * reading.doubt >= width


RULE = Rule(ID, find)
