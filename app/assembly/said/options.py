"""Options of the plan answered anew in the middle of a build."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Chosen:
    """An option answered anew in the middle of a build."""

    choice: str
    by: str
    at: datetime
    why: str = ""


OPTION = FactKind("option", Chosen)
