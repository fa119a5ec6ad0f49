"""Readings: values written at places."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Spot
from app.trade.notation import write_quantity
from app.trade.quantity import UNITS, Quantity


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

    @property
    def said(self) -> str:
        """As typed, with the unit it was meant in where none was typed."""
        if self.magnitude is None or self.unit not in UNITS:
            return self.text
        return write_quantity(Quantity(UNITS[self.unit].kind, self.magnitude, self.unit, self.text))


READING = FactKind("reading", Reading, Key.STEP, spot=Spot.ROUND, shelf="readings", table="reading")
