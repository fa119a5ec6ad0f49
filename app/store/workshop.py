"""A workshop: a folder with one database and its photos. One unit of work per action, plain values out."""

import hashlib
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, delete, func, insert, select, update

from app.assembly.build import Build
from app.assembly.deeds.undo import redo_of, undo_of
from app.assembly.make import Blank
from app.assembly.said.deeds import Deed, Entry, EventName, Verb, Written
from app.assembly.said.facts import Facts
from app.assembly.said.kinds import Spot, Subject, kind_named
from app.assembly.said.refusal import Refused
from app.store import tables as t
from app.store.backup import back_up
from app.store.codec import from_json, plain, to_json
from app.store.database import FILE, HEAD, look, make_engine, reading, telling
from app.store.errors import Busy, StoreError
from app.store.mapping import (
    FACT_TABLES,
    arrangement_values,
    insert_row,
    read_build,
    read_facts,
    write_blank,
)

PHOTOS = "photos"
BACKUPS = "backups"
LOCK = "in-use.lock"
HOLDER = "in-use.txt"


@dataclass(frozen=True, slots=True)
class BuildName:
    """A build in the list: enough to choose it by."""

    key: int
    name: str
    plan: str
    made: datetime
    last: datetime | None
    done: int
    lines: int


@dataclass(frozen=True, slots=True)
class Arrow:
    """Where the hand is on the sheet: the line, the place in it, the scroll in px and a value half typed."""

    line: str
    place: str = ""
    scroll: int = 0
    draft: str = ""


@dataclass(frozen=True, slots=True)
class UndoStep:
    """A deed that can be taken back or put back, by its label."""

    id: int
    label: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One check of the health call: what was looked at, whether it is sound, and what was found."""

    check: str
    ok: bool
    text: str


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
        _make_folder(folder)
        lock = _take(folder)
        if path.exists():  # another program was quicker
            _let_go(folder, lock)
            raise StoreError(f"{folder} holds a workshop already; open that one, or choose another folder.")
        try:
            with telling(path):
                _migrate(path, now)
                workshop = cls(folder, make_engine(path), lock)
                with workshop._begin() as connection:
                    connection.execute(insert(t.WorkshopRow).values(name=name, made=now, initials=""))
        except BaseException:
            for half_made in folder.glob(f"{FILE}*"):
                half_made.unlink()
            _let_go(folder, lock)
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
        lock = _take(folder) if write else None
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
            _let_go(folder, lock)
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
        _let_go(self.folder, self._lock)
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
        build, plan = t.BuildRow.__table__.c, t.PlanRow.__table__
        deed, mark, step = t.DeedRow.__table__.c, t.LineMarkRow.__table__.c, t.StepRow.__table__.c
        last = select(func.max(deed.at)).where(deed.build_id == build.id).scalar_subquery()
        done = select(func.count()).where(mark.build_id == build.id, mark.state == "done").scalar_subquery()
        lines = select(func.count()).where(step.build_id == build.id).scalar_subquery()
        columns = (build.id, build.name, plan.c.title, build.made)
        query = select(*columns, last.label("last"), done.label("done"), lines.label("lines"))
        query = query.join_from(t.BuildRow.__table__, plan)
        with self._begin() as connection:
            rows = connection.execute(query.order_by(func.coalesce(last, build.made).desc())).all()
        return tuple(BuildName(r.id, r.name, r.title, r.made, r.last, r.done, r.lines) for r in rows)

    def last_build(self, wanted: int) -> int | None:
        """The build with this key if it is here, else the one worked on last; None in an empty workshop."""
        build = t.BuildRow.__table__.c
        with self._begin() as connection:
            found = connection.execute(select(build.id).where(build.id == wanted)).scalar()
        if found is not None:
            return int(found)
        return next((one.key for one in self.builds()), None)

    def make_build(self, name: str, blank: Blank, plan_text: str, *, by: str, now: datetime) -> Build:
        """Write a new build; raise `StoreError` if the name is taken or empty."""
        clean = name.strip()
        if not clean or len(clean) > 80 or not clean.isprintable():
            raise StoreError("A build needs a name of 1 to 80 letters.")
        with self._begin() as connection:
            names = connection.execute(select(t.BuildRow.name)).scalars()
            if any(name.casefold() == clean.casefold() for name in names):
                raise StoreError(f"There is a build “{clean}” in this workshop already; give this one another name.")
            values = {"name": clean, "made": now, "options": dict(blank.options)}
            values["arrangement"] = arrangement_values(blank.plan.arrangement)
            values["plan_id"] = _plan_id(connection, blank, plan_text)
            build_id = insert_row(connection, t.BuildRow, values)
            write_blank(connection, build_id, blank)
            connection.execute(
                insert(t.DeedRow).values(
                    build_id=build_id,
                    verb=Verb.MADE.value,
                    label=f"{clean} made",
                    by=by,
                    at=now,
                    written=now,
                    why="",
                    of=None,
                )
            )
        return self.load(build_id)

    def load(self, key: int) -> Build:
        """The build as it stands on disk."""
        with reading(self.path), self._begin() as connection:
            build = read_build(connection, key)
        if build is None:
            raise StoreError(f"There is no build {key} in {self.folder}.")
        return build

    def find(self, text: str) -> int:
        """The key of a build by its name or number; raise `StoreError` if there is none."""
        names = self.builds()
        wanted = text.strip()
        found = [one for one in names if wanted.casefold() == one.name.casefold()]
        found += [one for one in names if wanted == str(one.key)]
        if found:
            return found[0].key
        known = ", ".join(f"{one.key} “{one.name}”" for one in names) or "none yet"
        raise StoreError(f"There is no build “{text}” in this workshop; there is {known}.")

    # --- one action, one transaction

    def commit(self, build: Build, deed: Deed, *, now: datetime, arrow: Arrow | None = None) -> Build:
        """Write a deed's facts and journal in one transaction; gives the build as it is from then on."""
        with self._begin() as connection:
            deed_id = self._write(connection, build.key, deed, now)
            if arrow is not None:
                _put_arrow(connection, build.key, arrow)
        return build.after(deed, deed_id)

    def _write(self, connection: Connection, build_id: int, deed: Deed, now: datetime) -> int:
        values = {
            "verb": deed.verb.value,
            "label": deed.label,
            "by": deed.by,
            "at": deed.at,
            "why": deed.why,
            "of": deed.of,
        }
        deed_id = insert_row(connection, t.DeedRow, values | {"build_id": build_id, "written": now})
        if deed.entries:
            connection.execute(insert(t.EntryRow), [_entry_values(deed_id, entry) for entry in deed.entries])
        for entry in deed.entries:
            _put_fact(connection, build_id, entry, deed_id)
        return deed_id

    def undo_steps(self, build: Build) -> tuple[list[UndoStep], list[UndoStep]]:
        """What can be taken back and what can be put back, the next one last in each list."""
        undo: list[UndoStep] = []
        redo: list[UndoStep] = []
        deed = t.DeedRow.__table__.c
        query = select(deed.id, deed.verb, deed.label, deed.of).where(deed.build_id == build.key).order_by(deed.id)
        with self._begin() as connection:
            rows = connection.execute(query).all()
        for row in rows:
            if row.verb == Verb.MADE.value:
                continue
            if row.verb == Verb.UNDO.value:
                redo.append(undo.pop())
            elif row.verb == Verb.REDO.value:
                undo.append(redo.pop())
            else:
                undo.append(UndoStep(row.id, row.label))
                redo.clear()
        return undo, redo

    def _last_standing(self, build: Build) -> int | None:
        """The number of the last deed that stands: from the end of the journal, one more for each that was undone."""
        deed = t.DeedRow.__table__.c
        query = select(deed.id, deed.verb).where(deed.build_id == build.key).order_by(deed.id.desc())
        undone = 0
        with self._begin() as connection, connection.execution_options(stream_results=True).execute(query) as rows:
            for row in rows:
                if row.verb == Verb.UNDO.value:
                    undone += 1
                elif row.verb == Verb.REDO.value:
                    undone -= 1
                elif row.verb != Verb.MADE.value:
                    if not undone:
                        return int(row.id)
                    undone -= 1
        return None

    def undo(self, build: Build, *, by: str, now: datetime) -> tuple[Build, Deed]:
        """Take back the last deed that stands, by a further one in the journal; gives the build then, and that deed."""
        last = self._last_standing(build)
        if last is None:
            raise Refused("There is nothing to undo.")
        deed = undo_of(build, self._deed(last), last, by, now)
        return self.commit(build, deed, now=now), deed

    def redo(self, build: Build, *, by: str, now: datetime) -> tuple[Build, Deed]:
        """Put back the deed that was taken back last; gives the build then, and the deed that put it back."""
        _, steps = self.undo_steps(build)
        if not steps:
            raise Refused("There is nothing to redo.")
        deed = redo_of(build, self._deed(steps[-1].id), steps[-1].id, by, now)
        return self.commit(build, deed, now=now), deed

    # --- journal

    def journal(self, build: Build, after: int = 0) -> tuple[Written, ...]:
        """Every deed of the build with its entries, oldest first; only those after this number."""
        with reading(self.path), self._begin() as connection:
            return _journal(connection, build.key, after)

    def _deed(self, deed_id: int) -> Deed:
        with reading(self.path), self._begin() as connection:
            row = connection.execute(select(t.DeedRow.__table__).where(t.DeedRow.id == deed_id)).one()
            entries = connection.execute(
                select(t.EntryRow.__table__).where(t.EntryRow.deed_id == deed_id).order_by(t.EntryRow.id)
            ).all()
        return Deed(Verb(row.verb), row.label, row.by, row.at, tuple(_entry(one) for one in entries), row.why, row.of)

    # --- small things kept

    def arrow(self, build: Build) -> Arrow | None:
        """Where the hand was on this build's sheet."""
        table = t.ArrowRow.__table__
        with self._begin() as connection:
            row = connection.execute(select(table).where(table.c.build_id == build.key)).first()
        return Arrow(row.key, row.place, row.scroll, row.draft) if row else None

    def keep_arrow(self, build: Build, arrow: Arrow) -> None:
        """Remember where the hand is."""
        with self._begin() as connection:
            _put_arrow(connection, build.key, arrow)

    def initials(self) -> str:
        """The initials used last, "" in a new workshop."""
        with self._begin() as connection:
            return connection.execute(select(t.WorkshopRow.__table__.c.initials)).scalar() or ""

    def keep_initials(self, initials: str) -> None:
        """Remember who is working."""
        with self._begin() as connection:
            connection.execute(update(t.WorkshopRow).values(initials=initials))

    def printed(self, build: Build) -> tuple[int, datetime | None]:
        """The number and time of the last print of the traveller; 0 if there was none."""
        printed = t.PrintRow.__table__.c
        query = select(printed.number, printed.at).where(printed.build_id == build.key)
        with self._begin() as connection:
            row = connection.execute(query.order_by(printed.number.desc())).first()
        return (row.number, row.at) if row else (0, None)

    def keep_print(self, build: Build, number: int, now: datetime) -> None:
        """Remember that the traveller was printed under this number."""
        with self._begin() as connection:
            connection.execute(insert(t.PrintRow).values(build_id=build.key, number=number, at=now))

    # --- safety

    def back_up(self, target: Path) -> None:
        """Copy the database to a new file, checked."""
        back_up(self.path, target)

    def health(self) -> tuple[Finding, ...]:
        """Look the whole workshop over: the file, its links, and for each build that the journal tells its state."""
        with self._begin() as connection:
            (verdict,) = connection.exec_driver_sql("PRAGMA integrity_check").one()
            dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            builds = connection.execute(select(t.BuildRow.id, t.BuildRow.name).order_by(t.BuildRow.id)).all()
            replays = [_replay(connection, row.id, row.name) for row in builds]
        return (
            Finding("file", verdict == "ok", f"integrity check: {verdict}"),
            Finding("links", not dangling, f"{len(dangling)} rows without what they belong to"),
            *replays,
        )

    @contextmanager
    def _begin(self) -> Iterator[Connection]:
        with telling(self.path), self._engine.begin() as connection:
            yield connection


# --- rows


def _put_fact(connection: Connection, build_id: int, entry: Entry, number: int) -> None:
    if entry.subject.kind not in FACT_TABLES:
        _put_other(connection, build_id, entry, number)
        return
    table = FACT_TABLES[entry.subject.kind]
    columns = table.__table__.c
    keys = {"build_id": build_id, "key": entry.subject.key}
    if entry.subject.kind.spot is not Spot.NONE:
        keys["place"] = entry.subject.place
    if entry.subject.kind.spot is Spot.ROUND:
        keys["round"] = entry.subject.round
    connection.execute(delete(table).where(*(columns[name] == value for name, value in keys.items())))
    if entry.new is not None:
        connection.execute(insert(table).values(keys | {"number": number} | plain(entry.new)))


def _put_other(connection: Connection, build_id: int, entry: Entry, number: int) -> None:
    columns = t.FactRow.__table__.c
    subject = {"build_id": build_id, "about": entry.subject.kind.name, "key": entry.subject.key}
    subject["place"] = entry.subject.place
    connection.execute(delete(t.FactRow).where(*(columns[name] == value for name, value in subject.items())))
    if entry.new is not None:
        written = {"number": number, "form": entry.subject.kind.form}
        connection.execute(insert(t.FactRow).values(subject | written | {"value": to_json(entry.new)}))


def _entry_values(deed_id: int, entry: Entry) -> dict[str, object]:
    kind, key, place, turn = entry.subject
    values = {"deed_id": deed_id, "event": entry.event.value, "about": kind.name, "key": key, "place": place}
    return values | {"round": turn, "form": kind.form, "old": to_json(entry.old), "new": to_json(entry.new)}


def _entry(row: Any) -> Entry:
    kind = kind_named(row.about)
    old, new = (from_json(kind, row.form, values) for values in (row.old, row.new))
    return Entry(EventName(row.event), Subject(kind, row.key, row.place, row.round), old, new)


def _journal(connection: Connection, build_id: int, after: int = 0) -> tuple[Written, ...]:
    entries: dict[int, list[Entry]] = {}
    wanted = (t.DeedRow.build_id == build_id, t.DeedRow.id > after)
    query = select(t.EntryRow.__table__).join(t.DeedRow).where(*wanted)
    for row in connection.execute(query.order_by(t.EntryRow.id)):
        entries.setdefault(row.deed_id, []).append(_entry(row))
    deeds = connection.execute(select(t.DeedRow.__table__).where(*wanted).order_by(t.DeedRow.id))
    return tuple(
        Written(
            row.id,
            Deed(Verb(row.verb), row.label, row.by, row.at, tuple(entries.get(row.id, ())), row.why, row.of),
            row.written,
        )
        for row in deeds
    )


def _replay(connection: Connection, build_id: int, name: str) -> Finding:
    try:
        told, stands = _played(connection, build_id).all(), read_facts(connection, build_id).all()
    except (ValueError, KeyError, TypeError) as error:
        return Finding("journal", False, f"build “{name}”: a row cannot be read ({type(error).__name__}: {error})")
    wrong = [subject for subject in told.keys() | stands.keys() if told.get(subject) != stands.get(subject)]
    text = f"build “{name}”: {len(stands)} facts, {len(wrong)} of them not as the journal tells"
    return Finding("journal", not wrong, text)


def _played(connection: Connection, build_id: int) -> Facts:
    """The facts that playing the journal from nothing comes to."""
    return Facts().filled({written.id: written.deed.entries for written in _journal(connection, build_id)})


def _put_arrow(connection: Connection, build_id: int, arrow: Arrow) -> None:
    connection.execute(delete(t.ArrowRow).where(t.ArrowRow.build_id == build_id))
    values = {"key": arrow.line, "place": arrow.place, "scroll": arrow.scroll, "draft": arrow.draft}
    connection.execute(insert(t.ArrowRow).values(values | {"build_id": build_id}))


def _plan_id(connection: Connection, blank: Blank, text: str) -> int:
    digest = hashlib.sha256(text.encode()).hexdigest()
    found = connection.execute(select(t.PlanRow.id).where(t.PlanRow.digest == digest)).scalar()
    if found is not None:
        return found
    plan = blank.plan
    values = {"key": plan.id, "edition": plan.edition, "title": plan.title, "text": text, "digest": digest}
    return insert_row(connection, t.PlanRow, values)


# --- the folder


def _make_folder(folder: Path) -> None:
    try:
        (folder / PHOTOS).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"{folder} cannot be made or written: {error.strerror}. Choose another place.") from error


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


def _take(folder: Path) -> sqlite3.Connection:
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


def _let_go(folder: Path, lock: sqlite3.Connection | None) -> None:
    if lock is not None:
        (folder / HOLDER).unlink(missing_ok=True)
        lock.close()
