"""Letters on paper: the embedded fonts, how wide words are, and where lines of text break."""

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

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
def _advances(weight: int) -> dict[int, float]:
    """The width of each character the font has, in thousandths of the type size."""
    face = _fonts()[weight].face
    return {code: face.charWidths.get(code, face.defaultWidth) for code in face.charToGlyph}


@lru_cache(maxsize=16384)
def words(text: str) -> str:
    """Text as it can be printed: in one line, with “?” for every character the fonts lack. Nothing in it is markup."""
    known = _advances(400)
    composed = unicodedata.normalize("NFC", text)
    return "".join(_letter(letter, known) for letter in composed)


def _letter(letter: str, known: dict[int, float]) -> str:
    kind = unicodedata.category(letter)
    if letter == NO_BREAK or (ord(letter) in known and kind not in ("Cc", "Cf", "Zs")):
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
    advances = _advances(weight)
    return sum(advances[ord(letter)] for letter in text) * size_pt / 1000


def fitting_size(text: str, weight: int, size_pt: float, room_pt: float) -> float:
    """The size at which the text fits the room, at most `size_pt` and never under 9 pt."""
    wide = width_pt(text, weight, size_pt)
    return size_pt if wide <= room_pt else max(SMALLEST_PT, size_pt * room_pt / wide)


def shortened(text: str, weight: int, size_pt: float, room_pt: float) -> str:
    """The text, cut with “…” where it does not fit the room."""
    if width_pt(text, weight, size_pt) <= room_pt:
        return text
    advances = _advances(weight)
    left = room_pt * 1000 / size_pt - advances[ord(ELLIPSIS)]
    for index, letter in enumerate(text):
        left -= advances[ord(letter)]
        if left < 0:
            return text[:index].rstrip() + ELLIPSIS
    return text


@dataclass(frozen=True, slots=True)
class Span:
    """A run of text of one weight; `mark` is a state whose mark stands before it."""

    text: str
    weight: int = 400
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
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
    lines: list[list[Piece]] = [[]]
    x = indent_pt
    for word in _words_of(kept, size_pt, room_pt - max(marked, indent_pt)):
        space = word.space if lines[-1] else 0.0
        if lines[-1] and x + space + word.width > room_pt:
            lines.append([])
            x = space = 0.0
        _join(lines[-1], word, x + space, bool(space))
        x += space + word.width
    return tuple(tuple(line) for line in lines if line)


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    weight: int
    mark: str
    space: float
    width: float


def _words_of(spans: Iterable[Span], size_pt: float, room_pt: float) -> Iterator[_Word]:
    """The words with the space before each; the parts of a broken word have none."""
    for span in spans:
        blank = width_pt(" ", span.weight, size_pt)
        mark = span.mark
        for text in words(span.text).split(" "):
            if not text:
                continue
            space = blank
            for part in _letters_that_fit(text, span.weight, size_pt, room_pt):
                room = MARK_ROOM_PT if mark else 0.0
                yield _Word(part, span.weight, mark, space, width_pt(part, span.weight, size_pt) + room)
                mark, space = "", 0.0


def _letters_that_fit(text: str, weight: int, size_pt: float, room_pt: float) -> Iterator[str]:
    if width_pt(text, weight, size_pt) <= room_pt:
        yield text
        return
    advances = _advances(weight)
    begin, used = 0, 0.0
    for index, letter in enumerate(text):
        wide = advances[ord(letter)] * size_pt / 1000
        if used + wide > room_pt and index > begin:
            yield text[begin:index]
            begin, used = index, 0.0
        used += wide
    yield text[begin:]


def _join(line: list[Piece], word: _Word, x: float, spaced: bool) -> None:
    """Add a word to a line; words of one weight become one piece."""
    last = line[-1] if line else None
    if last is not None and spaced and not word.mark and last.weight == word.weight:
        line[-1] = Piece(last.x, f"{last.text} {word.text}", last.weight, last.mark)
        return
    line.append(Piece(x + (MARK_ROOM_PT if word.mark else 0.0), word.text, word.weight, word.mark))
