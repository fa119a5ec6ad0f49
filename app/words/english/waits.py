"""What lines wait for, in English."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum

from app.assembly.said.phrase import Phrase
from app.assembly.standing.waits import NotYet, WaitKind, WaitWords
from app.words.say import Sentence, say
from app.words.times import moment


def _again(number: str, within: str, over: datetime) -> str:
    were = "was" if within.split()[0] == "1" else "were"
    return f"{number} to be done again, its {within} {were} over on {moment(over)}"


def _between(number: str, do: str, after: str, because: str) -> str:
    text = f"{number} {do}: nothing is turned between {after} and it"
    return f"{text}, {because}" if because else text


def _not_yet(done: str) -> Sentence:
    def sentence(number: str, waits: tuple[Phrase, ...], more: int) -> str:
        told = "; ".join(say(one) for one in waits)
        rest = f"; and {more} more" if more else ""
        return f"{number} cannot be {done} yet: it waits for {told}{rest}."

    return sentence


TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    WaitKind: {
        WaitKind.LINE: "{number} {do}",
        WaitKind.FINDINGS: "{number} {do}: its findings decide",
        WaitKind.FLOATS: "{number} {do}: it must not come after this",
        WaitKind.HIDDEN: "{number} {do}: this hides it",
        WaitKind.BETWEEN: _between,
        WaitKind.STOOD_IN: "{number} {do}: {after} only stands in for it",
        WaitKind.AGAIN: _again,
        WaitKind.CURE: lambda number, because: f"{number}, {because or 'wait'}",
        WaitKind.INSIDE: "{count} × {name}, {where} to come out: nothing is turned with it in",
        WaitKind.GATE: "the gate “{title}” to be passed",
        WaitKind.HOLD: "the hold {number} to be opened: {do}",
        WaitKind.SYMPTOM: "the symptom {key} at {number} to be explained: {what}",
        WaitKind.PART: lambda name, holding: f"{name}, {holding.replace('-', ' ')}",
        WaitKind.FIGURE: "its figure to be entered, with the source",
        WaitKind.DECISION: "a decision: {why}",
        WaitKind.PUT_OFF: "put off to before {before}: {why}",
    },
    WaitWords: {
        WaitWords.UNTIL: "{what}, until {until}",
    },
    NotYet: {
        NotYet.BEGUN: _not_yet("begun"),
        NotYet.SIGNED_OFF: _not_yet("signed off"),
        NotYet.TICKED: _not_yet("ticked"),
        NotYet.TIGHTENED: _not_yet("tightened"),
    },
}
