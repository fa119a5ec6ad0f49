"""What a person has said of a build: marks, ticks, readings, figures, parts, passages, concessions.

Every fact hangs on a `Subject`. A journal entry is one fact put in place of another, so undoing is the same entry
turned round, and playing the journal from nothing gives exactly the facts that stand.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import NamedTuple


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


class Holding(Enum):
    """Where a needed part is. A part nobody has spoken of is taken to be at hand."""

    HERE = "here"
    ON_ORDER = "on-order"
    MISSING = "missing"


class About(Enum):
    """What a subject is about."""

    LINE = "line"
    TICK = "tick"
    READING = "reading"
    FIGURE = "figure"
    PART = "part"
    GATE = "gate"
    CONCESSION = "concession"


class Subject(NamedTuple):
    """What a fact is said of: a step, part or gate by id, and where it matters a place and a round or gate."""

    about: About
    key: str
    place: str = ""
    round: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """The state a line was put in, by whom and when; Done is the sign-off."""

    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    was_ready: bool = True
    disturbed_by: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """One place of a many-alike line marked; `together` says it was ticked in one stroke with others."""

    state: State
    by: str
    at: datetime
    together: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """A value written at a place: as typed, and in the base unit of its kind (None for a word)."""

    text: str
    magnitude: float | None
    unit: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Figure:
    """What a line's readings must meet, entered by the person, and where it comes from."""

    text: str
    source: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class PartSaid:
    """Where a part is, as last said."""

    holding: Holding
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Passage:
    """A gate gone through."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Concession:
    """A written decision to go on although a line is open; `covers` are the findings it was written about."""

    text: str
    by: str
    at: datetime
    covers: tuple[str, ...]
    before: str = ""


Fact = Mark | Tick | Reading | Figure | PartSaid | Passage | Concession


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact put in place of another. `event` says in one word how it came about."""

    event: str
    subject: Subject
    old: Fact | None
    new: Fact | None


@dataclass(frozen=True, slots=True)
class Deed:
    """What one action of a person comes to: its entries, all or none of them kept.

    `of` is the deed an undo takes back or a redo puts back.
    """

    verb: str
    label: str
    by: str
    at: datetime
    entries: tuple[Entry, ...]
    why: str = ""
    of: int | None = None
