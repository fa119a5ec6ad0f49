"""What the pen writes by itself looks as if the library had drawn it: letters of a whole font, lines, and shapes."""

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

import pypdfium2
import pytest
from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from app.paper.pdf.items import MM, Bar, Drawing, Item, Lines, Rule, Text
from app.paper.pdf.letters import font, words
from app.paper.pdf.pen import LEFT_MM, TOP_MM, PaperError, Pen, write_pages
from app.sheet.draw.marks import mark
from app.sheet.draw.shapes import Cap, Join
from app.sheet.draw.shapes import Path as Shape

LETTERS = "".join(letter for letter in map(chr, range(0x20, 0x2C00)) if words(letter) == letter)
ROW = 40


def drawn(folder: Path, *pages: Sequence[Item]) -> list[bytes]:
    """The pages as the pen draws them, in grey."""

    def page(items: Sequence[Item]) -> Callable[[Pen], None]:
        return lambda pen: pen.draw(items)

    out = folder / "pen.pdf"
    write_pages(
        out, [page(items) for items in pages], title="t", paper="A4", invariant=True, progress=None, cancelled=None
    )
    return pictures(out)


def by_the_library(folder: Path, draw: Callable[[Canvas, float, float], None]) -> list[bytes]:
    """A page as the library draws it; `draw` gets the canvas and where the live area begins."""
    canvas = Canvas(str(folder / "library.pdf"), pagesize=A4)
    draw(canvas, LEFT_MM * MM, A4[1] - TOP_MM * MM)
    canvas.showPage()
    canvas.save()
    return pictures(folder / "library.pdf")


def pictures(path: Path) -> list[bytes]:
    """Each page as grey dots."""
    document = pypdfium2.PdfDocument(path)
    found = [page.render(scale=2, grayscale=True).to_pil().tobytes() for page in document]
    document.close()
    return found


def text_rows(weight: int) -> list[Text]:
    """Every letter of the font: more than one part of a font in a PDF holds."""
    rows = [LETTERS[at : at + ROW] for at in range(0, len(LETTERS), ROW)]
    # Once more, so that letters of both parts stand in one text, and what was drawn before is drawn again.
    again = (*reversed(rows), LETTERS[::9], LETTERS[-1], LETTERS[-1])
    return [Text(0, 20.0 * n, row, 9.5, weight) for n, row in enumerate((*rows, *again), 1)]


@pytest.mark.parametrize("weight", [400, 700])
def test_every_letter_of_a_font_is_drawn_as_the_library_draws_it(tmp_path: Path, weight: int) -> None:
    assert len(LETTERS) > 256
    rows = text_rows(weight)

    def draw(canvas: Canvas, left: float, top: float) -> None:
        for row in rows:
            canvas.setFont(font(row.weight), row.size)
            canvas.drawString(left, top - row.y, row.text)

    assert drawn(tmp_path, rows) == by_the_library(tmp_path, draw)


def test_brackets_spaced_and_light_letters_are_drawn_as_the_library_draws_them(tmp_path: Path) -> None:
    text = r"a (b) \ c) \\( %d"

    def draw(canvas: Canvas, left: float, top: float) -> None:
        canvas.setFont(font(400), 12)
        canvas.drawString(left, top - 20, text)
        canvas.drawString(left, top - 40, text, charSpace=1.5)
        canvas.rect(left, top - 70, 200, 20, stroke=0, fill=1)
        canvas.setFillGray(1)
        canvas.drawString(left + 5, top - 60, text)
        canvas.setFillGray(0)
        canvas.drawString(left, top - 90, text)

    items: list[Item] = [Text(0, 20, text, 12), Text(0, 40, text, 12, spaced=1.5), Bar(0, 50, 200, 20)]
    items += [Text(5, 60, text, 12, light=True), Text(0, 90, text, 12)]
    assert drawn(tmp_path, items) == by_the_library(tmp_path, draw)


def test_a_text_of_nothing_draws_nothing_and_spoils_nothing(tmp_path: Path) -> None:
    with_nothing, without = drawn(tmp_path, [Text(0, 20, "", 12), Text(0, 40, "here", 12)], [Text(0, 40, "here", 12)])
    assert with_nothing == without


def test_lines_that_stand_together_look_like_lines_by_themselves(tmp_path: Path) -> None:
    lines = ((0.0, 0.0, 0.0, 24.0), (0.0, 24.0, 60.0, 24.0), (60.0, 0.0, 60.0, 24.0))
    together = [Lines(10, 20, lines, 1.5), Lines(90, 20, lines, 1.5), Lines(10, 70, lines, 0.5)]
    apart = [
        Rule(each.x + x1, each.y + y1, each.x + x2, each.y + y2, each.width)
        for each in together
        for x1, y1, x2, y2 in lines
    ]
    assert drawn(tmp_path, together) == drawn(tmp_path, apart)


def test_a_shape_is_drawn_as_the_library_draws_it(tmp_path: Path) -> None:
    bent = (("M", (2.0, 2.0)), ("C", (8.0, 0.0, 12.0, 20.0, 20.0, 4.0)), ("L", (20.0, 20.0)))
    closed = Shape((*bent, ("Z", ())), "text", stroke=1.5, filled=True, cap=Cap.ROUND, join=Join.ROUND)
    dashed = Shape(bent, "text", stroke=1.0, dash=(3.0, 2.0))

    def draw(canvas: Canvas, left: float, top: float) -> None:
        canvas.translate(left + 10, top - 30)
        canvas.scale(2, -2)
        for shape, paint in ((closed, {"stroke": 1, "fill": 1}), (dashed, {"stroke": 1, "fill": 0})):
            path = canvas.beginPath()
            path.moveTo(*bent[0][1])
            path.curveTo(*bent[1][1])
            path.lineTo(*bent[2][1])
            if shape is closed:
                path.close()
            canvas.setLineWidth(shape.stroke)
            canvas.setLineCap(1 if shape is closed else 0)
            canvas.setLineJoin(1 if shape is closed else 0)
            canvas.setDash(list(shape.dash))
            canvas.drawPath(path, **paint)
            canvas.translate(40, 0)

    items = [Drawing(10, 30, (closed,), 2.0), Drawing(90, 30, (dashed,), 2.0)]
    assert drawn(tmp_path, items) == by_the_library(tmp_path, draw)


def test_a_drawing_that_stands_twice_is_kept_once(tmp_path: Path) -> None:
    shapes = mark("done", 16)
    first, second = drawn(tmp_path, [Drawing(10, 30, shapes, 1.0)], [Drawing(10, 30, shapes, 1.0)])
    assert first == second
    (out,) = tmp_path.glob("*.pdf")
    assert out.read_bytes().count(b"/Subtype /Form") == 1


def test_a_database_is_never_printed_over(tmp_path: Path) -> None:
    out = tmp_path / "workshop.db"
    with closing(sqlite3.connect(out)) as connection:
        connection.execute("CREATE TABLE deed (id)")
        connection.commit()
    before = out.read_bytes()
    with pytest.raises(PaperError, match="is a database, not a PDF"):
        write_pages(out, [lambda _: None], title="t", paper="A4", invariant=True, progress=None, cancelled=None)
    assert out.read_bytes() == before
