"""Running since the first start."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Run(Struct, frozen=True):
    """A spell of running since the first start; distance in km, time in hours."""

    hours: float
    distance_km: float
    heat_cycles: int
    note: str
    by: str
    at: datetime


RUN = FactKind("run", Run)
