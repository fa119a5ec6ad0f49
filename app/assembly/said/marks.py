"""Marks: the state a line was put in, and the ticks of its places."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from app.assembly.said.kinds import FactKind, Key, Spot


class State(Enum):
    """What a line can be. The value is what is typed; `word` is what is shown."""

    TO_DO = "to-do"
    STARTED = "started"
    DONE = "done"
    LATER = "later"
    NOT_NEEDED = "not-needed"
    STOPPED = "stopped"
    LOOK_AGAIN = "look-again"

    @property
    def word(self) -> str:
        """The state as a person reads it: “Look again”."""
        return self.value.replace("-", " ").capitalize()


@dataclass(frozen=True, slots=True)
class Mark:
    """The state a line was put in, by whom and when; Done is the sign-off.

    A reading older than `known_from` was taken before something that disturbed the line and counts no more. `meanwhile`
    says how a thing put off looks until then: finger-tight, a tag, an empty hole.
    """

    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    was_ready: bool = True
    disturbed_by: str = ""
    meanwhile: str = ""
    known_from: datetime | None = None


@dataclass(frozen=True, slots=True)
class Tick:
    """One place of a many-alike line marked; `together` says it was ticked in one stroke with others."""

    state: State
    by: str
    at: datetime
    together: bool = False


MARK = FactKind("line", Mark, Key.STEP, spot=Spot.NONE, shelf="lines", table="line_mark")


TICK = FactKind("tick", Tick, Key.STEP, shelf="ticks", table="tick")
