"""The build record read back from its PDF: everything read, decided and signed, by whom and when."""

from pathlib import Path

import pytest
from msgspec.structs import force_setattr, replace
from pypdf import PdfReader

from app.assembly.said.actions import MarkLine
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, Mark, State
from app.paper.pdf.pen import Cancelled
from app.paper.record.record import write_record
from tests.paper.builds import Hand
from tests.paper.reading import all_text, ink_box_mm, page_texts, sizes_pt
from tests.paper.test_traveller import HOSTILE, SIZES_PT, passed


def print_it(folder: Path, hand: Hand, paper: str = "A4") -> Path:
    out = folder / "record.pdf"
    sheets = write_record(out, hand.survey, hand.journal, paper=paper, invariant=True)
    assert sheets == len(PdfReader(out).pages)
    return out


def clock(hand: Hand, line: str) -> str:
    return f"{hand.build.facts.lines[line].at.astimezone():%d %b %Y %H:%M}"


def test_it_says_what_it_is_of_and_how_far_it_goes(tmp_path: Path) -> None:
    text = all_text(print_it(tmp_path, passed()))
    left = sum(passed().survey.open(line) for line in passed().build.lines)
    assert f"Not finished: {left} of 12 lines open." in text
    assert "A small engine (small)" in text
    assert "Edition of the plan 3" in text
    assert "Option “seal” one" in text
    assert "not approval for service" in text
    assert "licensed people" in text
    assert "unknown until it is checked" in text


def test_every_reading_stands_in_it_with_its_verdict_and_who_and_when(tmp_path: Path) -> None:
    hand = passed()
    text = all_text(print_it(tmp_path, hand))
    found = 0
    for line in hand.build.lines:
        for one in hand.survey.judged(line):
            figured = hand.survey.bounds(line) is not None
            verdict = one.verdict.value if figured else "not judged"
            when = f"{one.reading.at.astimezone():%d %b %Y %H:%M}"
            words = f"{one.reading.text} {verdict} {one.reading.by} {when}"
            assert words in text
            found += 1
    assert found == 12
    assert "0.31 mm Out MK" in text
    assert "0.35 mm In MK" in text


def test_a_reading_from_before_a_disturbance_has_no_verdict_any_more(tmp_path: Path) -> None:
    hand = passed()
    (one,) = hand.survey.judged(hand.build.by_id["float"])
    hand.does(MarkLine("last-pass", State.DONE, "MK", hand.next_time(), together=True))
    hand.does(MarkLine("last-pass", State.LOOK_AGAIN, "JT", hand.next_time(), why="A cap was off"))
    text = all_text(print_it(tmp_path, hand))
    when = f"{one.reading.at.astimezone():%d %b %Y %H:%M}"
    assert f"{one.reading.text} disturbed {one.reading.by} {when} since" in text, "the words wrap in their column"
    assert f"{one.reading.text} {one.verdict.value} {one.reading.by}" not in text


def test_decisions_concessions_gates_and_parts_stand_in_it(tmp_path: Path) -> None:
    hand = passed()
    hand.does(MarkLine("2.04", State.NOT_NEEDED, "JT", hand.next_time(), why="Bench run only"))
    text = all_text(print_it(tmp_path, hand))
    assert f"Not needed Bench run only JT {clock(hand, 'look')}" in text
    assert "Later, before 1.07" in text
    assert "Wrench is away" in text
    assert "Too wide; thrust halves ordered" in text
    assert "Oil went in early, the pan is held by hand" in text
    assert text.count("Checked by touch; goes back in the next strip") >= 5
    gone = hand.build.facts.gates["close"]
    assert f"Close the bottom {gone.at.astimezone():%d %b %Y %H:%M} MK in writing without 1.02, 1.03" in text
    assert f"Main bolts 10 one-use MK {clock(hand, 'first-pass')}" in text
    assert "60 to 65 N·m Maker's manual, edition 4" in text.replace("edition 4 MK", "edition 4")
    assert "Nothing temporary is in the engine." in text


def test_loose_ends_and_things_still_in_stand_in_it(tmp_path: Path) -> None:
    hand = Hand()
    hand.does(MarkLine("1.05", State.DONE, "MK", hand.next_time(), together=True))
    text = all_text(print_it(tmp_path, hand))
    assert "Still in: 1 × rag, oil feed" in text
    assert "1 × rag, oil feed, since 1.05 2.01" in text
    assert "Nobody went on in writing." in text


def test_the_whole_journal_stands_in_it(tmp_path: Path) -> None:
    hand = passed()
    text = all_text(print_it(tmp_path, hand))
    timeline = text[text.index("Timeline") :]
    for one in hand.journal:
        assert f"{one.at.astimezone():%d %b %Y %H:%M} {one.by} {one.event.value}" in timeline


def test_a_finished_build_says_so(tmp_path: Path) -> None:
    hand = Hand()
    done = Mark(State.DONE, "MK", hand.now)
    entries = tuple(Entry(EventName.MARK, Subject(MARK, line.id), None, done) for line in hand.build.lines)
    hand.build = hand.build.after(Deed(Verb.MARK, "MK", hand.now, entries))
    assert "Finished: no line is open." in all_text(print_it(tmp_path, hand))


def test_a_table_repeats_its_head_on_each_page(tmp_path: Path) -> None:
    pages = page_texts(print_it(tmp_path, passed()))
    assert len(pages) > 2
    going_on = [text for text in pages if "Timeline, continued" in text]
    assert going_on
    assert all("When Who Event Line What" in text for text in going_on)
    assert all(f"Sheet {n} of {len(pages)}" in text for n, text in enumerate(pages, 1))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_keeps_to_the_paper_and_its_margins(tmp_path: Path, paper: str) -> None:
    out = print_it(tmp_path, passed(), paper)
    page = PdfReader(out).pages[0]
    assert float(page.mediabox.width) == pytest.approx(SIZES_PT[paper][0], abs=0.5)
    assert float(page.mediabox.height) == pytest.approx(SIZES_PT[paper][1], abs=0.5)
    for left, top, right, bottom in ink_box_mm(out):
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4
    assert min(sizes_pt(out)) >= 9


@pytest.mark.parametrize("text", HOSTILE, ids=["markup", "odd letters", "half a pair", "one long word", "many words"])
def test_no_text_breaks_it(tmp_path: Path, text: str) -> None:
    hand = passed()
    hand.build = replace(hand.build, name=text)
    force_setattr(hand.build.facts.lines["float"], "why", text)
    for left, top, right, bottom in ink_box_mm(print_it(tmp_path, hand))[:4]:
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4


def test_equal_input_gives_equal_bytes(tmp_path: Path) -> None:
    first = print_it(tmp_path, passed()).read_bytes()
    assert print_it(tmp_path, passed()).read_bytes() == first


def test_a_stopped_record_leaves_no_file(tmp_path: Path) -> None:
    hand = passed()
    with pytest.raises(Cancelled):
        write_record(tmp_path / "record.pdf", hand.survey, hand.journal, cancelled=lambda: True)
    assert list(tmp_path.iterdir()) == []
