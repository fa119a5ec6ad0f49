"""The lines of a build: those of its plan under the options in force, and those a person put in between."""

from collections.abc import Iterable, Mapping
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.plan.order import resolved
from app.assembly.plan.places import ENGINE, Place
from app.assembly.plan.steps import Easy, Measured, Step, Tightening, wanted
from app.assembly.said.put_in import CLOSE_AGAIN, Extra, ExtraKind

EASY_TO_MISS = 3
OPEN_HARM = "what was opened is run open, loose or dirty"


class StageHead(Struct, frozen=True):
    """A stage of the build: its number, id and title."""

    number: int
    id: str
    title: str


class Line(Struct, frozen=True, dict=True):
    """A step of a build with its number. `extra` says why it was put in, None for a line of the plan."""

    number: str
    position: int
    stage: int
    step: Step
    places: tuple[Place, ...]
    extra: ExtraKind | None = None

    @cached_property  # asked for more than anything else, so it is looked up once
    def id(self) -> str:
        """The step's id in its plan."""
        return self.step.id

    @cached_property
    def reads(self) -> bool:
        """Whether a written value is demanded at each place."""
        return self.step.spec is not None and self.step.spec.wants_values

    @cached_property
    def rounds(self) -> range:
        """The rounds each place is read in, from 1 on."""
        return range(1, self.step.spec.rounds + 1 if self.step.spec else 2)

    @cached_property
    def cells(self) -> tuple[tuple[str, int], ...]:
        """Each place and round a value is asked for."""
        return tuple((place.id, turn) for place in self.places for turn in self.rounds)

    @cached_property
    def many(self) -> bool:
        """Whether the line has a small box for each of several places."""
        return not self.reads and len(self.places) > 1

    @cached_property
    def tightening(self) -> Tightening | None:
        """How the line's bolts are tightened; None for a line that tightens none, a turning torque among them."""
        spec = self.step.spec
        if self.step.tightening is not None or spec is None:
            return self.step.tightening
        by_torque = spec.kind is Measured.TORQUE and bool(spec.state or self.step.tightens)
        by_angle = spec.kind is Measured.ANGLE and bool(self.step.tightens)
        return Tightening() if by_torque or by_angle else None

    @cached_property
    def easy_to_miss(self) -> bool:
        """Whether three or more of the seven features apply."""
        return len(set(self.step.easy) & set(Easy)) >= EASY_TO_MISS


def working_lines(
    plan_lines: Iterable[Line], options: Mapping[str, str], extras: Mapping[str, Extra]
) -> tuple[Line, ...]:
    """The lines under the options in force, in order; relations to lines that are not there are gone.

    Numbers never change: a line that an option brings in has had its letter from the start.
    """
    everything = {line.id: line.step for line in plan_lines}
    kept = {key: step for key, step in everything.items() if wanted(step, options)}
    lines = [replace(line, step=resolved(kept[line.id], kept, everything)) for line in plan_lines if line.id in kept]
    for key, extra in sorted(extras.items(), key=lambda pair: pair[1].number):
        at = _place_after(lines, everything, extra.after)
        while at + 1 < len(lines) and lines[at + 1].extra is not None:
            at += 1
        lines.insert(at + 1, _extra_line(key, extra, lines[at], kept))
    return tuple(replace(line, position=number) for number, line in enumerate(lines))


def _place_after(lines: list[Line], everything: Mapping[str, Step], step: str) -> int:
    """Where the line with this step stands, or the nearest before it where an option took that away."""
    order = list(everything)
    before = {step, *order[: order.index(step)]} if step in everything else {step}
    return max((n for n, line in enumerate(lines) if line.id in before), default=0)


def doing(extra: Extra) -> str:
    """What a line of the person's own says is to be done."""
    return f"{CLOSE_AGAIN}{extra.do}" if extra.kind is ExtraKind.OPENED else extra.do


def _extra_line(key: str, extra: Extra, before: Line, kept: Mapping[str, Step]) -> Line:
    step = Step(
        id=key,
        do=doing(extra),
        why=extra.why,
        harm=extra.harm or (OPEN_HARM if extra.kind is ExtraKind.OPENED else ""),
        where=before.step.where,
        undoing_disturbs=(),
        disturbs=tuple(target for target in extra.disturbs if target in kept),
    )
    return Line(extra.number, 0, before.stage, step, (Place(ENGINE, extra.place or "Engine"),), extra.kind)
