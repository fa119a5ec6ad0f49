"""A workshop from when words were kept in English: its deeds and reasons read today as they were kept then."""

import lzma
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from app.assembly.said.bolts import BOLT, Tried
from app.assembly.said.joints import JOINT, TakenFrom
from app.assembly.said.kinds import every_kind
from app.assembly.said.leaving import LEFT, Remembered
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.said.phrase import Phrase, phrase, phrase_of, phrase_values
from app.assembly.said.put_in import EXTRA
from app.assembly.said.reasons import Because
from app.store.codec import from_json, to_json
from app.store.workshop import Workshop
from app.words.deeds import label
from app.words.marks import why
from app.words.say import say

OLD = Path(__file__).parents[1] / "fixtures" / "first_workshop" / "workshop.db.xz"
NOW = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
# Labels that read otherwise now, on purpose: grammar follows the number.
OTHERWISE = {
    "ran 0.42 h, 0 km, 1 heat cycles": "ran 0.42 h, 0 km, 1 heat cycle",
    "ran 0.8 h, 32 km, 1 heat cycles": "ran 0.8 h, 32 km, 1 heat cycle",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found = tmp_path_factory.mktemp("first")
    (found / "workshop.db").write_bytes(lzma.decompress(OLD.read_bytes()))
    return found


@pytest.fixture(scope="module")
def kept(folder: Path) -> dict[str, list[Any]]:
    """What the old file kept in English."""
    with closing(sqlite3.connect(folder / "workshop.db")) as connection:
        return {
            "labels": connection.execute("SELECT id, label FROM deed").fetchall(),
            "marks": connection.execute("SELECT build_id, key, why FROM line_mark").fetchall(),
        }


@pytest.fixture(scope="module")
def opened(folder: Path, kept: dict[str, list[Any]]) -> Iterator[Workshop]:
    assert kept["labels"], "read before it is brought up to date"
    with Workshop.open_at(folder, now=NOW) as workshop:
        yield workshop


def test_every_deed_is_told_as_its_label_was(opened: Workshop, kept: dict[str, list[Any]]) -> None:
    then = dict(kept["labels"])
    now: dict[int, str] = {}
    for name in opened.builds():
        build = opened.load(name.key)
        now |= {written.id: label(build, written.deed) for written in opened.journal(build)}
    assert len(now) == len(then) > 500
    assert {then[id_]: now[id_] for id_ in now if now[id_] != OTHERWISE.get(then[id_], then[id_])} == {}


def test_every_mark_says_why_as_it_did(opened: Workshop, kept: dict[str, list[Any]]) -> None:
    marks: dict[tuple[int, str], Mark] = {}
    for name in opened.builds():
        marks |= {(name.key, step): mark for step, mark in opened.load(name.key).facts.lines.items()}
    assert {(build, step): why(marks[build, step]) for build, step, _ in kept["marks"]} == {
        (build, step): text for build, step, text in kept["marks"]
    }
    assert any(mark.because is not None for mark in marks.values())


def test_the_journal_still_tells_what_stands(opened: Workshop) -> None:
    assert [one.text for one in opened.health() if not one.ok] == []


OLD_MARK: dict[str, Any] = {
    "state": "look-again",
    "by": "AB",
    "at": "2026-03-01T12:00:00+00:00",
    "before": "",
    "waits_for": "",
}
OLD_MARK |= {"was_ready": True, "disturbed_by": "", "meanwhile": "", "known_from": "2026-03-01T12:00:00+00:00"}


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("4.06 Wash the bores: was done after it", Because.DONE_AFTER),
        ("4.06a Wash: dry: is no longer known", Because.NOT_KNOWN),
        ("4.06 Wash the bores: is To do again", Because.TO_DO_AGAIN),
        ("1.07 Torque the mains: was opened (Look again)", Because.WAS_OPENED),
        ("doubted on coming back.", Because.DOUBTED_ON_COMING_BACK),
        ("its figure is 40 N·m now.", Because.FIGURE_IS_NOW),
        ("the engine has 5 mains now.", Because.ENGINE_HAS_NOW),
        ("the joint was slackened: stretch too small.", Because.JOINT_SLACKENED),
        ("the value at Main 2 was rubbed out.", Because.VALUE_RUBBED_OUT),
        ("Main 2 reads 0.09 mm, out of limits.", Because.READS_OUT),
        ("second look: Main 2 0.09 mm out of limits.", Because.SECOND_LOOK_OUT),
        ("Dial gauge was found wrong.", Because.FOUND_WRONG),
        ("sump was opened.", Because.THING_OPENED),
        ("Engine tipped.", Because.OPENED),
        ("no full stop", Because.AS_WRITTEN),
    ],
)
def test_a_reason_the_program_gave_is_taken_apart_and_said_the_same(text: str, kind: Because) -> None:
    mark = from_json(MARK, 1, OLD_MARK | {"why": text})
    assert (mark.why, mark.because.kind, why(mark)) == ("", kind, text)
    assert from_json(MARK, MARK.form, to_json(mark)) == mark


def test_what_a_person_wrote_on_a_mark_stays_as_written() -> None:
    for values in ({"known_from": None}, {"known_from": "2026-02-01T12:00:00+00:00"}, {"state": "stopped"}):
        mark = from_json(MARK, 1, OLD_MARK | {"why": "its figure is 40 N·m now."} | values)
        assert (mark.why, mark.because) == ("its figure is 40 N·m now.", None)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("94.0 N·m and 0.520 mm are both within: leave it, and never pull a good stud further.", Tried.WITHIN),
        ("94.0 N·m and 0.420 mm are not there yet: keep going, and read the stretch often.", Tried.KEEP_GOING),
        ("0.720 mm is over the 0.600 mm allowed at 94.0 N·m: replace the stud.", Tried.TOO_LONG),
        (
            "94.0 N·m came before the stretch and the torque were both within: slacken all of the group and try once "
            "more.",
            Tried.SLACKEN_GROUP,
        ),
        (
            "94.0 N·m came before the stretch and the torque were both within for the second time: replace the stud.",
            Tried.REPLACE,
        ),
        ("slackened to try again", Tried.SLACKENED),
        ("a word nobody knows", Tried.AS_WRITTEN),
    ],
)
def test_what_a_stud_came_to_is_taken_apart_and_said_the_same(text: str, kind: Tried) -> None:
    old: dict[str, Any] = {
        "done": False,
        "by": "AB",
        "at": "2026-03-01T12:00:00+00:00",
        "tries": 1,
        "answer": "",
        "verdict": text,
    }
    because = from_json(BOLT, 1, old).because
    assert (because.kind, say(because)) == (kind, text)
    assert from_json(BOLT, 1, old | {"verdict": ""}).because is None


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("1.06 in hand, not to be trusted: Put a rag in each bore", Remembered.IN_HAND),
        ("1.06 in hand, not to be trusted, 1 of 10 ticked: Torque the head", Remembered.HALF_TICKED),
        ("1.06a still open: Close again: drain plug", Remembered.STILL_OPEN),
        ("Lost: 2 × rag, sump", Remembered.LOST),
        ("Still in: 2 × rag, sump", Remembered.STILL_IN),
        ("1.06 only stands in for another line: Old gasket", Remembered.STANDS_IN),
        ("the cat", Remembered.AS_WRITTEN),
    ],
)
def test_what_was_to_be_remembered_is_taken_apart_and_said_the_same(text: str, kind: Remembered) -> None:
    old = {"note": "", "by": "AB", "at": "2026-03-01T12:00:00+00:00", "items": [text]}
    (item,) = from_json(LEFT, 1, old).items
    assert (item.kind, say(item)) == (kind, text)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("10.9: proof 830 MPa (ISO 898-1:2013; table 3; read)", TakenFrom.PROOF),
        ("cast iron: at most 700 MPa under the head (2015; a guideline; from memory)", TakenFrom.PRESSURE),
        ("cast iron: tensile 250 MPa (2019; a standard; read)", TakenFrom.TENSILE),
        ("K 0.12 to 0.16 for oiled threads (one; another; common practice)", TakenFrom.FRICTION),
        ("somewhere", TakenFrom.AS_WRITTEN),
    ],
)
def test_where_a_joints_figure_is_from_is_taken_apart_and_said_the_same(text: str, kind: TakenFrom) -> None:
    old = {"typed": {}, "by": "AB", "at": "2026-03-01T12:00:00+00:00", "taken_from": [text]}
    (found,) = from_json(JOINT, 1, old).taken_from
    assert (found.kind, say(found)) == (kind, text)


def test_a_line_to_close_what_was_opened_keeps_only_what_the_person_wrote() -> None:
    old = {"kind": "opened", "number": "1.06a", "after": "x", "do": "Close again: drain plug", "why": "", "place": ""}
    old |= {"harm": "what was opened is run open, loose or dirty", "by": "AB", "at": "2026-03-01T12:00:00+00:00"}
    extra = from_json(EXTRA, 1, old | {"disturbs": []})
    assert (extra.do, extra.harm) == ("drain plug", "")
    forgotten = from_json(EXTRA, 1, old | {"disturbs": [], "kind": "put in", "do": "Close again: the box"})
    assert forgotten.do == "Close again: the box"


def test_a_phrase_is_written_down_and_read_back_with_all_it_holds() -> None:
    inner = phrase(State.DONE)
    said = phrase(Because.OPENED, what=(inner, "sump", 2, 1.5, None, True), at=NOW)
    values = phrase_values(said)
    assert values["kind"] == "reasons.Because.OPENED"
    assert phrase_of(values) == said
    with pytest.raises(ValueError, match="nothing to say is called"):
        phrase_of({"kind": "reasons.Because.NEVER", "args": {}})


def test_no_kind_keeps_a_reason_of_the_program_as_text() -> None:
    """Fields that the program fills hold phrases; `why`, `note` and the like are what a person typed."""
    assert Mark.__annotations__["because"] == Phrase | None
    assert not any("verdict" in kind.fact.__annotations__ for kind in every_kind().values())
