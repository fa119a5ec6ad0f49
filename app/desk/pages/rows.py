"""The rows of the list pages, made from the build: loose ends, ready now, a gate, the logbook, the builds."""

from collections.abc import Iterable
from itertools import groupby

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.deeds import EventName
from app.assembly.said.marks import State
from app.assembly.standing.entry_places import without_first
from app.assembly.standing.gates import GateStanding
from app.assembly.standing.waiting import own_waits
from app.desk.pages.list_page import ListRow
from app.desk.work import Work
from app.sheet.rows import Run, frame_of
from app.store.workshop import BuildName
from app.words.ends import shut_why
from app.words.ends import title as title_of
from app.words.journal import Told
from app.words.say import say


def _line_row(work: Work, line: Line, second: tuple[Run, ...], middle: str = "", right: str = "") -> ListRow:
    return ListRow(
        key=line.id,
        title=line.step.do,
        number=line.number,
        frame=frame_of(line),
        state=work.survey.state(line).value,
        hold=line.step.hold,
        second=second,
        middle=middle,
        right=right,
    )


def loose_end_rows(work: Work) -> list[ListRow]:
    """Every loose end under the gate where it bites, the next gate first."""
    gates = [gate.id for gate in work.build.gates]
    order = {gate: number for number, gate in enumerate([*gates, ""])}
    ends = sorted(work.ends, key=lambda end: order[end.gate])
    rows: list[ListRow] = []
    for gate, found in groupby(ends, key=lambda end: end.gate):
        group = list(found)
        title = f"Before “{work.build.gate(gate).title}”" if gate else "After the last gate"
        rows.append(ListRow("", title, heading=True, right=f"{len(group)}"))
        for end in group:
            why = say(without_first(work.survey, end.line, end.why))
            second = (Run(f"{why}. ", "stop" if end.blocks else "mind", bold=True), Run(f"{say(end.clears)}."))
            rows.append(_line_row(work, end.line, second, title_of(end.rule), say(end.harm)))
    return rows


def ready_rows(work: Work) -> list[ListRow]:
    """What can be taken in hand now, then what waits and for what."""
    opened = [line for line in work.build.lines if work.survey.open(line)]
    ready = [line for line in opened if work.survey.ready(line)]
    rows = [ListRow("", "Ready now", heading=True, right=str(len(ready)))]
    rows += [_line_row(work, line, _needs(line), f"{line.step.minutes} min", _people(line)) for line in ready]
    waiting = [line for line in opened if line not in ready]
    rows.append(ListRow("", "Waiting", heading=True, right=str(len(waiting))))
    rows += [_line_row(work, line, _waits(work, line)) for line in waiting]
    return rows


def _needs(line: Line) -> tuple[Run, ...]:
    things = [part.name for part in line.step.parts] + list(line.step.tools)
    return (Run(", ".join(things) if things else line.step.note),)


def _people(line: Line) -> str:
    words = [f"{line.step.people} people"] if line.step.people > 1 else []
    words += ["noisy"] if line.step.noisy else []
    return ", ".join(words)


def _waits(work: Work, line: Line) -> tuple[Run, ...]:
    waits = [*own_waits(work.build, line), *work.survey.waits(line)]
    return (Run("Waits for ", "mind", bold=True), Run("; ".join(say(one.whole) for one in waits)))


def reason_rows(work: Work, standing: GateStanding) -> list[ListRow]:
    """What keeps a gate shut, in the order to work it off."""
    rows = []
    for reason in standing.reasons:
        line = work.build.by_id[reason.step]
        state = work.survey.state(line)
        why = Run(f"{shut_why(reason)}. ", "stop" if state is State.STOPPED else "mind", bold=True)
        second = (why, Run(f"{say(reason.clears)}."))
        rows.append(_line_row(work, line, second, f"{line.step.minutes} min", say(reason.harm)))
    return rows


def day_row(one: Told) -> ListRow:
    """The head of a day of the logbook."""
    return ListRow("", f"{one.at.astimezone():%a %d %b %Y}", heading=True)


def told_row(build: Build, one: Told, *, together: bool) -> ListRow:
    """An entry of the logbook; one signed off in one burst with others says so."""
    line = build.by_number.get(one.line)
    old, new = _said(one.old), _said(one.new)
    changed = f"{old}, then {new}" if old and new else new or f"{old} taken away"
    words = f"{changed}{f'. {one.why}' if one.why else ''}"
    burst = (Run(f" Marked together {one.at.astimezone():%H:%M}.", "mind", bold=True),) if together else ()
    return ListRow(
        key=line.id if line else "",
        title=f"{one.line}  {one.what}" if one.line else one.what,
        number=f"{one.at.astimezone():%H:%M}",
        frame=frame_of(line) if line and one.new in _STATES else None,
        state=one.new if one.new in _STATES else "",
        gate="open" if one.event is EventName.PASS and one.new.startswith("passed") else "",
        second=(*((Run(words),) if words != one.what else ()), *burst),
        middle=one.event.value,
        right=one.by,
    )


_STATES = {state.value for state in State}


def _said(words: str) -> str:
    return State(words).word if words in _STATES else words


def build_rows(builds: Iterable[BuildName]) -> list[ListRow]:
    """The builds of a workshop."""
    return [
        ListRow(
            key=str(one.key),
            title=one.name,
            second=(Run(f"{one.plan}, made {one.made.astimezone():%d %b %Y}"),),
            middle=f"{one.done} of {one.lines} lines Done",
            right=f"worked on {one.last.astimezone():%d %b %Y}" if one.last else "",
        )
        for one in builds
    ]
