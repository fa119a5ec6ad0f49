"""A line that was Done and has been opened up or doubted since."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "look-again"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line to be looked at again."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state is not State.LOOK_AGAIN:
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.LOOK_AGAIN,
            args={"why": mark.because or mark.why},
            since=mark.at,
            places=tuple(place.id for place in survey.places(line)) if len(line.places) > 1 else (),
        )


RULE = Rule(ID, find)
