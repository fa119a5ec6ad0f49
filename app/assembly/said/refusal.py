"""Saying no to an action, with what the person can act on."""

from msgspec import Struct

from app.assembly.said.phrase import Phrase


class Shut(Struct, frozen=True):
    """One reason a gate is not ready: the line, what is the matter, the harm, and what clears it."""

    line: str
    step: str
    rules: tuple[str, ...]
    why: tuple[Phrase, ...]
    harm: Phrase
    clears: Phrase
    places: tuple[str, ...] = ()
    conceded: bool = False


class Refused(Exception):
    """An action that the build's rules do not allow now; what is `said` tells what, why and what to do."""

    def __init__(self, said: Phrase) -> None:
        self.said = said
        super().__init__(said)


class NotReady(Refused):
    """A gate that cannot be passed yet; `reasons` are in the order one would work them off."""

    def __init__(self, said: Phrase, reasons: tuple[Shut, ...]) -> None:
        self.reasons = reasons
        super().__init__(said)
