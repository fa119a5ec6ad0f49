"""Tools and their checks."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Tool(Struct, frozen=True):
    """A wrench or gauge: what it reads, and when it was last checked. `wrong_at` is set once it is found wrong."""

    name: str
    span: str
    graduation: str
    checked: datetime | None
    by: str
    at: datetime
    wrong_at: datetime | None = None
    note: str = ""
    sort: str = ""
    lever: str = ""
    cycles: int = 0
    doubt: str = ""


TOOL = FactKind("tool", Tool)
