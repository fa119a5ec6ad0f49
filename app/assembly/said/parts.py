"""Parts: where each is, and how it is on."""

from datetime import datetime
from enum import Enum

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Spot


class Holding(Enum):
    """Where a needed part is. A part nobody has spoken of is taken to be at hand."""

    HERE = "here"
    ON_ORDER = "on-order"
    MISSING = "missing"


class PartSaid(Struct, frozen=True):
    """Where a part is, as last said."""

    holding: Holding
    by: str
    at: datetime
    why: str = ""


class Fitted(Enum):
    """How a part is on: to look and measure, for good, or off again."""

    TRIAL = "trial"
    FINAL = "final"
    OFF = "off"


class PartFit(Struct, frozen=True):
    """How a part is on, as said outside the plan's own lines."""

    fit: Fitted
    by: str
    at: datetime
    why: str = ""


PART = FactKind("part", PartSaid, spot=Spot.NONE, shelf="parts", table="part_said")


FIT = FactKind("fit", PartFit)
