"""A build in memory: its lines, and the facts said of them so far."""

from collections.abc import Mapping
from datetime import datetime
from functools import cached_property
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from app.assembly.lines import Line, StageHead, working_lines
from app.assembly.plan.order import Relations, rows
from app.assembly.plan.places import Place, derived_places, places_of_step
from app.assembly.plan.steps import Arrangement, Fasteners, Gate, Group, Happening, Option, Role, Source
from app.assembly.said.deeds import Deed
from app.assembly.said.facts import Facts
from app.assembly.said.options import OPTION
from app.assembly.said.put_in import EXTRA

# Answers about the engine's arrangement are kept like options, under names of their own.
ARRANGEMENT = "arrangement:"


class Build(Struct, frozen=True, dict=True):
    """One engine being built, as a value: nothing that holds one can see it change. `after` gives the next.

    `made_with` are the options it was made with, `plan_lines` all its plan's lines, left-out ones too. `number` is the
    journal number of the last deed that made it what it is.
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
    number: int = 0

    def after(self, deed: Deed, number: int | None = None) -> "Build":
        """The build once a deed is done, sharing with this one what did not change.

        `number` is what the journal calls the deed; without one it is taken for the next.
        """
        number = self.number + 1 if number is None else number
        return self.holding(self.facts.after(deed.entries, number), number, _other_lines(deed))

    def holding(self, facts: Facts, number: int, other_lines: bool = True) -> "Build":
        """This engine with other facts; `other_lines` says that lines or places may have come or gone."""
        after = replace(self, facts=facts, number=number)
        if not other_lines:
            vars(after).update({name: getattr(self, name) for name in (*vars(self), "worked_out") if name in _SHARED})
        return after

    @cached_property
    def worked_out(self) -> dict[str, dict[str, tuple[tuple[int, int], Any]]]:
        """What surveys worked out of one line's facts, with the version of those facts: most marks touch one line.

        It is shared with the successors while the lines stay; no two facts share a version, so none is taken for
        another's.
        """
        return {}

    @cached_property
    def options(self) -> dict[str, str]:
        """The options in force: as made, and as changed since."""
        changed = self.facts.of(OPTION)
        answers = {key: fact.choice for (key, _), fact in changed.items() if not key.startswith(ARRANGEMENT)}
        return {**self.made_with, **answers}

    @cached_property
    def arrangement(self) -> Arrangement | None:
        """How the engine is laid out: as the plan says, and as changed since (another head, a longer crank)."""
        if self.made_as is None:
            return None
        changed = self.facts.of(OPTION)
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
        extras = {key: fact for (key, _), fact in self.facts.of(EXTRA).items()}
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
    def order(self) -> Relations:
        """How the lines hang together: what waits for what, and what opens what."""
        return Relations(rows((line.step for line in self.lines), self.gates))

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
    return replace(engine, **counts)


def _other_lines(deed: Deed) -> bool:
    """Whether lines came or went, so that what was worked out from them is worked out anew when it is next wanted."""
    return any(entry.subject.kind in (OPTION, EXTRA) for entry in deed.entries)


# What is worked out from the lines alone.
_SHARED = frozenset(name for name, value in vars(Build).items() if isinstance(value, cached_property))
