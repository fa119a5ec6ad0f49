"""Which gate something bites at, and which lines keep a gate shut."""

from datetime import datetime

from app.assembly.lines import Line
from app.assembly.plan.order import Link, gate_at, gate_end
from app.assembly.said.marks import State
from app.assembly.standing.survey import Survey


def gate_ahead(survey: Survey, line: Line) -> str:
    """The gate an open line bites at: its own while that is shut, else the next one; "" after the last."""
    return _shut_from(survey, line, line.position + 1)


def gate_put_off_to(survey: Survey, line: Line, before: Line) -> str:
    """The gate a line put off bites at: its own while that is shut, else the next past the line it comes before."""
    return _shut_from(survey, line, before.position)


def _shut_from(survey: Survey, line: Line, bar: int) -> str:
    """The line's own gate while that is shut, else the first shut one whose bar is no earlier than this."""
    build, passed = survey.build, survey.build.facts.gates
    if line.step.gate and line.step.gate not in passed:
        return line.step.gate
    for gate in build.gates:
        if gate.id not in passed and build.bars[gate.id] >= bar:
            return gate.id
    return survey.next_gate


def gate_lines(survey: Survey, gate: str) -> tuple[Line, ...]:
    """The lines that keep a gate shut until they are closed."""
    rows = survey.build.order.into(gate_end(gate), Link.GATE)
    return tuple(survey.build.by_id[row.start] for row in rows if not gate_at(row.start))


def since_left(survey: Survey, line: Line) -> datetime:
    """Since when a line is left undone: what was said of it last, or when it was gone past or gone on without."""
    mark = survey.build.facts.lines.get(line.id)
    if mark is not None and mark.state not in (State.TO_DO, State.STARTED):
        return mark.at
    written = survey.build.facts.concessions.get(line.id, {})
    return min([survey.since_passed(line), *(one.at for one in written.values())])
