"""Backups that are made without being asked for: the newest ten, and one of each month."""

import re
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from app.store.backup import back_up
from app.store.database import read_only
from app.store.errors import StoreError
from app.store.folder import make_folder

MOST = 10
# Only what is called so is ever removed: other copies in the folder are somebody's own.
_NAME = re.compile(r"kept-(?P<month>[0-9]{6})[0-9]{2}-[0-9]{6}\.db")


def keep(path: Path, folder: Path, *, now: datetime) -> Path | None:
    """Back a database up into a folder, checked, if something was done since the last time; gives the copy, or None.

    Of the copies made so the newest ten stay, and the newest of each month. Raise `StoreError` where none can be made.
    """
    kept = sorted((one for one in folder.glob("kept-*.db") if _NAME.fullmatch(one.name)), key=lambda one: one.name)
    if kept and _state(kept[-1]) == _state(path):
        return None
    make_folder(folder)
    copy = folder / f"kept-{now.astimezone():%Y%m%d-%H%M%S}.db"
    if copy.exists():
        return None  # made within this second
    back_up(path, copy)
    try:
        for old in _too_many([*kept, copy]):
            old.unlink()
    except OSError as error:
        raise StoreError(f"{folder} cannot be tidied: {error.strerror}. The new backup was kept.") from error
    return copy


def _state(path: Path) -> tuple[object, ...] | None:
    """What tells two states of a database apart: its builds and its last deed; None for one that cannot be read."""
    try:
        with closing(read_only(path)) as connection:
            (deed,) = connection.execute("SELECT max(id) FROM deed").fetchone()
            (builds,) = connection.execute("SELECT count(*) FROM build").fetchone()
    except sqlite3.Error:
        return None  # a copy somebody damaged: another is made
    return deed, builds


def _too_many(kept: list[Path]) -> list[Path]:
    """All but the newest ten and the newest of each month, oldest first."""
    of_month = {match["month"]: one for one in kept if (match := _NAME.fullmatch(one.name))}
    return [one for one in kept[:-MOST] if one not in of_month.values()]
