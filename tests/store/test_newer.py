"""What a newer program wrote is refused with one sentence and left alone; what an older one wrote is read up."""

from datetime import datetime
from typing import Any

import pytest
from msgspec import Struct

from app.assembly.said import kinds
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import FactKind, Subject
from app.assembly.said.marks import State
from app.store.errors import StoreError
from tests.store.conftest import Hand

NEWER = "was written by a newer version of this program: it holds {}; update the program. The file was not touched."


@pytest.fixture
def marked(hand: Hand) -> Hand:
    """A workshop with a deed of several entries."""
    with hand.open() as workshop:
        build = hand.mark(workshop, workshop.load(1), "1.01", State.DONE)
        hand.mark(workshop, build, "1.06", State.NOT_NEEDED, "no rags")
    return hand


@pytest.mark.parametrize(
    ("change", "holds"),
    [
        ("UPDATE deed SET verb = 'weld' WHERE id = 2", "a deed “weld”, which this program does not know"),
        ("UPDATE entry SET event = 'welded' WHERE id = 1", "an entry “welded”, which this program does not know"),
        ("UPDATE entry SET about = 'weld' WHERE id = 1", "a fact of a kind “weld”, which this program does not know"),
        (
            "UPDATE entry SET form = 9 WHERE id = 2",
            "a fact of the kind “line” in form 9, of which this program knows 1 to 2",
        ),
        (
            "INSERT INTO fact (build_id, about, key, place, value) VALUES (1, 'weld', 'a', '', '{}')",
            "a fact of a kind “weld”, which this program does not know",
        ),
        (
            "INSERT INTO fact (build_id, about, key, place, value, form) VALUES (1, 'hole', 'a', '', '{}', 4)",
            "a fact of the kind “hole” in form 4, of which this program knows 1 to 1",
        ),
    ],
    ids=["verb", "event", "kind", "form", "standing kind", "standing form"],
)
def test_what_a_newer_program_wrote_is_refused_and_left_alone(marked: Hand, change: str, holds: str) -> None:
    marked.sql(change)
    before = marked.path.read_bytes()
    with marked.open() as workshop, pytest.raises(StoreError) as refused:
        workshop.load(1)
    assert str(refused.value) == f"{marked.path} {NEWER.format(holds)}"
    assert marked.path.read_bytes() == before


def test_a_word_of_another_build_refuses_the_whole_workshop(marked: Hand) -> None:
    """A workshop is one file of one program: half of it is not worked on."""
    marked.sql(
        "INSERT INTO build (name, made, plan_id, options, arrangement) SELECT 'B', made, 1, '{}', '{}' FROM build"
    )
    marked.sql("INSERT INTO deed (build_id, verb, by, at, written, why) SELECT 2, 'weld', '', at, at, '' FROM deed")
    with marked.open() as workshop, pytest.raises(StoreError, match="a deed “weld”"):
        workshop.load(1)


class Weighed(Struct, frozen=True):
    """A thing weighed, in grams; its first form said kilograms and nothing of the scales."""

    grams: float
    by: str
    at: datetime
    scales: str


def _in_grams(values: dict[str, Any]) -> dict[str, Any]:
    return {"grams": values["kilograms"] * 1000, "by": values["by"], "at": values["at"], "scales": ""}


WEIGHED = FactKind("weighed", Weighed, form=2, read_up={1: _in_grams})


@pytest.fixture
def weighing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program that knows one kind of fact more."""
    known = {**kinds.every_kind(), WEIGHED.name: WEIGHED}
    for module in ("app.assembly.said.kinds", "app.assembly.said.facts"):
        monkeypatch.setattr(f"{module}.every_kind", lambda: known)


@pytest.mark.usefixtures("weighing")
def test_an_older_form_is_read_up(hand: Hand) -> None:
    fact = Weighed(512.5, "AB", hand.now, "kitchen")
    older = '{"kilograms": 0.4, "by": "AB", "at": "2026-03-01T10:00:00+00:00"}'
    with hand.open() as workshop:
        build = workshop.load(1)
        entry = Entry(EventName.FOUND, Subject(WEIGHED, "piston", "1"), None, fact)
        workshop.commit(build, Deed(Verb.FIND, "AB", hand.now, (entry,)), now=hand.now)
    for place, form in (("1", 2), ("2", 1)):
        if form == 1:
            hand.sql(f"UPDATE fact SET place = '2', form = 1, value = '{older}'")
            for side in ("old", "new"):
                hand.sql(f"UPDATE entry SET place = '2', form = 1, {side} = '{older}' WHERE {side} IS NOT NULL")
        with hand.open() as workshop:
            build = workshop.load(1)
            read = build.facts.of(WEIGHED)["piston", place]
            assert (read.grams, read.scales) == ((512.5, "kitchen") if form == 2 else (400.0, ""))
            assert all(finding.ok for finding in workshop.health())
            build, _ = workshop.undo(build, by="AB", now=hand.now)
            assert build.facts.of(WEIGHED) == {}
            workshop.redo(build, by="AB", now=hand.now)


def test_a_form_its_program_does_not_know_is_refused(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as newer:
        known = {**kinds.every_kind(), WEIGHED.name: WEIGHED}
        newer.setattr("app.assembly.said.kinds.every_kind", lambda: known)
        newer.setattr("app.assembly.said.facts.every_kind", lambda: known)
        with hand.open() as workshop:
            build = workshop.load(1)
            entry = Entry(EventName.FOUND, Subject(WEIGHED, "piston"), None, Weighed(1.0, "AB", hand.now, ""))
            workshop.commit(build, Deed(Verb.FIND, "AB", hand.now, (entry,)), now=hand.now)
    with hand.open() as workshop, pytest.raises(StoreError, match="a fact of a kind “weighed”, which this program"):
        workshop.load(1)
