"""What no plan foresees, read back from the record's PDF: found, decided, befallen, opened, holes, bolts, tools."""

from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import force_setattr

from app.assembly.said import actions as a
from app.assembly.said.events import EVENT, Event
from app.assembly.said.findings import FINDING
from app.assembly.said.holes import HOLE
from app.assembly.said.kinds import FactKind
from app.assembly.said.marks import State
from app.assembly.said.put_in import EXTRA
from app.assembly.said.running import RUN
from app.assembly.said.temporary import ITEM
from app.assembly.said.tools import TOOL
from tests.paper.builds import Hand, eventful
from tests.paper.reading import all_text, ink_box_mm
from tests.paper.test_record import print_it
from tests.paper.test_traveller import passed, worked

SECTIONS = {
    "Findings and decisions",
    "Events",
    "Options changed",
    "Opened on the way, or put in",
    "Figures offered, and the one chosen",
    "Second looks",
    "Tightenings",
    "Hole map: Head stud holes",
    "Temporary things, in and out",
    "Tools and their checks",
    "Running",
    "Notes on leaving",
}


@pytest.fixture(scope="module")
def text(tmp_path_factory: pytest.TempPathFactory) -> str:
    hand = eventful()
    hand.does(a.Leave("cap 3 is next", "MK", hand.next_time()))
    return all_text(print_it(tmp_path_factory.mktemp("record"), hand))


def between(text: str, first: str, then: str) -> str:
    return text[text.index(first) : text.index(then, text.index(first))]


def test_each_section_stands_where_there_is_something_to_say(text: str) -> None:
    assert {title for title in SECTIONS if title not in text} == set()


def test_none_of_them_stands_where_there_is_nothing(tmp_path: Path) -> None:
    fresh = all_text(print_it(tmp_path, Hand()))
    assert {title for title in SECTIONS if title in fresh} == set()


def test_a_decision_says_why_what_to_watch_and_that_it_has_come_back(text: str) -> None:
    found = between(text, "Findings and decisions", "Events")
    assert "f1 1.03 score on the thrust face" in found
    assert "measured 0.03 mm deep" in found
    assert "Use as is: below the depth" in found
    assert "the sheet allows (JT, 07 Mar" in found
    assert "Watch: float at each strip." in found
    assert "or after 500 miles, or if 1.06 is opened or out." in found
    assert "To be decided again" in found
    assert "now: if it happens: 2031" in found
    assert "Symptom: a knock at one" in found
    assert "not decided" in found
    assert "f2 1.04, Cylinder" in found


def test_events_options_and_lines_of_one_s_own_say_who_and_why(text: str) -> None:
    assert "08 Mar 2031 01:00 MK Engine tipped over rolled over on the stand 2.03" in text
    assert "Rear seal? One-piece Two-piece the carrier is cracked MK 08 Mar 2031 02:00" in text
    own = between(text, "Opened on the way, or put in", "Figures in force")
    assert "1.03a Close again: oil feed joint, rear opened in the way MK" in own
    assert "1.03b Weigh the bolts put in one looks short JT" in own
    assert own.count("still to do") == 2


def test_the_figure_chosen_says_why_and_the_other_stays_beside_it(text: str) -> None:
    shelf = between(text, "Figures offered", "Readings")
    assert "1.06 c1 60 to 65 N·m engine maker's manual, Manual," in shelf
    assert "chosen: printed beats" in shelf
    assert "1.06 c2 44 to 48 lb ft advice, Leaflet" in shelf
    assert shelf.count("chosen:") == 1


def test_a_second_look_shows_both_readings_of_every_place(text: str) -> None:
    looks = between(text, "Second looks", "Tightenings")
    assert "Done, MK 08 Mar 2031" in looks
    assert looks.count("0.35 mm 0.36 mm") == 12
    assert "before it was signed again" not in looks


def test_a_second_look_at_what_was_done_again_since_is_told_from_one_that_counts(tmp_path: Path) -> None:
    hand = eventful()
    hand.does(a.MarkLine("1.04", State.LOOK_AGAIN, "MK", hand.next_time(), why="dropped a ring"))
    hand.does(a.MarkLine("1.04", State.DONE, "MK", hand.next_time()))
    looks = between(all_text(print_it(tmp_path, hand)), "Second looks", "Tightenings")
    assert "before it was signed again" in looks


def test_bolts_with_the_same_count_stand_together(text: str) -> None:
    assert "Main bolts Main 1, Main 3, Main 4, Main 5 1 3 MK" in text
    assert "Main bolts Main 2 3 3 JT" in text


def test_the_hole_map_says_what_each_opens_to_and_that_it_is_open(text: str) -> None:
    holes = between(text, "Hole map: Head stud holes", "Went on in writing")
    assert "Stud 1 M10 oil stud no" in holes
    assert "Stud 3 M10, 22 mm deep nothing stud thread" in holes
    assert holes.count(" no") >= 10


def test_temporary_things_say_when_they_went_in_and_came_out(text: str) -> None:
    still = between(text, "Temporary things still in the engine", "Temporary things, in and out")
    assert "2 × tape, feed hole (t1)" in still
    assert "Lost: 1 × nut, somewhere in the pan (t2)" in still
    assert "clay" not in still
    ever = between(text, "Temporary things, in and out", "Tools and their checks")
    assert "2 × tape, feed hole (t1) MK 08 Mar 2031 16:12 still in" in ever
    assert "1 × nut, somewhere in the pan (t2) MK 08 Mar 2031 17:12 lost" in ever
    assert "1 × clay, piston 1 (t3) MK 08 Mar 2031 18:12 JT 08 Mar 2031 19:12" in ever


def test_the_plan_s_own_things_are_in_until_the_line_that_takes_them_out_is_done(tmp_path: Path) -> None:
    went_in = f"{worked().build.facts.lines['first-pass'].at.astimezone():%d %b %Y %H:%M}"
    assert f"1 × rag, oil feed 1.05, MK {went_in} still in" in all_text(print_it(tmp_path, worked()))
    out = f"{passed().build.facts.lines['pan'].at.astimezone():%d %b %Y %H:%M}"
    assert f"1 × rag, oil feed 1.05, MK {went_in} 2.01, MK {out}" in all_text(print_it(tmp_path, passed()))


def test_tools_say_their_checks_and_one_nobody_entered_is_named(text: str) -> None:
    tools = between(text, "Tools and their checks", "Running")
    assert "Dial gauge 0 to 10 mm, 0.01 mm checked 08 Mar 2031, found 1.03 wrong" in tools
    assert "sticks at half a turn" in tools
    assert "gauge 7 not among the tools 1.04" in tools


def test_running_adds_up_and_the_note_left_has_what_was_to_be_remembered(text: str) -> None:
    running = between(text, "Running", "Notes on leaving")
    assert "0.5 h 0 km 1 on the stand" in running
    assert "In all 1.75 h 32 km 2" in running
    notes = between(text, "Notes on leaving", "Timeline")
    assert "MK cap 3 is next" in notes
    assert "Lost: 1 × nut" in notes


def test_long_words_keep_to_the_margins(tmp_path: Path) -> None:
    hand = eventful()
    long = "W" * 9000 + " a word" * 900 + " 名 <b>" * 90
    kinds: tuple[FactKind[Any], ...] = (FINDING, EVENT, EXTRA, ITEM, TOOL, RUN, HOLE)
    for kind in kinds:
        for fact in hand.build.facts.of(kind).values():
            for name in ("what", "do", "name", "where", "note", "compound", "why"):
                if hasattr(fact, name) and not isinstance(fact, Event):
                    force_setattr(fact, name, long)
    for left, top, right, bottom in ink_box_mm(print_it(tmp_path, hand))[:8]:
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4
