"""Running since the first start."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Run:
    """A spell of running since the first start; distance in km, time in hours."""

    hours: float
    distance_km: float
    heat_cycles: int
    note: str
    by: str
    at: datetime


RUN = FactKind("run", Run)
