"""Findings and what was decided about them."""

from datetime import datetime
from enum import Enum

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Disposition(Enum):
    """What is done about a finding, in the words of ISO 9000."""

    OPEN = ""
    REWORK = "rework"
    REPAIR = "repair"
    USE_AS_IS = "use as is"
    CONCESSION = "concession"
    SCRAP = "scrap"
    EXPLAINED = "explained"


class Finding(Struct, frozen=True):
    """A nonconformity or a symptom: what was found where, and what was decided, why, and what would reopen it."""

    line: str
    place: str
    what: str
    measured: str
    symptom: bool
    by: str
    at: datetime
    decision: Disposition = Disposition.OPEN
    decided_by: str = ""
    decided_at: datetime | None = None
    why: str = ""
    watch: str = ""
    reopens: tuple[str, ...] = ()


FINDING = FactKind("finding", Finding)
