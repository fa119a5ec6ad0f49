"""Bringing an older database up to date: whole or not at all, with a backup, and with every child row kept."""

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from app.assembly.said.actions import MarkLine, TakeReading
from app.assembly.said.marks import State
from app.store.database import HEAD, look, make_engine
from app.store.errors import StoreError
from app.store.migrate import SCRIPTS, migrate
from app.store.tables import METADATA
from app.store.workshop import BACKUPS
from tests.plans import EVENING
from tests.store.conftest import Hand

REVISION = f'''"""A made-up revision"""

import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{HEAD}"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go up."""
'''
REBUILD = """
    with op.batch_alter_table("build", recreate="always") as batch:
        batch.add_column(sa.Column("colour", sa.String(), nullable=False, server_default="black"))
"""
TABLES = sorted(METADATA.tables)


@pytest.fixture
def filled(hand: Hand) -> Hand:
    """A workshop with rows in nearly every table."""
    with hand.open() as workshop:
        build = workshop.load(1)
        build = hand.mark(workshop, build, "1.01", State.DONE)
        build = hand.act(workshop, build, TakeReading("1.02", "1", "80.01 mm", "AB", hand.now))
        hand.act(workshop, build, MarkLine("1.06", State.LATER, "AB", hand.now, "no rags", "1.09"))
        workshop.keep_print(build, 1, hand.now)
    return hand


@pytest.fixture
def scripts(tmp_path: Path) -> Path:
    copy = tmp_path / "50 % scripts"
    shutil.copytree(SCRIPTS, copy, ignore=shutil.ignore_patterns("__pycache__"))
    return copy


def _revise(scripts: Path, body: str) -> None:
    (scripts / "versions" / "9999_made_up.py").write_text(REVISION + body, "utf-8")


def _counts(hand: Hand) -> dict[str, int]:
    return {table: hand.count(table) for table in TABLES}


def _schema(hand: Hand) -> list[tuple[object, ...]]:
    return hand.sql("SELECT type, name, sql FROM sqlite_master ORDER BY name")


def _migrate(hand: Hand, scripts: Path) -> None:
    migrate(hand.path, now=EVENING + timedelta(days=9), backups=hand.folder / BACKUPS, scripts=scripts)


def test_the_newest_revision_is_the_one_the_program_knows() -> None:
    config = Config()
    config.set_main_option("script_location", str(SCRIPTS))
    assert ScriptDirectory.from_config(config).get_current_head() == HEAD


def test_the_migrated_schema_is_the_one_the_models_say(hand: Hand) -> None:
    engine = make_engine(hand.path)
    try:
        with engine.connect() as connection:
            context = MigrationContext.configure(connection, opts={"compare_type": True})
            assert compare_metadata(context, METADATA) == []
    finally:
        engine.dispose()


def test_rebuilding_a_parent_table_keeps_its_children(filled: Hand, scripts: Path) -> None:
    """With foreign keys on, dropping the old `build` table would delete every row that belongs to it."""
    before = _counts(filled)
    assert min(before[table] for table in ("step", "deed", "entry", "line_mark", "reading", "place", "print")) > 0
    _revise(scripts, REBUILD)
    _migrate(filled, scripts)
    assert _counts(filled) == before
    assert look(filled.path) == "9999"
    assert filled.sql("SELECT colour FROM build") == [("black",)]
    assert filled.sql("PRAGMA foreign_key_check") == []
    with closing(sqlite3.connect(filled.path)) as connection, connection:
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute("DELETE FROM build")
    assert filled.count("step") == 0, "the links still stand after the rebuild"


def test_an_upgrade_makes_a_backup_first(filled: Hand, scripts: Path) -> None:
    before = _counts(filled)
    _revise(scripts, REBUILD)
    _migrate(filled, scripts)
    (backup,) = (filled.folder / BACKUPS).iterdir()
    assert backup.name == "before-upgrade-20260311-180000.db"
    assert look(backup) == HEAD
    with closing(sqlite3.connect(backup)) as connection:
        counted = {table: connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in TABLES}
    assert counted == before


@pytest.mark.parametrize(
    "body",
    [
        REBUILD + '    raise RuntimeError("the cat was on the keyboard")\n',
        '    op.create_table("extra", sa.Column("id", sa.Integer()))\n    op.execute("DELETE FROM entry")\n    1 / 0\n',
        REBUILD + '    op.execute("SELECT * FROM no_such_table")\n',
    ],
    ids=["after a rebuild", "after a delete", "by the database"],
)
def test_an_upgrade_that_fails_changes_nothing(filled: Hand, scripts: Path, body: str) -> None:
    before = (_counts(filled), _schema(filled))
    _revise(scripts, body)
    with pytest.raises(Exception, match=r"cat|division|no_such_table"):
        _migrate(filled, scripts)
    assert (_counts(filled), _schema(filled)) == before
    assert look(filled.path) == HEAD
    assert len(list((filled.folder / BACKUPS).iterdir())) == 1
    with filled.open() as workshop:
        assert all(finding.ok for finding in workshop.health())


def test_an_upgrade_that_would_leave_rows_without_what_they_belong_to_is_refused(filled: Hand, scripts: Path) -> None:
    before = (_counts(filled), _schema(filled))
    _revise(scripts, '    op.execute("DELETE FROM build")\n')
    with pytest.raises(StoreError, match=r"was not upgraded: rows in .*step.* would have lost what they belong to"):
        _migrate(filled, scripts)
    assert (_counts(filled), _schema(filled)) == before


def test_an_older_workshop_is_upgraded_when_it_is_opened(
    filled: Hand, scripts: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _revise(scripts, REBUILD)
    monkeypatch.setattr("app.store.workshop.HEAD", "9999")
    monkeypatch.setattr("app.store.migrate.migrate.__kwdefaults__", {"scripts": scripts, "to": "head"})
    with filled.open() as workshop:
        assert workshop.load(1).facts.lines["clean-block"].state is State.DONE
    assert look(filled.path) == "9999"
    assert len(list((filled.folder / BACKUPS).iterdir())) == 1


def test_a_workshop_of_the_first_tables_keeps_its_readings(filled: Hand, tmp_path: Path) -> None:
    """From 0001 on readings say how far their gauge is to be trusted; those of before say nothing of it."""
    with closing(sqlite3.connect(filled.path)) as connection, connection:
        _without_numbers(connection)
        for column in ("doubt", "celsius", "alpha_per_k"):
            connection.execute(f"ALTER TABLE reading DROP COLUMN {column}")
        connection.execute("UPDATE alembic_version SET version_num = '0001'")
    before = _counts(filled)
    with filled.open() as workshop:
        reading = workshop.load(1).facts.readings["measure-bores"]["1", 1]
        assert (reading.text, reading.doubt, reading.celsius) == ("80.01 mm", 0.0, None)
        assert all(finding.ok for finding in workshop.health())
    assert look(filled.path) == HEAD
    assert _counts(filled) == before
    assert len(list((filled.folder / BACKUPS).iterdir())) == 1


FACTS = ("line_mark", "tick", "reading", "figure", "part_said", "passage", "concession", "fact")


def _without_counts(connection: sqlite3.Connection) -> None:
    """Take away what 0004 brought, and what came after it."""
    _with_labels(connection)
    for index in ("ix_build_folded", "ix_deed_of", "ix_deed_verb", "ix_entry_words"):
        connection.execute(f"DROP INDEX {index}")
    for column in ("folded", "last", "done", "lines"):
        connection.execute(f"ALTER TABLE build DROP COLUMN {column}")


def _with_labels(connection: sqlite3.Connection) -> None:
    """Take away what 0005 brought, and give back what it took."""
    connection.execute("ALTER TABLE deed DROP COLUMN again")
    connection.execute("ALTER TABLE deed ADD COLUMN label VARCHAR NOT NULL DEFAULT ''")
    connection.execute("ALTER TABLE line_mark DROP COLUMN because")


def _without_numbers(connection: sqlite3.Connection) -> None:
    """Take away what 0003 brought, and what came after it."""
    _without_counts(connection)
    for index in ("ix_relation_step_id", "ix_part_requirement_step_id", "ix_temporary_item_step_id", "ix_deed_at"):
        connection.execute(f"DROP INDEX {index}")
    for table in FACTS:
        connection.execute(f"ALTER TABLE {table} DROP COLUMN number")
    for table in ("fact", "entry"):
        connection.execute(f"ALTER TABLE {table} DROP COLUMN form")


def test_a_workshop_without_numbers_gets_each_fact_the_number_of_its_deed(filled: Hand) -> None:
    with filled.open() as workshop:
        build = workshop.load(1)
        numbers = dict(build.facts.numbers)
        ids = {written.id for written in workshop.journal(build)}
    assert numbers
    assert set(numbers.values()) <= ids
    with closing(sqlite3.connect(filled.path)) as connection, connection:
        _without_numbers(connection)
        connection.execute("UPDATE alembic_version SET version_num = '0002'")
    with filled.open() as workshop:
        assert workshop.load(1).facts.numbers == numbers


def test_a_workshop_without_counts_gets_what_its_list_shows(filled: Hand) -> None:
    filled.sql("UPDATE build SET name = 'ÉTÉ Special', folded = 'été special'")
    with filled.open() as workshop:
        before = workshop.builds()
    with closing(sqlite3.connect(filled.path)) as connection, connection:
        _without_counts(connection)
        connection.execute("UPDATE alembic_version SET version_num = '0003'")
    with filled.open() as workshop:
        assert workshop.builds() == before
        assert (before[0].done, before[0].lines) == (1, filled.count("step"))
        assert before[0].last == filled.now - timedelta(minutes=1)
        assert workshop.find("été SPECIAL") == 1
        assert all(finding.ok for finding in workshop.health())
