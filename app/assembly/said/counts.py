"""How often bolts have been tightened, and what they measured."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Tightened(Struct, frozen=True):
    """How often a bolt has been tightened, trials and the machine shop's included, and what it measured, in mm.

    `free_mm` is the thread's diameter where it was free, `neck_mm` where it is thinnest. None is not measured.
    """

    times: int
    by: str
    at: datetime
    new: bool = False
    length_mm: float | None = None
    free_mm: float | None = None
    neck_mm: float | None = None


COUNT = FactKind("tightenings", Tightened)
