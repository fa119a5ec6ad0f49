"""A workshop on disk holds kinds and arguments, and none of the sentences they are told in."""

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import fields

from app.assembly.said.deeds import Written
from app.assembly.said.kinds import every_kind
from app.assembly.said.phrase import Phrase
from app.assembly.said.reasons import Because
from app.store.workshop import Workshop
from app.words.deeds import label
from app.words.say import say

SAMPLE = Path(__file__).parents[2] / "demo_data" / "workshop"
# These say what a person typed and nothing more, or what the plan calls it, with a full stop.
AS_TYPED = (Because.OPENED, Because.HAPPENED, Because.AS_WRITTEN)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(SAMPLE, tmp_path_factory.mktemp("sample") / "workshop"))


@pytest.fixture(scope="module")
def journal(folder: Path) -> list[tuple[Any, Written]]:
    with Workshop.open_at(folder, now=datetime(2027, 1, 1, tzinfo=UTC)) as workshop:
        builds = [workshop.load(one.key) for one in workshop.builds()]
        return [(build, written) for build in builds for written in workshop.journal(build)]


@pytest.fixture(scope="module")
def on_disk(folder: Path, journal: list[tuple[Any, Written]]) -> str:
    """Everything the tables of facts and of the journal hold, as one text."""
    assert journal
    tables = ("line_mark", "fact", "deed", "entry", "concession", "part_said")
    with closing(sqlite3.connect(folder / "workshop.db")) as connection:
        rows = [row for table in tables for row in connection.execute(f"SELECT * FROM {table}")]
    return "\n".join(_plainly(cell) for row in rows for cell in row if isinstance(cell, str))


def _plainly(cell: str) -> str:
    return json.dumps(json.loads(cell), ensure_ascii=False) if cell.startswith(("{", "[")) else cell


def _phrases(fact: Any) -> Iterator[Phrase]:
    for one in fields(fact):
        value = getattr(fact, one.name)
        yield from (each for each in (value if isinstance(value, tuple) else (value,)) if isinstance(each, Phrase))


def test_no_reason_of_the_program_stands_on_disk_in_words(journal: list[tuple[Any, Written]], on_disk: str) -> None:
    facts = [entry.new for _, written in journal for entry in written.deed.entries if entry.new is not None]
    said = {say(phrase) for fact in facts for phrase in _phrases(fact) if phrase.kind not in AS_TYPED}
    assert len(said) > 8
    assert [sentence for sentence in sorted(said) if sentence in on_disk] == []


def test_no_deed_keeps_its_label(journal: list[tuple[Any, Written]], folder: Path) -> None:
    with closing(sqlite3.connect(folder / "workshop.db")) as connection:
        columns = {row[1] for row in connection.execute("PRAGMA table_info(deed)")}
    assert "label" not in columns
    assert all(label(build, written.deed) for build, written in journal)


def test_every_phrase_in_a_fact_has_a_field_of_its_own() -> None:
    """A field holds either what a person typed or what the program says, never one or the other."""
    for kind in every_kind().values():
        for one in fields(kind.fact):
            assert "Phrase | str" not in str(one.type)
            assert "str | app.assembly.said.phrase.Phrase" not in str(one.type)
