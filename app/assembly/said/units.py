"""The units a person thinks in, for lines no figure says any of."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Spot


class PreferredUnits(Struct, frozen=True):
    """The system shown first where no figure says one: “metric”, “inch”, or "" for what the plan is written in."""

    system: str
    by: str
    at: datetime


UNITS_SAID = FactKind("units", PreferredUnits, spot=Spot.NONE)
# There is one for the whole build.
WHOLE_BUILD = "build"
