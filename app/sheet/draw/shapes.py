"""Plain vector shapes that screen and paper both draw: a path, how it is stroked, and the token that colours it."""

import re
from collections.abc import Iterable
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from app.sheet.draw.tokens import Token

# Always one of ("M", (x, y)), ("L", (x, y)), ("C", (x1, y1, x2, y2, x, y)), ("Z", ()); y runs down.
Command = tuple[str, tuple[float, ...]]

_WORD = re.compile(r"\s*,?\s*(?:(?P<letter>[A-Za-z])|(?P<number>-?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?))")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6}

# Handle length that draws a quarter circle with one cubic: 4/3 (sqrt 2 - 1); off by 0.03 % of the radius.
_QUARTER = 0.5522847498


class Cap(Enum):
    """How an open stroke ends."""

    BUTT = "butt"
    ROUND = "round"


class Join(Enum):
    """How two strokes meet."""

    MITRE = "mitre"
    ROUND = "round"


class Path(Struct, frozen=True):
    """One shape; lengths are in the units of the box it is drawn in.

    `stroke` is a line width, or None for no outline. `dash` is lengths on and off, empty for a whole line.
    """

    commands: tuple[Command, ...]
    ink: Token
    stroke: float | None = None
    filled: bool = False
    cap: Cap = Cap.BUTT
    join: Join = Join.MITRE
    dash: tuple[float, ...] = ()


def parse(text: str) -> tuple[Command, ...]:
    """Read the letters M L H V C Z (absolute) of the SVG path notation; H and V come out as L.

    Raises ValueError when the text holds anything else.
    """
    commands: list[Command] = []
    here = start = (0.0, 0.0)
    for letter, numbers in _groups(text):
        match letter:
            case "Z":
                here = start
            case "H":
                here = (numbers[0], here[1])
                letter, numbers = "L", here
            case "V":
                here = (here[0], numbers[0])
                letter, numbers = "L", here
            case _:
                here = (numbers[-2], numbers[-1])
        if letter == "M":
            start = here
        commands.append((letter, numbers))
    return tuple(commands)


def _groups(text: str) -> Iterable[tuple[str, tuple[float, ...]]]:
    """Yield each letter with its numbers; numbers that go on repeat the letter, and after M they mean L."""
    letter = ""
    numbers: list[float] = []
    at = 0
    while at < len(text.rstrip()):
        word = _WORD.match(text, at)
        if word is None or (word["letter"] and numbers) or (word["number"] and letter not in _TAKES):
            raise ValueError(f"The path “{text}” cannot be read from character {at + 1} on.")
        at = word.end()
        if word["letter"]:
            letter = word["letter"]
            if letter == "Z":
                yield "Z", ()
            elif letter not in _TAKES:
                raise ValueError(f"The path “{text}” uses {letter}; only M L H V C Z are known.")
            continue
        numbers.append(float(word["number"]))
        if len(numbers) == _TAKES[letter]:
            yield letter, tuple(numbers)
            numbers = []
            letter = "L" if letter == "M" else letter
    if numbers:
        raise ValueError(f"The path “{text}” stops in the middle of {letter}.")


def pen(text: str, ink: Token, width: float) -> Path:
    """Return a stroke with round ends and joins: what a hand wrote."""
    return Path(parse(text), ink, stroke=width, cap=Cap.ROUND, join=Join.ROUND)


def ruled(text: str, ink: Token, width: float) -> Path:
    """Return a stroke with square ends and mitred joins: what is printed."""
    return Path(parse(text), ink, stroke=width)


def solid(text: str, ink: Token) -> Path:
    """Return a filled shape without outline."""
    return Path(parse(text), ink, filled=True)


def polygon(points: Iterable[tuple[float, float]], ink: Token, stroke: float | None = None) -> Path:
    """Return a closed polygon, filled when no stroke width is given."""
    first, *rest = points
    commands: tuple[Command, ...] = (("M", first), *(("L", point) for point in rest), ("Z", ()))
    return Path(commands, ink, stroke=stroke, filled=stroke is None)


def rectangle(left: float, top: float, right: float, bottom: float, ink: Token, stroke: float | None = None) -> Path:
    """Return a rectangle from its edges, filled when no stroke width is given; a stroke is centred on the edge."""
    return polygon(((left, top), (right, top), (right, bottom), (left, bottom)), ink, stroke)


def dot(x: float, y: float, radius: float, ink: Token, stroke: float | None = None) -> Path:
    """Return a circle of four cubics, filled when no stroke width is given."""
    h = radius * _QUARTER
    commands: tuple[Command, ...] = (
        ("M", (x + radius, y)),
        ("C", (x + radius, y + h, x + h, y + radius, x, y + radius)),
        ("C", (x - h, y + radius, x - radius, y + h, x - radius, y)),
        ("C", (x - radius, y - h, x - h, y - radius, x, y - radius)),
        ("C", (x + h, y - radius, x + radius, y - h, x + radius, y)),
        ("Z", ()),
    )
    return Path(commands, ink, stroke=stroke, filled=stroke is None)


def placed(shapes: Iterable[Path], x: float, y: float, scale: float = 1.0) -> tuple[Path, ...]:
    """Return the shapes made `scale` times as large and then moved by x, y."""
    return tuple(_placed(shape, x, y, scale) for shape in shapes)


def _placed(shape: Path, x: float, y: float, scale: float) -> Path:
    return replace(
        shape,
        commands=tuple(
            (letter, tuple(number * scale + (y if index % 2 else x) for index, number in enumerate(numbers)))
            for letter, numbers in shape.commands
        ),
        stroke=None if shape.stroke is None else shape.stroke * scale,
        dash=tuple(length * scale for length in shape.dash),
    )
