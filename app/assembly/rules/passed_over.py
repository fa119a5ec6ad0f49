"""A line still To do or Started although something after it is Done."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "passed-over"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line passed over."""
    for line in survey.open_lines:
        if survey.passed_over(line):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.PASSED_OVER,
                args={"state": survey.state(line)},
                since=survey.since_passed(line),
                places=tuple(place.id for place in survey.unticked(line)),
            )


RULE = Rule(ID, find)
