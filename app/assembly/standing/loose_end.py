"""One thing open that will bite later."""

from dataclasses import dataclass
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.said.phrase import Phrase


@dataclass(frozen=True, slots=True)
class LooseEnd:
    """One thing open that will bite later: where, since when, at which gate, the harm, and what clears it."""

    rule: str
    line: Line
    gate: str
    why: str | Phrase
    harm: str
    clears: str
    since: datetime
    places: tuple[str, ...] = ()
    blocks: bool = True


def harm_of(line: Line, otherwise: str) -> str:
    """The plan's own words for what happens if the line is skipped, or the rule's, as part of a sentence."""
    words = (line.step.harm or otherwise).rstrip(". ")
    return words[:1].lower() + words[1:] if words[1:2].islower() or words[1:2] == " " else words
