"""A build looked over at one moment: what each line stands at, what it waits for, what shuts each gate.

Everything here is derived and pure. A survey is made anew after each action; it works things out once and keeps them.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from functools import cached_property
from typing import NamedTuple, TypeVar

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.plan.order import Link, Row
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured
from app.assembly.said.findings import FINDING, Disposition, Finding
from app.assembly.said.marks import State
from app.assembly.said.readings import Reading
from app.assembly.said.second_look import SEEN
from app.assembly.said.units import WHOLE_BUILD
from app.assembly.standing.inside import Inside, things_inside
from app.assembly.standing.results import Worked, worked
from app.assembly.standing.verdicts import bounds_in, judge_by, under_in
from app.assembly.standing.waiting import wait_rows, waits_of
from app.assembly.standing.waits import STOPS_START, Waiting
from app.trade.verdict import Verdict

UNKNOWN = "unknown"
Kept = TypeVar("Kept")


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
        # Which change of the units shown first this is: they are in what is worked out of every line.
        self._units_version = build.facts.versions.get(WHOLE_BUILD, 0)
        self.looking = looking
        self._places: dict[str, tuple[Place, ...]] = {}
        self._waits_of: dict[str, tuple[Waiting, ...]] = {}
        self.wait_rows = wait_rows(build.order)
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
        mark = self.build.facts.lines.get(line.id)
        return mark is not None and mark.state is State.DONE

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
        return bounds_in(self.build, line)

    def kept(self, what: str, line: Line, work_out: Callable[[Line], Kept]) -> Kept:
        """What depends on nothing but the line's own facts, under a name: worked out again only when those change."""
        if line.step.when:
            return work_out(line)
        kept = self.build.worked_out.get(what)
        if kept is None:
            kept = self.build.worked_out[what] = {}
        version = self.build.facts.versions.get(line.id, 0), self._units_version
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
        verdict, rounds = judge_by(line.step, bounds, under_in(self.build, line)), self.rounds(line)
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

    @cached_property
    def read_lines(self) -> tuple[Line, ...]:
        """The lines with a reading, or with something worked out of other lines' readings."""
        read = self.build.facts.readings
        return tuple(
            line
            for line in self.build.lines
            if line.id in read or (line.step.measure is not None and line.step.measure.takes)
        )

    @cached_property
    def open_lines(self) -> tuple[Line, ...]:
        """The lines that are open, in their order."""
        return tuple(line for line in self.build.lines if self.open(line))

    def with_verdict(self, line: Line, verdict: Verdict) -> tuple[Judged, ...]:
        """The line's readings that got this verdict, and the results worked out from them."""
        if line.step.measure is not None and line.step.measure.takes:  # hangs on other lines' readings too
            return self._make_verdicts(line).get(verdict, ())
        return self.kept("verdicts", line, self._make_verdicts).get(verdict, ())

    def worked(self, line: Line) -> tuple[Worked, ...]:
        """What is worked out from the line's readings, with its parts and verdicts."""
        if not line.reads:
            return ()
        if line.step.measure is not None and line.step.measure.takes:  # hangs on other lines' readings too
            return worked(self.build, line, self.places(line))
        return self.kept("worked", line, lambda one: worked(self.build, one, self.places(one)))

    def _make_verdicts(self, line: Line) -> dict[Verdict, tuple[Judged, ...]]:
        judged = (*self.judged(line), *_as_judged(self.worked(line)))
        given = {one.verdict for one in judged}
        return {verdict: tuple(one for one in judged if one.verdict is verdict) for verdict in given}

    # --- order

    @cached_property
    def furthest(self) -> int:
        """The position of the last line Done in working order, or of a passed gate's bar; -1 on a new build."""
        done = [line.position for line in self.build.lines if not line.step.any_time and self.done(line)]
        passed = [self.build.bars[gate] for gate in self.build.facts.gates]
        return max([-1, *done, *passed])

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
            self._waits_of[line.id] = tuple(waits_of(self, line))
        return self._waits_of[line.id]

    def stops_start(self, line: Line) -> tuple[Waiting, ...]:
        """What keeps the line from being begun at all."""
        return tuple(waiting for waiting in self.waits(line) if waiting.wants in STOPS_START)

    @cached_property
    def standing_in(self) -> tuple[Line, ...]:
        """The lines that are Done and only hold the place of another that is not."""
        return tuple(
            self.build.by_id[row.start]
            for row in self.build.order.of_kind(Link.STANDS_IN)
            if self.done(self.build.by_id[row.start]) and not self.done(self.build.by_id[row.end])
        )

    @cached_property
    def inside(self) -> tuple[Inside, ...]:
        """Every temporary thing that is in the engine: the plan's, and those put in on the way."""
        return things_inside(self.build)

    def ready(self, line: Line) -> bool:
        """Whether the line is open and could be taken in hand now."""
        return self.state(line) in (State.TO_DO, State.STARTED, State.LOOK_AGAIN) and not self.waits(line)

    # --- gates

    @cached_property
    def next_gate(self) -> str:
        """The first gate not passed yet, "" when all are."""
        return next((gate.id for gate in self.build.gates if gate.id not in self.build.facts.gates), "")


def _as_judged(results: tuple[Worked, ...]) -> Iterator[Judged]:
    """What is worked out, judged like a reading: as old as the last of its parts."""
    for one in results:
        if one.size is not None and one.verdict is not None:
            last = max((part.reading for part in one.parts), key=lambda reading: reading.at)
            yield Judged(one.place, 1, Reading(one.text, one.size, one.unit, last.by, last.at), one.verdict)


def _wants_figure(kind: Measured) -> bool:
    return not kind.in_words
