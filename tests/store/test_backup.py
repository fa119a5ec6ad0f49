"""Backups are whole while the workshop is in use, and the health check finds what does not fit."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.assembly.said.marks import State
from app.store.database import FILE
from app.store.errors import StoreError
from app.store.health import Finding
from app.store.workshop import Workshop
from tests.store.conftest import Hand


def _finding(workshop: Workshop, check: str) -> Finding:
    return next(finding for finding in workshop.health() if finding.check == check)


def test_a_backup_holds_what_is_only_in_the_log_so_far(hand: Hand, tmp_path: Path) -> None:
    target = tmp_path / "backup.db"
    with hand.open() as workshop:
        build = workshop.load(1)
        hand.mark(workshop, build, "1.01", State.DONE)
        with closing(sqlite3.connect(f"{hand.path.as_uri()}?immutable=1", uri=True)) as by_hand:
            assert by_hand.execute("SELECT count(*) FROM line_mark").fetchone() == (0,), "a copied file would miss it"
        workshop.back_up(target)
        hand.mark(workshop, build, "1.06", State.DONE)
    assert {path.name for path in tmp_path.iterdir()} == {"backup.db", "garage"}, "a backup is one lone file"
    restored = tmp_path / "restored"
    restored.mkdir()
    target.rename(restored / FILE)
    with Workshop.open_at(restored, now=hand.now) as workshop:
        assert list(workshop.load(1).facts.lines) == ["clean-block"]
        assert all(finding.ok for finding in workshop.health())


def test_a_backup_is_made_while_another_window_works(hand: Hand, tmp_path: Path) -> None:
    with hand.open() as workshop, hand.open(write=False) as looking:
        hand.mark(workshop, workshop.load(1), "1.01", State.DONE)
        looking.back_up(tmp_path / "backup.db")
        hand.mark(workshop, workshop.load(1), "1.06", State.DONE)
    with closing(sqlite3.connect(tmp_path / "backup.db")) as copy:
        assert copy.execute("SELECT key FROM line_mark").fetchall() == [("clean-block",)]


def test_a_backup_writes_over_nothing_and_needs_its_folder(hand: Hand, tmp_path: Path) -> None:
    there = tmp_path / "there.db"
    there.write_bytes(b"precious")
    with hand.open() as workshop:
        with pytest.raises(StoreError, match=r"there\.db exists already; choose another name, nothing is written over"):
            workshop.back_up(there)
        with pytest.raises(StoreError, match=r"no folder .*nowhere to write the backup into"):
            workshop.back_up(tmp_path / "nowhere" / "backup.db")
    assert there.read_bytes() == b"precious"


def test_a_sound_workshop_says_so_in_three_checks(hand: Hand) -> None:
    with hand.open(write=False) as workshop:
        assert [(finding.check, finding.ok) for finding in workshop.health()] == [
            ("file", True),
            ("links", True),
            ("journal", True),
        ]


@pytest.mark.parametrize(
    "tampering",
    [
        "UPDATE line_mark SET by = 'ZZ'",
        "UPDATE line_mark SET number = number + 1",
        "DELETE FROM line_mark",
        "UPDATE build SET done = 2",
        "UPDATE build SET last = NULL",
        "UPDATE build SET folded = 'hill'",
        "UPDATE entry SET new = json_set(new, '$.state', 'started')",
        "UPDATE entry SET new = 'not json'",
        "UPDATE entry SET about = 'weather'",
        "UPDATE line_mark SET at = 'yesterday'",
        "INSERT INTO part_said VALUES (1, 'oil', 'here', 'AB', '2026-03-02T18:00:00+00:00', '', 2)",
    ],
)
def test_a_row_changed_behind_the_journals_back_is_found(hand: Hand, tampering: str) -> None:
    with hand.open() as workshop:
        hand.mark(workshop, workshop.load(1), "1.01", State.DONE)
    hand.sql(tampering)
    with hand.open(write=False) as workshop:
        finding = _finding(workshop, "journal")
        assert not finding.ok
        assert finding.text.startswith("build “Hill climber”: ")
        assert _finding(workshop, "file").ok


def test_a_row_without_what_it_belongs_to_is_found(hand: Hand) -> None:
    hand.sql("DELETE FROM step WHERE key = 'end-float'")
    with hand.open(write=False) as workshop:
        assert not _finding(workshop, "links").ok
