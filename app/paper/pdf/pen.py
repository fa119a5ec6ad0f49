"""Puts items on a reportlab canvas, whose y runs up, and keeps a file whole: it is there finished or not at all."""

import io
import os
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from pathlib import Path as File

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.rl_accel import fp_str
from reportlab.pdfgen.canvas import Canvas

from app.paper.pdf.items import MM, Bar, Drawing, Item, Lines, Rule, Text
from app.paper.pdf.letters import font, words
from app.sheet.draw.shapes import Cap, Join, Path
from app.sheet.draw.tokens import PRINT

PAPERS: dict[str, tuple[float, float]] = {"a4": A4, "letter": LETTER}
LEFT_MM = 20.0
TOP_MM = 12.0

_CAPS = {Cap.BUTT: 0, Cap.ROUND: 1}
_JOINS = {Join.MITRE: 0, Join.ROUND: 1}
_WAYS = {"M": "m", "L": "l", "C": "c", "Z": "h"}
# By stroked and filled; where a path crosses itself, every second part is filled.
_PAINT = {(True, False): "S", (False, True): "f*", (True, True): "B*", (False, False): "n"}


class PaperError(Exception):
    """Something that cannot be printed; the text says what and what to do."""


class Cancelled(PaperError):
    """The person stopped the printing; no file was written."""


Page = Callable[["Pen"], None]


def write_pages(
    out: File,
    pages: Sequence[Page],
    *,
    title: str,
    paper: str,
    invariant: bool,
    progress: Callable[[int, int], None] | None,
    cancelled: Callable[[], bool] | None,
) -> int:
    """Draw the pages to a PDF and say how many they are; the file appears only when it is whole.

    Raises OSError when it cannot be written, `PaperError` for a paper that is not known, `Cancelled` when stopped.
    """
    size = PAPERS.get(paper.lower())
    if size is None:
        raise PaperError(f"“{paper}” is no paper this can print on; it is one of A4, Letter.")
    data = io.BytesIO()
    canvas = Canvas(data, pagesize=size, invariant=invariant or None, pageCompression=1)
    canvas.setTitle(words(title))
    canvas.setAuthor("Firstcrank")
    pen = Pen(canvas, size)
    for done, page in enumerate(pages, 1):
        if cancelled is not None and cancelled():
            raise Cancelled("Printing was stopped; no file was written.")
        page(pen)
        canvas.showPage()
        if progress is not None:
            progress(done, len(pages))
    canvas.save()
    _put(out, data.getvalue())
    return len(pages)


def _put(out: File, data: bytes) -> None:
    """Write beside the file and put it in its place in one stroke, so no half file is ever left."""
    if _is_database(out):
        raise PaperError(f"{out} is a database, not a PDF: choose another name; it was not touched.")
    beside = out.with_name(f".{out.name[:40]}.{os.getpid()}.part")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(out)
    finally:
        beside.unlink(missing_ok=True)


# What every SQLite file begins with (its file format, section 1.3).
_DATABASE = b"SQLite format 3\0"


def _is_database(out: File) -> bool:
    """Whether a file holds somebody's data: a workshop is never printed over, whatever it is called."""
    if not out.is_file():
        return False
    with out.open("rb") as file:
        return file.read(len(_DATABASE)) == _DATABASE


class Pen:
    """Draws items on the current page; their origin is the live area's top left corner, y down."""

    def __init__(self, canvas: Canvas, size: tuple[float, float]) -> None:
        self._canvas = canvas
        self._size = size
        self._left = LEFT_MM * MM
        self._top = size[1] - TOP_MM * MM
        self._forms: dict[tuple[int, float], tuple[str, tuple[Path, ...]]] = {}
        self._combs: dict[tuple[int, float], tuple[str, tuple[tuple[float, ...], ...]]] = {}
        self._alphabets: dict[int, _Alphabet] = {}

    def draw(self, items: Iterable[Item], x: float = 0.0, y: float = 0.0) -> None:
        """Draw the items moved by x, y."""
        left, top = self._left + x, self._top - y
        for item in items:
            match item:
                case Text():
                    self._text(item, left + item.x, top - item.y)
                case Rule():
                    self._rule(item, left, top)
                case Lines():
                    self._lines(item, left + item.x, top - item.y)
                case Bar():
                    self._canvas.rect(left + item.x, top - item.y - item.high, item.wide, item.high, stroke=0, fill=1)
                case Drawing():
                    self._drawing(item, left + item.x, top - item.y)

    def draw_always(self, name: str, items: Iterable[Item]) -> None:
        """Draw what stands on every page at the same place; it is kept in the file only once."""
        canvas = self._canvas
        if not canvas.hasForm(name):
            kept = tuple(items)
            self._keep_shapes(kept)
            canvas.beginForm(name, 0, 0, *self._size)
            self.draw(kept)
            canvas.endForm()
        canvas.doForm(name)

    def _text(self, item: Text, x: float, y: float) -> None:
        if not item.text:
            return
        canvas = self._canvas
        alphabet = self._alphabets.get(item.weight)
        if alphabet is None:
            alphabet = self._alphabets[item.weight] = _Alphabet(canvas, font(item.weight))
        shown = alphabet.showing(item.text, item.size)
        if item.spaced:
            shown = f"{fp_str(item.spaced)} Tc {shown}0 Tc "
        if item.light:
            canvas.setFillGray(1)
        canvas.addLiteral(f"BT 1 0 0 1 {fp_str(x, y)} Tm {shown}ET")
        if item.light:
            canvas.setFillGray(0)

    def _rule(self, item: Rule, left: float, top: float) -> None:
        begin, end = fp_str(left + item.x1, top - item.y1), fp_str(left + item.x2, top - item.y2)
        self._canvas.addLiteral(f"{fp_str(item.width)} w n {begin} m {end} l S")

    def _lines(self, item: Lines, x: float, y: float) -> None:
        # As with drawings, comparing all the lines would take longer than drawing them.
        key = (id(item.lines), item.width)
        if key not in self._combs:
            drawn = " ".join(f"n {fp_str(x1, -y1)} m {fp_str(x2, -y2)} l S" for x1, y1, x2, y2 in item.lines)
            self._combs[key] = (f"{fp_str(item.width)} w {drawn} Q", item.lines)
        self._canvas.addLiteral(f"q 1 0 0 1 {fp_str(x, y)} cm {self._combs[key][0]}")

    def _drawing(self, item: Drawing, x: float, y: float) -> None:
        form = self._form(item)
        self._canvas.addLiteral(f"q 1 0 0 1 {fp_str(x, y)} cm")
        self._canvas.doForm(form)
        self._canvas.addLiteral("Q")

    def _keep_shapes(self, items: Iterable[Item]) -> None:
        """Make the forms of the drawings among the items now: inside another form it cannot be done."""
        for item in items:
            if isinstance(item, Drawing):
                self._form(item)

    def _form(self, item: Drawing) -> str:
        """The name under which a drawing is kept once in the file; each use only names it."""
        # Comparing the shapes themselves would take longer than drawing them; they are kept, so the id stays theirs.
        key = (id(item.shapes), item.scale)
        if key not in self._forms:
            self._forms[key] = (f"shape{len(self._forms)}", item.shapes)
            self._make_form(self._forms[key][0], item)
        return self._forms[key][0]

    def _make_form(self, name: str, item: Drawing) -> None:
        canvas = self._canvas
        low, high = _bounds(item.shapes)
        canvas.beginForm(name, low[0] * item.scale, -high[1] * item.scale, high[0] * item.scale, -low[1] * item.scale)
        canvas.scale(item.scale, -item.scale)
        canvas.addLiteral("\n".join(map(_drawn, item.shapes)))
        canvas.endForm()


class _Alphabet:
    """How the letters of a font are written in one file: each is asked of the library once, not in every text."""

    def __init__(self, canvas: Canvas, name: str) -> None:
        self._canvas = canvas
        self._name = name
        self._letters: dict[str, str] = {}
        self._subset = ""
        self._sizes: dict[float, str] = {}
        self._texts: dict[str, str] = {}

    def showing(self, text: str, size: float) -> str:
        """The operators that show a text of this size; it may not be empty."""
        letters = self._texts.get(text)
        if letters is None:
            if not self._letters.keys() >= set(text) and not all(map(self._learn, text)):
                return self._by_the_library(text, size)
            letters = self._texts[text] = "".join(map(self._letters.__getitem__, text))
        sized = self._sizes.get(size)
        if sized is None:
            sized = self._sizes[size] = f"{self._subset} {fp_str(size)} Tf {fp_str(size * 1.2)} TL"
        return f"{sized} ({letters}) Tj T* "

    def _learn(self, letter: str) -> bool:
        """Ask how a letter is written; no when it stands in another part of the font than the first ones."""
        if letter in self._letters:
            return True
        subset, _, rest = self._by_the_library(letter, 1).partition(" ")
        self._subset = self._subset or subset
        if subset == self._subset:
            self._letters[letter] = rest[rest.index("(") + 1 : rest.rindex(") Tj")]
        return subset == self._subset

    def _by_the_library(self, text: str, size: float) -> str:
        self._canvas.setFont(self._name, size)
        shown = self._canvas.beginText()
        shown.textLine(text)
        return str(shown.getCode().partition(" Tm ")[2].removesuffix("ET"))


def _bounds(shapes: tuple[Path, ...]) -> tuple[tuple[float, float], tuple[float, float]]:
    """The corners of a box that holds the shapes with their strokes."""
    points = [
        (numbers[at], numbers[at + 1], shape.stroke or 0.0)
        for shape in shapes
        for _, numbers in shape.commands
        for at in range(0, len(numbers), 2)
    ]
    low = (min(x - stroke for x, _, stroke in points), min(y - stroke for _, y, stroke in points))
    high = (max(x + stroke for x, _, stroke in points), max(y + stroke for _, y, stroke in points))
    return low, high


@lru_cache(maxsize=1024)
def _drawn(shape: Path) -> str:
    """The operators that draw a shape."""
    grey = fp_str(1.0 if PRINT.colour(shape.ink) == PRINT.paper else 0.0)
    found = [f"{grey} g {grey} G"]
    if shape.stroke is not None:
        dash = fp_str(*shape.dash) if shape.dash else ""
        found.append(f"{fp_str(shape.stroke)} w {_CAPS[shape.cap]} J {_JOINS[shape.join]} j [{dash}] 0 d")
    found.append("n")
    found += [f"{fp_str(*numbers)} {_WAYS[letter]}" if numbers else _WAYS[letter] for letter, numbers in shape.commands]
    found.append(_PAINT[shape.stroke is not None, shape.filled])
    return " ".join(found)
