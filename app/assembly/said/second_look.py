"""Second looks at lines that are Done."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind, Key


@dataclass(frozen=True, slots=True)
class Seen:
    """A second look: by another person, or by the same in a later session with the first reading hidden."""

    by: str
    at: datetime
    values: tuple[str, ...] = ()


SEEN = FactKind("second look", Seen, Key.STEP)
