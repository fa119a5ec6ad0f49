"""A build in memory: its lines, and the facts said of them so far."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any

from app.build.facts import (
    About,
    Concession,
    Deed,
    Fact,
    Figure,
    Mark,
    PartSaid,
    Passage,
    Reading,
    Subject,
    Tick,
)
from app.build.places import Place
from app.build.plan import Easy, Gate, Role, Source, Step
from app.build.plan_check import spec_reads_values

EASY_TO_MISS = 3


@dataclass(frozen=True, slots=True)
class StageHead:
    """A stage of the build: its number, id and title."""

    number: int
    id: str
    title: str


@dataclass(frozen=True)
class Line:
    """A step of a build with its number. Relations to steps that the options left out are gone."""

    number: str
    position: int
    stage: int
    step: Step
    places: tuple[Place, ...]

    @property
    def id(self) -> str:
        """The step's id in its plan."""
        return self.step.id

    @cached_property
    def reads(self) -> bool:
        """Whether a written value is demanded at each place."""
        return spec_reads_values(self.step.spec)

    @cached_property
    def cells(self) -> tuple[tuple[str, int], ...]:
        """Each place and round a value is asked for."""
        rounds = self.step.spec.rounds if self.step.spec else 1
        return tuple((place.id, turn) for place in self.places for turn in range(1, rounds + 1))

    @cached_property
    def many(self) -> bool:
        """Whether the line has a small box for each of several places."""
        return not self.reads and len(self.places) > 1

    @cached_property
    def easy_to_miss(self) -> bool:
        """Whether three or more of the seven features apply."""
        return len(set(self.step.easy) & set(Easy)) >= EASY_TO_MISS


@dataclass(slots=True)
class Facts:
    """Every fact that stands, by what it is about. `versions` counts the changes of each key."""

    lines: dict[str, Mark] = field(default_factory=dict)
    ticks: dict[str, dict[str, Tick]] = field(default_factory=dict)
    readings: dict[str, dict[tuple[str, int], Reading]] = field(default_factory=dict)
    figures: dict[str, Figure] = field(default_factory=dict)
    parts: dict[str, PartSaid] = field(default_factory=dict)
    gates: dict[str, Passage] = field(default_factory=dict)
    concessions: dict[str, dict[str, Concession]] = field(default_factory=dict)
    versions: dict[str, int] = field(default_factory=dict, compare=False)

    def get(self, subject: Subject) -> Fact | None:
        """The fact that stands of a subject, if any."""
        shelf, key = self._shelf(subject)
        return shelf.get(key)

    def put(self, subject: Subject, fact: Fact | None) -> None:
        """Let a fact stand; None takes away what stood."""
        shelf, key = self._shelf(subject)
        self.versions[subject.key] = self.versions.get(subject.key, 0) + 1
        if fact is None:
            shelf.pop(key, None)
        else:
            shelf[key] = fact

    def _shelf(self, subject: Subject) -> tuple[dict[Any, Any], Any]:
        match subject.about:
            case About.LINE:
                return self.lines, subject.key
            case About.TICK:
                return self.ticks.setdefault(subject.key, {}), subject.place
            case About.READING:
                return self.readings.setdefault(subject.key, {}), (subject.place, subject.round)
            case About.FIGURE:
                return self.figures, subject.key
            case About.PART:
                return self.parts, subject.key
            case About.GATE:
                return self.gates, subject.key
            case About.CONCESSION:
                return self.concessions.setdefault(subject.key, {}), subject.place

    def all(self) -> dict[Subject, Fact]:
        """Every standing fact by its subject: what a replay of the journal must equal."""
        found: dict[Subject, Fact] = {}
        found |= {Subject(About.LINE, key): fact for key, fact in self.lines.items()}
        found |= {
            Subject(About.TICK, key, place): tick for key, ticks in self.ticks.items() for place, tick in ticks.items()
        }
        for key, readings in self.readings.items():
            found |= {Subject(About.READING, key, place, turn): one for (place, turn), one in readings.items()}
        found |= {Subject(About.FIGURE, key): figure for key, figure in self.figures.items()}
        found |= {Subject(About.PART, key): said for key, said in self.parts.items()}
        found |= {Subject(About.GATE, key): passage for key, passage in self.gates.items()}
        for key, concessions in self.concessions.items():
            found |= {Subject(About.CONCESSION, key, gate): one for gate, one in concessions.items()}
        return found


@dataclass
class Build:
    """One engine being built. Memory follows the disk: only `evolve` changes its facts."""

    key: int
    name: str
    made: datetime
    plan_id: str
    plan_title: str
    plan_edition: str
    options: Mapping[str, str]
    stages: tuple[StageHead, ...]
    lines: tuple[Line, ...]
    gates: tuple[Gate, ...]
    sources: Mapping[str, Source]
    facts: Facts = field(default_factory=Facts)
    # What surveys worked out of one line's facts, with the version of those facts: most marks touch one line.
    worked_out: dict[tuple[str, str], tuple[int, Any]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def by_id(self) -> dict[str, Line]:
        """Lines by the step's id."""
        return {line.id: line for line in self.lines}

    @cached_property
    def by_number(self) -> dict[str, Line]:
        """Lines by their number on the sheet."""
        return {line.number: line for line in self.lines}

    @cached_property
    def bars(self) -> dict[str, int]:
        """For each gate the position of the first line behind its bar."""
        ends = {stage.id: 0 for stage in self.stages}
        position = 0
        for stage in self.stages:
            position += sum(line.stage == stage.number for line in self.lines)
            ends[stage.id] = position
        return {gate.id: ends[gate.after] for gate in self.gates}

    @cached_property
    def hiders(self) -> dict[str, tuple[Line, ...]]:
        """For each line the lines that hide it once they are done."""
        return _reverse(self.lines, "hides")

    @cached_property
    def order_only(self) -> dict[str, tuple[Line, ...]]:
        """For each line those that ought to come before it though nothing breaks if they don't."""
        return _reverse(self.lines, "before")

    @cached_property
    def conditional(self) -> dict[str, tuple[Line, ...]]:
        """For each finding the lines that are there only after some of its answers."""
        found: dict[str, list[Line]] = {}
        for line in self.lines:
            for when in line.step.when:
                if when.step:
                    found.setdefault(when.step, []).append(line)
        return {key: tuple(lines) for key, lines in found.items()}

    @cached_property
    def holds(self) -> tuple[Line, ...]:
        """The hold lines in order."""
        return tuple(line for line in self.lines if line.step.hold)

    def with_role(self, role: Role) -> tuple[Line, ...]:
        """The lines that do this job, whatever the plan calls them."""
        return tuple(line for line in self.lines if line.step.role is role)

    def gate(self, gate_id: str) -> Gate:
        """The gate with this id; KeyError if the plan has none."""
        return next(gate for gate in self.gates if gate.id == gate_id)


def _reverse(lines: tuple[Line, ...], relation: str) -> dict[str, tuple[Line, ...]]:
    found: dict[str, list[Line]] = {}
    for line in lines:
        for target in getattr(line.step, relation):
            found.setdefault(target, []).append(line)
    return {key: tuple(sources) for key, sources in found.items()}


def evolve(build: Build, deed: Deed) -> None:
    """Let the build's facts follow a deed that is on disk."""
    for entry in deed.entries:
        build.facts.put(entry.subject, entry.new)
