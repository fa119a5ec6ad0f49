"""Holes: what each opens to and what closes it."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Hole:
    """What is known of one hole: its thread and depth, what it opens to, what closes it and who sees to that."""

    thread: str
    depth: str
    opens_to: str
    closed_with: str
    length: str
    compound: str
    refits: str
    by: str
    at: datetime


HOLE = FactKind("hole", Hole)
