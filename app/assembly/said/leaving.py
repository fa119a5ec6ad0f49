"""Leaving the work and coming back to it."""

from datetime import datetime
from enum import Enum, auto

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Values
from app.assembly.said.older import read_up
from app.assembly.said.phrase import Phrase


class Remembered(Enum):
    """What one must know who comes back. AS_WRITTEN is a word of an older form."""

    AS_WRITTEN = auto()
    HALF_TICKED = auto()
    IN_HAND = auto()
    LOST = auto()
    STANDS_IN = auto()
    STILL_IN = auto()
    STILL_OPEN = auto()


class Left(Struct, frozen=True):
    """Leaving the work: what must be remembered, in one note."""

    note: str
    by: str
    at: datetime
    items: tuple[Phrase, ...] = ()


class Resumed(Struct, frozen=True):
    """Coming back: which of the last lines were said to be still true, which were doubted, or that it was skipped."""

    by: str
    at: datetime
    confirmed: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()


# What a note listed before form 2, in English.
_LINE = r"(?P<line>\d+\.\w+)"
_OLD = (
    (_LINE + r" in hand, not to be trusted, (?P<ticked>\d+) of (?P<of>\d+) ticked: (?P<do>.*)", Remembered.HALF_TICKED),
    (_LINE + r" in hand, not to be trusted: (?P<do>.*)", Remembered.IN_HAND),
    (_LINE + r" still open: (?P<do>.*)", Remembered.STILL_OPEN),
    (_LINE + r" only stands in for another line: (?P<do>.*)", Remembered.STANDS_IN),
    (r"Lost: (?P<thing>.*)", Remembered.LOST),
    (r"Still in: (?P<thing>.*)", Remembered.STILL_IN),
)


def _items(values: Values) -> Values:
    return values | {"items": [read_up(text, _OLD, Remembered.AS_WRITTEN) for text in values.get("items", ())]}


LEFT = FactKind("left", Left, form=2, read_up={1: _items})


RESUMED = FactKind("resumed", Resumed)
