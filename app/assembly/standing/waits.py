"""What a line waits for, as data: its kind, the relation behind it, and what there is to say of it."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum

from msgspec import Struct

from app.assembly.plan.order import Row
from app.assembly.said.phrase import Phrase, phrase


class Wants(Enum):
    """What a line that cannot be worked yet waits for."""

    LINE = "line"
    CURE = "cure"
    PART = "part"
    FIGURE = "figure"
    HOLD = "hold"
    GATE = "gate"
    ANSWER = "answer"
    AGAIN = "again"
    OUT = "out"


# Without these a line cannot even be begun; the others only keep it from being signed off.
STOPS_START = (Wants.LINE, Wants.CURE, Wants.GATE, Wants.AGAIN, Wants.OUT)


class WaitKind(Enum):
    """Why a line waits. Each has its sentence; those of one `Wants` differ only in that."""

    LINE = "line"
    FINDINGS = "findings"
    FLOATS = "floats"
    HIDDEN = "hidden"
    BETWEEN = "between"
    STOOD_IN = "stood-in"
    AGAIN = "again"
    CURE = "cure"
    INSIDE = "inside"
    GATE = "gate"
    HOLD = "hold"
    SYMPTOM = "symptom"
    PART = "part"
    FIGURE = "figure"
    DECISION = "decision"
    PUT_OFF = "put-off"


class WaitWords(Enum):
    """What is said around a wait."""

    UNTIL = "until"


class NotYet(Enum):
    """A no to what is not to be done while a line waits."""

    BEGUN = "begun"
    SIGNED_OFF = "signed-off"
    TICKED = "ticked"
    TIGHTENED = "tightened"


_WANTS: Mapping[Enum, Wants] = {
    WaitKind.LINE: Wants.LINE,
    WaitKind.FINDINGS: Wants.LINE,
    WaitKind.FLOATS: Wants.LINE,
    WaitKind.HIDDEN: Wants.LINE,
    WaitKind.BETWEEN: Wants.LINE,
    WaitKind.STOOD_IN: Wants.LINE,
    WaitKind.AGAIN: Wants.AGAIN,
    WaitKind.CURE: Wants.CURE,
    WaitKind.INSIDE: Wants.OUT,
    WaitKind.GATE: Wants.GATE,
    WaitKind.HOLD: Wants.HOLD,
    WaitKind.SYMPTOM: Wants.HOLD,
    WaitKind.PART: Wants.PART,
    WaitKind.FIGURE: Wants.FIGURE,
    WaitKind.DECISION: Wants.ANSWER,
    WaitKind.PUT_OFF: Wants.ANSWER,
}


class Waiting(Struct, frozen=True):
    """One thing a line waits for: a phrase of a `WaitKind`. `row` is the relation behind it, None where there is none.

    `line` is the number of the line behind it, "" for none; `until` is when a wait for time is over.
    """

    said: Phrase
    line: str = ""
    until: datetime | None = None
    row: Row | None = None

    @property
    def wants(self) -> Wants:
        """The sort of thing waited for."""
        return _WANTS[self.said.kind]

    @property
    def whole(self) -> Phrase:
        """What there is to say of it, with the time it lasts."""
        return phrase(WaitWords.UNTIL, what=self.said, until=self.until) if self.until else self.said


MOST_WAITS = 4


def not_yet(number: str, what: NotYet, waits: tuple[Waiting, ...]) -> Phrase | None:
    """No, with the first few things waited for, and how many more there are; None where nothing is waited for."""
    if not waits:
        return None
    first = tuple(one.whole for one in waits[:MOST_WAITS])
    return phrase(what, number=number, waits=first, more=len(waits) - len(first))
