"""Something to be done after so many hours, miles, days or heat cycles, and they have run."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.plan.steps import Role
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.conditions import MM_PER_KM, totals
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind

ID = "follow-up-due"
_RAN = (State.DONE, State.LOOK_AGAIN, State.STOPPED)


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each follow-up that is due and not Done."""
    started = _first_start(survey)
    if started is None:
        return
    for line in survey.build.lines:
        follow_up = line.step.follow_up
        if follow_up is None or not survey.open(line) or not due(survey, follow_up.after, started):
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.FOLLOW_UP_DUE,
            args={"after": follow_up.after},
            since=started,
        )


def _first_start(survey: Survey) -> datetime | None:
    marks = survey.build.facts.lines
    starts = [marks[line.id].at for line in survey.build.with_role(Role.FIRST_START) if survey.state(line) in _RAN]
    return min(starts, default=None)


def due(survey: Survey, after: str, started: datetime) -> bool:
    """Whether a follow-up's time, distance or count of heat cycles (“500 miles”, “20 h”, “1 heat cycle”) has run."""
    run = totals(survey.build)
    if "cycle" in after:
        return run.heat_cycles >= int(after.split()[0])
    try:
        return run.distance_km >= read_quantity(after, Kind.LENGTH).magnitude / MM_PER_KM
    except NotationError:
        seconds = read_quantity(after, Kind.TIME).magnitude
    # Hours are hours of running; days and more are the calendar's.
    return run.hours * 3600 >= seconds if seconds < 86_400 * 5 else (survey.now - started).total_seconds() >= seconds


RULE = Rule(ID, find)
