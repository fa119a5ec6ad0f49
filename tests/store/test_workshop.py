"""A workshop keeps what it acknowledged, whole, and says in a sentence when it cannot."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, event

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.make import make_blank
from app.assembly.rules import loose_ends
from app.assembly.said.actions import Concede, EnterFigure, MarkLine, PassGate, PreferUnits, SayPart, TakeReading
from app.assembly.said.deeds import Verb, Written
from app.assembly.said.marks import MARK, State
from app.assembly.said.parts import Holding
from app.assembly.said.refusal import Shut
from app.assembly.said.units import UNITS_SAID, WHOLE_BUILD
from app.assembly.standing.gates import gate_standings
from app.assembly.standing.survey import Survey
from app.exchange.plan_file import parse_plan
from app.store import database
from app.store.database import APPLICATION_ID, FILE, make_engine
from app.store.errors import Busy, StoreError
from app.store.folder import HOLDER
from app.store.workshop import PHOTOS, Arrow, Workshop
from app.words.deeds import label
from tests.plans import EVENING, SMALL, Bench, build_from, small_plan
from tests.refused import refused
from tests.store.conftest import Hand, ordinary_user
from tests.workshops import put_workshop

ROOT = Path(__file__).parents[2]


def _beside(folder: Path) -> set[str]:
    return {entry.name for entry in folder.iterdir() if entry.name.startswith(FILE)}


def _contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# --- making, opening, closing


def test_closing_leaves_one_lone_file(folder: Path) -> None:
    workshop = Workshop.create(folder, name="Garage", now=EVENING)
    assert _beside(folder) > {FILE}, "the write-ahead log stands beside it while it is open"
    workshop.close()
    assert _beside(folder) == {FILE}
    assert (folder / PHOTOS).is_dir()
    assert not (folder / HOLDER).exists()


def test_looking_leaves_one_lone_file_too(hand: Hand) -> None:
    with hand.open(write=False) as workshop:
        workshop.load(1)
    assert _beside(hand.folder) == {FILE}


def test_what_was_made_is_what_is_loaded(hand: Hand) -> None:
    with hand.open() as workshop:
        build = workshop.load(workshop.find("hill CLIMBER "))
    fresh = build_from(make_blank(small_plan(), {}))
    assert build.lines == fresh.lines
    assert build.stages == fresh.stages
    assert build.gates == fresh.gates
    assert build.sources == fresh.sources
    assert dict(build.options) == {"depth": "full"}
    assert (build.name, build.plan_id, build.plan_edition, build.made) == ("Hill climber", "small", "1", EVENING)


def test_the_file_says_whose_it_is(hand: Hand) -> None:
    assert hand.sql("PRAGMA application_id") == [(APPLICATION_ID,)]


def test_every_connection_is_safe(hand: Hand) -> None:
    wanted = {"synchronous": 2, "foreign_keys": 1, "journal_mode": "wal", "busy_timeout": 5000}
    engine = make_engine(hand.path)
    try:
        with engine.connect() as first, engine.connect() as second:
            for connection in (first, second):
                found = {name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in wanted}
                assert found == wanted
    finally:
        engine.dispose()


@pytest.mark.parametrize("name", ["a b", "50 % done?", "räder & öl", "#1", "it's", '"quoted"', "new\nline"])
def test_a_folder_may_be_called_anything(tmp_path: Path, name: str) -> None:
    folder = tmp_path / name
    with Workshop.create(folder, name=name, now=EVENING) as workshop:
        workshop.make_build("Engine", make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING)
    assert _beside(folder) == {FILE}
    with Workshop.open_at(folder, now=EVENING) as workshop:
        assert [one.name for one in workshop.builds()] == ["Engine"]


def test_a_second_workshop_is_not_made_over_the_first(hand: Hand) -> None:
    before = _contents(hand.folder)
    with pytest.raises(StoreError, match="holds a workshop already"):
        Workshop.create(hand.folder, name="Other", now=EVENING)
    assert _contents(hand.folder) == before


def test_a_workshop_that_could_not_be_made_leaves_nothing_half_made(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(database, "PRAGMAS", (*database.PRAGMAS, "max_page_count=5"))
    with pytest.raises(StoreError, match="disk is full"):
        Workshop.create(folder, name="Garage", now=EVENING)
    assert _beside(folder) == set()
    monkeypatch.undo()
    Workshop.create(folder, name="Garage", now=EVENING).close()


# --- builds by name


def test_builds_are_listed_the_one_worked_on_last_first(hand: Hand) -> None:
    with hand.open() as workshop:
        workshop.make_build("Second", make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING + timedelta(days=1))
        assert [one.name for one in workshop.builds()] == ["Second", "Hill climber"]
        hand.now += timedelta(days=2)
        hand.mark(workshop, workshop.load(1), "1.01", State.DONE)
        first, _ = workshop.builds()
    assert (first.name, first.done, first.lines, first.plan) == ("Hill climber", 1, 19, "Two cylinders")
    assert hand.count("plan") == 1, "the same plan text is kept once"


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "two\nlines", "bell\a"])
def test_a_build_needs_a_name_that_can_be_read(hand: Hand, name: str) -> None:
    with hand.open() as workshop, pytest.raises(StoreError, match="1 to 80 letters"):
        workshop.make_build(name, make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING)


@pytest.mark.parametrize("name", ["Hill climber", " HILL CLIMBER ", "hill climber"])
def test_a_name_is_taken_however_it_is_written(hand: Hand, name: str) -> None:
    with hand.open() as workshop, pytest.raises(StoreError, match="give this one another name"):
        workshop.make_build(name, make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING)


def test_a_name_is_taken_in_every_alphabet(hand: Hand) -> None:
    with hand.open() as workshop:
        workshop.make_build("Öl", make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING)
        with pytest.raises(StoreError, match="another name"):
            workshop.make_build("öl", make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING)


def test_a_build_is_found_by_its_name_before_its_number(hand: Hand) -> None:
    with hand.open() as workshop:
        named_one = workshop.make_build("1", make_blank(small_plan(), {}), SMALL, by="AB", now=EVENING)
        assert workshop.find("1") == named_one.key == 2
        assert workshop.find("2") == 2
        with pytest.raises(StoreError, match="There is no build “3” in this workshop; there is"):
            workshop.find("3")


# --- one action, one transaction


def _work_a_bit(hand: Hand, workshop: Workshop) -> None:
    """Some of every kind of fact."""
    build = workshop.load(1)
    build = hand.mark(workshop, build, "1.01", State.DONE)
    build = hand.act(workshop, build, TakeReading("1.02", "1", "80,012 mm", "AB", hand.now, decimal=","))
    build = hand.act(workshop, build, TakeReading("1.02", "2", "3.1504 in", "AB", hand.now))
    build = hand.mark(workshop, build, "1.02", State.DONE)
    build = hand.act(workshop, build, EnterFigure("1.07", "25 N·m + 90°", "Manual, 2nd edition", "AB", hand.now))
    build = hand.mark(workshop, build, "1.07", State.DONE)
    build = hand.act(workshop, build, SayPart("oil", Holding.ON_ORDER, "CD", hand.now, "shop closed"))
    build = hand.act(workshop, build, MarkLine("1.06", State.LATER, "AB", hand.now, "no rags", "1.09"))
    build = hand.act(workshop, build, Concede("1.08", "the dial is lent out", "AB", hand.now, "2.01"))
    reasons = dict.fromkeys(("1.04", "1.05", "1.06", "1.11", "1.12", "1.03"), "taken on")
    held = {reason.line for reason in _reasons(build, hand)}
    build = hand.act(workshop, build, PassGate("A", "AB", hand.now, {k: v for k, v in reasons.items() if k in held}))


def _reasons(build: Build, hand: Hand) -> tuple[Shut, ...]:
    survey = Survey(build, hand.now)
    return gate_standings(survey, loose_ends(survey))[0].reasons


def test_every_kind_of_fact_comes_back_as_it_was(hand: Hand) -> None:
    with hand.open() as workshop:
        _work_a_bit(hand, workshop)
        build = workshop.load(1)
        stood = build.facts.all()
        assert {subject.kind.name for subject in stood} == {
            "line",
            "tick",
            "reading",
            "figure",
            "part",
            "gate",
            "concession",
        }
    with hand.open(write=False) as workshop:
        assert workshop.load(1).facts.all() == stood
        assert all(finding.ok for finding in workshop.health())


def test_memory_follows_the_disk(hand: Hand) -> None:
    with hand.open() as workshop:
        build = workshop.load(1)
        _work_a_bit(hand, workshop)
        build = workshop.load(1)
        build = hand.mark(workshop, build, "1.07", State.LOOK_AGAIN, "cap 2 was off")
        assert build.facts.all() == workshop.load(1).facts.all()


def test_a_write_that_fails_half_way_leaves_neither_disk_nor_memory_changed(hand: Hand) -> None:
    hand.sql("CREATE TRIGGER trip BEFORE INSERT ON line_mark BEGIN SELECT RAISE(ABORT, 'tripped'); END")
    before = (hand.count("deed"), hand.count("entry"))
    with hand.open() as workshop:
        build = workshop.load(1)
        with pytest.raises(StoreError, match=r"could not be used .*tripped.* Nothing was changed"):
            build = hand.mark(workshop, build, "1.01", State.DONE)
        assert build.facts.all() == {}
        assert workshop.load(1).facts.all() == {}
    assert (hand.count("deed"), hand.count("entry")) == before


def test_the_second_entry_of_a_deed_failing_takes_back_the_first(hand: Hand) -> None:
    with hand.open() as workshop:
        build = workshop.load(1)
        build = hand.mark(workshop, build, "1.01", State.DONE)
        build = hand.act(workshop, build, EnterFigure("1.07", "61 N·m", "manual", "AB", hand.now))
        build = hand.mark(workshop, build, "1.07", State.DONE)
        build = hand.act(workshop, build, TakeReading("1.08", "-", "0.12 mm", "AB", hand.now))
        build = hand.mark(workshop, build, "1.08", State.DONE)
        stood = build.facts.all()
    hand.sql(
        "CREATE TRIGGER trip BEFORE INSERT ON line_mark WHEN NEW.key = 'end-float' "
        "BEGIN SELECT RAISE(ABORT, 'tripped'); END"
    )
    with hand.open() as workshop:
        build = workshop.load(1)
        deed = decide(build, MarkLine("1.07", State.LOOK_AGAIN, "AB", hand.now, "cap off"))
        marked = [entry.subject.key for entry in deed.entries if entry.subject.kind is MARK]
        assert marked == ["torque-mains", "end-float"]
        with pytest.raises(StoreError, match="tripped"):
            build = workshop.commit(build, deed, now=hand.now)
        assert build.facts.all() == workshop.load(1).facts.all() == stood
        assert all(finding.ok for finding in workshop.health())


def _write_at_length(hand: Hand, workshop: Workshop, build: Build) -> None:
    for turn in range(60):
        build = hand.mark(workshop, build, "1.06", (State.STOPPED, State.LOOK_AGAIN)[turn % 2], "x" * 1900)


class SmallDisk:
    """Keeps every database from growing beyond `pages`, as a full disk does; None is a disk with room."""

    def __init__(self) -> None:
        self.pages: int | None = None

    def begin(self, connection: Connection) -> None:
        """Set the bound as a piece of work begins."""
        connection.exec_driver_sql(f"PRAGMA max_page_count={self.pages or 1_000_000}")

    def fill(self, path: Path) -> None:
        """Leave no room beyond what a database takes now."""
        with closing(sqlite3.connect(path)) as connection:
            (self.pages,) = connection.execute("PRAGMA page_count").fetchone()


@pytest.fixture
def small_disk() -> Iterator[SmallDisk]:
    disk = SmallDisk()
    event.listen(Engine, "begin", disk.begin)
    yield disk
    event.remove(Engine, "begin", disk.begin)


def test_a_full_disk_is_said_and_nothing_is_lost(hand: Hand, small_disk: SmallDisk) -> None:
    with hand.open() as workshop:
        build = workshop.load(1)
        build = hand.mark(workshop, build, "1.01", State.DONE)
        small_disk.fill(workshop.path)
        with pytest.raises(StoreError, match="The disk is full: nothing was written"):
            _write_at_length(hand, workshop, build)
        assert hand.build is not None
        build = hand.build
        assert build.facts.all() == workshop.load(1).facts.all()
        small_disk.pages = None
        build = hand.mark(workshop, build, "1.09", State.DONE)
    with hand.open() as workshop:
        assert workshop.load(1).facts.lines["try-pan"].state is State.DONE
        assert all(finding.ok for finding in workshop.health())


# --- power off


_CHILD = """
import sys
from datetime import timedelta
from pathlib import Path
from app.assembly.said.actions import MarkLine
from app.assembly.deeds.decide import decide
from app.assembly.said.marks import State
from app.store.workshop import Arrow, Workshop
from tests.plans import EVENING

now = EVENING + timedelta(days=int(sys.argv[2]))
workshop = Workshop.open_at(Path(sys.argv[1]), now=now)
build = workshop.load(1)
for turn in range(200):
    now += timedelta(minutes=1)
    old = build.facts.lines.get("clean-block")
    state = State.STARTED if old is None or old.state is State.DONE else State.DONE
    deed = decide(build, MarkLine("1.01", state, "AB", now, f"turn {turn}"))
    build = workshop.commit(build, deed, now=now, arrow=Arrow("clean-block", scroll=turn))
    print(build.number, turn, flush=True)
"""


def test_kill_nine_after_acknowledged_marks_leaves_them_all(hand: Hand) -> None:
    """A kill cannot show that the disk was reached (that takes a power cut: synchronous=2), but all else it can."""
    acknowledged: list[int] = []
    for day, after in enumerate((1, 2, 3, 7, 12, 20, 40), 1):
        child = subprocess.Popen(
            [sys.executable, "-c", _CHILD, str(hand.folder), str(day)], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        assert child.stdout is not None
        turn = ""
        for _ in range(after):
            key, turn = child.stdout.readline().split()
            acknowledged.append(int(key))
        child.send_signal(signal.SIGKILL)
        child.wait()
        child.stdout.close()
        hand.now = EVENING + timedelta(days=day, hours=20)
        with hand.open() as workshop:
            build = workshop.load(1)
            written = [one.id for one in workshop.journal(build)]
            assert set(acknowledged) <= set(written)
            arrow = workshop.arrow(build)
            assert arrow is not None
            assert arrow.scroll >= int(turn)
            assert all(finding.ok for finding in workshop.health())
    assert len(acknowledged) == 85


# --- two at once


def test_a_second_writer_is_told_who_holds_it_and_may_still_look(hand: Hand) -> None:
    with hand.open() as workshop:
        build = workshop.load(1)
        with pytest.raises(
            Busy, match=rf"open in another window \(process {os.getpid()}, since .*close it there first"
        ):
            hand.open()
        with hand.open(write=False) as looking:
            assert looking.load(1).facts.all() == {}
            build = hand.mark(workshop, build, "1.01", State.DONE)
            assert looking.load(1).facts.all() == build.facts.all()
        with pytest.raises(Busy):
            hand.open()
    hand.open().close()


def test_a_new_workshop_can_not_be_made_where_one_is_open(hand: Hand) -> None:
    with hand.open(), pytest.raises(StoreError, match="holds a workshop already"):
        Workshop.create(hand.folder, name="Other", now=EVENING)


def test_a_database_locked_by_another_program_is_said(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "PRAGMAS", ("busy_timeout=50", *database.PRAGMAS[1:]))
    with hand.open() as workshop:
        build = workshop.load(1)
        with closing(sqlite3.connect(hand.path, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StoreError, match="held by another program; close that one and do it again"):
                build = hand.mark(workshop, build, "1.01", State.DONE)
            other.execute("ROLLBACK")
        assert build.facts.all() == {}
        build = hand.mark(workshop, build, "1.01", State.DONE)


# --- not ours, not now


def test_a_newer_database_is_refused_untouched(hand: Hand) -> None:
    hand.sql("UPDATE alembic_version SET version_num = '0999'")
    hand.sql("PRAGMA journal_mode=DELETE")
    before = _contents(hand.folder)
    for write in (True, False):
        with pytest.raises(StoreError, match=r"newer version of this program .*update the program. The file was not"):
            hand.open(write=write)
        assert _contents(hand.folder) == before


def test_a_newer_database_as_it_was_closed_is_refused_untouched(hand: Hand) -> None:
    hand.sql("UPDATE alembic_version SET version_num = '0999'")
    with closing(sqlite3.connect(hand.path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = hand.path.read_bytes()
    with pytest.raises(StoreError, match="newer version"):
        hand.open()
    assert hand.path.read_bytes() == before
    assert _beside(hand.folder) == {FILE}


def test_an_older_database_is_not_looked_at_before_it_is_upgraded(hand: Hand) -> None:
    hand.sql("UPDATE alembic_version SET version_num = '0000'")
    with pytest.raises(StoreError, match="older version of this program; open it for writing once"):
        hand.open(write=False)


@pytest.mark.parametrize("content", [b"", b"hello", os.urandom(5000), b"SQLite format 3\0" + b"\0" * 200])
def test_a_file_that_is_no_database_is_refused_and_left_alone(folder: Path, content: bytes) -> None:
    folder.mkdir()
    (folder / FILE).write_bytes(content)
    for write in (True, False):
        with pytest.raises(StoreError, match=r"workshop\.db (is not a workshop|is damaged|could not be used)"):
            Workshop.open_at(folder, now=EVENING, write=write)
    assert _contents(folder) == {FILE: content}


def test_a_database_of_another_program_is_refused_and_left_alone(folder: Path) -> None:
    folder.mkdir()
    with closing(sqlite3.connect(folder / FILE)) as connection, connection:
        connection.execute("CREATE TABLE recipes (id INTEGER)")
    before = _contents(folder)
    with pytest.raises(StoreError, match="is not a workshop of this program; choose another folder"):
        Workshop.open_at(folder, now=EVENING)
    assert _contents(folder) == before


def test_a_damaged_database_names_the_backups(hand: Hand) -> None:
    whole = hand.path.read_bytes()
    hand.path.write_bytes(whole[:4096] + b"\xff" * (len(whole) - 8192) + whole[-4096:])
    with pytest.raises(StoreError, match=r"damaged|lacks part|could not be used"), hand.open() as workshop:
        workshop.load(1)
    hand.path.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(StoreError, match=r"damaged|lacks part|could not be used"), hand.open() as workshop:
        workshop.load(1)


def test_a_row_this_program_did_not_write_is_said(hand: Hand) -> None:
    with hand.open() as workshop:
        hand.mark(workshop, workshop.load(1), "1.01", State.DONE)
    hand.sql("UPDATE line_mark SET state = 'fettled'")
    with hand.open() as workshop:
        with pytest.raises(StoreError, match=r"holds a row that cannot be read .*fettled.*go back to a backup"):
            workshop.load(1)
        journal = [finding for finding in workshop.health() if finding.check == "journal"]
        assert [finding.ok for finding in journal] == [False]


@pytest.mark.parametrize(
    ("make", "said"), [(None, "There is no folder"), ("dir", "holds no workshop"), ("file", "no folder")]
)
def test_a_folder_that_is_not_there_or_empty_is_said(folder: Path, make: str | None, said: str) -> None:
    if make == "dir":
        folder.mkdir()
    elif make == "file":
        folder.write_text("not a folder", "utf-8")
    with pytest.raises(StoreError, match=said):
        Workshop.open_at(folder, now=EVENING)


def test_a_workshop_in_the_place_of_a_file_cannot_be_made(folder: Path) -> None:
    folder.write_text("not a folder", "utf-8")
    with pytest.raises(StoreError, match="cannot be made or written"):
        Workshop.create(folder, name="Garage", now=EVENING)


def test_a_read_only_folder_is_said(hand: Hand, open_ground: Path) -> None:
    folder = open_ground / "garage"
    shutil.copytree(hand.folder, folder)
    for path in (folder, *folder.iterdir()):
        path.chmod(0o555 if path.is_dir() else 0o444)
    before = _contents(folder)
    with ordinary_user():
        for write in (True, False):
            with pytest.raises(StoreError, match="cannot be written; give yourself the right to write there"):
                Workshop.open_at(folder, now=EVENING, write=write)
        with pytest.raises(StoreError, match="cannot be made or written"):
            Workshop.create(folder / "inner", name="Garage", now=EVENING)
    assert _contents(folder) == before


# --- small things kept


def test_arrow_initials_and_prints_are_there_next_time(hand: Hand) -> None:
    drafts = {("end-float", "engine", 1): "0.12", ("measure-bores", "2", 3): "“[[”, half\ttyped"}
    moved = Arrow("end-float", "engine", 318, drafts)
    with hand.open() as workshop:
        build = workshop.load(1)
        assert workshop.arrow(build) is None
        assert workshop.initials() == ""
        assert workshop.printed(build) == (0, None)
        workshop.keep_arrow(build, Arrow("end-float", "engine", 312, {("end-float", "engine", 1): "0.1"}))
        workshop.keep_arrow(build, moved)
        workshop.keep_initials("AB")
        workshop.keep_print(build, 1, EVENING)
        workshop.keep_print(build, 2, EVENING + timedelta(hours=1))
    with hand.open() as workshop:
        build = workshop.load(1)
        assert workshop.arrow(build) == moved
        assert workshop.initials() == "AB"
        assert workshop.printed(build) == (2, EVENING + timedelta(hours=1))


def test_what_an_older_version_kept_half_typed_is_taken_for_the_place_the_hand_was_on(hand: Hand) -> None:
    with hand.open() as workshop:
        workshop.keep_arrow(workshop.load(1), Arrow("end-float", "engine", 318))
    hand.sql("update place_arrow set draft = '0.1'")
    with hand.open() as workshop:
        arrow = workshop.arrow(workshop.load(1))
        assert arrow is not None
        assert arrow.drafts == {("end-float", "engine", 1): "0.1"}


def test_the_arrow_is_kept_with_the_mark_itself(hand: Hand) -> None:
    with hand.open() as workshop:
        build = workshop.load(1)
        deed = decide(build, MarkLine("1.01", State.DONE, "AB", hand.now))
        build = workshop.commit(build, deed, now=hand.now, arrow=Arrow("measure-bores", "1"))
    with hand.open() as workshop:
        assert workshop.arrow(workshop.load(1)) == Arrow("measure-bores", "1")


# --- undo


def test_undo_and_redo_go_on_across_closing(hand: Hand) -> None:
    stood: list[object] = []
    with hand.open() as workshop:
        build = workshop.load(1)
        for line in ("1.01", "1.06", "1.09"):
            stood.append(build.facts.all())
            build = hand.mark(workshop, build, line, State.DONE)
        stood.append(build.facts.all())
    for turn in (2, 1, 0):
        with hand.open() as workshop:
            build = workshop.load(1)
            build, _ = workshop.undo(build, by="AB", now=hand.now)
            assert build.facts.all() == workshop.load(1).facts.all() == stood[turn]
    with hand.open() as workshop:
        build = workshop.load(1)
        with refused("nothing to undo"):
            build, _ = workshop.undo(build, by="AB", now=hand.now)
        steps = workshop.next_steps(build)
        assert steps.undo is None
        assert steps.redo is not None
        assert label(build, workshop.deed(steps.redo)) == "1.01 Done"
    for turn in (1, 2, 3):
        with hand.open() as workshop:
            build = workshop.load(1)
            build, _ = workshop.redo(build, by="AB", now=hand.now)
            assert build.facts.all() == stood[turn]
    with hand.open() as workshop:
        build = workshop.load(1)
        with refused("nothing to redo"):
            build, _ = workshop.redo(build, by="AB", now=hand.now)
        assert all(finding.ok for finding in workshop.health())
        verbs = [written.deed.verb.value for written in workshop.journal(build)]
    assert verbs == ["made", *["mark"] * 3, *["undo"] * 3, *["redo"] * 3], "nothing is ever taken out of the journal"


def test_a_new_deed_after_an_undo_ends_the_redo(hand: Hand) -> None:
    with hand.open() as workshop:
        build = workshop.load(1)
        build = hand.mark(workshop, build, "1.01", State.DONE)
        build, _ = workshop.undo(build, by="AB", now=hand.now)
        build = hand.mark(workshop, build, "1.06", State.DONE)
        steps = workshop.next_steps(build)
        assert steps.undo is not None
        assert (label(build, workshop.deed(steps.undo)), steps.redo) == ("1.06 Done", None)


def test_a_whole_build_can_be_undone_to_nothing_on_disk(hand: Hand) -> None:
    bench = Bench()
    bench.work("read-lash")
    with hand.open() as workshop:
        build = workshop.load(1)
        for deed in bench.deeds:
            build = workshop.commit(build, deed, now=deed.at)
        assert build.facts.all() == bench.build.facts.all()
        while workshop.next_steps(build).undo:
            build, _ = workshop.undo(build, by="AB", now=bench.now)
        assert build.facts.all() == workshop.load(1).facts.all() == {}
        assert all(finding.ok for finding in workshop.health())


def _told_whole(written: tuple[Written, ...]) -> tuple[int | None, int | None]:
    """What undo and redo come to next when the whole journal is read from its beginning."""
    undo: list[int] = []
    redo: list[int] = []
    for one in written:
        if one.deed.verb is Verb.UNDO:
            redo.append(undo.pop())
        elif one.deed.verb is Verb.REDO:
            undo.append(redo.pop())
        elif one.deed.verb is not Verb.MADE:
            undo.append(one.id)
            redo.clear()
    return undo[-1] if undo else None, redo[-1] if redo else None


@pytest.mark.parametrize("seed", range(4))
def test_the_next_steps_are_those_the_whole_journal_tells(hand: Hand, seed: int) -> None:
    chance = random.Random(seed)
    lines = ("1.01", "1.06", "1.09")
    with hand.open() as workshop:
        build = workshop.load(1)
        for number in range(60):
            steps = workshop.next_steps(build)
            assert tuple(steps) == _told_whole(workshop.journal(build)), f"after {number} deeds"
            turn = chance.random()
            if turn < 0.35 and steps.undo:
                build, _ = workshop.undo(build, by="AB", now=hand.now)
            elif turn < 0.6 and steps.redo:
                build, _ = workshop.redo(build, by="AB", now=hand.now)
            else:
                line = build.by_number[chance.choice(lines)]
                state = State.STARTED if Survey(build, hand.now).state(line) is not State.STARTED else State.NOT_NEEDED
                build = hand.mark(workshop, build, line.number, state, f"reason {number}")


def test_units_said_in_one_build_come_first_in_the_next(tmp_path: Path) -> None:
    folder = put_workshop(tmp_path / "garage", plan=SMALL, build="Grey four", by="AB", made=EVENING)
    with Workshop.open_at(folder, now=EVENING) as workshop:
        blank = make_blank(parse_plan(SMALL), {})
        assert unit_said(workshop.make_build("Blue four", blank, SMALL, by="AB", now=EVENING)) == ""
        build = workshop.load(1)
        workshop.commit(build, decide(build, PreferUnits("inch", "AB", EVENING)), now=EVENING)
        assert unit_said(workshop.make_build("Red four", blank, SMALL, by="AB", now=EVENING)) == "inch"


def unit_said(build: Build) -> str:
    said = build.facts.of(UNITS_SAID).get((WHOLE_BUILD, ""))
    return said.system if said is not None else ""
