"""What a person can do to a build. An action is a value; `decide` says what it comes to."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from app.build.facts import Holding, State


@dataclass(frozen=True, slots=True)
class MarkLine:
    """Put a line into a state. `together` ticks the places still open in one stroke when it becomes Done."""

    line: str
    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    together: bool = False


@dataclass(frozen=True, slots=True)
class TickPlace:
    """Mark one place of a many-alike line Done, Started or To do."""

    line: str
    place: str
    state: State
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class TakeReading:
    """Write a value at a place; `text` is kept as typed. `decimal` is the typist's own decimal mark."""

    line: str
    place: str
    text: str
    by: str
    at: datetime
    round: int = 1
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class RubOutReading:
    """Take a written value away again; the journal keeps it."""

    line: str
    place: str
    by: str
    at: datetime
    round: int = 1


@dataclass(frozen=True, slots=True)
class EnterFigure:
    """Enter the figure a line is held against, and where it comes from."""

    line: str
    text: str
    source: str
    by: str
    at: datetime
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class SayPart:
    """Say where a part is."""

    part: str
    holding: Holding
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Concede:
    """Decide in writing to go on although a line is open."""

    line: str
    text: str
    by: str
    at: datetime
    before: str = ""


@dataclass(frozen=True, slots=True)
class PassGate:
    """Go through a gate; `concessions` holds a written reason for each line that is still open, by line number."""

    gate: str
    by: str
    at: datetime
    concessions: Mapping[str, str] = field(default_factory=dict)


Action = MarkLine | TickPlace | TakeReading | RubOutReading | EnterFigure | SayPart | Concede | PassGate
