"""Second looks at lines that are Done."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key


class Seen(Struct, frozen=True):
    """A second look: by another person, or by the same in a later session with the first reading hidden."""

    by: str
    at: datetime
    values: tuple[str, ...] = ()


SEEN = FactKind("second look", Seen, Key.STEP)
