"""Another look, and the first New build page: how long the window's thread is taken."""

import statistics
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QApplication

from app.desk.pages.new_build import NewBuildPage
from app.desk.window import MainWindow
from app.sheet.draw.tokens import Distance
from tests.benchmarks.desk import spent, worked_window
from tests.benchmarks.figure import Figure

TIMES = 6
MOST_MS = 100.0


def measure(folder: Path | None = None) -> Iterator[Figure]:
    """Light to dark and another distance with every page made, on the sheet and on the longest list."""
    with worked_window(folder) as window:
        yield _figure("New build page, longest hold of the window's thread", _first_new_build(window))
        for key in ("ends", "ready", "builds", "print", "help", "findings", "log"):
            window.pages.show_page(key)
            QApplication.processEvents()
        far = [Distance.DESK, *(one for one in Distance if one is not Distance.DESK)]
        for where in ("logbook", "sheet"):
            flips = [spent(window.looks.flip) for _ in range(TIMES)]
            yield _figure(f"light or dark, {where}", statistics.median(flips))
            moves = [spent(partial(window.looks.set_distance, far[n % 2])) for n in range(TIMES)]
            yield _figure(f"distance, {where}", statistics.median(moves))
            window.looks.set_distance(Distance.DESK)
            window.pages.show_home()


def _first_new_build(window: MainWindow) -> float:
    """The longest time between two turns of the window's thread until the plans are offered, in ms."""
    longest = spent(lambda: window.pages.show_page("new"))
    page = window.pages.widget_of("new", NewBuildPage)
    while not page.ready:
        time.sleep(0.005)  # the thread sleeps in its event loop, too, and leaves the worker its turn
        longest = max(longest, spent(lambda: None))
    return longest


def _figure(name: str, value: float) -> Figure:
    return Figure(name, round(value, 2), None, None, MOST_MS)
