"""The traveller of a whole build, against the same strings drawn with a bare reportlab canvas."""

import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from pypdf import PdfReader
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from app.assembly.standing.survey import Survey
from app.paper.traveller.traveller import write_traveller
from app.sheet.draw.tokens import font_file
from app.store.workshop import Workshop
from tests.benchmarks.builds import NOW, shipped_workshop
from tests.benchmarks.figure import Figure, against

FONTS = Path(__file__).parents[2] / "resources" / "fonts"


def measure() -> Iterator[Figure]:
    """The median of several prints of each."""
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        shipped_workshop(folder / "workshop")
        with Workshop.open_at(folder / "workshop", now=NOW) as workshop:
            survey = Survey(workshop.load(1), NOW)
        target = folder / "traveller.pdf"
        write_traveller(target, survey, number=1)
        pages = [page.extract_text().splitlines() for page in PdfReader(target).pages]
        ours = _median(lambda: write_traveller(target, survey, number=1))
        floor = _median(lambda: _bare(folder / "bare.pdf", pages))
    yield against("traveller", ours, floor, 3.0)


def _bare(target: Path, pages: list[list[str]]) -> None:
    pdfmetrics.registerFont(TTFont("bare", FONTS / font_file(400)))
    canvas = Canvas(str(target), pagesize=A4)
    for page in pages:
        canvas.setFont("bare", 10)
        for row, text in enumerate(page):
            canvas.drawString(60, 800 - row * 9, text)
        canvas.showPage()
    canvas.save()


def _median(work: Callable[[], Any]) -> float:
    times = []
    for _ in range(7):
        begun = time.perf_counter()
        work()
        times.append((time.perf_counter() - begun) * 1000)
    return statistics.median(times)
