"""Leaving the work and coming back to it."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Left:
    """Leaving the work: what must be remembered, in one note."""

    note: str
    by: str
    at: datetime
    items: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Resumed:
    """Coming back: which of the last lines were said to be still true, which were doubted, or that it was skipped."""

    by: str
    at: datetime
    confirmed: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()


LEFT = FactKind("left", Left)


RESUMED = FactKind("resumed", Resumed)
