"""A part that went on to look and measure, and is neither off again nor on for good."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.plan.steps import Fit, Part
from app.assembly.rules.rule import Rule
from app.assembly.said.parts import FIT, Fitted
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "trial-only"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each part that is only trial-fitted."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or not survey.done(line):
            continue
        for part in line.step.parts:
            if part.fit is Fit.TRIAL and not _settled(survey, line, part):
                yield LooseEnd(
                    rule=ID,
                    line=line,
                    gate=gate_ahead(survey, line),
                    kind=End.TRIAL_ONLY,
                    args={"part": part.name, "count": part.count, "ways": _ways(survey, part)},
                    since=mark.at,
                )
    yield from _said(survey)


def _said(survey: Survey) -> Iterator[LooseEnd]:
    """Parts said to be on for a look, apart from the plan's own trial lines."""
    for (key, _), said in survey.build.facts.of(FIT).items():
        wanting = [line for line in survey.build.lines if any(part.id == key for part in line.step.parts)]
        if said.fit is not Fitted.TRIAL or not wanting or _fitted_since(survey, wanting, key, said.at):
            continue
        part = next(part for part in wanting[-1].step.parts if part.id == key)
        yield LooseEnd(
            rule=ID,
            line=wanting[-1],
            gate=survey.next_gate,
            kind=End.TRIAL_SAID,
            args={"part": part.name, "count": part.count, "key": key},
            since=said.at,
        )


def _fitted_since(survey: Survey, wanting: list[Line], part: str, at: datetime) -> bool:
    marks = survey.build.facts.lines
    return any(survey.done(line) and _final(line, part) and marks[line.id].at > at for line in wanting)


def _settled(survey: Survey, trial: Line, part: Part) -> bool:
    said = survey.build.facts.of(FIT).get((part.id, ""))
    if said is not None and said.fit is not Fitted.TRIAL and said.at >= survey.build.facts.lines[trial.id].at:
        return True
    later = survey.build.lines[trial.position + 1 :]
    return any(survey.done(line) and (part.id in line.step.takes_off or _final(line, part.id)) for line in later)


def _final(line: Line, part: str) -> bool:
    return any(other.id == part and other.fit is Fit.FINAL for other in line.step.parts)


def _ways(survey: Survey, part: Part) -> tuple[str, ...]:
    """The lines that take the part off or fit it for good."""
    return tuple(line.number for line in survey.build.lines if part.id in line.step.takes_off or _final(line, part.id))


RULE = Rule(ID, find)
