"""What each line waits for, worked out: the lines, times, gates, holds and things that must come first."""

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import NamedTuple, Protocol

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.order import Link, Relations, Row, gate_at
from app.assembly.said.findings import Finding
from app.assembly.said.marks import Mark, State
from app.assembly.said.parts import Holding
from app.assembly.said.phrase import Arg, phrase
from app.assembly.standing.inside import Inside, in_the_way
from app.assembly.standing.waits import Waiting, WaitKind

A_DAY = timedelta(days=1)
# The relations by which a line waits for another to be closed, in the order they are told.
_LINES_FIRST = {
    Link.NEEDS: WaitKind.LINE,
    Link.CONDITION: WaitKind.FINDINGS,
    Link.LATEST: WaitKind.FLOATS,
    Link.HIDES: WaitKind.HIDDEN,
}


class WaitRows(NamedTuple):
    """The relations that make a line wait, by the line. They are asked for many times, so looked up once."""

    lines_first: Mapping[str, tuple[Row, ...]]
    acts: Mapping[str, tuple[Row, ...]]
    held: Mapping[str, tuple[Row, ...]]
    kept_from_turning: Mapping[str, tuple[Row, ...]]


class Stands(Protocol):
    """What waiting asks of a survey, which keeps what each line waits for and so knows this module."""

    @property
    def build(self) -> Build:
        """The build looked over."""

    @property
    def now(self) -> datetime:
        """The moment it is looked over at, with its time zone."""

    @property
    def wait_rows(self) -> WaitRows:
        """The relations that make a line wait."""

    @property
    def inside(self) -> tuple[Inside, ...]:
        """Every temporary thing that is in the engine."""

    @property
    def open_symptoms(self) -> tuple[tuple[str, Finding, Line], ...]:
        """Symptoms noticed and not explained."""

    def done(self, line: Line) -> bool:
        """Whether the line is signed off."""

    def closed(self, line: Line) -> bool:
        """Whether what comes after may rely on this line."""

    def figure_missing(self, line: Line) -> bool:
        """Whether a figure left to the person is not entered."""

    def open_hold_before(self, line: Line) -> Line | None:
        """The first hold in front of the line that nobody has opened."""


def wait_rows(order: Relations) -> WaitRows:
    """The relations that make a line wait, of all those of a build."""
    return WaitRows(
        order.ending(*_LINES_FIRST),
        order.ending(Link.ACT),
        order.ending(Link.HOLD),
        order.ending(Link.SPELL, Link.FOR_GOOD),
    )


def waits_of(survey: Stands, line: Line) -> Iterator[Waiting]:
    """Everything that must come before this line can be signed off, apart from its own readings."""
    yield from _for_lines(survey, line)
    if line.step.turns is not None:
        yield from _to_turn(survey, line)
    yield from _for_leave(survey, line)
    for part in line.step.parts:
        said = survey.build.facts.parts.get(part.id)
        if said is not None and said.holding is not Holding.HERE:
            yield Waiting(phrase(WaitKind.PART, name=part.name, holding=said.holding.value))
    if survey.figure_missing(line):
        yield Waiting(phrase(WaitKind.FIGURE), line.number)


def _for_lines(survey: Stands, line: Line) -> Iterator[Waiting]:
    """The lines to be closed first, and the times to let go by after them."""
    for row in survey.wait_rows.lines_first.get(line.id, ()):
        other = survey.build.by_id[row.start]
        if not survey.closed(other):
            yield _for_line(_LINES_FIRST[row.kind], row, other)
        elif row.kind is Link.NEEDS:
            yield from _after(survey, row, other)


def _after(survey: Stands, row: Row, other: Line) -> Iterator[Waiting]:
    """What the times say that a closed line wants after it."""
    late = _open_time_over(survey, row)
    # A mark is often written after the work. Minutes late is for the loose ends to ask about; weeks late is not.
    if late is not None and row.most is not None and row.most.length >= A_DAY:
        said = phrase(WaitKind.AGAIN, number=other.number, within=row.most.text, over=late)
        yield Waiting(said, other.number, row=row)
        return
    until = _wait_ends(survey.build, row)
    if until is not None and until > survey.now:
        said = phrase(WaitKind.CURE, number=other.number, because=row.why)
        yield Waiting(said, other.number, until, row)


def _to_turn(survey: Stands, line: Line) -> Iterator[Waiting]:
    """What must not be while the engine is turned, by hand or by its starter."""
    for thing, way_out in in_the_way(survey.build, survey.inside, line):
        said = phrase(WaitKind.INSIDE, count=thing.pieces, name=thing.name, where=thing.where)
        yield Waiting(said, thing.line, row=way_out)
    for row in survey.wait_rows.kept_from_turning.get(line.id, ()):
        after, other = survey.build.by_id[row.after], survey.build.by_id[row.start]
        if not survey.done(after):
            continue
        if row.kind is Link.SPELL and not survey.closed(other):
            yield _for_line(WaitKind.BETWEEN, row, other, after=after.number, because=row.why)
        elif row.kind is Link.FOR_GOOD and not survey.done(other):
            yield _for_line(WaitKind.STOOD_IN, row, other, after=after.number)


def _for_leave(survey: Stands, line: Line) -> Iterator[Waiting]:
    """The gate to be passed, the hold to be opened and the symptoms to be explained in front of a line."""
    for row in survey.wait_rows.acts.get(line.id, ()):
        gate = gate_at(row.start)
        if gate not in survey.build.facts.gates:
            yield Waiting(phrase(WaitKind.GATE, title=survey.build.gate(gate).title), row=row)
    hold = survey.open_hold_before(line)
    if hold is not None:
        yield _for_line(WaitKind.HOLD, _hold_row(survey.wait_rows, hold, line), hold)
    for key, symptom, at in survey.open_symptoms:
        if line.position > at.position:
            said = phrase(WaitKind.SYMPTOM, key=key, number=at.number, what=symptom.what)
            yield Waiting(said, at.number)


def _hold_row(rows: WaitRows, hold: Line, line: Line) -> Row:
    """The row by which a hold keeps a line: the last of those from hold to hold that lead there."""
    (row,) = rows.held[line.id]
    while row.start != hold.id:
        (row,) = rows.held[row.start]
    return row


def _for_line(kind: WaitKind, row: Row, other: Line, **args: Arg) -> Waiting:
    """Another line waited for, by its number and what it does."""
    return Waiting(phrase(kind, number=other.number, do=other.step.do, **args), other.number, row=row)


def own_waits(build: Build, line: Line) -> tuple[Waiting, ...]:
    """What the line's own mark says it waits for: a decision when Stopped, what it was put off for when Later."""
    mark = build.facts.lines.get(line.id)
    if mark is not None and mark.state is State.STOPPED:
        return (Waiting(phrase(WaitKind.DECISION, why=mark.why), line.number),)
    if mark is not None and mark.state is State.LATER:
        before = put_off_to(build, mark).number
        return (Waiting(phrase(WaitKind.PUT_OFF, before=before, why=mark.why), before),)
    return ()


def put_off_to(build: Build, mark: Mark) -> Line:
    """The line that something put off must come before; if an option took that away, the next that is there."""
    order = [line.id for line in build.plan_lines]
    later = order[order.index(mark.before) :] if mark.before in order else [mark.before]
    return next((build.by_id[id_] for id_ in later if id_ in build.by_id), build.lines[-1])


def _open_time_over(survey: Stands, row: Row) -> datetime | None:
    """When the time to follow a line ran out, None while it has not or where there is none."""
    ends = open_time_ends(survey.build, row)
    return ends if ends is not None and survey.now > ends else None


def open_time_ends(build: Build, row: Row) -> datetime | None:
    """By when a line must be followed: skin on a sealant, oil drained from a primed gallery."""
    mark = build.facts.lines.get(row.start)
    if row.most is None or mark is None or mark.state is not State.DONE:
        return None
    return mark.at + row.most.length


def _wait_ends(build: Build, row: Row) -> datetime | None:
    """When the wait after a closed line is over; None where there is nothing to wait for."""
    mark = build.facts.lines.get(row.start)
    if row.least is None or mark is None or mark.state is not State.DONE:
        return None
    return mark.at + row.least.length
