"""What cannot be read, and how that is said."""

from collections.abc import Mapping
from typing import NamedTuple

from msgspec import Struct

from app.trade.quantity import Kind, Unit

# The longest text read at all, in characters.
LONGEST = 200


class NotationError(ValueError):
    """What was typed cannot be read; the message is one sentence for the person who typed it."""


class Ambiguous(NotationError):
    """`part` of what was typed can be read two ways; either of `choices` in its place can be read only one way."""

    def __init__(self, sentence: str, part: str, choices: tuple[str, str]) -> None:
        super().__init__(sentence)
        self.part = part
        self.choices = choices


class Wanted(NamedTuple):
    """What is asked for, in words: the noun, its usual units, an example."""

    noun: str
    units: str
    example: str


WANTED: Mapping[Kind, Wanted] = {
    Kind.LENGTH: Wanted("a length", "mm, in, thou or µm", "0.18 mm or 7 thou"),
    Kind.TORQUE: Wanted("a torque", "N·m, lbf·ft, lbf·in or kgf·m", "25 N·m or 18 lbf·ft"),
    Kind.PRESSURE: Wanted("a pressure", "kPa, bar, psi or kgf/cm²", "350 kPa or 50 psi"),
    Kind.VOLUME: Wanted("a volume", "mL, L, US qt or imp qt", "42.5 mL or 4.5 L"),
    Kind.TEMPERATURE: Wanted("a temperature", "°C or °F", "90 °C or 195 °F"),
    Kind.ANGLE: Wanted("an angle", "° or deg", "90°"),
    Kind.MASS: Wanted("a mass", "g, kg, oz or lb", "612 g"),
    Kind.TIME: Wanted("a time", "s, min, h, days or weeks", "24 h or 1 h 30 min"),
    Kind.FORCE: Wanted("a force", "N, kN, lbf or kgf", "450 N or 100 lbf"),
    Kind.SPEED: Wanted("a speed", "rpm", "2000 rpm"),
    Kind.SHARE: Wanted("a share", "%", "12 %"),
    Kind.NUMBER: Wanted("a number", "no unit", "4 or 10.5:1"),
}


class Ask(Struct, frozen=True):
    """What is to be read: the text, the kind wanted, the unit meant where none is typed, the locale's decimal mark.

    `bare` is the text with the words that are conditions blanked out; every sign keeps its place. `restated` is set
    for what stands in brackets, where the same is said again, `scale` for the scale of a tool, which may be wide.
    """

    text: str
    bare: str
    kind: Kind
    unit: Unit | None
    decimal: str
    restated: bool = False
    scale: bool = False


def short(text: str) -> str:
    """The text on one line, cut to 60 characters."""
    text = " ".join(text.split())
    return text if len(text) <= 60 else f"{text[:57]}…"


def unreadable(ask: Ask) -> NotationError:
    """The refusal of a text in which nothing can be made out."""
    wanted = WANTED[ask.kind]
    if not ask.text.strip():
        return NotationError(f"Nothing is written: write {wanted.noun} such as {wanted.example}.")
    return NotationError(f"“{short(ask.text)}” cannot be read as {wanted.noun}: write it such as {wanted.example}.")


def check_length(text: str, kind: Kind) -> None:
    """Raise NotationError for a text longer than `LONGEST`: nothing else may look at it before."""
    if len(text) > LONGEST:
        raise NotationError(f"“{short(text)}” is too long for {WANTED[kind].noun}: write the figure alone.")
