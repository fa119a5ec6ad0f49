"""A workshop: a folder with one database and its photos. One unit of work per action, plain values out."""

import hashlib
import json
import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from sqlalchemy import Connection, Engine, delete, func, insert, select, update

from app.assembly.build import Build
from app.assembly.deeds.undo import redo_of, undo_of
from app.assembly.said.deeds import Deed, Verb, Written
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.store import tables as t
from app.store.backup import back_up
from app.store.database import FILE, HEAD, look, make_engine, reading, telling
from app.store.errors import StoreError
from app.store.facts import units_said_last
from app.store.folder import let_go, make_folder, take
from app.store.health import Finding, looked_over
from app.store.journal import (
    NextSteps,
    insert_deed,
    next_steps,
    read_deed,
    read_journal,
    refuse_newer_words,
    write_deed,
)
from app.store.mapping import arrangement_values, insert_row, read_build, write_blank

if TYPE_CHECKING:
    from app.assembly.make import Blank

PHOTOS = "photos"
BACKUPS = "backups"


class BuildName(Struct, frozen=True):
    """A build in the list: enough to choose it by."""

    key: int
    name: str
    plan: str
    made: datetime
    last: datetime | None
    done: int
    lines: int


# A step's id, a place of it and the round: where a value is half typed.
Cell = tuple[str, str, int]


class Arrow(Struct, frozen=True):
    """Where the hand is on the sheet: the line, the place in it, the scroll in px; and every value half typed."""

    line: str
    place: str = ""
    scroll: int = 0
    drafts: Mapping[Cell, str] = {}


# The build worked on last stands first.
_LAST_FIRST = (func.coalesce(t.BUILD.c.last, t.BUILD.c.made).desc(), t.BUILD.c.id)
# A number with more digits than SQLite keeps is no build's.
MOST_DIGITS = 18


class Workshop:
    """An open workshop. Use `create` or `open_at`; `close` leaves one lone file behind."""

    def __init__(self, folder: Path, engine: Engine, lock: sqlite3.Connection | None) -> None:
        self.folder = folder
        self._engine = engine
        self._lock = lock

    # --- opening and closing

    @classmethod
    def create(cls, folder: Path, *, name: str, now: datetime) -> "Workshop":
        """Make a workshop in an empty or new folder and open it for writing; raise `StoreError` if there is one."""
        path = folder / FILE
        if path.exists():
            raise StoreError(f"{folder} holds a workshop already; open that one, or choose another folder.")
        make_folder(folder / PHOTOS)
        lock = take(folder)
        if path.exists():  # another program was quicker
            let_go(folder, lock)
            raise StoreError(f"{folder} holds a workshop already; open that one, or choose another folder.")
        try:
            with telling(path):
                _migrate(path, now)
                workshop = cls(folder, make_engine(path), lock)
                with workshop._begin() as connection:
                    connection.execute(insert(t.WORKSHOP).values(name=name, made=now, initials=""))
        except BaseException:
            for half_made in folder.glob(f"{FILE}*"):
                half_made.unlink()
            let_go(folder, lock)
            raise
        return workshop

    @classmethod
    def open_at(cls, folder: Path, *, now: datetime, write: bool = True) -> "Workshop":
        """Open the workshop in a folder; for writing only one program at a time may have it (`Busy`)."""
        path = folder / FILE
        if not folder.is_dir():
            raise StoreError(f"There is no folder {folder}; make a workshop there first, or choose another folder.")
        if not path.is_file():
            raise StoreError(f"{folder} holds no workshop ({FILE} is not there); choose the workshop's own folder.")
        if not os.access(path, os.R_OK | os.W_OK) or not os.access(folder, os.W_OK):
            raise StoreError(f"{folder} cannot be written; give yourself the right to write there, or copy the folder.")
        _refuse_newer(path)
        lock = take(folder) if write else None
        try:
            if look(path) != HEAD:
                if lock is None:
                    raise StoreError(
                        f"{path} was written by an older version of this program; open it for writing once, in the "
                        "window or with a mark: it is backed up and brought up to date then."
                    )
                with telling(path):
                    _migrate(path, now)
        except BaseException:
            let_go(folder, lock)
            raise
        return cls(folder, make_engine(path), lock)

    def close(self) -> None:
        """Fold the write-ahead log into the file and let the workshop go."""
        if self._lock is not None:
            with telling(self.path), self._engine.connect() as connection:
                connection.exec_driver_sql("COMMIT")
                connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
                connection.exec_driver_sql("BEGIN")
        self._engine.dispose()
        let_go(self.folder, self._lock)
        self._lock = None

    def __enter__(self) -> "Workshop":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """The database file."""
        return self.folder / FILE

    @property
    def photos(self) -> Path:
        """The folder of photos."""
        return self.folder / PHOTOS

    # --- builds

    def builds(self) -> tuple[BuildName, ...]:
        """Every build of the workshop, the one worked on last first."""
        build = t.BUILD.c
        columns = (build.id, build.name, t.PLAN.c.title, build.made, build.last, build.done, build.lines)
        query = select(*columns).join_from(t.BUILD, t.PLAN).order_by(*_LAST_FIRST)
        with self._begin() as connection:
            return tuple(BuildName(*row) for row in connection.execute(query))

    def last_build(self, wanted: int) -> int | None:
        """The build with this key if it is here, else the one worked on last; None in an empty workshop."""
        build = t.BUILD.c
        query = select(build.id).order_by(build.id != wanted, *_LAST_FIRST).limit(1)
        with self._begin() as connection:
            found = connection.execute(query).scalar()
        return None if found is None else int(found)

    def make_build(self, name: str, blank: "Blank", plan_text: str, *, by: str, now: datetime) -> Build:
        """Write a new build; raise `StoreError` if the name is taken or empty."""
        clean = name.strip()
        if not clean or len(clean) > 80 or not clean.isprintable():
            raise StoreError("A build needs a name of 1 to 80 letters.")
        with self._begin() as connection:
            folded = clean.casefold()
            if connection.execute(select(t.BUILD.c.id).where(t.BUILD.c.folded == folded)).first() is not None:
                raise StoreError(f"There is a build “{clean}” in this workshop already; give this one another name.")
            values = {"name": clean, "folded": folded, "made": now, "options": dict(blank.options)}
            values["arrangement"] = arrangement_values(blank.plan.arrangement)
            values["plan_id"] = _plan_id(connection, blank, plan_text)
            values |= {"last": now, "lines": len(blank.plan_lines)}
            build_id = insert_row(connection, t.BUILD, values)
            write_blank(connection, build_id, blank)
            insert_deed(connection, build_id, Deed(Verb.MADE, by, now, ()), now)
            system = units_said_last(connection)
        build = self.load(build_id)
        if not system:
            return build
        from app.assembly.deeds.decide import decide  # wanted only where units were said
        from app.assembly.said.actions import PreferUnits

        # Whoever thinks in inches does so in the next build of the workshop too.
        return self.commit(build, decide(build, PreferUnits(system, by, now)), now=now)

    def load(self, key: int) -> Build:
        """The build as it stands on disk."""
        with reading(self.path), self._begin() as connection:
            refuse_newer_words(connection)
            build = read_build(connection, key)
        if build is None:
            raise StoreError(f"There is no build {key} in {self.folder}.")
        return build

    def find(self, text: str) -> int:
        """The key of a build by its name or number; raise `StoreError` if there is none."""
        found = self._found(text.strip())
        if found is None:
            known = ", ".join(f"{one.key} “{one.name}”" for one in self.builds()) or "none yet"
            raise StoreError(f"There is no build “{text}” in this workshop; there is {known}.")
        return found

    def _found(self, wanted: str) -> int | None:
        if not wanted.isprintable():
            return None
        folded, build = wanted.casefold(), t.BUILD.c
        numbered = build.id == (int(wanted) if wanted.isdecimal() and len(wanted) < MOST_DIGITS else 0)
        query = select(build.id).where((build.folded == folded) | numbered).order_by(build.folded != folded).limit(1)
        with self._begin() as connection:
            return connection.execute(query).scalar()

    # --- one action, one transaction

    def commit(self, build: Build, deed: Deed, *, now: datetime, arrow: Arrow | None = None) -> Build:
        """Write a deed's facts and journal in one transaction; gives the build as it is from then on."""
        with self._begin() as connection:
            deed_id = write_deed(connection, build.key, deed, now)
            if arrow is not None:
                _put_arrow(connection, build.key, arrow)
        return build.after(deed, deed_id)

    def next_steps(self, build: Build) -> NextSteps:
        """The deed that undo takes back next, and the one that redo puts back next."""
        with self._begin() as connection:
            return next_steps(connection, build.key)

    def undo(self, build: Build, *, by: str, now: datetime) -> tuple[Build, Deed]:
        """Take back the last deed that stands, by a further one in the journal; gives the build then, and that deed."""
        step = self.next_steps(build).undo
        if step is None:
            raise Refused(phrase(RefusalKind.NOTHING_TO_UNDO))
        deed = undo_of(build, self.deed(step), step, by, now)
        return self.commit(build, deed, now=now), deed

    def redo(self, build: Build, *, by: str, now: datetime) -> tuple[Build, Deed]:
        """Put back the deed that was taken back last; gives the build then, and the deed that put it back."""
        step = self.next_steps(build).redo
        if step is None:
            raise Refused(phrase(RefusalKind.NOTHING_TO_REDO))
        deed = redo_of(build, self.deed(step), step, by, now)
        return self.commit(build, deed, now=now), deed

    # --- journal

    def journal(self, build: Build, after: int = 0) -> tuple[Written, ...]:
        """Every deed of the build with its entries, oldest first; only those after this number."""
        with reading(self.path), self._begin() as connection:
            return read_journal(connection, build.key, after)

    def deed(self, deed_id: int) -> Deed:
        """One deed of the journal with its entries."""
        with reading(self.path), self._begin() as connection:
            return read_deed(connection, deed_id)

    # --- small things kept

    def arrow(self, build: Build) -> Arrow | None:
        """Where the hand was on this build's sheet."""
        table = t.ARROW
        with self._begin() as connection:
            row = connection.execute(select(table).where(table.c.build_id == build.key)).first()
        return Arrow(row.key, row.place, row.scroll, _drafts(row.key, row.place, row.draft)) if row else None

    def keep_arrow(self, build: Build, arrow: Arrow) -> None:
        """Remember where the hand is."""
        with self._begin() as connection:
            _put_arrow(connection, build.key, arrow)

    def initials(self) -> str:
        """The initials used last, "" in a new workshop."""
        with self._begin() as connection:
            return connection.execute(select(t.WORKSHOP.c.initials)).scalar() or ""

    def keep_initials(self, initials: str) -> None:
        """Remember who is working."""
        with self._begin() as connection:
            connection.execute(update(t.WORKSHOP).values(initials=initials))

    def printed(self, build: Build) -> tuple[int, datetime | None]:
        """The number and time of the last print of the traveller; 0 if there was none."""
        printed = t.PRINT.c
        query = select(printed.number, printed.at).where(printed.build_id == build.key)
        with self._begin() as connection:
            row = connection.execute(query.order_by(printed.number.desc())).first()
        return (row.number, row.at) if row else (0, None)

    def keep_print(self, build: Build, number: int, now: datetime) -> None:
        """Remember that the traveller was printed under this number."""
        with self._begin() as connection:
            connection.execute(insert(t.PRINT).values(build_id=build.key, number=number, at=now))

    # --- safety

    def back_up(self, target: Path) -> None:
        """Copy the database to a new file, checked."""
        back_up(self.path, target)

    def health(self) -> tuple[Finding, ...]:
        """Look the whole workshop over: the file, its links, and for each build that the journal tells its state."""
        with self._begin() as connection:
            return looked_over(connection)

    @contextmanager
    def _begin(self) -> Iterator[Connection]:
        with telling(self.path), self._engine.begin() as connection:
            yield connection


# --- rows


def _put_arrow(connection: Connection, build_id: int, arrow: Arrow) -> None:
    connection.execute(delete(t.ARROW).where(t.ARROW.c.build_id == build_id))
    draft = json.dumps([[*cell, text] for cell, text in arrow.drafts.items()]) if arrow.drafts else ""
    values = {"key": arrow.line, "place": arrow.place, "scroll": arrow.scroll, "draft": draft}
    connection.execute(insert(t.ARROW).values(values | {"build_id": build_id}))


def _drafts(line: str, place: str, draft: str) -> dict[Cell, str]:
    """What is half typed and where. Before every place kept its own, one text alone was kept for where the hand was."""
    if not draft:
        return {}
    if not draft.startswith("[["):
        return {(line, place, 1): draft}
    return {(step, at, int(turn)): text for step, at, turn, text in json.loads(draft)}


def _plan_id(connection: Connection, blank: "Blank", text: str) -> int:
    digest = hashlib.sha256(text.encode()).hexdigest()
    found = connection.execute(select(t.PLAN.c.id).where(t.PLAN.c.digest == digest)).scalar()
    if found is not None:
        return int(found)
    plan = blank.plan
    values = {"key": plan.id, "edition": plan.edition, "title": plan.title, "text": text, "digest": digest}
    return insert_row(connection, t.PLAN, values)


# --- the file


def _migrate(path: Path, now: datetime) -> None:
    # Alembic takes a fifth of a second to load and is wanted only for a new or an old file.
    from app.store.migrate import migrate

    migrate(path, now=now, backups=path.parent / BACKUPS)


def _refuse_newer(path: Path) -> None:
    found = look(path)
    if found > HEAD:
        raise StoreError(
            f"{path} was written by a newer version of this program (revision {found}, this one knows {HEAD}); "
            "update the program. The file was not touched."
        )
