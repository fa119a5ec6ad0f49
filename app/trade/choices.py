"""What the lists of threads, strengths and materials offer, each with how it is known; an own figure always last."""

from collections.abc import Iterable
from enum import Enum, auto

from msgspec import Struct

from app.trade.tables import Known, Origin, Tables
from app.trade.threads import thread_of_size


class Offer(Enum):
    """Where a choice comes from."""

    TABLE = auto()
    OWN = auto()


class Choice(Struct, frozen=True):
    """One choice of a list: what is put into the field, and how it is known; an own figure leaves the field empty."""

    text: str
    offer: Offer
    known: Known
    source: str = ""


OWN_FIGURE = Choice("", Offer.OWN, Known.OWN)


def thread_choices(tables: Tables) -> tuple[Choice, ...]:
    """Every thread of the table by its name, then an own one (“own 13.4x1.1 55°”)."""
    return _with_own((thread_of_size(row).name, row.origin) for row in tables.threads)


def strength_choices(tables: Tables, diameter_mm: float | None = None) -> tuple[Choice, ...]:
    """The classes and grades there are for a diameter in mm, all of them without one; then an own figure."""
    return _with_own(
        (row.name, row.origin)
        for row in tables.strengths
        if diameter_mm is None or row.over_mm < diameter_mm <= row.to_mm
    )


def clamped_choices(tables: Tables) -> tuple[Choice, ...]:
    """The materials a head may press on, once each however many editions have them; then an own figure."""
    return _with_own((row.material, row.origin) for row in tables.pressure_limits)


def _with_own(rows: Iterable[tuple[str, Origin]]) -> tuple[Choice, ...]:
    found: dict[str, Choice] = {}
    for text, origin in rows:
        found.setdefault(text, Choice(text, Offer.TABLE, origin.known, origin.source))
    return (*found.values(), OWN_FIGURE)
