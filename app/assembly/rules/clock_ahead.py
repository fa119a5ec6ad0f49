"""Something signed for a time that has not come yet: the clock was wrong then, or is now."""

from collections.abc import Iterator
from datetime import timedelta

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "clock-ahead"
_SLACK = timedelta(minutes=5)


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line marked at a time still to come."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is not None and mark.at > survey.now + _SLACK:
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.CLOCK_AHEAD,
                args={"at": mark.at},
                since=mark.at,
                blocks=False,
            )


RULE = Rule(ID, find)
