"""The workshop's database file: opening it safely, and telling in words when it can't be used."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError

from app.assembly.said.kinds import UnknownForm
from app.store.errors import StoreError

FILE = "workshop.db"
# Written into the file's header, so that a database of another program is never taken for a workshop ("1CRK").
APPLICATION_ID = 0x3143524B
# The newest revision of app/store/migrations; a test holds the two together. Asking Alembic would cost start-up time.
HEAD = "0005"
PRAGMAS = ("busy_timeout=5000", "foreign_keys=ON", "journal_mode=WAL", "synchronous=FULL")


def make_engine(path: Path, *, foreign_keys: bool = True) -> Engine:
    """An engine that keeps what it acknowledged: WAL, synchronous=FULL, foreign keys on every connection.

    `foreign_keys=False` is for migrations only: rebuilding a parent table with them on deletes its children.
    """
    # Not by a URL as text: a folder's name may hold “?” or “%”.
    engine = create_engine(URL.create("sqlite", database=str(path)))

    @event.listens_for(engine, "connect")
    def _configure(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # we send BEGIN ourselves, so that a failed migration rolls back
        for pragma in PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        if not foreign_keys:
            connection.execute("PRAGMA foreign_keys=OFF")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN")

    return engine


def read_only(path: Path) -> sqlite3.Connection:
    """A connection that changes nothing, not even beside the file."""
    # A file nobody has open stands alone; only “immutable” keeps SQLite from laying its two side files there.
    alone = not path.with_name(f"{path.name}-wal").exists()
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro{'&immutable=1' if alone else ''}", uri=True)


def look(path: Path) -> str:
    """The revision of the database at `path`, read without touching it; raise `StoreError` if it is not ours."""
    with telling(path), closing(read_only(path)) as connection:
        (found,) = connection.execute("PRAGMA application_id").fetchone()
        if found != APPLICATION_ID:
            raise StoreError(
                f"{path} is not a workshop of this program; choose another folder, or move that file away."
            )
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return str(row[0]) if row else ""


@contextmanager
def telling(path: Path) -> Iterator[None]:
    """Turn what the database says when it can't go on into a sentence a person can act on."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        raise StoreError(_sentence(str(getattr(error, "orig", error)), path)) from error
    except UnicodeEncodeError as error:
        raise StoreError(f"A text holds signs that are no letters and cannot be kept in {path}.") from error


@contextmanager
def reading(path: Path) -> Iterator[None]:
    """Tell of rows that this program did not write: a word it does not know, text that is no JSON, a lost link."""
    try:
        yield
    except UnknownForm as error:
        raise StoreError(
            f"{path} was written by a newer version of this program: it holds {error}; update the program. "
            "The file was not touched."
        ) from error
    except (ValueError, KeyError, TypeError, AttributeError, IndexError) as error:
        raise StoreError(
            f"{path} holds a row that cannot be read ({type(error).__name__}: {error}); "
            "go back to a backup with `firstcrank restore`."
        ) from error


def _sentence(said: str, path: Path) -> str:
    known = {
        "malformed": f"{path} is damaged ({said}); go back to a backup with `firstcrank restore`.",
        "not a database": f"{path} is damaged or not a workshop ({said}); put the newest backup in its place.",
        "disk is full": f"The disk is full: nothing was written to {path}. Make room and do it again.",
        "readonly": f"{path} cannot be written (read-only); get the right to write there, or copy the folder.",
        "unable to open": f"{path} cannot be opened; look whether the folder exists and may be read and written.",
        "locked": f"{path} is held by another program; close that one and do it again.",
        "no such table": f"{path} lacks part of its tables ({said}); put the newest backup in its place.",
    }
    return next(
        (sentence for key, sentence in known.items() if key in said),
        f"{path} could not be used ({said}). Nothing was changed.",
    )
