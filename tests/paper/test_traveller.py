"""The traveller read back from its PDF: what must stand on it, where, and that nothing breaks it."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import force_setattr, replace
from pypdf import PdfReader

from app.assembly.rules import loose_ends
from app.assembly.said.actions import (
    Concede,
    EnterFigure,
    Leave,
    LookSecond,
    MarkLine,
    PassGate,
    Resume,
    TakeReading,
    TickPlace,
)
from app.assembly.said.leaving import LEFT
from app.assembly.said.marks import State
from app.assembly.standing.gates import gate_standings
from app.paper.pdf.items import MM, Rule, Text
from app.paper.pdf.pen import Cancelled, PaperError
from app.paper.pdf.strips import HALF, SPEC_X, Group
from app.paper.traveller.lines import line_group
from app.paper.traveller.traveller import write_traveller
from app.sheet.rows import LineRow, stage_sheet
from tests.paper.builds import PLAN, Hand, eventful
from tests.paper.reading import all_text, greys, ink_box_mm, page_texts, sizes_pt
from tests.paper.step_sheets import apart

# ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1: size A is 8.5 x 11 in.
SIZES_PT = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}


HOLDING = ("1.02", "1.03", "1.04", "1.06", "1.07")


def print_it(folder: Path, hand: Hand, **how: object) -> Path:
    out = folder / "sheet.pdf"
    write_traveller(out, hand.survey, number=2, invariant=True, **how)  # type: ignore[arg-type]
    return out


def worked() -> Hand:
    """A build in the middle: every state, a wait, a concession, something still in, a gate passed in writing."""
    hand = Hand()
    for stud in range(1, 11):
        answer = "coolant" if stud in (1, 5) else "nothing"
        hand.does(TakeReading("1.01", str(stud), answer, "MK", hand.next_time()))
    hand.does(MarkLine("1.01", State.DONE, "MK", hand.next_time()))
    hand.does(TickPlace("1.02", "1", State.DONE, "JT", hand.next_time()))
    hand.does(TakeReading("1.03", "-", "0.31 mm", "MK", hand.next_time()))
    hand.does(MarkLine("1.03", State.STOPPED, "MK", hand.next_time(), why="Too wide; thrust halves ordered"))
    hand.does(TakeReading("1.04", "1-top", "0.35 mm", "MK", hand.next_time()))
    hand.does(MarkLine("1.05", State.DONE, "MK", hand.next_time(), together=True))
    hand.does(EnterFigure("1.06", "60 to 65 N·m", "Maker's manual, edition 4", "MK", hand.next_time()))
    hand.does(MarkLine("1.06", State.LATER, "MK", hand.next_time(), why="Wrench is away", before="1.07"))
    return hand


def passed() -> Hand:
    """The same, the first gate passed in writing, and oil in without priming."""
    hand = worked()
    text = "Checked by touch; goes back in the next strip"
    hand.does(PassGate("close", "MK", hand.next_time(), dict.fromkeys(HOLDING, text)))
    hand.does(MarkLine("2.01", State.DONE, "MK", hand.next_time()))
    hand.does(Concede("2.02", "Oil went in early, the pan is held by hand", "MK", hand.next_time()))
    return hand


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_page_has_the_size_of_the_paper(tmp_path: Path, paper: str) -> None:
    out = print_it(tmp_path, worked(), paper=paper)
    for page in PdfReader(out).pages:
        assert float(page.mediabox.width) == pytest.approx(SIZES_PT[paper][0], abs=0.5)
        assert float(page.mediabox.height) == pytest.approx(SIZES_PT[paper][1], abs=0.5)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("make", [Hand, worked, passed, eventful])
def test_nothing_is_drawn_outside_the_live_area(tmp_path: Path, paper: str, make: Callable[[], Hand]) -> None:
    for left, top, right, bottom in ink_box_mm(print_it(tmp_path, make(), paper=paper)):
        assert left >= 20 - 0.2
        assert top >= 12 - 0.2
        assert right <= 200 + 0.2
        assert bottom <= 12 + 255 + 0.2


def test_both_papers_break_at_the_same_lines(tmp_path: Path) -> None:
    hand = worked()
    a4 = page_texts(print_it(tmp_path, hand, paper="A4"))
    assert page_texts(print_it(tmp_path, hand, paper="Letter")) == a4


@pytest.mark.parametrize("make", [Hand, worked, passed, eventful])
def test_every_line_stands_on_it_with_number_and_title(tmp_path: Path, make: Callable[[], Hand]) -> None:
    hand = make()
    text = all_text(print_it(tmp_path, hand))
    for line in hand.build.lines:
        assert line.number in text
        assert line.step.do in text


def test_what_every_page_must_carry(tmp_path: Path) -> None:
    pages = page_texts(print_it(tmp_path, worked()))
    for number, text in enumerate(pages, 1):
        wanted = [
            "Grey four",
            f"Sheet {number} of {len(pages)}, this stage",
            "Print 2",
            "08 Mar 2031",
            "This bar is 100 mm",
            "+1 +2 +3",
            "Pen",
            *(state.word for state in State),
            "read and write",
            "many alike",
            "Maker's manual goes first",
        ]
        assert [words for words in wanted if words not in text] == []
    assert "Stage 1, lines 1.01 to" in pages[0]
    assert "lines 2.01 to 2.04" in pages[-2]


def test_a_shut_gate_names_every_line_that_holds_it_and_its_loose_ends(tmp_path: Path) -> None:
    text = all_text(print_it(tmp_path, worked()))
    assert "Close the bottom Shut. Held by 1.02, 1.03, 1.04, 1.06, 1.07" in text
    assert "Clears it: Take it out, count it, mark 2.01 Done." in text
    assert "Still in the engine 1 × rag, oil feed, since 1.05, out 2.01" in text


def test_a_gate_passed_in_writing_says_without_what_and_why(tmp_path: Path) -> None:
    text = all_text(print_it(tmp_path, passed()))
    assert "in writing without 1.02, 1.03, 1.04, 1.06, 1.07" in text
    assert text.count("Went on in writing. Checked by touch; goes back in the next strip (MK,") == 5
    assert "In writing: Oil went in early, the pan is held by hand (MK)" in text


def test_priming_and_stud_sealing_cannot_be_skipped_unseen(tmp_path: Path) -> None:
    hand = passed()
    hand.does(MarkLine("2.03", State.NOT_NEEDED, "MK", hand.next_time(30), why="It ran last year"))
    text = all_text(print_it(tmp_path, hand))
    assert "Not primed. Not needed. It ran last year" in text
    assert "Oil is not primed" in text
    assert "bearings are gone in seconds" in text
    assert "Not sealed." in text
    before = all_text(print_it(tmp_path, worked()))
    assert "No sealant in 5, open or not known to be blind;" in before
    assert "If nobody does: coolant weeps along the thread." in before


def test_cautions_holds_waits_and_figures_are_in_words(tmp_path: Path) -> None:
    text = all_text(print_it(tmp_path, passed()))
    assert "WARNING Hands clear of the counterweights. 1.07" in text
    assert "CAUTION Sealant skins over in ten minutes. 2.01" in text
    assert "HOLD Turn the crank by hand" in text
    assert "Once only." in text
    assert "Later, before 1.07. Wrench is away." in text
    assert "Stopped. Too wide; thrust halves ordered." in text
    assert "was 0.31 mm, Out" in text
    assert "Write nothing, oil, coolant or unknown." not in text
    assert "Figure: General practice. Thread oiled." not in text
    assert "Figure: Maker's manual, edition 4." in text
    fresh = all_text(print_it(tmp_path, Hand()))
    assert "Write nothing, oil, coolant or unknown." in fresh
    assert "Thread oiled." in fresh
    assert "maker's figure ? N·m" in fresh
    assert "and its source" in fresh


def test_a_running_wait_says_from_when_to_when(tmp_path: Path) -> None:
    hand = worked()
    text = "Checked"
    hand.does(PassGate("close", "MK", hand.next_time(), dict.fromkeys(HOLDING, text)))
    hand.does(MarkLine("2.01", State.DONE, "MK", hand.next_time()))
    begun = hand.now.astimezone()
    printed = all_text(print_it(tmp_path, hand))
    assert f"began {begun:%a %d %b %H:%M} ready" in printed
    assert "looked at" in printed


def test_what_was_put_in_by_hand_stands_with_what_the_plan_has_in(tmp_path: Path) -> None:
    text = all_text(print_it(tmp_path, eventful()))
    assert "Still in the engine 2 × tape, feed hole, since Sat 08 Mar, no line takes it out (t1)" in text
    assert "lost, 1 × nut, somewhere in the pan, since Sat 08 Mar, to be found (t2), nothing is turned before" in text
    assert "clay" not in text


def test_a_line_that_turns_the_engine_names_what_must_be_out_first(tmp_path: Path) -> None:
    hand = eventful()
    assert "Nothing is turned while in: 2 × tape, feed hole; 1 × nut" in all_text(print_it(tmp_path, hand))
    assert "Nothing is turned" not in all_text(print_it(tmp_path, worked()))


def test_a_spell_in_which_nothing_is_turned_is_named_on_the_line(tmp_path: Path) -> None:
    spell = '[{after = "first-pass", until = "last-pass", because = "it would lift"}]'
    plan = PLAN.replace('id = "turn"\n', f'id = "turn"\nturns = "hand"\nnot_while = {spell}\n')
    hand = Hand(plan)
    assert "Not turned yet:" not in all_text(print_it(tmp_path, hand))
    hand.does(MarkLine("1.05", State.DONE, "MK", hand.next_time(), together=True))
    text = all_text(print_it(tmp_path, hand))
    assert "Not turned yet: 1.06 Tighten main bolts, pass 2 of 2: nothing is turned between 1.05 and it" in text


def test_lines_of_one_s_own_have_their_number_box_and_reason(tmp_path: Path) -> None:
    text = all_text(print_it(tmp_path, eventful()))
    assert "1.03a Close again: oil feed joint Opened on the way by MK: rear, in the way." in text
    assert "1.03b Weigh the bolts Put in on the way by JT: one looks short." in text


def test_a_second_look_is_wanted_until_somebody_took_it(tmp_path: Path) -> None:
    hand = eventful()
    assert "Second look: JT, Sat 08 Mar" in all_text(print_it(tmp_path, hand))
    hand.does(MarkLine("1.04", State.LOOK_AGAIN, "MK", hand.next_time(), why="dropped a ring"))
    assert "Second look: JT" not in all_text(print_it(tmp_path, hand))
    hand.does(MarkLine("1.04", State.DONE, "MK", hand.next_time()))
    text = all_text(print_it(tmp_path, hand))
    assert "Symptom f2: a knock at one place. Second look wanted." in text
    assert "Look for leaks Second look wanted." in text
    again = {one.place.id: "0.36 mm" for one in hand.survey.judged(hand.build.by_id["ring-gap"])}
    hand.does(LookSecond("1.04", "RB", hand.next_time(), again))
    assert "Second look: RB" in all_text(print_it(tmp_path, hand))


def test_the_note_left_last_stands_on_the_first_sheet_until_work_goes_on(tmp_path: Path) -> None:
    hand = eventful()
    assert "Left on" not in all_text(print_it(tmp_path, hand))
    hand.does(Leave("cap 3 is next, wrench is still set", "MK", hand.next_time()))
    first, *_, last = page_texts(print_it(tmp_path, hand))
    left = f"Left on {hand.now.astimezone():%a %d %b, %H:%M} cap 3 is next, wrench is still set."
    assert left in first
    assert "Lost: 1 × nut, somewhere in the pan" in first
    assert left not in last, "the stage the hand was at is another"
    assert left in page_texts(print_it(tmp_path, hand, stages=[3]))[0]
    hand.does(Resume("MK", hand.next_time(), confirmed=("1.04",)))
    assert left in all_text(print_it(tmp_path, hand))
    hand.does(TakeReading("1.03", "-", "0.12 mm", "MK", hand.next_time()))
    assert "Left on" not in all_text(print_it(tmp_path, hand))


def test_a_long_note_leaves_the_rows_their_room(tmp_path: Path) -> None:
    hand = eventful()
    hand.does(Leave("cap 3 is next", "MK", hand.next_time()))
    (left,) = hand.build.facts.of(LEFT).values()
    force_setattr(left, "note", " ".join(f"word{number}" for number in range(900)))
    out = print_it(tmp_path, hand)
    assert "… and more, in the build record." in all_text(out)
    for _, top, right, bottom in ink_box_mm(out):
        assert (top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 3
    assert "1.01 Write what each stud hole opens to" in all_text(out)


def test_words_stand_clear_of_each_other_and_of_the_rule_below(tmp_path: Path) -> None:
    long = PLAN.replace("Tighten main bolts, pass 2 of 2", "Tighten the main bolts in their order, from the middle out")
    hand = Hand(long)
    ends = loose_ends(hand.survey)
    for stage in hand.build.stages:
        for row in stage_sheet(hand.survey, ends, gate_standings(hand.survey, ends), stage).rows:
            if isinstance(row, LineRow):
                _stand_clear(line_group(hand.survey, row))


def _stand_clear(group: Group) -> None:
    """By baselines in the wide column: 12 pt between lines of a title, 10 between any, 3 to the rule below."""
    y, titles, every = 0.0, set[float](), set[float]()
    for strip in group.strips:
        for one in strip.items:
            if isinstance(one, Text) and one.x < SPEC_X and one.weight in (400, 500):
                (titles if one.weight == 500 else every).add(y + one.y)
        y += strip.halves * HALF
    assert all(below - above >= 12 for above, below in pairwise(sorted(titles)))
    lines = sorted(titles | every)
    assert all(below - above >= 10 for above, below in pairwise(lines) if below - above > 3)
    assert y - lines[-1] >= 3


def test_only_open_leaves_out_what_is_done(tmp_path: Path) -> None:
    hand = worked()
    text = all_text(print_it(tmp_path, hand, only_open=True))
    assert "Write what each stud hole opens to" not in text
    assert "Seal the studs that are open" in text
    assert "open lines only" in text


def test_only_the_stages_asked_for_are_printed(tmp_path: Path) -> None:
    pages = page_texts(print_it(tmp_path, worked(), stages=[2]))
    assert len(pages) == 1
    assert "of 1, this stage 1 of 1" in pages[0]
    assert "Measure crank end float" not in pages[0]


def test_a_stage_that_is_not_there_is_refused_with_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(PaperError, match=r"There is no stage 9 to print; the stages run from 1 to 3."):
        print_it(tmp_path, worked(), stages=[9])
    assert list(tmp_path.iterdir()) == []


def test_a_paper_nobody_knows_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PaperError, match="“A3” is no paper"):
        print_it(tmp_path, worked(), paper="A3")


def test_nothing_open_is_nothing_to_print(tmp_path: Path) -> None:
    plan = PLAN[: PLAN.index("[[gates]]")] + '[[stages]]\nid = "a"\ntitle = "A"\n[[stages.steps]]\nid = "b"\ndo = "B"\n'
    hand = Hand(plan.replace("format = 1", "format = 1\ngates = []"))
    hand.does(MarkLine("1.01", State.DONE, "MK", hand.next_time()))
    with pytest.raises(PaperError, match="No line is open"):
        print_it(tmp_path, hand, only_open=True)


def test_equal_input_gives_equal_bytes(tmp_path: Path) -> None:
    first = print_it(tmp_path, worked()).read_bytes()
    assert print_it(tmp_path, worked()).read_bytes() == first


def test_no_text_is_smaller_than_nine_points(tmp_path: Path) -> None:
    assert min(sizes_pt(print_it(tmp_path, passed()))) >= 9


def test_only_black_and_white_are_used(tmp_path: Path) -> None:
    assert greys(print_it(tmp_path, passed())) == {(0, 0, 0), (255, 255, 255)}


HOSTILE = [
    "<b>bold</b> & <para/> &#60; %s {0} \\( ) (",
    "名前 🔧 \u202e right to left \u0000 \t tab",
    "\ud800 alone",
    "W" * 60_000,
    "a word " * 8_000,
]


@pytest.mark.parametrize("text", HOSTILE, ids=["markup", "odd letters", "half a pair", "one long word", "many words"])
def test_no_text_breaks_the_sheet(tmp_path: Path, text: str) -> None:
    hand = worked()
    hand.build = replace(hand.build, name=text)
    mark = hand.build.facts.lines["float"]
    force_setattr(mark, "why", text)
    out = print_it(tmp_path, hand)
    for left, top, right, bottom in ink_box_mm(out)[:4]:
        assert (left >= 19.8, top >= 11.8, right <= 200.2, bottom <= 267.2) == (True,) * 4


def test_markup_is_printed_as_it_was_typed_and_missing_letters_show(tmp_path: Path) -> None:
    hand = worked()
    hand.build = replace(hand.build, name=HOSTILE[0])
    assert HOSTILE[0] in all_text(print_it(tmp_path, hand))
    hand.build = replace(hand.build, name="名 four")
    assert "? four Stage 1" in all_text(print_it(tmp_path, hand))


def test_a_long_text_is_printed_to_its_end_over_several_pages(tmp_path: Path) -> None:
    hand = worked()
    words = " ".join(f"word{number}" for number in range(4000))
    force_setattr(hand.build.facts.lines["float"], "why", words)
    text = all_text(print_it(tmp_path, hand))
    assert "word3999." in text
    assert "1.03, continued" in text


def test_a_stopped_print_leaves_no_file_and_keeps_the_old_one(tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    out.write_bytes(b"old")
    seen: list[tuple[int, int]] = []
    with pytest.raises(Cancelled):
        write_traveller(
            out,
            worked().survey,
            number=1,
            progress=lambda done, total: seen.append((done, total)),
            cancelled=lambda: len(seen) == 1,
        )
    assert seen[0][0] == 1
    assert seen[0][1] > 1
    assert out.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [out]


def test_a_folder_that_is_not_there_is_an_os_error(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="nowhere"):
        write_traveller(tmp_path / "nowhere" / "sheet.pdf", worked().survey, number=1)


def test_a_full_disk_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space left"):
        print_it(tmp_path, worked())
    assert list(tmp_path.iterdir()) == []


def test_fields_to_write_in_are_as_large_and_as_far_apart_as_a_pen_needs() -> None:
    hand = Hand()
    sheet_ends = loose_ends(hand.survey)
    stage = hand.build.stages[0]
    sheet = stage_sheet(hand.survey, sheet_ends, gate_standings(hand.survey, sheet_ends), stage)
    for row in sheet.rows:
        if isinstance(row, LineRow) and row.write_ins:
            sides = _sides_mm(line_group(hand.survey, row))
            assert sides
            for x, top, low in sides:
                assert low - top == pytest.approx(8.0)
                near = [abs(x - other) for other, y, _ in sides if y == top and other != x]
                # A field is at least (3 + 1) x 5.1 mm wide, and the next one begins 5 mm or more behind it.
                assert min(near, default=5.0) >= 5.0 - 0.3
                assert all(below - low >= 3.0 for _, below, _ in sides if below > low - 0.1)


def _sides_mm(group: Group) -> list[tuple[float, float, float]]:
    """The upright sides of a line's fields: x, top and foot, in mm from the group's top left corner."""
    found: list[tuple[float, float, float]] = []
    y = 0.0
    for strip in group.strips:
        found += [
            (item.x1 / MM, (y + item.y1) / MM, (y + item.y2) / MM)
            for each in strip.items
            for item in apart(each)
            if isinstance(item, Rule) and item.x1 == item.x2 and item.y2 - item.y1 > 7 * MM
        ]
        y += strip.halves * HALF
    return found
