"""Going back to a backup: what stands is set aside whole, and the copy, checked, is put in its place."""

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from app.store.backup import back_up
from app.store.database import FILE, HEAD, look, read_only
from app.store.errors import StoreError
from app.store.folder import let_go, make_folder, take

ASIDE = "set aside"
# The database and what SQLite lays beside it: left lying there, the log of another state ruins a file put in its place.
_PARTS = ("", "-wal", "-shm")


class Restored(Struct, frozen=True):
    """What going back came to: the last deed before and now, None where it cannot be read, and what was set aside."""

    before: datetime | None
    now: datetime | None
    aside: tuple[Path, ...]


def restore(folder: Path, copy: Path, *, now: datetime) -> Restored:
    """Put a backup in the place of a workshop's database; what stood there is set aside under a dated name.

    Raise `StoreError` where the copy is no sound backup of a workshop or is the workshop's own file, and `Busy` where
    the workshop is open; nothing is changed then.
    """
    path = folder / FILE
    _check_copy(copy, path)
    lock = take(folder)
    try:
        before = _last_deed(path) if path.exists() else None
        fresh = folder / f"{FILE}.restoring"
        fresh.unlink(missing_ok=True)  # of a time this was cut off
        back_up(copy, fresh)  # refuses a copy that is not sound, before anything is moved
        aside = _set_aside(path, folder / ASIDE / f"{now.astimezone():%Y-%m-%d %H.%M.%S}")
        fresh.replace(path)
        return Restored(before, _last_deed(path), aside)
    except OSError as error:
        raise StoreError(f"{folder} cannot be written: {error.strerror}. What stood there was kept.") from error
    finally:
        let_go(folder, lock)


def _check_copy(copy: Path, path: Path) -> None:
    if not copy.is_file():
        raise StoreError(f"There is no file {copy}; name the backup itself.")
    if path.exists() and copy.samefile(path):
        raise StoreError(f"{copy} is the workshop's own database; name a backup of it.")
    revision = look(copy)
    if not revision or revision > HEAD:
        raise StoreError(f"{copy} was written by a newer version of this program; update the program.")


def _set_aside(path: Path, room: Path) -> tuple[Path, ...]:
    """The database with all that belongs to it, moved together: its log without it is worth nothing."""
    found = [one for part in _PARTS if (one := path.with_name(path.name + part)).exists()]
    if not found:
        return ()
    make_folder(room)
    return tuple(one.rename(room / one.name) for one in found)


def _last_deed(path: Path) -> datetime | None:
    """When the last deed was done; None where there is none, or the file is too damaged to say."""
    try:
        with closing(read_only(path)) as connection:
            row = connection.execute("SELECT max(at) FROM deed").fetchone()
    except sqlite3.Error:
        return None  # what is gone back from is often damaged; it is set aside all the same
    return datetime.fromisoformat(row[0]) if row and row[0] else None
