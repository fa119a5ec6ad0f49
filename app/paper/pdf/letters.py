"""Letters on paper: the embedded fonts, how wide words are, and where lines of text break."""

import unicodedata
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache
from typing import NamedTuple

from msgspec import Struct
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from app import RESOURCES
from app.sheet.draw.tokens import FONT_WEIGHTS, font_file

FONTS = RESOURCES / "fonts"
SMALLEST_PT = 9.0
ELLIPSIS = "…"
NO_BREAK = "\u00a0"


def font(weight: int) -> str:
    """The name under which the font of this weight is registered."""
    return f"FirstcrankSheet-{weight}"


@cache
def _fonts() -> dict[int, TTFont]:
    """The fonts by weight, registered the first time they are asked for."""
    found = {weight: TTFont(font(weight), FONTS / font_file(weight)) for weight in FONT_WEIGHTS}
    for one in found.values():
        pdfmetrics.registerFont(one)
    return found


@cache
def _advances(weight: int) -> dict[str, float]:
    """The width of each character the font has, in thousandths of the type size."""
    face = _fonts()[weight].face
    return {chr(code): face.charWidths.get(code, face.defaultWidth) for code in face.charToGlyph}


@lru_cache(maxsize=16384)
def words(text: str) -> str:
    """Text as it can be printed: in one line, with “?” for every character the fonts lack. Nothing in it is markup."""
    known = _advances(400)
    if text.isascii() and text.isprintable():  # the fonts have all of these, and most texts hold nothing else
        return text
    composed = unicodedata.normalize("NFC", text)
    return "".join(_letter(letter, known) for letter in composed)


def _letter(letter: str, known: dict[str, float]) -> str:
    kind = unicodedata.category(letter)
    if letter == NO_BREAK or (letter in known and kind not in ("Cc", "Cf", "Zs")):
        return letter
    if kind in ("Cc", "Zs", "Zl", "Zp"):
        return " "
    return "" if kind == "Cf" else "?"


def sentence(text: str) -> str:
    """The text with a full stop at its end, unless something stops it already."""
    kept = text.rstrip()
    return kept if not kept or kept[-1] in ".!?:;,…" else f"{kept}."


@lru_cache(maxsize=16384)
def width_pt(text: str, weight: int, size_pt: float) -> float:
    """How wide a text that went through `words` is, in points."""
    return sum(map(_advances(weight).__getitem__, text)) * size_pt / 1000


def fitting_size(text: str, weight: int, size_pt: float, room_pt: float) -> float:
    """The size at which the text fits the room, at most `size_pt` and never under 9 pt."""
    wide = width_pt(text, weight, size_pt)
    return size_pt if wide <= room_pt else max(SMALLEST_PT, size_pt * room_pt / wide)


def shortened(text: str, weight: int, size_pt: float, room_pt: float) -> str:
    """The text, cut with “…” where it does not fit the room."""
    if width_pt(text, weight, size_pt) <= room_pt:
        return text
    advances = _advances(weight)
    left = room_pt * 1000 / size_pt - advances[ELLIPSIS]
    for index, letter in enumerate(text):
        left -= advances[letter]
        if left < 0:
            return text[:index].rstrip() + ELLIPSIS
    return text


class Span(Struct, frozen=True):
    """A run of text of one weight; `mark` is a state whose mark stands before it."""

    text: str
    weight: int = 400
    mark: str = ""


class Piece(Struct, frozen=True):
    """A piece of a broken line: where it begins, in points from the left; `mark` stands just before it."""

    x: float
    text: str
    weight: int
    mark: str = ""


MARK_ROOM_PT = 13.0


def broken(
    spans: Iterable[Span], size_pt: float, room_pt: float, *, indent_pt: float = 0.0
) -> tuple[tuple[Piece, ...], ...]:
    """The spans as lines no wider than the room; a word that is wider than a line is broken at the letter.

    `indent_pt` is left free at the beginning of the first line.
    """
    kept = tuple(spans)
    marked = MARK_ROOM_PT if any(span.mark for span in kept) else 0.0
    widest = room_pt - max(marked, indent_pt)
    if len(kept) == 1 and not marked:  # most texts are one run and fit one line
        alone = " ".join(filter(None, words(kept[0].text).split(" ")))
        if width_pt(alone, kept[0].weight, size_pt) <= room_pt - indent_pt:
            return ((Piece(indent_pt, alone, kept[0].weight),),) if alone else ()
    lines: list[list[_Run]] = [[]]
    x = indent_pt
    for span in kept:
        blank, mark = width_pt(" ", span.weight, size_pt), span.mark
        for word in words(span.text).split(" "):
            space = blank
            for part, wide in _parts(word, span.weight, size_pt, widest):
                lead = MARK_ROOM_PT if mark else 0.0
                if not lines[-1]:
                    space = 0.0
                elif x + space + lead + wide > room_pt:
                    lines.append([])
                    x = space = 0.0
                last = lines[-1][-1] if lines[-1] else None
                if last is not None and space and not mark and last.weight == span.weight:
                    last.words.append(part)
                else:
                    lines[-1].append(_Run(x + space + lead, [part], span.weight, mark))
                x += space + lead + wide
                mark, space = "", 0.0
    return tuple(tuple(run.piece() for run in line) for line in lines if line)


class _Run(NamedTuple):
    """Words of one weight on one line, from x on; further words join it."""

    x: float
    words: list[str]
    weight: int
    mark: str

    def piece(self) -> Piece:
        """Them as one text."""
        return Piece(self.x, " ".join(self.words), self.weight, self.mark)


def _parts(word: str, weight: int, size_pt: float, room_pt: float) -> Sequence[tuple[str, float]]:
    """A word with its width, in as many parts as it takes for each to fit the room; none for no word."""
    wide = width_pt(word, weight, size_pt)
    if wide <= room_pt:
        return ((word, wide),) if word else ()
    advances = _advances(weight)
    parts: list[tuple[str, float]] = []
    begin, used = 0, 0.0
    for index, letter in enumerate(word):
        more = advances[letter] * size_pt / 1000
        if used + more > room_pt and index > begin:
            parts.append((word[begin:index], used))
            begin, used = index, 0.0
        used += more
    return [*parts, (word[begin:], used)]
