"""What a rule is."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey


@dataclass(frozen=True, slots=True)
class Rule:
    """One way something can be left open; what it is called, and why it matters, stands in app/words."""

    id: str
    find: Callable[[Survey], Iterator[LooseEnd]]
