"""Passes of single bolts."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind, Key


@dataclass(frozen=True, slots=True)
class BoltTurn:
    """One pass of one bolt: what it came to, the wrench and what it was set to, and the state of the thread.

    Where torque and stretch are both judged, `answer` is what to do and `verdict` says why; a try that failed is kept
    like any other, and `tries` counts them from 1.
    """

    done: bool
    by: str
    at: datetime
    torque: str = ""
    torque_nm: float | None = None
    angle: str = ""
    angle_deg: float | None = None
    stretch: str = ""
    stretch_mm: float | None = None
    wrench: str = ""
    setting: str = ""
    threads: str = ""
    tries: int = 1
    answer: str = ""
    verdict: str = ""


BOLT = FactKind("bolt", BoltTurn, Key.STEP)
