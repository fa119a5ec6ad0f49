"""A mark: from the key press to what is on disk and repainted."""

import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.desk import settings as settings_file
from app.desk.main import make_application, make_theme
from app.desk.window import MainWindow
from tests.benchmarks.builds import shipped_workshop
from tests.benchmarks.figure import Figure

MARKS = 200


def measure() -> Iterator[Figure]:
    """Two hundred marks up and down a stage, each timed until the window has painted it."""
    existing = QApplication.instance()
    application = existing if isinstance(existing, QApplication) else make_application(["benchmark"])
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        shipped_workshop(folder / "workshop")
        settings = settings_file.Settings()
        window = MainWindow(make_theme(application, settings), settings, folder / "config")
        window.show()
        window.workshops.open_workshop(folder / "workshop")
        window.home.show_stage_first(1)
        application.processEvents()
        times = [_mark(window, application, number) for number in range(MARKS)]
        window.close()
    yield Figure("mark to disk and screen, median", round(statistics.median(times), 2), None, None, 16)
    yield Figure(f"mark to disk and screen, worst of {MARKS}", round(max(times), 2), None, None, 60)


def _mark(window: MainWindow, application: QApplication, number: int) -> float:
    assert window.work is not None
    window.sheet.go_to(window.work.build.lines[0].id)
    before = len(window.work.build.facts.lines)
    begun = time.perf_counter()
    QTest.keyClick(window.sheet, Qt.Key.Key_U if number % 2 else Qt.Key.Key_Space)
    application.processEvents()
    spent = (time.perf_counter() - begun) * 1000
    assert len(window.work.build.facts.lines) != before, window.foot.message.text()
    return spent
