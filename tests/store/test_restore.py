"""Going back to a backup: nothing of either state is lost, and no log of the other ruins what is put in place."""

import shutil
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.assembly.deeds.decide import decide
from app.assembly.said.actions import MarkLine
from app.assembly.said.marks import State
from app.store.database import FILE
from app.store.errors import Busy, StoreError
from app.store.restore import ASIDE, restore
from app.store.workshop import Workshop
from tests.plans import SMALL
from tests.workshops import put_workshop

NOW = datetime(2026, 3, 14, 20, 0, tzinfo=UTC)


def _mark(folder: Path, line: str, at: datetime) -> None:
    with Workshop.open_at(folder, now=at) as workshop:
        build = workshop.load(1)
        workshop.commit(build, decide(build, MarkLine(line, State.DONE, "AB", at)), now=at)


def _done(folder: Path) -> set[str]:
    with Workshop.open_at(folder, now=NOW, write=False) as workshop:
        facts = workshop.load(1).facts
    return {line for line, mark in facts.lines.items() if mark.state is State.DONE}


@pytest.fixture
def garage(tmp_path: Path) -> tuple[Path, Path]:
    """A workshop, and a backup of it from before its last mark."""
    folder, copy = tmp_path / "garage", tmp_path / "sunday.db"
    put_workshop(folder, plan=SMALL, build="Grey four", by="AB", made=NOW - timedelta(days=1))
    _mark(folder, "clean-block", NOW - timedelta(hours=2))
    with Workshop.open_at(folder, now=NOW, write=False) as workshop:
        workshop.back_up(copy)
    _mark(folder, "rag-in", NOW - timedelta(hours=1))
    return folder, copy


def test_going_back_brings_the_backup_and_sets_aside_what_stood(garage: tuple[Path, Path]) -> None:
    folder, copy = garage
    found = restore(folder, copy, now=NOW)
    assert _done(folder) == {"clean-block"}
    assert (found.before, found.now) == (NOW - timedelta(hours=1), NOW - timedelta(hours=2))
    (aside,) = (folder / ASIDE).iterdir()
    assert found.aside == (aside / FILE,)
    again = restore(folder, aside / FILE, now=NOW + timedelta(minutes=1))
    assert _done(folder) == {"clean-block", "rag-in"}, "and back again"
    assert copy.is_file()
    assert again.now == NOW - timedelta(hours=1)


def test_a_log_that_lies_there_after_a_kill_goes_aside_with_its_database(garage: tuple[Path, Path]) -> None:
    folder, copy = garage
    kept = folder.parent / "killed"
    with Workshop.open_at(folder, now=NOW) as workshop:
        build = workshop.load(1)
        workshop.commit(build, decide(build, MarkLine("try-pan", State.DONE, "AB", NOW)), now=NOW)
        shutil.copytree(folder, kept)  # as a kill leaves it: what was acknowledged stands in the log
    assert (kept / f"{FILE}-wal").stat().st_size > 0
    found = restore(kept, copy, now=NOW)
    assert {one.name for one in found.aside} >= {FILE, f"{FILE}-wal"}
    assert _done(kept) == {"clean-block"}
    assert not (kept / f"{FILE}-wal").exists()
    (aside,) = (kept / ASIDE).iterdir()
    back = restore(kept, aside / FILE, now=NOW + timedelta(minutes=1))
    assert back.now == NOW, "what was acknowledged before the kill is there again"


def test_nothing_is_changed_by_what_is_no_backup(garage: tuple[Path, Path], tmp_path: Path) -> None:
    folder, copy = garage
    before = (folder / FILE).read_bytes()
    text, other, broken = tmp_path / "notes.txt", tmp_path / "other.db", tmp_path / "broken.db"
    text.write_text("no database")
    sqlite3.connect(other).execute("CREATE TABLE a (b)").connection.close()
    damaged = bytearray(copy.read_bytes())
    damaged[len(damaged) // 2 : len(damaged) // 2 + 4096] = bytes(4096)
    broken.write_bytes(damaged)
    for wrong in (text, other, broken, tmp_path / "nowhere.db", tmp_path, folder / FILE):
        with pytest.raises(StoreError):
            restore(folder, wrong, now=NOW)
    assert (folder / FILE).read_bytes() == before
    assert not (folder / ASIDE).exists()


def test_an_open_workshop_is_not_gone_back_in(garage: tuple[Path, Path]) -> None:
    folder, copy = garage
    with Workshop.open_at(folder, now=NOW), pytest.raises(Busy):
        restore(folder, copy, now=NOW)
    assert _done(folder) == {"clean-block", "rag-in"}


def test_a_damaged_or_missing_database_is_no_hindrance(garage: tuple[Path, Path]) -> None:
    folder, copy = garage
    (folder / FILE).write_bytes(b"not a database at all" * 400)
    assert restore(folder, copy, now=NOW).before is None
    assert _done(folder) == {"clean-block"}
    (folder / FILE).unlink()
    assert restore(folder, copy, now=NOW + timedelta(minutes=1)).aside == ()
    assert _done(folder) == {"clean-block"}
