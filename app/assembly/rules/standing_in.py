"""A thing that only holds the place of another, which is not there yet."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "standing-in"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line that stands in for one not Done."""
    for line in survey.standing_in:
        target = survey.build.by_id[line.step.stands_in_for]
        mark = survey.build.facts.lines[line.id]
        yield LooseEnd(
            rule=ID,
            line=target,
            gate=gate_ahead(survey, target),
            kind=End.STANDING_IN,
            args={"other": line.number, "do": line.step.do, "target": target.number},
            since=mark.at,
        )


RULE = Rule(ID, find)
