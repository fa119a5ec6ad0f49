"""A programme of tightening: what is done to a bolt, in order."""

from collections.abc import Iterator

from msgspec import Struct

from app.trade.quantity import Limits, TorqueTurn


class Torque(Struct, frozen=True):
    """Tighten to a torque in N·m; a single figure is its own limits."""

    limits: Limits


class Angle(Struct, frozen=True):
    """Turn on by an angle in degrees, above 0; `low` and `high` are its window, both the target where none is said."""

    target: float
    low: float
    high: float


class Stretch(Struct, frozen=True):
    """Tighten until the bolt is longer by so much, in mm."""

    limits: Limits


class Slacken(Struct, frozen=True):
    """Slacken by an angle in degrees, or fully where it is None."""

    turn_deg: float | None = None


class Wait(Struct, frozen=True):
    """Let it settle for so many seconds, above 0."""

    seconds: float


class NewBolt(Struct, frozen=True):
    """From here on a new bolt is in the hole."""


class Again(Struct, frozen=True):
    """Everything up to here once more, from the start or from the last time this was said."""


Step = Torque | Angle | Stretch | Slacken | Wait | NewBolt | Again


class Programme(Struct, frozen=True):
    """Steps of tightening in order, and the text exactly as typed."""

    steps: tuple[Step, ...]
    text: str

    def unrolled(self) -> tuple[Step, ...]:
        """Every step as it is done, what is done again written out."""
        done: list[Step] = []
        since: list[Step] = []
        for step in self.steps:
            if isinstance(step, Again):
                done += since
                since = []
            else:
                done.append(step)
                since.append(step)
        return tuple(done)

    def torque_turn(self) -> TorqueTurn | None:
        """The same as one torque and its turns, or None where it is more than that."""
        first, *rest = self.steps or (None,)
        if not isinstance(first, Torque):
            return None
        angles = [step for step in rest if isinstance(step, Angle)]
        if not angles or len(angles) != len(rest):
            return None
        return torque_turn(first.limits, angles, self.text)

    def final_torque(self) -> Limits | None:
        """The last torque of the programme, in N·m: what the bolt was brought to before any turns."""
        return next((step.limits for step in reversed(self.steps) if isinstance(step, Torque)), None)


def torque_turn(torque: Limits, angles: "list[Angle] | tuple[Angle, ...]", text: str) -> TorqueTurn:
    """A torque and its turns; the windows are kept where any turn has one."""
    windows = tuple((angle.low, angle.high) for angle in angles)
    wide = any(low < high for low, high in windows)
    return TorqueTurn(torque, tuple(angle.target for angle in angles), text, windows if wide else ())


def falls(programme: Programme) -> Iterator[tuple[int, Limits, Limits]]:
    """Each torque below the one before it with nothing slackened between: its place in the steps, and both."""
    before: Limits | None = None
    for place, step in enumerate(programme.steps):
        if isinstance(step, Slacken | NewBolt | Again):
            before = None
        elif isinstance(step, Torque):
            if before is not None and (step.limits.middle or 0.0) < (before.middle or 0.0):
                yield place, before, step.limits
            before = step.limits
