"""Options of the plan answered anew in the middle of a build."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Chosen(Struct, frozen=True):
    """An option answered anew in the middle of a build."""

    choice: str
    by: str
    at: datetime
    why: str = ""


OPTION = FactKind("option", Chosen)
