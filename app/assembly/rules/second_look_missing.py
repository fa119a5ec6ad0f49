"""A line that wants a second look and has had only one."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "second-look-missing"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each Done line whose second look is still to come."""
    for line in survey.build.lines:
        if not line.step.second_look or not survey.done(line) or survey.seen_twice(line):
            continue
        mark = survey.build.facts.lines[line.id]
        if survey.taken_on(line, ID, mark.at):
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.SECOND_LOOK_MISSING,
            args={"by": mark.by},
            since=mark.at,
            blocks=False,  # a witness is invited to look and may pass; a hold is what stops
        )


RULE = Rule(ID, find)
