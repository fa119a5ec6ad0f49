"""Lines of the person’s own: to close what was opened, or a step the plan forgot."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from app.assembly.said.kinds import FactKind, Key


class ExtraKind(Enum):
    """Why a line was put in that the plan does not have."""

    OPENED = "opened"
    FORGOTTEN = "put in"


@dataclass(frozen=True, slots=True)
class Extra:
    """A line of the person's own: to close what was opened, or a step the plan forgot. It stands after another line."""

    kind: ExtraKind
    number: str
    after: str
    do: str
    why: str
    harm: str
    place: str
    disturbs: tuple[str, ...]
    by: str
    at: datetime


EXTRA = FactKind("extra line", Extra, Key.STEP)
