"""A figure entered in the window: what it leaves unsaid is asked once, with what the trade offers."""

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.desk.window import MainWindow
from app.sheet.rows import LineRow
from app.trade.verdict import Verdict
from tests.desk.conftest import choices, choose, press, words

K = Qt.Key


def _verdicts(window: MainWindow, step: str) -> list[Verdict]:
    assert window.work is not None
    return [one.verdict for one in window.work.survey.judged(window.work.build.by_id[step])]


def test_a_single_figure_asks_for_its_width_and_offers_what_the_trade_gives(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gap")
    press(qtbot, "f", "14 thou", K.Key_Tab, "Ring maker, sheet 2", K.Key_Return)
    assert "14 thou is a single figure" in words(window.ask)
    offered = choices(window.ask, "Still right is")
    assert [offered.itemData(n) for n in range(offered.count())] == ["blade", "blade 2", ""]
    assert "13.5 to 14.5 thou" in offered.itemText(0)
    press(qtbot, K.Key_Return)
    assert not window.ask.asking
    press(qtbot, K.Key_Return, "14.2", K.Key_Return, "15", K.Key_Return)
    assert _verdicts(window, "gap") == [Verdict.IN, Verdict.OUT]


def test_a_width_left_open_stays_open_and_is_asked_again(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gap")
    press(qtbot, "f", "14 thou", K.Key_Tab, "Ring maker", K.Key_Return, K.Key_Escape)
    press(qtbot, K.Key_Return, "14.2", K.Key_Return, K.Key_Escape)
    assert _verdicts(window, "gap") == [Verdict.UNDECIDED]
    press(qtbot, "f", K.Key_Return)
    assert "is a single figure" in words(window.ask)


def test_a_width_in_ones_own_words_that_is_none_stays_to_be_mended(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gap")
    press(qtbot, "f", "14 thou", K.Key_Tab, "Ring maker", K.Key_Return)
    press(qtbot, K.Key_Tab, "about right", K.Key_Return)
    assert window.ask.asking
    assert "about right" in words(window.ask)


def test_how_a_line_is_read_is_asked_at_its_first_value_and_only_then(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gap")
    press(qtbot, "f", "0.30 to 0.45 mm cold", K.Key_Tab, "Ring maker", K.Key_Return)
    press(qtbot, K.Key_Return, "0.34", K.Key_Return)
    assert "how is it read?" in words(window.ask)
    assert _verdicts(window, "gap") == [Verdict.UNDECIDED]
    press(qtbot, "cold", K.Key_Return)
    assert _verdicts(window, "gap") == [Verdict.IN]
    press(qtbot, K.Key_Return, "0.36", K.Key_Return)
    assert not window.ask.asking
    assert _verdicts(window, "gap") == [Verdict.IN, Verdict.IN]


def test_units_of_ones_own_stand_on_every_line_at_once(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gap")
    assert window.work is not None
    window.desk.marking.ask_units()
    choose(window.ask, "Units", "inch")
    press(qtbot, K.Key_Return)
    row = window.sheet.row
    assert isinstance(row, LineRow)
    assert {one.unit for one in row.write_ins} == {"in"}
