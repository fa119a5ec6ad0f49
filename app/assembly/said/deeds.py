"""Entries and deeds: what one action of a person comes to, as the journal keeps it."""

from datetime import datetime
from enum import Enum

from msgspec import Struct

from app.assembly.said.facts import Fact
from app.assembly.said.kinds import Subject


class EventName(Enum):
    """How an entry came about. The value is what the journal keeps."""

    BEGUN = "begun"
    BOLT = "bolt"
    CAM = "cam"
    CAME_BACK = "came back"
    CAME_OUT = "came out"
    CONCESSION = "concession"
    DECIDED = "decided"
    DISTURBED = "disturbed"
    FIGURE = "figure"
    FIT = "fit"
    FOUND = "found"
    FOUND_WRONG = "found wrong"
    HAPPENED = "happened"
    HOLE = "hole"
    JOINT = "joint"
    LEFT = "left"
    LOST = "lost"
    MARK = "mark"
    OFFERED = "offered"
    OPENED = "opened"
    OPENED_UP = "opened up"
    OPTION = "option"
    PART = "part"
    PASS = "pass"
    PUT_IN = "put in"
    RAN = "ran"
    READ = "read"
    REDO = "redo"
    RUB_OUT = "rub out"
    SECOND_LOOK = "second look"
    TICK = "tick"
    TIGHTENED = "tightened"
    TOOL = "tool"
    UNDER = "under"
    UNDO = "undo"
    UNITS = "units"
    WENT_IN = "went in"
    WIDTH = "width"


class Verb(Enum):
    """What a person did. The value is what the journal keeps."""

    MADE = "made"
    CAM = "cam"
    CONCEDE = "concede"
    COUNT = "count"
    DECIDE = "decide"
    FIGURE = "figure"
    FIND = "find"
    FIT = "fit"
    HAPPEN = "happen"
    HOLE = "hole"
    JOINT = "joint"
    LEAVE = "leave"
    MARK = "mark"
    OPEN = "open"
    OPTION = "option"
    PART = "part"
    PASS = "pass"
    PUT_IN = "put in"
    READ = "read"
    REDO = "redo"
    RESUME = "resume"
    RUB_OUT = "rub out"
    RUN = "run"
    SECOND_LOOK = "second look"
    SLACKEN = "slacken"
    SOURCE = "source"
    TEMPORARY = "temporary"
    TICK = "tick"
    TIGHTEN = "tighten"
    TOOL = "tool"
    UNDER = "under"
    UNDO = "undo"
    UNITS = "units"
    WIDTH = "width"


class Entry(Struct, frozen=True):
    """One fact put in place of another, and how that came about."""

    event: EventName
    subject: Subject
    old: Fact | None
    new: Fact | None


class Deed(Struct, frozen=True):
    """What one action of a person comes to: its entries, all or none of them kept.

    `of` is the deed an undo takes back or a redo puts back, and `again` the verb of that deed.
    """

    verb: Verb
    by: str
    at: datetime
    entries: tuple[Entry, ...]
    why: str = ""
    of: int | None = None
    again: Verb | None = None


class Written(Struct, frozen=True):
    """A deed as the journal keeps it: its number there, and when it was written."""

    id: int
    deed: Deed
    written: datetime
