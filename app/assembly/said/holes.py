"""Holes: what each opens to and what closes it."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Hole(Struct, frozen=True):
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
