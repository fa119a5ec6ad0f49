"""A figure in use that nobody can trace."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "source-missing"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each figure without a source on a line that has been begun or could be."""
    for line in survey.build.lines:
        bounds = survey.bounds(line)
        if bounds is None or bounds.source or survey.conceded(line):
            continue
        if survey.state(line) is State.TO_DO and survey.waits(line):
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.SOURCE_MISSING,
            args={"figure": bounds.text},
            since=survey.build.made,
        )


RULE = Rule(ID, find)
