"""A job on the worker holds a value: what is marked meanwhile neither disturbs it nor is in it."""

from pathlib import Path
from threading import Event, Semaphore

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication

from app.assembly.said.actions import PutIn, TickPlace
from app.assembly.said.marks import State
from app.desk.background import Background
from app.desk.pages.print_page import RECORD, WHOLE, PrintJob, PrintPage
from app.desk.window import MainWindow
from app.desk.work import Work
from app.store.health import Finding
from app.store.workshop import Workshop

FORGOTTEN = "Oil the thread of the long stud"
STUDS = ("1", "2", "3")


def _mark_until(work: Work, over: list[object], steps: Semaphore | None = None) -> int:
    """Tick and untick on the window's thread until a job there is over; how many marks that were."""
    count = 0
    while not over:
        place = STUDS[count % len(STUDS)]
        ticked = work.build.facts.ticks.get("blow-dry", {}).get(place)
        state = State.DONE if ticked is None else State.TO_DO
        assert work.do(TickPlace("blow-dry", place, state, "MK", work.now()))
        count += 1
        if steps is not None:
            steps.release()
        QApplication.processEvents()
    return count


@pytest.mark.parametrize(("what", "words"), [(WHOLE, "Lay the head gasket"), (RECORD, "Grey four")])
def test_a_print_is_the_build_as_it_was_when_it_was_asked_for(
    window: MainWindow, tmp_path: Path, what: int, words: str
) -> None:
    work, jobs, over = window.work, list[PrintJob](), list[object]()
    assert work is not None
    page = PrintPage(window.desk.theme, window)
    page.wanted.connect(jobs.append)
    page.begin(work, 1)
    page.choose(what)
    page.write(tmp_path / "out.pdf")
    steps = Semaphore(0)

    def progress(_done: int, _of: int) -> None:
        """Between two steps of the print there is at least one mark."""
        assert steps.acquire(timeout=20)

    def cancelled() -> bool:
        assert steps.acquire(timeout=20)
        return False

    assert work.do(PutIn(FORGOTTEN, "blow-dry", "MK", work.now()))
    window.desk.background.run(lambda *_: jobs[0].job(progress, cancelled), over.append, over.append)
    assert _mark_until(work, over, steps) >= 2
    assert isinstance(over[0], int), over
    text = " ".join("".join(one.extract_text() for one in PdfReader(tmp_path / "out.pdf").pages).split())
    assert words in text
    assert FORGOTTEN not in text


def test_a_health_check_beside_marks_finds_the_journal_telling_the_state(window: MainWindow) -> None:
    work = window.work
    assert work is not None
    for _ in range(3):
        found: list[object] = []
        workshop, marked = work.workshop, Semaphore(0)

        def look(_progress: object, _cancelled: object, of: Workshop = workshop, after: Semaphore = marked) -> object:
            assert after.acquire(timeout=20)  # so that there is a mark beside it, however quick it is
            return of.health()

        window.desk.background.run(look, found.append, found.append)
        assert _mark_until(work, found, marked) > 0
        (findings,) = found
        assert isinstance(findings, tuple)
        assert all(isinstance(one, Finding) and one.ok for one in findings), findings


@pytest.mark.usefixtures("qapp")
def test_closing_drops_the_jobs_whose_turn_has_not_come() -> None:
    home = QObject()
    background, begun, over = Background(home), Event(), list[object]()

    def first(_progress: object, cancelled: object) -> str:
        begun.set()
        assert callable(cancelled)
        while not cancelled():
            pass
        return "first"

    background.run(first, over.append, over.append)
    background.run(lambda *_: "second", over.append, over.append)
    assert begun.wait(20)
    background.close()
    QApplication.processEvents()
    assert (over, background.running) == (["first"], 0)
    background.run(lambda *_: "third", over.append, over.append)
    QApplication.processEvents()
    assert (over, background.running) == (["first"], 0), "a closed one takes no job"
