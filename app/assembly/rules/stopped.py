"""A line stopped that nobody has decided about."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "stopped"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each Stopped line without a decision."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state is not State.STOPPED or survey.conceded(line):
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.STOPPED,
            args={"why": mark.why},
            since=mark.at,
        )


RULE = Rule(ID, find)
