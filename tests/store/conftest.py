"""A workshop on disk with one small build in it, and ways to spoil it."""

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path

import pytest

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.said.actions import Action, MarkLine
from app.assembly.said.marks import State
from app.store.database import FILE
from app.store.workshop import Workshop
from tests.plans import EVENING, SMALL
from tests.workshops import put_workshop

NOBODY = 65534


class Hand:
    """Somebody who opens the workshop in a folder, works the one build in it, and closes it again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / FILE
        self.now = EVENING
        self.build: Build | None = None  # as the last act left it

    def open(self, *, write: bool = True) -> Workshop:
        return Workshop.open_at(self.folder, now=self.now, write=write)

    def act(self, workshop: Workshop, build: Build, action: Action) -> Build:
        self.now += timedelta(minutes=1)
        self.build = workshop.commit(build, decide(build, action), now=self.now)
        return self.build

    def mark(self, workshop: Workshop, build: Build, line: str, state: State, why: str = "") -> Build:
        return self.act(workshop, build, MarkLine(line, state, "AB", self.now, why, together=True))

    def sql(self, statement: str) -> list[tuple[object, ...]]:
        """Run a statement behind the program's back."""
        with closing(sqlite3.connect(self.path)) as connection, connection:
            return connection.execute(statement).fetchall()

    def count(self, table: str) -> int:
        ((found,),) = self.sql(f"SELECT count(*) FROM {table}")
        assert isinstance(found, int)
        return found


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "garage"


@pytest.fixture
def hand(folder: Path) -> Hand:
    """A workshop with a new small build, closed."""
    return Hand(put_workshop(folder, plan=SMALL, build="Hill climber", by="AB", made=EVENING))


@pytest.fixture
def open_ground() -> Iterator[Path]:
    """A folder every user may reach; the one pytest gives is closed to others."""
    with tempfile.TemporaryDirectory() as name:
        ground = Path(name)
        ground.chmod(0o755)
        yield ground


@contextmanager
def ordinary_user() -> Iterator[None]:
    """Take off the rights of the superuser, who may write anywhere."""
    if os.getuid() != 0:
        yield
        return
    os.setresuid(NOBODY, NOBODY, 0)
    try:
        yield
    finally:
        os.setresuid(0, 0, 0)
