"""A hole found open to oil or coolant, or not known to be blind, without its sealant."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.order import Link
from app.assembly.plan.steps import Role
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead, since_left
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "hole-unsealed"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each sealing line that was skipped, doubted or overtaken while holes are open."""
    for seal in survey.build.with_role(Role.HOLE_SEAL):
        unsealed = _unsealed(survey, seal)
        if not unsealed or not _skipped(survey, seal):
            continue
        yield LooseEnd(
            rule=ID,
            line=seal,
            gate=gate_ahead(survey, seal),
            kind=End.HOLE_UNSEALED,
            args={"places": unsealed},
            since=since_left(survey, seal),
            places=unsealed,
        )


def _unsealed(survey: Survey, seal: Line) -> tuple[str, ...]:
    if survey.done(seal) and not seal.many:
        return ()
    doubted = survey.state(seal) in (State.STOPPED, State.LOOK_AGAIN)
    ticks = {} if doubted else survey.build.facts.ticks.get(seal.id, {})
    sealed = {place for place, tick in ticks.items() if tick.state is State.DONE}
    return tuple(place.id for place in survey.places(seal) if place.id not in sealed)


def _skipped(survey: Survey, seal: Line) -> bool:
    """Still to do in its turn is no loose end; anything else is."""
    if survey.state(seal) not in (State.TO_DO, State.STARTED) or survey.conceded(seal) or survey.passed_over(seal):
        return True
    needing = [survey.build.by_id[row.end] for row in survey.build.order.out_of(seal.id, Link.NEEDS)]
    closing = (line for line in needing if line.step.role is Role.HOLE_CLOSE)
    return any(survey.state(line) in (State.STARTED, State.DONE) for line in closing)


RULE = Rule(ID, find)
