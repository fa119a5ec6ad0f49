"""Temporary things that went in outside the plan, and things lost."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Item:
    """A temporary thing put in outside the plan, or a tool or nut that is lost."""

    name: str
    count: int
    where: str
    turning_ok: bool
    lost: bool
    by: str
    at: datetime
    out_by: str = ""
    out_at: datetime | None = None


ITEM = FactKind("temporary item", Item)
