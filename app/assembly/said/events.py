"""Events: what befell the build at a time."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class Event(Struct, frozen=True):
    """Something that befell the build at a time: engine tipped, cam changed, months standing."""

    what: str
    note: str
    by: str
    at: datetime


EVENT = FactKind("event", Event)
