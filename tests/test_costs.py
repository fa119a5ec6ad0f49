"""What the program costs, counted and not timed: statements, rows, commits, and modules loaded."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, event

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.make import make_blank
from app.assembly.said.actions import MarkLine
from app.assembly.said.marks import State
from app.store.workshop import Workshop
from tests.plans import EVENING, SMALL, small_plan

ROOT = Path(__file__).parents[1]


@dataclass(slots=True)
class Cost:
    """What was asked of the database."""

    statements: int = 0
    rows: int = 0
    commits: int = 0
    written: int = 0


@contextmanager
def counting() -> Iterator[Cost]:
    """Count what every database opened within is asked."""
    cost = Cost()

    def each_row(_cursor: Any, row: tuple[Any, ...]) -> tuple[Any, ...]:
        cost.rows += 1
        return row

    def connected(connection: Any, _record: Any) -> None:
        connection.row_factory = each_row

    def executed(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        cost.statements += 1
        cost.written += statement.startswith(("INSERT", "UPDATE", "DELETE"))

    def committed(_connection: Any) -> None:
        cost.commits += 1

    listened: tuple[tuple[str, Callable[..., None]], ...] = (
        ("connect", connected),
        ("before_cursor_execute", executed),
        ("commit", committed),
    )
    for name, heard in listened:
        event.listen(Engine, name, heard)
    try:
        yield cost
    finally:
        for name, heard in listened:
            event.remove(Engine, name, heard)


def _workshop(folder: Path, *, builds: int = 1, deeds: int = 0) -> Path:
    """A workshop of small builds; the last with this many deeds, which leave the same few facts."""
    with Workshop.create(folder, name="Garage", now=EVENING) as workshop:
        for number in range(builds):
            blank = make_blank(small_plan(), {})
            build = workshop.make_build(f"Build {number}", blank, SMALL, by="AB", now=EVENING)
        for number in range(deeds):
            build = _mark(workshop, build, number)
        build, _ = workshop.undo(build, by="AB", now=EVENING) if deeds else (build, None)
    return folder


def _mark(workshop: Workshop, build: Build, number: int) -> Build:
    state = State.NOT_NEEDED if number % 2 else State.STARTED
    at = EVENING + timedelta(minutes=number)
    return workshop.commit(build, decide(build, MarkLine("1.01", state, "AB", at, "reason", together=True)), now=at)


def _open(workshop: Workshop) -> None:
    workshop.load(workshop.find("build 0"))


def _list(workshop: Workshop) -> None:
    assert workshop.builds()


def _undo(workshop: Workshop) -> None:
    workshop.undo(workshop.load(1), by="AB", now=EVENING)


def _next(workshop: Workshop) -> None:
    assert workshop.next_steps(workshop.load(1)).undo


def _done(workshop: Workshop) -> None:
    build = workshop.load(1)
    workshop.commit(build, decide(build, MarkLine("1.06", State.DONE, "AB", EVENING, together=True)), now=EVENING)


def _cost(folder: Path, job: Callable[[Workshop], None]) -> Cost:
    with counting() as cost, Workshop.open_at(folder, now=EVENING) as workshop:
        job(workshop)
    return cost


@pytest.mark.parametrize("job", [_open, _undo, _next, _done], ids=["open", "undo", "next steps", "mark"])
def test_a_long_journal_costs_nothing_more(tmp_path: Path, job: Callable[[Workshop], None]) -> None:
    few, many = (_cost(_workshop(tmp_path / str(deeds), deeds=deeds), job) for deeds in (50, 500))
    assert few.statements > 0
    assert few.rows > 0
    assert few == many


@pytest.mark.parametrize("job", [_open, _done], ids=["open", "mark"])
def test_many_builds_cost_nothing_more(tmp_path: Path, job: Callable[[Workshop], None]) -> None:
    few, many = (_cost(_workshop(tmp_path / str(builds), builds=builds), job) for builds in (3, 30))
    assert few.rows > 0
    assert few == many


def test_the_list_reads_one_row_a_build(tmp_path: Path) -> None:
    few, many = (_cost(_workshop(tmp_path / str(builds), builds=builds), _list) for builds in (3, 30))
    assert few.statements == many.statements
    assert many.rows - few.rows == 27


def test_a_mark_is_one_commit_that_the_disk_has_before_it_is_said(tmp_path: Path) -> None:
    """In WAL mode with synchronous=FULL each commit waits for the disk once."""
    folder = _workshop(tmp_path / "garage")
    with Workshop.open_at(folder, now=EVENING) as workshop:
        build = workshop.load(1)
        deed = decide(build, MarkLine("1.01", State.DONE, "AB", EVENING, together=True))
        with counting() as cost:
            workshop.commit(build, deed, now=EVENING)
        with workshop._begin() as connection:
            assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
            assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
    assert cost.commits == 1
    assert cost.written > 0


# --- modules


def _loaded(*words: str) -> set[str]:
    """The modules that a run with these words has loaded at its end."""
    script = (
        "import atexit, sys\n"
        "atexit.register(lambda: print('\\n' + ' '.join(sys.modules), file=sys.stderr))\n"
        "from app.cli.main import run\n"
        f"run({list(words)!r})\n"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(done.stderr.splitlines()[-1].split())


def _rooms(loaded: set[str], *names: str) -> list[str]:
    return sorted(one for one in loaded if any(one == name or one.startswith(f"{name}.") for name in names))


@pytest.mark.parametrize("word", ["--version", "--help"])
def test_help_and_version_load_nothing_of_the_program(word: str) -> None:
    loaded = _loaded(word)
    assert _rooms(loaded, "app") == ["app", "app.cli", "app.cli.main", "app.cli.trouble"]
    assert _rooms(loaded, "sqlalchemy", "pydantic", "PySide6", "pint") == []


FAR = ("alembic", "reportlab", "pydantic", "pint", "numpy", "highspy", "PySide6", "app.desk", "app.paper", "app.sheet")


@pytest.mark.parametrize("verb", ["sheet", "ready", "loose-ends", "gates", "journal", "mark", "undo", "builds"])
def test_a_verb_loads_only_what_it_needs(tmp_path: Path, verb: str) -> None:
    folder = _workshop(tmp_path / "garage", deeds=2)
    more = {"mark": ("Build 0", "1.06", "done", "--by", "AB"), "undo": ("Build 0", "--by", "AB"), "builds": ()}
    loaded = _loaded(verb, str(folder), *more.get(verb, ("Build 0",)))
    assert _rooms(loaded, *FAR) == []
    if verb in ("sheet", "ready"):
        assert _rooms(loaded, "app.assembly.said.actions", "app.assembly.rules", "app.assembly.deeds.decide") == []


def test_a_mark_loads_the_deeds_of_marks_alone(tmp_path: Path) -> None:
    loaded = _loaded("mark", str(_workshop(tmp_path / "garage")), "Build 0", "1.01", "done", "--by", "AB")
    assert _rooms(loaded, "app.assembly.deeds.bolts", "app.assembly.deeds.holes", "app.assembly.deeds.tools") == []


PAINTED = """
import os, sys
os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["FIRSTCRANK_CONFIG"] = sys.argv[2]
from pathlib import Path
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication
import app.desk.main as main

class Watch(QObject):
    seen = False
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint and not Watch.seen and watched.parent().model().rowCount():
            Watch.seen = True
            print(" ".join(sys.modules), flush=True)
            QTimer.singleShot(0, QApplication.quit)
        return False

watch = Watch()
made = main.MainWindow.__init__
def watched(self, *arguments):
    made(self, *arguments)
    self.sheet.viewport().installEventFilter(watch)
main.MainWindow.__init__ = watched
sys.exit(main.open_window(Path(sys.argv[1])))
"""


def test_the_window_is_painted_before_paper_and_plans_are_loaded(tmp_path: Path) -> None:
    folder = _workshop(tmp_path / "garage", deeds=2)
    command = [sys.executable, "-c", PAINTED, str(folder), str(tmp_path / "config")]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True, timeout=120)
    loaded = set(done.stdout.split())
    assert "app.desk.window" in loaded
    far = ("alembic", "reportlab", "pydantic", "numpy", "highspy", "sqlalchemy.orm", "app.cli", "app.paper")
    assert _rooms(loaded, *far) == []
