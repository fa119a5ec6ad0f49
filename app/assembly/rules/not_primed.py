"""Oil pressure not proved on a gauge although the engine is about to turn, or the line was skipped or doubted."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Role
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead, since_left
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.trade.verdict import Verdict

ID = "not-primed"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """At most one loose end: the priming line, until it is Done on a number that is in limits."""
    line = next(iter(survey.build.with_role(Role.PRIME)), None)
    if line is None or _proved(survey, line) or not _due(survey, line):
        return
    yield LooseEnd(
        rule=ID,
        line=line,
        gate=gate_ahead(survey, line),
        kind=End.NOT_PRIMED,
        args={"number": line.number, "state": survey.state(line), "written": bool(survey.judged(line))},
        since=since_left(survey, line),
    )


def _proved(survey: Survey, line: Line) -> bool:
    judged = survey.judged(line)
    return survey.done(line) and bool(judged) and all(one.verdict is Verdict.IN for one in judged)


def _due(survey: Survey, line: Line) -> bool:
    touched = survey.state(line) not in (State.TO_DO, State.STARTED)
    return touched or survey.conceded(line) or survey.begun_from > line.position or survey.furthest > line.position


RULE = Rule(ID, find)
