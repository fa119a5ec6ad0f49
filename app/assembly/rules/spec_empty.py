"""A line that could be worked now but whose figure nobody has entered."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.waits import Wants

ID = "spec-empty"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each open line that lacks nothing but its figure."""
    for line in survey.open_lines:
        if not survey.figure_missing(line) or survey.conceded(line):
            continue
        if any(waiting.wants is not Wants.FIGURE for waiting in survey.waits(line)):
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.SPEC_EMPTY,
            since=survey.build.made,
        )


RULE = Rule(ID, find)
