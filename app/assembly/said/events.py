"""Events: what befell the build at a time."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class Event:
    """Something that befell the build at a time: engine tipped, cam changed, months standing."""

    what: str
    note: str
    by: str
    at: datetime


EVENT = FactKind("event", Event)
