"""A joint left in the middle: some bolts have had a pass, and the last pass is still to come."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import begun, joint_lines

ID = "pass-open"
# Bolts that are being tightened are no loose end; those left since the session before are.
LEFT_FOR = timedelta(hours=4)


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each joint begun and left before its last pass."""
    for line in survey.build.lines:
        if line.tightening is None or not survey.open(line) or survey.conceded(line):
            continue
        run = joint_lines(survey.build, line)
        since = _since(survey, run)
        if line is run[-1] and since is not None and _left(survey, line, since):
            first = next(one for one in run if survey.open(one))
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.PASS_OPEN,
                args={"first": first.number},
                since=since,
                blocks=False,
            )


def _since(survey: Survey, run: tuple[Line, ...]) -> datetime | None:
    marks = survey.build.facts.lines
    return max((marks[one.id].at for one in run if one.id in marks and begun(survey, one)), default=None)


def _left(survey: Survey, line: Line, since: datetime) -> bool:
    return survey.begun_from > line.position or survey.now - since > LEFT_FOR


RULE = Rule(ID, find)
