"""A build in memory: its lines, and the facts said of them so far."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from typing import Any, TypeVar

from app.assembly.facts import (
    About,
    Chosen,
    Concession,
    Deed,
    Extra,
    Fact,
    Figure,
    Further,
    Mark,
    PartSaid,
    Passage,
    Reading,
    Subject,
    Tick,
)
from app.assembly.lines import Line, StageHead, working_lines
from app.assembly.places import Place, derived_places, places_of_step
from app.assembly.plan import Arrangement, Fasteners, Gate, Group, Happening, Option, Role, Source

Kind = TypeVar("Kind")
# Answers about the engine's arrangement are kept like options, under names of their own.
ARRANGEMENT = "arrangement:"


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
    further: dict[About, dict[tuple[str, str], Further]] = field(default_factory=dict)
    versions: dict[str, int] = field(default_factory=dict, compare=False)

    def get(self, subject: Subject) -> Fact | None:
        """The fact that stands of a subject, if any."""
        shelf, key = self._shelf(subject)
        return shelf.get(key)

    def standing(self, step: str, place: str, turn: int) -> Reading | None:
        """A reading that still says something: none from before its line was last disturbed."""
        reading = self.readings.get(step, {}).get((place, turn))
        mark = self.lines.get(step)
        known_from = mark.known_from if mark is not None else None
        return None if reading is not None and known_from is not None and reading.at < known_from else reading

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
            case _:
                return self.further.setdefault(subject.about, {}), (subject.key, subject.place)

    def of(self, about: About, kind: type[Kind]) -> dict[tuple[str, str], Kind]:
        """The further facts about one thing, by key and place."""
        shelf = self.further.get(about, {})
        return {key: fact for key, fact in shelf.items() if isinstance(fact, kind)}

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
        for about, shelf in self.further.items():
            found |= {Subject(about, key, place): fact for (key, place), fact in shelf.items()}
        return found


@dataclass
class Build:
    """One engine being built. Memory follows the disk: only `evolve` changes its facts.

    `made_with` are the options it was made with, `plan_lines` all its plan's lines, left-out ones too.
    """

    key: int
    name: str
    made: datetime
    plan_id: str
    plan_title: str
    plan_edition: str
    made_with: Mapping[str, str]
    stages: tuple[StageHead, ...]
    plan_lines: tuple[Line, ...]
    gates: tuple[Gate, ...]
    sources: Mapping[str, Source]
    facts: Facts = field(default_factory=Facts)
    plan_options: tuple[Option, ...] = ()
    made_as: Arrangement | None = None
    groups: Mapping[str, Group] = field(default_factory=dict)
    group_places: Mapping[str, tuple[Place, ...]] = field(default_factory=dict)
    fasteners: Mapping[str, Fasteners] = field(default_factory=dict)
    happenings: Mapping[str, Happening] = field(default_factory=dict)
    # What surveys worked out of one line's facts, with the version of those facts: most marks touch one line.
    worked_out: dict[str, dict[str, tuple[int, Any]]] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def options(self) -> dict[str, str]:
        """The options in force: as made, and as changed since."""
        changed = self.facts.of(About.OPTION, Chosen)
        answers = {key: fact.choice for (key, _), fact in changed.items() if not key.startswith(ARRANGEMENT)}
        return {**self.made_with, **answers}

    @cached_property
    def arrangement(self) -> Arrangement | None:
        """How the engine is laid out: as the plan says, and as changed since (another head, a longer crank)."""
        if self.made_as is None:
            return None
        changed = self.facts.of(About.OPTION, Chosen)
        said = {
            key.removeprefix(ARRANGEMENT): int(fact.choice)
            for (key, _), fact in changed.items()
            if key.startswith(ARRANGEMENT)
        }
        return laid_out(self.made_as, said)

    @cached_property
    def derived_places(self) -> dict[str, tuple[Place, ...]]:
        """The places that follow from the arrangement in force, where it was changed."""
        if self.arrangement is None or self.arrangement == self.made_as:
            return {}
        return derived_places(self.arrangement)

    def places_of(self, group: str) -> tuple[Place, ...]:
        """The places of a group as they are now."""
        return self.derived_places.get(group) or self.group_places.get(group, ())

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The lines of the sheet in order."""
        extras = {key: fact for (key, _), fact in self.facts.of(About.EXTRA, Extra).items()}
        lines = working_lines(self.plan_lines, self.options, extras)
        moved = self.derived_places
        if not moved:
            return lines
        return tuple(
            replace(one, places=places_of_step(one.step, moved)) if not one.extra and one.step.places in moved else one
            for one in lines
        )

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
    def floats(self) -> dict[str, tuple[Line, ...]]:
        """For each line those that float but must not pass it."""
        return _reverse(self.lines, "latest")

    @cached_property
    def sharers(self) -> dict[str, tuple[str, ...]]:
        """For each step those that use the same bolt or gasket, whichever of the two the plan says it at."""
        found: dict[str, list[str]] = {}
        for line in self.lines:
            for target in line.step.shares:
                found.setdefault(line.id, []).append(target)
                found.setdefault(target, []).append(line.id)
        return {key: tuple(dict.fromkeys(others)) for key, others in found.items()}

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


def laid_out(engine: Arrangement, counts: Mapping[str, int]) -> Arrangement:
    """The engine with other counts of mains, valves and the like."""
    return replace(engine, **counts)  # type: ignore[arg-type]


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
    if any(entry.subject.about in (About.OPTION, About.EXTRA) for entry in deed.entries):
        _other_lines(build)


def _other_lines(build: Build) -> None:
    """Lines came or went: what was worked out from them is worked out anew when it is next wanted."""
    for name in list(vars(build)):
        if isinstance(getattr(type(build), name, None), cached_property):
            del vars(build)[name]
    build.worked_out.clear()
