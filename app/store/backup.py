"""Copies of a workshop's database that are whole even while it is in use."""

import sqlite3
from contextlib import closing
from pathlib import Path

from app.store.database import telling
from app.store.errors import StoreError


def back_up(source: Path, target: Path) -> None:
    """Copy the database by SQLite's own backup call and check the copy; a WAL file copied by hand can miss every row.

    Raise `StoreError` if the target exists already, cannot be written, or the copy is not sound.
    """
    if target.exists():
        raise StoreError(f"{target} exists already; choose another name, nothing is written over.")
    if not target.parent.is_dir():
        raise StoreError(f"There is no folder {target.parent} to write the backup into.")
    with telling(target), closing(sqlite3.connect(source)) as origin, closing(sqlite3.connect(target)) as copy:
        origin.backup(copy)
        copy.execute("PRAGMA journal_mode=DELETE")
        (verdict,) = copy.execute("PRAGMA integrity_check").fetchone()
    if verdict != "ok":
        target.unlink()
        raise StoreError(f"The backup of {source} is not sound ({verdict}); it was not kept.")
