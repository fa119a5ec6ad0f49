"""How long a traveller takes, against drawing the same strings on a bare canvas of the library below it."""

import time
from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from app.paper.traveller.traveller import write_traveller
from tests.paper.builds import PLAN, Hand

LINES = 150
TIMES = 3.0


def big_plan() -> str:
    """The small plan with a stage of many more lines."""
    steps = [
        f'[[stages.steps]]\nid = "more-{n}"\ndo = "Tighten cover bolts, row {n}"\nnote = "From the middle"\n'
        'places = "studs"\nspec = {kind = "torque", unit = "N·m", limits = "20 N·m", source = "practice"}\n'
        for n in range(LINES - 12)
    ]
    return PLAN + '[[stages]]\nid = "more"\ntitle = "Covers"\n' + "".join(steps)


def fastest(*jobs: Callable[[], object], runs: int = 9) -> list[float]:
    """Seconds of the fastest run of each job; they take turns, so a busy machine slows all alike."""
    times: list[list[float]] = [[] for _ in jobs]
    for _ in range(runs):
        for job, found in zip(jobs, times, strict=True):
            begun = time.perf_counter()
            job()
            found.append(time.perf_counter() - begun)
    return [min(found) for found in times]


def test_a_traveller_of_150_lines_takes_at_most_three_times_its_bare_strings(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand = Hand(big_plan())
    survey = hand.survey
    assert len(hand.build.lines) == LINES
    strings: list[list[tuple[float, float, str, str, float]]] = [[]]
    draw_string, show_page = Canvas.drawString, Canvas.showPage

    def kept(self: Canvas, x: float, y: float, text: str, **how: object) -> None:
        strings[-1].append((x, y, text, self._fontname, self._fontsize))
        draw_string(self, x, y, text, **how)

    def turned(self: Canvas) -> None:
        strings.append([])
        show_page(self)

    with monkeypatch.context() as patched:
        patched.setattr(Canvas, "drawString", kept)
        patched.setattr(Canvas, "showPage", turned)
        write_traveller(tmp_path / "sheet.pdf", survey, number=1)

    def bare() -> None:
        canvas = Canvas(str(tmp_path / "bare.pdf"), pageCompression=1)
        for page in strings[:-1]:
            for x, y, text, font, size in page:
                canvas.setFont(font, size)
                canvas.drawString(x, y, text)
            canvas.showPage()
        canvas.save()

    ours, theirs = fastest(lambda: write_traveller(tmp_path / "sheet.pdf", survey, number=1), bare)
    print(f"traveller {ours * 1000:.0f} ms, bare strings {theirs * 1000:.0f} ms, {ours / theirs:.2f} times")
    assert sum(len(page) for page in strings) > LINES * 5
    assert ours <= TIMES * theirs
