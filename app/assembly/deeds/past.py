"""A build as it was: the journal played up to a moment or a deed, and no further."""

from collections.abc import Iterable
from datetime import datetime

from app.assembly.build import Build
from app.assembly.said.deeds import Written
from app.assembly.said.facts import Facts


def as_of(build: Build, journal: Iterable[Written], until: datetime | int) -> Build:
    """The build as its journal told it at a moment, or once the deed of that number was written.

    What counts is when a deed was written down, not when it was done: it is what was known then. `journal` is the
    build's own, oldest first. A moment must carry its time zone.
    """
    told = {one.id: one.deed.entries for one in journal if _written_by(one, until)}
    return build.holding(Facts().filled(told), max(told, default=0))


def _written_by(one: Written, until: datetime | int) -> bool:
    return one.id <= until if isinstance(until, int) else one.written <= until
