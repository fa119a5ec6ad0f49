"""What a rule is."""

from collections.abc import Callable, Iterator

from msgspec import Struct

from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey


class Rule(Struct, frozen=True):
    """One way something can be left open; what it is called, and why it matters, stands in app/words."""

    id: str
    find: Callable[[Survey], Iterator[LooseEnd]]
