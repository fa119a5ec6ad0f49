"""Temporary things that went in outside the plan, and things lost."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Item(Struct, frozen=True):
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
