"""A window on a worked workshop, and the least that a mark in it can cost."""

import gc
import shutil
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QApplication

from app.desk.main import make_application, make_theme, settle
from app.desk.settings import Settings
from app.desk.window import MainWindow
from app.store.database import FILE
from tests.benchmarks.worked import worked

# What one mark writes: a deed, its entry with what was said before and after, and the line's own row taken anew.
TABLES = """
pragma journal_mode=WAL;
pragma synchronous=FULL;
create table deed (id integer primary key, build int, verb, label, by, at, written, why, of int);
create table entry (id integer primary key, deed int, event, about, key, place, round int, form int, old, new);
create table mark (build int, key, number int, value, primary key (build, key));
create index entries on entry (deed);
create index deeds on deed (build);
"""
SAID = '{"state": "done", "by": "MK", "at": "2026-03-14T09:30:00+00:00", "why": "", "before": "", "together": false}'


@contextmanager
def worked_window(folder: Path | None = None) -> Iterator[MainWindow]:
    """A window on a copy of a workshop, the worked one unless told, as it is once it has stood for a while."""
    folder = folder or worked()
    existing = QApplication.instance()
    application = existing if isinstance(existing, QApplication) else make_application(["benchmark"])
    with tempfile.TemporaryDirectory() as room:
        here = Path(room)
        (here / "workshop").mkdir()
        shutil.copyfile(folder / FILE, here / "workshop" / FILE)
        settings = Settings(theme="light")
        window = MainWindow(make_theme(application, settings), settings, here / "config")
        window.resize(1366, 768)
        window.show()
        assert window.workshops.open_workshop(here / "workshop"), window.foot.message.text()
        if window.ask.asking:
            window.ask.leave()
        settle(window)
        waiting = [True]
        window.desk.background.run(lambda *_: None, lambda _: waiting.clear(), lambda _: waiting.clear())
        while waiting:
            application.processEvents()
        yield window
        window.close()
        window.deleteLater()
        application.processEvents()
        gc.collect()  # here, not on the next window's worker


def spent(do: Callable[[], object]) -> float:
    """How long something takes until it is painted, in ms."""
    begun = time.perf_counter()
    do()
    QApplication.processEvents()
    return (time.perf_counter() - begun) * 1000


def floor(window: MainWindow, folder: Path, times: int) -> float:
    """One durable commit of rows of the same size with plain sqlite3, and one repaint of the same sheet, in ms."""
    with tempfile.TemporaryDirectory(dir=folder) as room:
        connection = sqlite3.connect(Path(room) / "floor.db", isolation_level=None)
        connection.executescript(TABLES)
        taken = [spent(partial(_least, connection, window, number)) for number in range(times)]
        connection.close()
    return statistics.median(taken)


def _least(connection: sqlite3.Connection, window: MainWindow, number: int) -> None:
    connection.execute("begin")
    deed = (number, 1, "mark", "4.07 Done", "MK", "2026-03-14 09:30:00", "2026-03-14 09:30:00", "", None)
    connection.execute("insert into deed values (?,?,?,?,?,?,?,?,?)", deed)
    entry = (number, number, "mark", "mark", f"step-{number % 9}", "", 1, 1, SAID, SAID)
    connection.execute("insert into entry values (?,?,?,?,?,?,?,?,?,?)", entry)
    connection.execute("delete from mark where build=1 and key=?", (f"step-{number % 9}",))
    connection.execute("insert into mark values (1,?,?,?)", (f"step-{number % 9}", number, SAID))
    connection.execute("commit")
    window.home.repaint()
