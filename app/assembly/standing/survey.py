"""A build looked over at one moment: what each line stands at, what it waits for, what shuts each gate.

Everything here is derived and pure. A survey is made anew after each action; it works things out once and keeps them.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta
from functools import cached_property
from typing import NamedTuple, TypeVar

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.plan.order import Link, Row, gate_at, gate_end
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured, Role
from app.assembly.said.findings import FINDING, Disposition, Finding
from app.assembly.said.marks import Mark, State
from app.assembly.said.parts import Holding
from app.assembly.said.phrase import Arg, phrase
from app.assembly.said.readings import Reading
from app.assembly.said.second_look import SEEN
from app.assembly.said.temporary import ITEM
from app.assembly.standing.results import Worked, worked
from app.assembly.standing.verdicts import bounds_of, judge_by
from app.assembly.standing.waits import STOPS_START, Waiting, WaitKind
from app.trade.verdict import Verdict

UNKNOWN = "unknown"
A_DAY = timedelta(days=1)
_WENT_IN = (State.STARTED, State.DONE, State.STOPPED, State.LOOK_AGAIN)
# The relations by which a line waits for another to be closed, in the order they are told.
_LINES_FIRST = {
    Link.NEEDS: WaitKind.LINE,
    Link.CONDITION: WaitKind.FINDINGS,
    Link.LATEST: WaitKind.FLOATS,
    Link.HIDES: WaitKind.HIDDEN,
}
Kept = TypeVar("Kept")


class Inside(NamedTuple):
    """A temporary thing that is in: the number of the line that put it in, the step that takes it out, "" for none."""

    key: str
    pieces: int
    name: str
    where: str
    line: str
    out_line: str
    turning_ok: bool
    lost: bool
    since: datetime

    @property
    def words(self) -> str:
        """How many of what are where."""
        return f"{self.pieces} × {self.name}, {self.where}"


class Judged(NamedTuple):
    """A reading that stands at a place, and the verdict on it. There are thousands, so it is the quickest to make."""

    place: Place
    round: int
    reading: Reading
    verdict: Verdict


class Survey:
    """A build at a moment. `now` must carry its time zone; `looking` is the step somebody looks at a second time."""

    def __init__(self, build: Build, now: datetime, looking: str = "") -> None:
        self.build = build
        self.now = now
        self.looking = looking
        self._places: dict[str, tuple[Place, ...]] = {}
        self._waits_of: dict[str, tuple[Waiting, ...]] = {}
        # Asked for each line many times, so looked up once.
        self._lines_first = build.order.ending(*_LINES_FIRST)
        self._acts = build.order.ending(Link.ACT)
        self._held = build.order.ending(Link.HOLD)
        self._kept_from_turning = build.order.ending(Link.SPELL, Link.FOR_GOOD)
        self._followers = build.order.starting(Link.BEFORE)

    # --- what a line stands at

    def state(self, line: Line) -> State:
        """The line's state: its mark, or Not needed where the findings call it off."""
        mark = self.build.facts.lines.get(line.id)
        if mark is not None:
            return mark.state
        return State.NOT_NEEDED if self.called_off(line) else State.TO_DO

    def called_off(self, line: Line) -> bool:
        """Whether the findings say that this line is not wanted at any place."""
        return bool(line.step.when) and not self.places(line)

    def done(self, line: Line) -> bool:
        """Whether the line is signed off and nothing has opened it since."""
        return self.state(line) is State.DONE

    def open(self, line: Line) -> bool:
        """Whether the line still wants something: neither Done nor Not needed."""
        return self.state(line) not in (State.DONE, State.NOT_NEEDED)

    def conceded(self, line: Line) -> bool:
        """Whether somebody decided in writing to go on without this line; a later stop or look again undoes that."""
        written = self.build.facts.concessions.get(line.id)
        if not written:
            return False
        mark = self.build.facts.lines.get(line.id)
        if mark is None or mark.state not in (State.STOPPED, State.LOOK_AGAIN):
            return True
        return any(one.at >= mark.at for one in written.values())

    def taken_on(self, line: Line, rule: str, since: datetime) -> bool:
        """Whether a concession was written about this finding, and not before it was there."""
        written = self.build.facts.concessions.get(line.id, {})
        return any(rule in one.covers and one.at >= since for one in written.values())

    def closed(self, line: Line) -> bool:
        """Whether what comes after may rely on this line: Done, Not needed, or taken on in writing."""
        return not self.open(line) or self.conceded(line)

    def places(self, line: Line) -> tuple[Place, ...]:
        """The places the line is for, after the findings it hangs on; all of them while those are not known."""
        if line.id not in self._places:
            self._places[line.id] = self._applicable(line) if line.step.when else line.places
        return self._places[line.id]

    def _applicable(self, line: Line) -> tuple[Place, ...]:
        places = line.places
        for row in self.build.order.into(line.id, Link.CONDITION):
            places = tuple(place for place in places if self._answers(row, place))
        return places

    def _answers(self, row: Row, place: Place) -> bool:
        finding = self.build.by_id[row.start]
        readings = self.build.facts.readings.get(finding.id, {})
        at = place.id if place in finding.places else finding.places[0].id
        rounds = [reading.text for (where, _), reading in sorted(readings.items()) if where == at]
        if not rounds:
            return self.open(finding) or UNKNOWN in row.any_of
        return rounds[-1] in row.any_of

    def ticked(self, line: Line) -> int:
        """How many of the line's places are ticked Done."""
        ticks = self.build.facts.ticks.get(line.id, {})
        return sum(1 for place in self.places(line) if place.id in ticks and ticks[place.id].state is State.DONE)

    def unticked(self, line: Line) -> tuple[Place, ...]:
        """The places of a many-alike line that are not ticked Done."""
        ticks = self.build.facts.ticks.get(line.id, {}) if line.many else {}
        places = self.places(line) if line.many else ()
        return tuple(p for p in places if p.id not in ticks or ticks[p.id].state is not State.DONE)

    # --- figures and readings

    def bounds(self, line: Line) -> Bounds | None:
        """What the line's readings must meet, or None where it has no figure or it is not entered yet."""
        return self.kept("bounds", line, self._make_bounds)

    def _make_bounds(self, line: Line) -> Bounds | None:
        return bounds_of(line.step.spec, self.build.facts.figures.get(line.id), self.build.sources)

    def kept(self, what: str, line: Line, work_out: Callable[[Line], Kept]) -> Kept:
        """What depends on nothing but the line's own facts, under a name: worked out again only when those change."""
        if line.step.when:
            return work_out(line)
        kept = self.build.worked_out.get(what)
        if kept is None:
            kept = self.build.worked_out[what] = {}
        version = self.build.facts.versions.get(line.id, 0)
        found = kept.get(line.id)
        if found is not None and found[0] == version:
            same: Kept = found[1]
            return same
        made = work_out(line)
        kept[line.id] = (version, made)
        return made

    def figure_missing(self, line: Line) -> bool:
        """Whether the plan leaves the figure to the person and nobody has entered it."""
        spec = line.step.spec
        return spec is not None and _wants_figure(spec.kind) and self.bounds(line) is None

    def judged(self, line: Line) -> tuple[Judged, ...]:
        """The readings that stand at the line's places, judged against its figure."""
        return self.kept("judged", line, self._make_judged)

    def _make_judged(self, line: Line) -> tuple[Judged, ...]:
        readings = self.build.facts.readings.get(line.id)
        return tuple(self._judge(line, readings)) if readings else ()

    def _judge(self, line: Line, readings: Mapping[tuple[str, int], Reading]) -> Iterator[Judged]:
        spec, bounds = line.step.spec, self.bounds(line)
        if spec is None:
            return
        verdict, rounds = judge_by(line.step, bounds), self.rounds(line)
        for place in self.places(line):
            for turn in rounds:
                reading = readings.get((place.id, turn))
                if reading is not None:
                    yield Judged(place, turn, reading, verdict(reading, place.id))

    def rounds(self, line: Line) -> range:
        """The rounds a line is read in: those the plan asks for, and as many further ones as were read."""
        readings = self.build.facts.readings.get(line.id)
        read = max((turn for _, turn in readings), default=0) if readings else 0
        return line.rounds if read < line.rounds.stop else range(1, read + 1)

    def known_from(self, line: Line) -> datetime | None:
        """When the line was last disturbed: what was read before then says nothing about it any more."""
        mark = self.build.facts.lines.get(line.id)
        return mark.known_from if mark is not None else None

    def unread(self, line: Line) -> tuple[Place, ...]:
        """The places of a reading line that lack a value in some round."""
        return self.kept("unread", line, self._make_unread)

    def _make_unread(self, line: Line) -> tuple[Place, ...]:
        if not line.reads or line.step.spec is None:
            return ()
        readings = self.build.facts.readings.get(line.id, {})
        known_from = self.known_from(line)
        if known_from is not None:
            readings = {cell: one for cell, one in readings.items() if one.at >= known_from}
        if all(map(readings.__contains__, line.cells)):
            return ()
        turns = range(1, line.step.spec.rounds + 1)
        return tuple(place for place in self.places(line) if any((place.id, turn) not in readings for turn in turns))

    def judgeable(self, line: Line) -> bool:
        """Whether the line's readings are held against anything: a figure, or what is good to find."""
        spec = line.step.spec
        return self.bounds(line) is not None or (spec is not None and bool(spec.good))

    def outdated(self, line: Line) -> tuple[Judged, ...]:
        """The readings that stand from before the line was disturbed, and count no more."""
        known_from = self.known_from(line)
        return tuple(one for one in self.judged(line) if known_from is not None and one.reading.at < known_from)

    def with_verdict(self, line: Line, verdict: Verdict) -> tuple[Judged, ...]:
        """The line's readings that got this verdict, and the results worked out from them."""
        if line.step.measure is not None and line.step.measure.takes:  # hangs on other lines' readings too
            return self._make_verdicts(line).get(verdict, ())
        return self.kept("verdicts", line, self._make_verdicts).get(verdict, ())

    def worked(self, line: Line) -> tuple[Worked, ...]:
        """What is worked out from the line's readings, with its parts and verdicts."""
        return worked(self.build, line, self.places(line)) if line.reads else ()

    def _make_verdicts(self, line: Line) -> dict[Verdict, tuple[Judged, ...]]:
        judged = (*self.judged(line), *_as_judged(self.worked(line)))
        given = {one.verdict for one in judged}
        return {verdict: tuple(one for one in judged if one.verdict is verdict) for verdict in given}

    # --- order

    @cached_property
    def furthest(self) -> int:
        """The position of the last line Done in working order, or of a passed gate's bar; -1 on a new build."""
        done = [line.position for line in self.build.lines if not line.step.any_time and self._marked_done(line)]
        passed = [self.build.bars[gate] for gate in self.build.facts.gates]
        return max([-1, *done, *passed])

    def _marked_done(self, line: Line) -> bool:
        mark = self.build.facts.lines.get(line.id)
        return mark is not None and mark.state is State.DONE

    def passed_over(self, line: Line) -> bool:
        """Still To do or Started, and not taken on in writing, while something that came after it is Done."""
        if self.state(line) not in (State.TO_DO, State.STARTED) or self.conceded(line):
            return False
        if line.position < self.furthest:
            return True
        return any(self.done(self.build.by_id[row.end]) for row in self._followers.get(line.id, ()))

    def since_passed(self, line: Line) -> datetime:
        """When the first line after this one was signed off."""
        later = [
            mark.at
            for other in self.build.lines[line.position + 1 :]
            if (mark := self.build.facts.lines.get(other.id)) is not None and mark.state is State.DONE
        ]
        passed = [
            passage.at for gate, passage in self.build.facts.gates.items() if self.build.bars[gate] > line.position
        ]
        return min([*later, *passed], default=self.now)

    def since_left(self, line: Line) -> datetime:
        """Since when a line is left undone: what was said of it last, or when it was gone past or gone on without."""
        mark = self.build.facts.lines.get(line.id)
        if mark is not None and mark.state not in (State.TO_DO, State.STARTED):
            return mark.at
        written = self.build.facts.concessions.get(line.id, {})
        return min([self.since_passed(line), *(one.at for one in written.values())])

    @cached_property
    def begun_from(self) -> int:
        """The position of the last line that has been begun or finished in working order; -1 on a new build."""
        begun = (State.STARTED, State.DONE, State.STOPPED, State.LOOK_AGAIN)
        marks = self.build.facts.lines
        return max(
            (
                line.position
                for line in self.build.lines
                if not line.step.any_time and line.id in marks and marks[line.id].state in begun
            ),
            default=-1,
        )

    def open_hold_before(self, line: Line) -> Line | None:
        """The first hold in front of the line that nobody has opened."""
        return next((hold for hold in self._open_holds if hold.position < line.position), None)

    @cached_property
    def _open_holds(self) -> tuple[Line, ...]:
        return tuple(hold for hold in self.build.holds if not self.closed(hold))

    # --- findings, second looks

    @cached_property
    def open_symptoms(self) -> tuple[tuple[str, Finding, Line], ...]:
        """Symptoms noticed and not explained: each is a hold from its line on."""
        return tuple(
            (key, one, self.build.by_id[one.line])
            for (key, _), one in self.build.facts.of(FINDING).items()
            if one.symptom and one.decision is Disposition.OPEN and one.line in self.build.by_id
        )

    def seen_twice(self, line: Line) -> bool:
        """Whether a second look was taken since the line was signed off."""
        mark = self.build.facts.lines.get(line.id)
        seen = self.build.facts.of(SEEN).get((line.id, ""))
        return mark is not None and seen is not None and seen.at >= mark.at

    # --- waiting

    def waits(self, line: Line) -> tuple[Waiting, ...]:
        """Everything that must come before this line can be signed off, apart from its own readings."""
        if line.id not in self._waits_of:
            self._waits_of[line.id] = tuple(self._waits(line))
        return self._waits_of[line.id]

    def stops_start(self, line: Line) -> tuple[Waiting, ...]:
        """What keeps the line from being begun at all."""
        return tuple(waiting for waiting in self.waits(line) if waiting.wants in STOPS_START)

    def own_waits(self, line: Line) -> tuple[Waiting, ...]:
        """What the line's own mark says it waits for: a decision when Stopped, what it was put off for when Later."""
        mark = self.build.facts.lines.get(line.id)
        if mark is not None and mark.state is State.STOPPED:
            return (Waiting(phrase(WaitKind.DECISION, why=mark.why), line.number),)
        if mark is not None and mark.state is State.LATER:
            before = self.put_off_to(mark).number
            return (Waiting(phrase(WaitKind.PUT_OFF, before=before, why=mark.why), before),)
        return ()

    def put_off_to(self, mark: Mark) -> Line:
        """The line that something put off must come before; if an option took that away, the next that is there."""
        order = [line.id for line in self.build.plan_lines]
        later = order[order.index(mark.before) :] if mark.before in order else [mark.before]
        return next((self.build.by_id[id_] for id_ in later if id_ in self.build.by_id), self.build.lines[-1])

    def _waits(self, line: Line) -> Iterator[Waiting]:
        yield from self._waits_for_lines(line)
        if line.step.turns is not None:
            yield from self._waits_to_turn(line)
        yield from self._waits_for_leave(line)
        for part in line.step.parts:
            said = self.build.facts.parts.get(part.id)
            if said is not None and said.holding is not Holding.HERE:
                yield Waiting(phrase(WaitKind.PART, name=part.name, holding=said.holding.value))
        if self.figure_missing(line):
            yield Waiting(phrase(WaitKind.FIGURE), line.number)

    def _waits_for_lines(self, line: Line) -> Iterator[Waiting]:
        """The lines to be closed first, and the times to let go by after them."""
        for row in self._lines_first.get(line.id, ()):
            other = self.build.by_id[row.start]
            if not self.closed(other):
                yield _for_line(_LINES_FIRST[row.kind], row, other)
            elif row.kind is Link.NEEDS:
                yield from self._waits_after(row, other)

    def _waits_after(self, row: Row, other: Line) -> Iterator[Waiting]:
        """What the times say that a closed line wants after it."""
        late = self.open_time_over(row)
        # A mark is often written after the work. Minutes late is for the loose ends to ask about; weeks late is not.
        if late is not None and row.most is not None and row.most.length >= A_DAY:
            said = phrase(WaitKind.AGAIN, number=other.number, within=row.most.text, over=late)
            yield Waiting(said, other.number, row=row)
            return
        until = self.wait_ends(row)
        if until is not None and until > self.now:
            said = phrase(WaitKind.CURE, number=other.number, because=row.why)
            yield Waiting(said, other.number, until, row)

    def _waits_to_turn(self, line: Line) -> Iterator[Waiting]:
        """What must not be while the engine is turned, by hand or by its starter."""
        for thing, row in self._in_the_way(line):
            said = phrase(WaitKind.INSIDE, count=thing.pieces, name=thing.name, where=thing.where)
            yield Waiting(said, thing.line, row=row)
        for row in self._kept_from_turning.get(line.id, ()):
            after, other = self.build.by_id[row.after], self.build.by_id[row.start]
            if not self.done(after):
                continue
            if row.kind is Link.SPELL and not self.closed(other):
                yield _for_line(WaitKind.BETWEEN, row, other, after=after.number, because=row.why)
            elif row.kind is Link.FOR_GOOD and not self.done(other):
                yield _for_line(WaitKind.STOOD_IN, row, other, after=after.number)

    def _waits_for_leave(self, line: Line) -> Iterator[Waiting]:
        """The gate to be passed, the hold to be opened and the symptoms to be explained in front of a line."""
        for row in self._acts.get(line.id, ()):
            gate = gate_at(row.start)
            if gate not in self.build.facts.gates:
                yield Waiting(phrase(WaitKind.GATE, title=self.build.gate(gate).title), row=row)
        hold = self.open_hold_before(line)
        if hold is not None:
            yield _for_line(WaitKind.HOLD, self._hold_row(hold, line), hold)
        for key, symptom, at in self.open_symptoms:
            if line.position > at.position:
                said = phrase(WaitKind.SYMPTOM, key=key, number=at.number, what=symptom.what)
                yield Waiting(said, at.number)

    def _hold_row(self, hold: Line, line: Line) -> Row:
        """The row by which a hold keeps a line: the last of those from hold to hold that lead there."""
        (row,) = self._held[line.id]
        while row.start != hold.id:
            (row,) = self._held[row.start]
        return row

    def open_time_over(self, row: Row) -> datetime | None:
        """When the time to follow a line ran out, None while it has not or where there is none."""
        ends = self.open_time_ends(row)
        return ends if ends is not None and self.now > ends else None

    def open_time_ends(self, row: Row) -> datetime | None:
        """By when a line must be followed: skin on a sealant, oil drained from a primed gallery."""
        mark = self.build.facts.lines.get(row.start)
        if row.most is None or mark is None or mark.state is not State.DONE:
            return None
        return mark.at + row.most.length

    def wait_ends(self, row: Row) -> datetime | None:
        """When the wait after a closed line is over; None where there is nothing to wait for."""
        mark = self.build.facts.lines.get(row.start)
        if row.least is None or mark is None or mark.state is not State.DONE:
            return None
        return mark.at + row.least.length

    def in_the_way(self, line: Line) -> tuple["Inside", ...]:
        """What must be out before this line turns the engine."""
        return tuple(thing for thing, _ in self._in_the_way(line)) if line.step.turns is not None else ()

    def _in_the_way(self, line: Line) -> Iterator[tuple["Inside", Row | None]]:
        for thing in self.inside:
            if thing.turning_ok:
                continue
            if thing.line:
                yield from (
                    (thing, row) for row in self.build.order.into(line.id, Link.INSIDE) if self._about(row, thing)
                )
            else:
                yield thing, None

    def _about(self, row: Row, thing: "Inside") -> bool:
        """Whether a row is of a thing the plan puts in, as its own line did."""
        put_in = self.build.by_number[thing.line].id
        return (row.thing, row.after, row.start) == (thing.key, put_in, thing.out_line)

    @cached_property
    def standing_in(self) -> tuple[Line, ...]:
        """The lines that are Done and only hold the place of another that is not."""
        return tuple(
            self.build.by_id[row.start]
            for row in self.build.order.of_kind(Link.STANDS_IN)
            if self.done(self.build.by_id[row.start]) and not self.done(self.build.by_id[row.end])
        )

    @cached_property
    def inside(self) -> tuple["Inside", ...]:
        """Every temporary thing that is in the engine: the plan's, and those put in on the way."""
        return (*self._plan_items(), *self._own_items())

    def _plan_items(self) -> Iterator["Inside"]:
        for line in self.build.lines:
            mark = self.build.facts.lines.get(line.id)
            if not line.step.puts_in or mark is None or mark.state not in _WENT_IN:
                continue
            ways_out = {
                row.thing: self.build.by_id[row.end] for row in self.build.order.out_of(line.id, Link.COMES_OUT)
            }
            for item in line.step.puts_in:
                out = ways_out.get(item.id)
                if out is not None and not self.done(out) and not (out is line and mark.state is State.LOOK_AGAIN):
                    what = (item.id, item.count, item.name, item.where)
                    yield Inside(*what, line.number, out.id, item.turning_ok, False, mark.at)

    def _own_items(self) -> Iterator["Inside"]:
        for (key, _), item in self.build.facts.of(ITEM).items():
            if item.out_at is None:
                what = (key, item.count, item.name, item.where)
                yield Inside(*what, "", "", item.turning_ok, item.lost, item.at)

    def ready(self, line: Line) -> bool:
        """Whether the line is open and could be taken in hand now."""
        return self.state(line) in (State.TO_DO, State.STARTED, State.LOOK_AGAIN) and not self.waits(line)

    # --- gates

    def gate_ahead(self, line: Line) -> str:
        """The gate an open line bites at: its own while that is shut, else the next one; "" after the last."""
        own = line.step.gate
        if own and own not in self.build.facts.gates:
            return own
        for gate in self.build.gates:
            if gate.id not in self.build.facts.gates and self.build.bars[gate.id] > line.position:
                return gate.id
        return self.next_gate

    def gate_put_off_to(self, line: Line, before: Line) -> str:
        """The gate a line put off bites at: its own while that is shut, else the next past the line it comes before."""
        own = line.step.gate
        if own and own not in self.build.facts.gates:
            return own
        for gate in self.build.gates:
            if gate.id not in self.build.facts.gates and self.build.bars[gate.id] >= before.position:
                return gate.id
        return self.next_gate

    @cached_property
    def next_gate(self) -> str:
        """The first gate not passed yet, "" when all are."""
        return next((gate.id for gate in self.build.gates if gate.id not in self.build.facts.gates), "")

    def gate_lines(self, gate: str) -> tuple[Line, ...]:
        """The lines that keep a gate shut until they are closed."""
        rows = self.build.order.into(gate_end(gate), Link.GATE)
        return tuple(self.build.by_id[row.start] for row in rows if not gate_at(row.start))

    @cached_property
    def prime_line(self) -> Line | None:
        """The line that proves oil pressure on a gauge before the engine is cranked."""
        return next(iter(self.build.with_role(Role.PRIME)), None)


def _as_judged(results: tuple[Worked, ...]) -> Iterator[Judged]:
    """What is worked out, judged like a reading: as old as the last of its parts."""
    for one in results:
        if one.size is not None and one.verdict is not None:
            last = max((part.reading for part in one.parts), key=lambda reading: reading.at)
            yield Judged(one.place, 1, Reading(one.text, one.size, one.unit, last.by, last.at), one.verdict)


def _for_line(kind: WaitKind, row: Row, other: Line, **args: Arg) -> Waiting:
    """Another line waited for, by its number and what it does."""
    return Waiting(phrase(kind, number=other.number, do=other.step.do, **args), other.number, row=row)


def _wants_figure(kind: Measured) -> bool:
    return kind not in (Measured.SEE, Measured.CHOICE, Measured.TEXT)
