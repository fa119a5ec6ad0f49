"""The units a person thinks in, for lines no figure says any of."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind, Spot


@dataclass(frozen=True, slots=True)
class PreferredUnits:
    """The system shown first where no figure says one: “metric”, “inch”, or "" for what the plan is written in."""

    system: str
    by: str
    at: datetime


UNITS_SAID = FactKind("units", PreferredUnits, spot=Spot.NONE)
# There is one for the whole build.
WHOLE_BUILD = "build"
