"""The logbook left open: what is made anew when time passes, and when one more deed is done."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType

from app.desk.pages.list_page import ListPage, ListRow
from app.desk.pages.rows import told_row
from app.desk.window import MainWindow
from tests.benchmarks.desk import spent, worked_window
from tests.benchmarks.figure import Figure
from tests.benchmarks.mark import go_to_ready


def measure(folder: Path | None = None) -> Iterator[Figure]:
    """Rows made are counted; the time of a refresh is told beside them."""
    with worked_window(folder) as window:
        go_to_ready(window)
        window.pages.show_page("log")
        assert window.work is not None
        yield _counted("logbook, rows made when time passes", _rows_made(window.work.refresh), 0)
        yield _counted("logbook, rows made by one more deed", _rows_made(lambda: _deed(window)), 1)
        shown = window.pages.widget_of("log", ListPage).list.model_.rows
        yield _counted("logbook, rows that are others after it", _changed(window, shown), 1)
        yield Figure("logbook, time passes", round(spent(window.work.refresh), 2), None, None, 100)


def _deed(window: MainWindow) -> None:
    window.desk.marking.next_mark()


def _changed(window: MainWindow, before: tuple[ListRow, ...]) -> float:
    window.workshops.undo()
    after = window.pages.widget_of("log", ListPage).list.model_.rows
    return float(len({id(row) for row in after} - {id(row) for row in before}))


def _rows_made(do: Callable[[], object]) -> float:
    made = 0

    def count(frame: FrameType, event: str, _arg: object) -> None:
        nonlocal made
        made += event == "call" and frame.f_code is told_row.__code__

    sys.setprofile(count)
    try:
        do()
    finally:
        sys.setprofile(None)
    return float(made)


def _counted(name: str, value: float, limit: float) -> Figure:
    return Figure(name, value, None, None, limit, "rows")
