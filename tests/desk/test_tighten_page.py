"""The bolts of a head tightened in the window: by keys alone, by presses, and what stands beside them."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.assembly.said import actions as a
from app.assembly.said.bolts import BoltTurn
from app.assembly.standing.tightening import joint_of, next_pass_of, turns_of
from app.desk.places.bolts_page import TightenPage
from app.desk.window import MainWindow
from app.sheet.tighten import tighten_view
from app.store.workshop import Workshop
from tests.desk.conftest import Opener, calls, choose, field, press, push, state, words
from tests.workshops import JUST_NOW, put_workshop

K = Qt.Key
HEAD = """
format = 1
id = "head"
title = "A head"
edition = "1"
summary = "For tests"

[arrangement]
layout = "inline"
cylinders = 4
firing_order = [1, 3, 4, 2]
mains = 5
crankpins = 4
cam_journals = 3

[[groups]]
id = "studs"
title = "Head studs"
count = 10
each = "Stud"

[[sources]]
id = "sheet"
title = "Stud maker's sheet"
trust = "part maker's sheet"

[[gates]]
id = "close-top"
letter = "A"
title = "Close the top"
after = "head"
means = "The head is on"
harm = "Coolant in the oil"

[[stages]]
id = "head"
title = "Head"
"""
STEP = """
[[stages.steps]]
id = "{id}"
do = "Torque head nuts, {id} pass"
places = "studs"
gate = "close-top"
harm = "A blown gasket"
fixed = "nuts"
needs = [{needs}]
spec = {{ kind = "torque", unit = "N·m", limits = "{figure}", source = "sheet", state = "oiled"{record} }}

[stages.steps.tightening]
pattern = "listed"
rows = [5, 5]
bores = 4
lie = ["8", "4", "1", "5", "9", "10", "6", "2", "3", "7"]
"""
AFTER = """
[[stages]]
id = "after"
title = "After"

[[stages.steps]]
id = "covers"
do = "Fit the covers"
act = "close-top"
"""
PLAN = (
    HEAD
    + STEP.format(id="first", needs="", figure="30 N·m", record="")
    + STEP.format(id="second", needs='"first"', figure="60 N·m", record="")
    + STEP.format(id="last", needs='"second"', figure="80 to 84 N·m", record=', record = "value"')
    + AFTER
)
STUDS = [str(n) for n in range(1, 11)]


@pytest.fixture
def head_folder(tmp_path: Path) -> Path:
    """A workshop with one build of the head."""
    return put_workshop(tmp_path / "head", plan=PLAN, build="Grey four", by="MK", made=JUST_NOW, initials="MK")


@pytest.fixture
def window(open_window: Opener, head_folder: Path) -> MainWindow:
    """The window on the head, its first pass in hand."""
    return open_window(head_folder)


def _page(window: MainWindow, qtbot: QtBot) -> TightenPage:
    press(qtbot, "p")
    assert window.pages.shown() is window.pages.widget_of("bolts", TightenPage)
    return window.pages.widget_of("bolts", TightenPage)


def _do(window: MainWindow, action: a.Action) -> None:
    assert window.work is not None
    assert window.work.do(action)


def _tool(window: MainWindow) -> None:
    now = datetime.now(UTC)
    _do(window, a.KeepTool("TW", "click wrench", "MK", now, "20 to 120 N·m", "0.5 N·m", now, "click", "420 mm"))


def _turns(window: MainWindow, line: str) -> dict[tuple[int, str], BoltTurn]:
    assert window.work is not None
    return turns_of(window.work.build, window.work.build.by_id[line])


def _words(page: TightenPage) -> str:
    return page.words.toPlainText()


def test_a_whole_head_is_tightened_by_keys_alone(window: MainWindow, qtbot: QtBot, head_folder: Path) -> None:
    page = _page(window, qtbot)
    for line in ("first", "second", "last"):
        assert page.line is not None
        assert page.line.id == line
        for number in STUDS:
            assert page.chosen == number, "the hand goes on to the next bolt by itself"
            press(qtbot, K.Key_Space)
            assert _turns(window, line)[1, number].done
        assert state(window, line) == "started"
        press(qtbot, K.Key_Space)
        assert state(window, line) == "done"
    press(qtbot, K.Key_Escape)
    assert window.sheet.hasFocus()
    window.close()
    with Workshop.open_at(head_folder, now=datetime.now(UTC)) as workshop:
        build = workshop.load(1)
        assert {build.facts.lines[line].state.value for line in ("first", "second", "last")} == {"done"}
        assert len(build.facts.readings["last"]) == 10
        assert build.facts.readings["last"]["7", 1].text == "82 N·m"
        assert all(finding.ok for finding in workshop.health())


def test_each_bolt_is_on_disk_before_the_next(window: MainWindow, qtbot: QtBot, head_folder: Path) -> None:
    _page(window, qtbot)
    for n in range(1, 4):
        press(qtbot, K.Key_Space)
        with Workshop.open_at(head_folder, now=datetime.now(UTC), write=False) as other:
            assert len(turns_of(other.load(1), other.load(1).by_id["first"])) == n


def test_a_line_stays_open_while_a_bolt_is_missing(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    press(qtbot, K.Key_Right)
    skipped = page.chosen
    assert skipped != "1"
    for _ in range(3):
        press(qtbot, K.Key_Space)
    assert state(window, "first") == "started"
    assert "3 of 10" in words(page)


def test_the_arrows_go_to_the_neighbour_as_the_part_lies(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert page.chosen == "1"
    press(qtbot, K.Key_Right)
    assert page.chosen == "5"
    press(qtbot, K.Key_Down)
    assert page.chosen == "3"
    press(qtbot, K.Key_Left)
    assert page.chosen == "2"
    press(qtbot, K.Key_Up)
    assert page.chosen == "1"


def test_a_press_takes_a_bolt_in_hand_and_a_second_press_does_it(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert page.canvas.drawn is not None
    target = next(one for one in page.canvas.drawn.targets if one.key == "4")
    at = QPoint(round((target.left + target.right) / 2) + 5, round((target.top + target.bottom) / 2) + 5)
    qtbot.mouseClick(page.canvas, Qt.MouseButton.LeftButton, pos=at)
    assert page.chosen == "4"
    assert _turns(window, "first") == {}
    qtbot.mouseClick(page.canvas, Qt.MouseButton.LeftButton, pos=at)
    assert set(_turns(window, "first")) == {(1, "4")}


def test_every_target_is_large_enough_for_a_hand(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert page.canvas.drawn is not None
    for target in page.canvas.drawn.targets:
        assert target.right - target.left >= 44
        assert target.bottom - target.top >= 44


def test_enter_writes_what_a_bolt_came_to_in_any_unit(window: MainWindow, qtbot: QtBot) -> None:
    _page(window, qtbot)
    press(qtbot, K.Key_Return, "22 ft-lb", K.Key_Tab, "0.12 mm", K.Key_Return)
    turn = _turns(window, "first")[1, "1"]
    assert turn.torque_nm == pytest.approx(29.828, abs=0.001)
    assert turn.stretch_mm == 0.12


def test_a_value_that_cannot_be_keeps_what_was_typed(window: MainWindow, qtbot: QtBot) -> None:
    _page(window, qtbot)
    press(qtbot, K.Key_Return, "thirty", K.Key_Return)
    assert window.ask.asking
    assert "cannot be read as a torque" in words(window.ask)
    assert _turns(window, "first") == {}
    press(qtbot, K.Key_Escape)
    assert not window.ask.asking


def test_the_joint_is_described_by_keys_and_its_doubt_is_a_key_away(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    press(qtbot, "j")
    assert window.ask.asking
    press(qtbot, "M10x1.25")
    field(window.ask, "Marked on the head").setText("10.9")
    choose(window.ask, "On the threads here", "oiled")
    press(qtbot, K.Key_Return)
    if window.ask.asking:  # Enter went on to the next field first
        push(qtbot, window.ask, "Keep")
    assert window.work is not None
    said = joint_of(window.work.build, window.work.build.by_id["first"])
    assert said is not None
    assert said.said("thread") == "M10x1.25"
    press(qtbot, "d")
    assert "Preload from 30 N·m" in _words(page)
    assert "of proof load" in _words(page)
    assert "; read)" in _words(page), "each figure says where it is from and how it is known"
    press(qtbot, "d")
    assert "At the bolt" in _words(page)


def test_another_figure_for_bolts_that_are_tight_is_asked_about(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    press(qtbot, K.Key_Space)
    press(qtbot, "f")
    figure = field(window.ask, "Figure")
    figure.setText("35 N·m")
    field(window.ask, "Where it is from").setText("Manual")
    push(qtbot, window.ask, "Keep")
    assert "Bolts were tightened by the figure before" in words(window.ask)
    push(qtbot, window.ask, "Keep")
    assert not window.ask.asking
    assert window.work is not None
    bounds = window.work.survey.bounds(window.work.build.by_id["first"])
    assert bounds is not None
    assert bounds.text == "35 N·m"
    assert "pass 1" in _words(page)


def test_the_lists_of_threads_and_strengths_offer_and_take_ones_own(window: MainWindow, qtbot: QtBot) -> None:
    _page(window, qtbot)
    press(qtbot, "j")
    strength = field(window.ask, "Marked on the head")
    for one, typed, offered in ((field(window.ask, "Thread"), "7/16", "7/16-20 UNF"), (strength, "a2", "A2-70")):
        known = one.completer()
        known.setCompletionPrefix(typed)
        found = [known.completionModel().index(n, 0).data() for n in range(known.completionCount())]
        assert offered in found
        assert "own" in one.placeholderText()
    field(window.ask, "Thread").setText("own 13.4x1.1 55°")
    strength.setText("190 ksi")
    field(window.ask, "Screws into").setText("240 MPa, the foundry's sheet")
    push(qtbot, window.ask, "Keep")
    assert window.work is not None
    said = joint_of(window.work.build, window.work.build.by_id["first"])
    assert said is not None
    assert (said.said("strength"), said.diameter_mm, said.tapped_mpa) == ("190 ksi", 13.4, 240)


def test_an_unknown_thread_is_refused_in_a_sentence_and_stays_typed(window: MainWindow, qtbot: QtBot) -> None:
    _page(window, qtbot)
    press(qtbot, "j", "M10x9")
    push(qtbot, window.ask, "Keep")
    assert window.ask.asking
    assert "M10" in words(window.ask)
    assert field(window.ask, "Thread").text() == "M10x9"


def test_the_wrench_and_adapter_say_what_to_set(window: MainWindow, qtbot: QtBot) -> None:
    _tool(window)
    page = _page(window, qtbot)
    press(qtbot, "t")
    choose(window.ask, "Wrench", "TW")
    field(window.ask, "Adapter, centre to centre").setText("50 mm")
    push(qtbot, window.ask, "Keep")
    beside = _words(page)
    assert "30 × 420 ÷ (420 + 50) = 26.81 N·m" in beside
    assert "27" in beside, "set to the wrench's own steps"
    press(qtbot, K.Key_Space)
    turn = _turns(window, "first")[1, "1"]
    assert (turn.wrench, turn.setting) == ("TW", "27 N·m")
    assert turn.torque_nm == pytest.approx(27 * 470 / 420, rel=0.005)


def test_figures_are_compared_in_this_joint(window: MainWindow, qtbot: QtBot) -> None:
    now = datetime.now(UTC)
    from app.assembly.plan.steps import Trust

    _do(window, a.OfferFigure("last", "60 ft-lb", "Engine maker's manual", Trust.MAKER, "MK", now, edition="2nd"))
    window.home.go_to_step("last")
    page = _page(window, qtbot)
    press(qtbot, "c")
    words = _words(page)
    assert "80 to 84 N·m" in words
    assert "60 ft-lb" in words
    assert "Engine maker's manual, 2nd" in words


def test_slackening_asks_why_and_begins_again(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    press(qtbot, K.Key_Space, K.Key_Space, "a", "washer missing", K.Key_Return)
    assert _turns(window, "first") == {}
    assert page.chosen == "1"
    window.workshops.undo()
    assert len(_turns(window, "first")) == 2


def test_a_line_without_bolts_says_so(open_window: Opener, workshop_folder: Path, qtbot: QtBot) -> None:
    other = open_window(workshop_folder)
    press(qtbot, "p")
    assert "tightens no bolts" in other.foot.message.text()


def test_every_control_of_the_page_has_a_name(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    for one in page.findChildren(QPushButton):
        assert one.text().strip()
    assert page.canvas.accessibleName()
    assert "Stud 1" in page.canvas.accessibleDescription()
    assert page.words.accessibleName()


def _choose(window: MainWindow, key: str, value: str) -> None:
    box = window.ask._inputs[key]
    box.setCurrentIndex(box.findData(value))  # type: ignore[union-attr]
    assert QApplication.focusWidget() is not None


def test_a_bolt_s_pass_and_setting_are_worked_out_once_for_a_key(window: MainWindow, qtbot: QtBot) -> None:
    _tool(window)
    page = _page(window, qtbot)
    press(qtbot, "t")
    _choose(window, "wrench", "TW")
    qtbot.mouseClick(window.ask._ok, Qt.MouseButton.LeftButton)
    with calls() as count:
        press(qtbot, K.Key_Space)
    assert _turns(window, "first")[1, "1"].torque == "30 N·m"
    assert (count(next_pass_of), count(tighten_view)) == (1, 1)
    assert page.coming["2"].the_pass.text == "30 N·m"


def test_what_a_bolt_came_to_says_at_once_what_it_is_taken_for(window: MainWindow, qtbot: QtBot) -> None:
    """1 lb ft is 1.3558 N·m (NIST SP 811, appendix B.8, from memory)."""
    _page(window, qtbot)
    press(qtbot, K.Key_Return, "22 ft-lb")
    assert "Torque it came to: 22 ft-lb = 29.8" in words(window.ask)
    press(qtbot, K.Key_Tab, "5 thou")
    assert "Stretch: 5 thou = 0.127 mm" in words(window.ask)
    press(qtbot, "x")
    assert "Stretch: “thoux” is not a unit of length" in words(window.ask)


def test_what_is_half_typed_of_a_bolt_stands_there_again(open_window: Opener, head_folder: Path, qtbot: QtBot) -> None:
    window = open_window(head_folder)
    _page(window, qtbot)
    press(qtbot, K.Key_Return, "29")
    window.close()
    again = open_window(head_folder)
    _page(again, qtbot)
    assert not again.ask.asking, "no question takes the keys by itself"
    press(qtbot, K.Key_Return)
    assert field(again.ask, "Torque it came to").text() == "29"
    press(qtbot, K.Key_Return)
    assert again.work is not None
    assert again.work.drafts == {}
    assert _turns(again, "first")[1, "1"].torque == "29"
