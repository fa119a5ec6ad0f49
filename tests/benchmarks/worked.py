"""The one worked workshop that all is measured with: the sample's sprint engine, carried on to 1,500 deeds.

What cannot be played in a sensible time is copied of it, row by row: a workshop of many such builds, and one build with
a very long journal. All are kept in the system's folder of passing files under a name that says of which code they are.
"""

import hashlib
import importlib.util
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

from app.assembly.said.actions import MarkLine, TakeReading
from app.assembly.said.marks import State
from app.assembly.said.refusal import Refused
from app.assembly.standing.survey import Survey
from app.store.database import FILE
from app.store.workshop import Workshop

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "demo_data" / "make_demo.py"
DEEDS = 1_500
LONG = 100_000
# Whatever these hold makes the workshop what it is.
MADE_OF = ("app/assembly", "app/store", "demo_data", "resources/plans", "tests/benchmarks")
AS_MADE = ("stage", "gate", "source", "place", "named")
FACTS = ("fact", "line_mark", "tick", "reading", "figure", "part_said", "passage", "concession")
OF_STEP = ("relation", "spec", "part_requirement", "temporary_item")


def worked() -> Path:
    """The folder of a workshop with the one worked build in it."""
    return _kept("worked", _work)


def many(builds: int) -> Path:
    """The folder of a workshop with this many copies of the worked build."""
    return _kept(f"builds-{builds}", lambda folder: _copied(folder, builds))


def long() -> Path:
    """The folder of a workshop with the worked build, its journal grown to a hundred thousand deeds."""
    return _kept("long", _lengthened)


def _kept(name: str, make: Any) -> Path:
    place = Path(tempfile.gettempdir()) / f"firstcrank-worked-{_digest()}"
    folder = place / name
    if not folder.exists():
        half = place / f"half-{name}"
        shutil.rmtree(half, ignore_errors=True)
        half.parent.mkdir(exist_ok=True)
        make(half)
        half.rename(folder)
    return folder


def _digest() -> str:
    found = hashlib.sha256()
    for room in MADE_OF:
        for path in sorted((ROOT / room).rglob("*")):
            if path.suffix in (".py", ".toml"):
                found.update(path.read_bytes())
    return found.hexdigest()[:16]


# --- by hand


def _work(folder: Path) -> None:
    spec = importlib.util.spec_from_file_location("make_demo", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    demo: Any = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(demo)
    made: list[Any] = []
    begin = demo._new_build

    def begun(*words: Any) -> Any:
        made.append(begin(*words))
        return made[-1]

    demo._new_build = begun
    spells = next(demo._spells(demo.date(2025, 7, 26)))[0]
    with Workshop.create(folder, name="Worked", now=spells) as workshop:
        demo._middle(workshop)
        hand = made[0]
        for turn in _turns(hand):
            if hand.build.number >= DEEDS:
                break
            turn()
        assert hand.build.number == DEEDS, f"only {hand.build.number} deeds"
        workshop.keep_initials(hand.by)  # or the first key in a window asks who is working


def _turns(hand: Any) -> Iterator[Any]:
    """What somebody does who goes over the engine again: reads, rubs nothing out, marks, thinks better of it."""
    lines = [line for line in hand.build.lines if line.reads and hand.build.facts.readings.get(line.id)]
    while True:
        before = hand.build.number
        for line in lines:
            for (place, turn), reading in tuple(hand.build.facts.readings.get(line.id, {}).items()):
                yield lambda line=line, place=place, turn=turn, text=reading.text: _read(hand, line, place, turn, text)
            yield lambda line=line: _look_at(hand, line)
            yield lambda: _undo(hand)
        assert hand.build.number > before, "nothing is taken any more"


def _read(hand: Any, line: Any, place: str, turn: int, text: str) -> None:
    _try(hand, TakeReading(line.number, place, text, hand.by, hand.now, turn))


def _look_at(hand: Any, line: Any) -> None:
    state = State.STARTED if Survey(hand.build, hand.now).done(line) else State.DONE
    _try(hand, MarkLine(line.number, state, hand.by, hand.now, "Gone over again", together=True))


def _undo(hand: Any) -> None:
    """Not as the very last thing: what stands at the end is to be something done."""
    if hand.build.number < DEEDS - 1:
        hand.undo()


def _try(hand: Any, action: Any) -> None:
    """Do it unless the program says no; one of many may be refused."""
    try:
        hand.do(action)
    except Refused:
        hand.now += timedelta(minutes=1)


# --- by copying rows


def _opened(folder: Path) -> sqlite3.Connection:
    shutil.copytree(worked(), folder)
    connection = sqlite3.connect(folder / FILE, isolation_level=None)
    connection.execute("PRAGMA synchronous=OFF")
    return connection


def _copied(folder: Path, builds: int) -> None:
    with closing(_opened(folder)) as connection:
        connection.execute("BEGIN")
        steps, deeds, entries = (
            connection.execute(f"SELECT max(id) FROM {table}").fetchone()[0] for table in ("step", "deed", "entry")
        )
        for number in range(1, builds):
            name = f"'Copy {number}'"
            _copy(connection, "build", {"id": number + 1, "name": name, "folded": f"'copy {number}'"})
            step, deed = f"+ {steps * number}", f"+ {deeds * number}"
            _copy(connection, "step", {"id": f"id {step}", "build_id": number + 1}, "build_id = 1")
            for table in AS_MADE:
                _copy(connection, table, {"build_id": number + 1}, "build_id = 1")
            for table in FACTS:
                _copy(connection, table, {"build_id": number + 1, "number": f"number {deed}"}, "build_id = 1")
            for table in OF_STEP:
                _copy(connection, table, {"step_id": f"step_id {step}"}, f"step_id <= {steps}")
            _copy(
                connection, "deed", {"id": f"id {deed}", "build_id": number + 1, "of": f'"of" {deed}'}, "build_id = 1"
            )
            _copy(connection, "entry", {"deed_id": f"deed_id {deed}"}, f"id <= {entries}")
        connection.execute("COMMIT")


def _copy(connection: sqlite3.Connection, table: str, other: dict[str, object], where: str = "id = 1") -> None:
    """Insert rows again; columns with another value get it, an `id` of their own is left to the database."""
    columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
    columns = [one for one in columns if one != "id" or one in other]
    into = ", ".join(f'"{one}"' for one in columns)
    values = ", ".join(str(other.get(one, f'"{one}"')) for one in columns)
    connection.execute(f"INSERT INTO {table} ({into}) SELECT {values} FROM {table} WHERE {where}")


def _lengthened(folder: Path) -> None:
    """Turn round what was done last and do it again, over and over, by deeds of their own: what stands stays."""
    with closing(_opened(folder)) as connection:
        connection.execute("BEGIN")
        ((last, verb),) = connection.execute("SELECT id, verb FROM deed ORDER BY id DESC LIMIT 1")
        assert verb not in ("undo", "redo"), verb
        for number in range(last + 1, LONG, 2):
            _copy(connection, "deed", {"id": number}, f"id = {last}")
            _copy(connection, "entry", {"deed_id": number, "old": "new", "new": "old"}, f"deed_id = {last}")
            _copy(connection, "deed", {"id": number + 1}, f"id = {last}")
            _copy(connection, "entry", {"deed_id": number + 1}, f"deed_id = {last}")
        connection.execute("COMMIT")
