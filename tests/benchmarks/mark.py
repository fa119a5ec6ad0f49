"""A mark: from the key press to what is on disk and repainted, on a worked build."""

import statistics
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.assembly.said.marks import State
from app.desk.window import MainWindow
from tests.benchmarks.desk import floor, spent, worked_window
from tests.benchmarks.figure import Figure, against

MARKS = 60


def measure(folder: Path | None = None) -> Iterator[Figure]:
    """Marks made and taken away on a line that can be begun, each timed until the window has painted it."""
    with worked_window(folder) as window:
        go_to_ready(window)
        assert window.desk.at_hand.workshop is not None
        floors = [floor(window, window.desk.at_hand.workshop.folder, MARKS)]
        times = [spent(partial(_mark, window, number)) for number in range(MARKS)]
        floors.append(floor(window, window.desk.at_hand.workshop.folder, MARKS))
    yield against("mark to disk and screen, median", statistics.median(times), min(floors), 1.5)


def go_to_ready(window: MainWindow) -> None:
    """Put the hand on a line that one key marks Started."""
    work = window.work
    assert work is not None
    lines = (one for one in work.build.lines if work.survey.ready(one) and not one.reads and not one.many)
    window.home.go_to_step(next(one.id for one in lines if work.survey.state(one) is State.TO_DO))


def _mark(window: MainWindow, number: int) -> None:
    assert window.work is not None
    before = window.work.build.number
    QTest.keyClick(window.sheet, Qt.Key.Key_U if number % 2 else Qt.Key.Key_Space)
    assert window.work.build.number > before, window.foot.message.text()
