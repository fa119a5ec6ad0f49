"""A joint left in the middle: some bolts have had a pass, and the last pass is still to come."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
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
                gate=survey.gate_ahead(line),
                why=f"The bolts were begun and not brought to their last pass; {first.number} is the next",
                harm=harm_of(line, "nobody knows which bolt is at which pass"),
                clears=f"Go on at {first.number}, or slacken all and begin again",
                since=since,
                blocks=False,
            )


def _since(survey: Survey, run: tuple[Line, ...]) -> datetime | None:
    marks = survey.build.facts.lines
    return max((marks[one.id].at for one in run if one.id in marks and begun(survey, one)), default=None)


def _left(survey: Survey, line: Line, since: datetime) -> bool:
    return survey.begun_from > line.position or survey.now - since > LEFT_FOR


RULE = Rule(ID, "Last pass open", "A joint left half-way looks finished from outside.", find)
