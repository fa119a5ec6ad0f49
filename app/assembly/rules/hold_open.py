"""A hold that nobody has opened although work stands at it or has gone past it."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "hold-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each hold that is open and was overtaken, stopped or doubted."""
    for hold in survey.build.holds:
        mark = survey.build.facts.lines.get(hold.id)
        doubted = mark is not None and mark.state in (State.STOPPED, State.LOOK_AGAIN, State.LATER)
        if not survey.closed(hold) and (doubted or survey.begun_from > hold.position):
            yield LooseEnd(
                rule=ID,
                line=hold,
                gate=gate_ahead(survey, hold),
                kind=End.HOLD_OPEN,
                args={"state": survey.state(hold)},
                since=mark.at if doubted and mark else survey.since_passed(hold),
            )


RULE = Rule(ID, find)
