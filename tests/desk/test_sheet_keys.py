"""The sheet worked by keys alone."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.desk.pages.list_page import ListPage
from app.desk.widgets.value_field import ChoiceField, ValueField
from app.desk.window import MainWindow
from app.sheet.rows import GateRow, LineRow
from app.trade.verdict import Verdict
from tests.desk.conftest import Opener, fields, press, state, words

K = Qt.Key


def test_a_stage_is_walked_by_keys_alone(window: MainWindow, qtbot: QtBot) -> None:
    # Three stud holes ticked one by one, then the line itself.
    press(qtbot, K.Key_Space, K.Key_Space, K.Key_Space)
    assert state(window, "blow-dry") == "started"
    press(qtbot, K.Key_Space)
    assert state(window, "blow-dry") == "done"

    # A reading in another unit, judged, then signed off.
    press(qtbot, K.Key_Down, K.Key_Enter, "1 thou", K.Key_Return)
    assert _row(window).write_ins[0].value == "1 thou"
    assert _row(window).write_ins[0].verdict is Verdict.IN
    press(qtbot, K.Key_Space)
    assert state(window, "deck") == "done"

    # A figure left to the person: entered with its source, then four gaps in a row with Enter.
    press(qtbot, K.Key_Down, "f", "0.30 to 0.45 mm", K.Key_Tab, "Ring maker, sheet 2", K.Key_Return)
    assert window.work is not None
    assert window.work.build.facts.figures["gap"].source == "Ring maker, sheet 2"
    press(qtbot, K.Key_Return)
    for value in ("0.34", "0.36", "0.33 mm", "14 thou"):
        press(qtbot, value, K.Key_Return)
    assert [one.value for one in _row(window).write_ins] == ["0.34", "0.36", "0.33 mm", "14 thou"]
    press(qtbot, K.Key_Space)
    assert state(window, "gap") == "done"


def test_findings_are_chosen_by_keys(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("opens")
    press(qtbot, K.Key_Return)
    field = window.sheet.viewport().findChild(ChoiceField)
    assert field is not None
    assert field.text() == "", "nothing is chosen before somebody chooses"
    press(qtbot, K.Key_Down, K.Key_Down, K.Key_Return)
    assert window.work is not None
    assert window.work.build.facts.readings["opens"][("1", 1)].text == "oil"


def test_letters_mark_and_ask_for_what_they_demand(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gasket")
    press(qtbot, "l")
    assert window.ask.asking
    press(qtbot, K.Key_Return)
    assert "needs a why" in words(window.ask)
    assert state(window, "gasket") == "to-do"
    press(qtbot, "Gasket is on order", K.Key_Return)
    assert state(window, "gasket") == "later"
    assert not window.ask.asking
    assert QApplication.focusWidget() is window.sheet
    press(qtbot, "n", "Dry deck", K.Key_Return)
    assert state(window, "gasket") == "not-needed"
    press(qtbot, "u")
    assert state(window, "gasket") == "to-do"
    press(qtbot, "!", "Torn at cylinder 2", K.Key_Return)
    assert state(window, "gasket") == "stopped"


def test_what_was_typed_survives_a_refusal(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("deck")
    press(qtbot, "f", "0.05 furlongs", K.Key_Tab, "Manual", K.Key_Return)
    assert window.ask.asking
    typed = [one.text() for one in fields(window.ask)]
    assert typed == ["0.05 furlongs", "Manual", ""]
    assert "furlongs" in words(window.ask)


def test_a_hold_stops_what_comes_after_until_it_is_opened(window: MainWindow, qtbot: QtBot) -> None:
    window.home.go_to_step("fan")
    press(qtbot, K.Key_Space, K.Key_Space)
    assert state(window, "fan") == "started"
    assert "hold 1.06" in window.foot.message.text()
    window.home.go_to_step("feed")
    press(qtbot, K.Key_Space, K.Key_Space)
    window.home.go_to_step("fan")
    press(qtbot, K.Key_Space)
    assert state(window, "fan") == "done"


def test_marking_that_opens_other_lines_names_them_first(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.02", K.Key_Return, K.Key_Space)
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space, K.Key_Space)
    press(qtbot, "?", "Lifted to look", K.Key_Return)
    assert state(window, "deck") == "look-again"
    window.workshops.undo()
    assert state(window, "deck") == "done"
    assert state(window, "gasket") == "done"
    press(qtbot, "u")
    assert window.ask.asking
    assert "1.02" in words(window.ask)
    press(qtbot, K.Key_Escape)
    assert state(window, "gasket") == "done"
    press(qtbot, "u", K.Key_Return)
    assert (state(window, "gasket"), state(window, "deck")) == ("to-do", "look-again")


def test_what_was_read_before_it_was_disturbed_is_shown_as_old_and_read_anew(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.02", K.Key_Return, K.Key_Space)
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space, K.Key_Space)
    press(qtbot, "?", "Lifted to look", K.Key_Return)
    window.sheet.go_to("deck")
    (old,) = _row(window).write_ins
    assert (old.value, old.old, old.verdict) == ("0.02", True, None), "it stands as what was, not as a judged value"
    press(qtbot, K.Key_Space)
    assert state(window, "deck") == "look-again", "the old value does not sign it off"
    press(qtbot, K.Key_Escape, K.Key_Return)
    assert window.sheet.draft == "", "it is measured anew, not confirmed with a key"
    press(qtbot, "0.03", K.Key_Return, K.Key_Space)
    (new,) = _row(window).write_ins
    assert (new.value, new.old, new.verdict) == ("0.03", False, Verdict.IN)
    assert state(window, "deck") == "done"


def test_arrows_run_on_from_stage_to_stage(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.last()
    assert isinstance(window.sheet.row, GateRow)
    press(qtbot, K.Key_Down)
    assert window.sheet.here == "covers"
    press(qtbot, K.Key_Up)
    assert window.sheet.here == "gate:close-top"


def test_go_to_a_line_by_number_or_words(window: MainWindow, qtbot: QtBot) -> None:
    press(qtbot, "g", "2.2", K.Key_Return)
    assert window.sheet.here == "fan"
    press(qtbot, "g", "ring gap", K.Key_Return)
    assert window.sheet.here == "gap"
    press(qtbot, "g", "no such words", K.Key_Return)
    assert window.ask.asking


def test_single_letters_can_be_turned_off(window: MainWindow, qtbot: QtBot) -> None:
    window.menus.letters.trigger()
    press(qtbot, "l")
    assert not window.ask.asking


def test_letters_act_nowhere_but_on_the_sheet(window: MainWindow, qtbot: QtBot) -> None:
    window.pages.show_page("ready")
    press(qtbot, "l")
    assert not window.ask.asking
    assert window.pages.shown() is window.pages.widget_of("ready", ListPage)


def test_initials_are_asked_once_and_the_mark_goes_on(open_window: Opener, workshop_folder: Path, qtbot: QtBot) -> None:
    window = open_window(workshop_folder)
    assert window.work is not None
    window.work.keep_initials("")
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space)
    assert window.ask.asking
    press(qtbot, "JT", K.Key_Return)
    assert state(window, "gasket") == "started"
    assert window.work.build.facts.lines["gasket"].by == "JT"


def test_esc_leaves_a_value_and_nothing_is_written(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.0", K.Key_Escape)
    assert window.sheet.viewport().findChild(ValueField) is None or not window.sheet.draft
    assert window.work is not None
    assert "deck" not in window.work.build.facts.readings or not window.work.build.facts.readings["deck"]


def test_undo_and_redo_work_across_a_restart(open_window: Opener, workshop_folder: Path, qtbot: QtBot) -> None:
    window = open_window(workshop_folder)
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space, K.Key_Space)
    window.close()
    again = open_window(workshop_folder)
    assert state(again, "gasket") == "done"
    again.workshops.undo()
    assert state(again, "gasket") == "started"
    again.close()
    third = open_window(workshop_folder)
    third.workshops.undo()
    assert state(third, "gasket") == "to-do"
    third.workshops.redo()
    third.workshops.redo()
    assert state(third, "gasket") == "done"


def _row(window: MainWindow) -> LineRow:
    row = window.sheet.row
    assert isinstance(row, LineRow)
    return row
