"""One thing open that will bite later."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum

from msgspec import Struct, field

from app.assembly.lines import Line
from app.assembly.said.phrase import Arg, Phrase, phrase
from app.assembly.standing.ends import OWN_HARM, Outcome


class LooseEnd(Struct, frozen=True):
    """One thing open that will bite later: what it is, at which line and gate, and since when.

    `kind` is a member of `End`; `args` are what its sentences speak of beside the line itself.
    """

    rule: str
    line: Line
    gate: str
    kind: Enum
    since: datetime
    args: Mapping[str, Arg] = field(default_factory=dict)
    places: tuple[str, ...] = ()
    blocks: bool = True

    @property
    def why(self) -> Phrase:
        """What is the matter."""
        return Phrase(self.kind, self.args)

    @property
    def harm(self) -> Phrase:
        """What happens if nobody sees to it: in the plan's words where it has some, else in the rule's."""
        if self.line.step.harm and self.kind not in OWN_HARM:
            return planned(self.line.step.harm)
        return phrase(Outcome.HARM, end=self.why)

    @property
    def clears(self) -> Phrase:
        """What clears it."""
        return phrase(Outcome.CLEARS, end=self.why, number=self.line.number)


def planned(text: str) -> Phrase:
    """What happens in the plan's own words."""
    return phrase(Outcome.AS_PLANNED, text=text)
