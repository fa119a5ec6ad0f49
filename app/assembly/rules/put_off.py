"""A line put off that still waits for what it was put off for."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_put_off_to
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.waiting import put_off_to

ID = "put-off"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line marked Later."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state is not State.LATER:
            continue
        before = put_off_to(survey.build, mark)
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_put_off_to(survey, line, before),
            kind=End.PUT_OFF,
            args={"before": before.number, "why": mark.why, "meanwhile": mark.meanwhile},
            since=mark.at,
        )


RULE = Rule(ID, find)
