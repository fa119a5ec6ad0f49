"""The workshop's folder: making it, and holding it so that one program at a time writes there."""

import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

from app.store.errors import Busy, StoreError

LOCK = "in-use.lock"
HOLDER = "in-use.txt"


def make_folder(folder: Path) -> None:
    """Make a folder and those above it; raise `StoreError` where that cannot be."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"{folder.parent} cannot be made or written: {error.strerror}. Choose another place."
        ) from error


def take(folder: Path) -> sqlite3.Connection:
    """Hold the folder for writing: a lock on a file of its own, which the system lets go even if we are killed."""
    try:
        lock = sqlite3.connect(folder / LOCK, timeout=0, isolation_level=None, check_same_thread=False)
        lock.execute("BEGIN EXCLUSIVE")
        (folder / HOLDER).write_text(f"process {os.getpid()}, since {datetime.now(UTC).astimezone():%a %H:%M}", "utf-8")
    except sqlite3.OperationalError as error:
        if "locked" in str(error):
            raise Busy(f"{folder} is open in another window{_holder(folder)}; close it there first.") from None
        raise StoreError(f"{folder} cannot be written ({error}). Choose another place.") from error
    except OSError as error:
        raise StoreError(f"{folder} cannot be written: {error.strerror}. Choose another place.") from error
    return lock


def _holder(folder: Path) -> str:
    try:
        return f" ({(folder / HOLDER).read_text('utf-8')})"
    except OSError:
        return ""


def let_go(folder: Path, lock: sqlite3.Connection | None) -> None:
    """Let the folder go, where it was held."""
    if lock is not None:
        (folder / HOLDER).unlink(missing_ok=True)
        lock.close()
