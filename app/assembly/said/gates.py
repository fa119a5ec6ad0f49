"""Gates gone through, and written decisions to go on although a line is open."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Spot


class Passage(Struct, frozen=True):
    """A gate gone through."""

    by: str
    at: datetime


class Concession(Struct, frozen=True):
    """A written decision to go on although a line is open; `covers` are the findings it was written about."""

    text: str
    by: str
    at: datetime
    covers: tuple[str, ...]
    before: str = ""


GATE = FactKind("gate", Passage, spot=Spot.NONE, shelf="gates", table="passage")


CONCESSION = FactKind("concession", Concession, Key.STEP, shelf="concessions", table="concession")
