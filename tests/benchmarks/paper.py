"""The traveller and the record of a worked build, each against its own strings drawn on a bare reportlab canvas."""

import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from unittest.mock import patch

from reportlab.pdfgen.canvas import Canvas

from app.assembly.standing.survey import Survey
from app.paper.pdf.items import Item, Text
from app.paper.pdf.letters import font
from app.paper.pdf.pen import Pen
from app.paper.record.record import write_record
from app.paper.traveller.traveller import write_traveller
from app.words.journal import told
from tests.benchmarks.figure import Figure, against
from tests.fixtures.make_expected import unpack
from tests.fixtures.tellings import NOW, open_workshop

# The build of the first workshop that is in the middle of things: some 300 readings and 500 deeds.
MIDDLE = 3
RUNS = 11
String = tuple[float, float, str, str, float]


def measure() -> Iterator[Figure]:
    """The fastest of several prints of each."""
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        unpack(folder)
        with open_workshop(folder) as workshop:
            build = workshop.load(MIDDLE)
            entries = [one for written in workshop.journal(build) for one in told(build, written.deed)]
        out = folder / "out.pdf"
        yield _figure("traveller", 2.0, folder, lambda: write_traveller(out, Survey(build, NOW), number=1))
        yield _figure("build record", 1.5, folder, lambda: write_record(out, Survey(build, NOW), entries))


def _figure(name: str, limit: float, folder: Path, write: Callable[[], object]) -> Figure:
    pages = _strings(write)
    ours, floor = _fastest(write, lambda: _bare(folder / "bare.pdf", pages))
    return against(f"{name}, {sum(map(len, pages)):,} strings", ours, floor, limit)


def _strings(write: Callable[[], object]) -> list[list[String]]:
    """Every text that a paper draws, page by page: where it stands, its font and its size."""
    pages: list[list[String]] = [[]]
    draw, turn = Pen.draw, Canvas.showPage

    def kept(pen: Pen, items: Iterable[Item], x: float = 0.0, y: float = 0.0) -> None:
        drawn = tuple(items)
        texts = [one for one in drawn if isinstance(one, Text)]
        pages[-1] += [(x + one.x, y + one.y, one.text, font(one.weight), one.size) for one in texts]
        draw(pen, drawn, x, y)

    def turned(canvas: Canvas) -> None:
        pages.append([])
        turn(canvas)

    with patch.object(Pen, "draw", kept), patch.object(Canvas, "showPage", turned):
        write()
    return pages[:-1]


def _bare(out: Path, pages: list[list[String]]) -> None:
    canvas = Canvas(str(out), pageCompression=1)
    for page in pages:
        for x, y, text, name, size in page:
            canvas.setFont(name, size)
            canvas.drawString(60 + x, 800 - y, text)
        canvas.showPage()
    canvas.save()


def _fastest(*jobs: Callable[[], object]) -> list[float]:
    """Milliseconds of the fastest run of each job; they take turns, so that a busy machine slows all alike."""
    times: list[list[float]] = [[] for _ in jobs]
    for _ in range(RUNS):
        for job, found in zip(jobs, times, strict=True):
            begun = time.perf_counter()
            job()
            found.append((time.perf_counter() - begun) * 1000)
    return [min(found) for found in times]
