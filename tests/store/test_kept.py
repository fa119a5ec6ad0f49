"""Backups nobody asks for: one when something was done, the newest ten, and one of each month."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.assembly.deeds.decide import decide
from app.assembly.said.actions import MarkLine
from app.assembly.said.marks import State
from app.store.database import FILE
from app.store.errors import StoreError
from app.store.kept import MOST, keep
from app.store.restore import restore
from app.store.workshop import Workshop
from tests.plans import SMALL
from tests.workshops import put_workshop

NOW = datetime(2026, 3, 14, 20, 0, tzinfo=UTC)


@pytest.fixture
def garage(tmp_path: Path) -> Path:
    return put_workshop(tmp_path / "garage", plan=SMALL, build="Grey four", by="AB", made=NOW - timedelta(days=400))


def _mark(folder: Path, state: State, at: datetime) -> None:
    with Workshop.open_at(folder, now=at) as workshop:
        build = workshop.load(1)
        workshop.commit(build, decide(build, MarkLine("clean-block", state, "AB", at)), now=at)


def _keep(folder: Path, at: datetime) -> Path | None:
    return keep(folder / FILE, folder / "backups", now=at)


def test_one_is_made_where_something_was_done_and_none_where_nothing_was(garage: Path) -> None:
    first = _keep(garage, NOW)
    assert first is not None
    assert _keep(garage, NOW + timedelta(hours=1)) is None
    _mark(garage, State.DONE, NOW + timedelta(hours=2))
    second = _keep(garage, NOW + timedelta(hours=3))
    assert second is not None
    assert {one.name for one in (garage / "backups").iterdir()} == {first.name, second.name}
    found = restore(garage, first, now=NOW + timedelta(hours=4))
    assert (found.before, found.now) == (NOW + timedelta(hours=2), NOW - timedelta(days=400))


def test_the_newest_ten_stay_and_the_newest_of_each_month_and_what_is_ones_own(garage: Path) -> None:
    own = garage / "backups" / "before the holidays.db"
    own.parent.mkdir()
    own.write_bytes((garage / FILE).read_bytes())
    at = NOW - timedelta(days=120)
    for number in range(24):
        at += timedelta(days=5)
        _mark(garage, State.DONE if number % 2 == 0 else State.TO_DO, at)
        assert _keep(garage, at) is not None
    kept = sorted(one.name for one in own.parent.iterdir() if one != own)
    assert own.is_file()
    older = [name[5:11] for name in kept[:-MOST]]
    assert {name[5:11] for name in kept} == {"202511", "202512", "202601", "202602", "202603"}
    assert older == ["202511", "202512"], "beyond the newest ten one of each month"


def test_where_none_can_be_made_it_is_said(garage: Path) -> None:
    (garage / "backups").write_text("a file in the place of the folder", "utf-8")
    with pytest.raises(StoreError):
        _keep(garage, NOW)
