"""Readings: values written at places."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Spot


class Reading(Struct, frozen=True):
    """A value written at a place: as typed, and in the base unit of its kind (None for a word).

    `doubt` is the expanded uncertainty of what it was read with, in the same unit; `celsius` and `alpha_per_k` are the
    temperature it was read at and how the part grows, where both are known.
    """

    text: str
    magnitude: float | None
    unit: str
    by: str
    at: datetime
    tool: str = ""
    doubt: float = 0.0
    celsius: float | None = None
    alpha_per_k: float = 0.0


READING = FactKind("reading", Reading, Key.STEP, spot=Spot.ROUND, shelf="readings", table="reading")
