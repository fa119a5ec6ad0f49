"""Undo: from the press to what is on disk and repainted, on a worked build."""

import statistics
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.benchmarks.desk import floor, spent, worked_window
from tests.benchmarks.figure import Figure, against
from tests.benchmarks.mark import go_to_ready

UNDOS = 30


def measure(folder: Path | None = None) -> Iterator[Figure]:
    """A mark is made and taken back, again and again; only the taking back is timed."""
    with worked_window(folder) as window:
        go_to_ready(window)
        assert window.desk.at_hand.workshop is not None
        least = floor(window, window.desk.at_hand.workshop.folder, UNDOS)
        times = []
        for _ in range(UNDOS):
            QTest.keyClick(window.sheet, Qt.Key.Key_Space)
            times.append(spent(window.workshops.undo))
    yield against("undo to disk and screen, median", statistics.median(times), least, 2)
