"""Puts items on a reportlab canvas, whose y runs up, and keeps a file whole: it is there finished or not at all."""

import io
import os
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path as File

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from app.paper.pdf.items import MM, Bar, Drawing, Item, Rule, Text
from app.paper.pdf.letters import font, words
from app.sheet.draw.shapes import Cap, Join, Path
from app.sheet.draw.tokens import PRINT

PAPERS: dict[str, tuple[float, float]] = {"a4": A4, "letter": LETTER}
LEFT_MM = 20.0
TOP_MM = 12.0

_CAPS = {Cap.BUTT: 0, Cap.ROUND: 1}
_JOINS = {Join.MITRE: 0, Join.ROUND: 1}


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
    beside = out.with_name(f".{out.name[:40]}.{os.getpid()}.part")
    try:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(out)
    finally:
        beside.unlink(missing_ok=True)


class Pen:
    """Draws items on the current page; their origin is the live area's top left corner, y down."""

    def __init__(self, canvas: Canvas, size: tuple[float, float]) -> None:
        self._canvas = canvas
        self._size = size
        self._left = LEFT_MM * MM
        self._top = size[1] - TOP_MM * MM
        self._forms: dict[tuple[int, float], tuple[str, tuple[Path, ...]]] = {}

    def draw(self, items: Iterable[Item], x: float = 0.0, y: float = 0.0) -> None:
        """Draw the items moved by x, y."""
        left, top = self._left + x, self._top - y
        for item in items:
            match item:
                case Text():
                    self._text(item, left + item.x, top - item.y)
                case Rule():
                    self._canvas.setLineWidth(item.width)
                    self._canvas.line(left + item.x1, top - item.y1, left + item.x2, top - item.y2)
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
        canvas = self._canvas
        canvas.setFont(font(item.weight), item.size)
        if item.light:
            canvas.setFillGray(1)
        canvas.drawString(x, y, item.text, charSpace=item.spaced)
        if item.light:
            canvas.setFillGray(0)

    def _drawing(self, item: Drawing, x: float, y: float) -> None:
        canvas = self._canvas
        canvas.saveState()
        canvas.translate(x, y)
        canvas.doForm(self._form(item))
        canvas.restoreState()

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
        for shape in item.shapes:
            _draw_shape(canvas, shape)
        canvas.endForm()


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


def _draw_shape(canvas: Canvas, shape: Path) -> None:
    grey = 1.0 if PRINT.colour(shape.ink) == PRINT.paper else 0.0
    canvas.setFillGray(grey)
    canvas.setStrokeGray(grey)
    if shape.stroke is not None:
        canvas.setLineWidth(shape.stroke)
        canvas.setLineCap(_CAPS[shape.cap])
        canvas.setLineJoin(_JOINS[shape.join])
        canvas.setDash(list(shape.dash))
    canvas.drawPath(_path(canvas, shape), stroke=int(shape.stroke is not None), fill=int(shape.filled))


def _path(canvas: Canvas, shape: Path) -> PDFPathObject:
    path = canvas.beginPath()
    for letter, numbers in shape.commands:
        match letter:
            case "M":
                path.moveTo(*numbers)
            case "L":
                path.lineTo(*numbers)
            case "C":
                path.curveTo(*numbers)
            case "Z":
                path.close()
    return path
