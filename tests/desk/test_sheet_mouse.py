"""The sheet worked with the mouse."""

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QComboBox
from pytestqt.qtbot import QtBot

from app.desk.pages.gate_page import GatePage
from app.desk.widgets.value_field import ValueField
from app.desk.window import MainWindow
from tests.desk.conftest import choices, click_box, click_cell, press, state


def test_the_box_goes_from_mark_to_mark(window: MainWindow, qtbot: QtBot) -> None:
    click_box(qtbot, window.sheet, "gasket")
    assert state(window, "gasket") == "started"
    click_box(qtbot, window.sheet, "gasket")
    assert state(window, "gasket") == "done"


def test_small_boxes_tick_and_untick(window: MainWindow, qtbot: QtBot) -> None:
    click_cell(qtbot, window.sheet, "blow-dry", 1)
    assert window.work is not None
    assert set(window.work.build.facts.ticks["blow-dry"]) == {"2"}
    click_cell(qtbot, window.sheet, "blow-dry", 1)
    assert "blow-dry" not in window.work.build.facts.ticks


def test_a_write_in_opens_where_it_was_pressed(window: MainWindow, qtbot: QtBot) -> None:
    click_cell(qtbot, window.sheet, "gap", 2)
    press(qtbot, "0.4 mm", Qt.Key.Key_Return)
    assert window.work is not None
    assert set(window.work.build.facts.readings["gap"]) == {("3", 1)}


def test_a_refused_box_says_why_in_the_foot(window: MainWindow, qtbot: QtBot) -> None:
    click_box(qtbot, window.sheet, "blow-dry")
    click_box(qtbot, window.sheet, "blow-dry")
    assert state(window, "blow-dry") == "started"
    assert "3 of 3 boxes open" in window.foot.message.text()


def test_the_wheel_never_changes_a_value(window: MainWindow, qtbot: QtBot) -> None:
    press(qtbot, "x")
    field = choices(window.ask, "Where")
    for focused in (True, False):
        (field if focused else window.home.strip).setFocus()
        before = field.currentIndex()
        _wheel(field)
        assert field.currentIndex() == before


def test_a_gate_bar_and_the_strip_lead_to_their_pages(window: MainWindow, qtbot: QtBot) -> None:
    window.home.strip.setFocus()
    model = window.home.strip.model()
    gate = next(
        model.index(n, 0)
        for n in range(model.rowCount())
        if "gate" in model.index(n, 0).data(Qt.ItemDataRole.DisplayRole)
    )
    qtbot.mouseClick(
        window.home.strip.viewport(), Qt.MouseButton.LeftButton, pos=window.home.strip.visualRect(gate).center()
    )
    assert window.pages.shown() is window.pages.widget_of("gate", GatePage)
    press(qtbot, Qt.Key.Key_Escape)
    assert window.pages.shown() is window.home


def test_nothing_is_half_written_when_another_line_is_pressed(window: MainWindow, qtbot: QtBot) -> None:
    click_cell(qtbot, window.sheet, "gap", 0)
    press(qtbot, "0.3")
    field = window.sheet.viewport().findChild(ValueField)
    assert field is not None
    assert window.sheet.draft == "0.3"


def _wheel(widget: QComboBox) -> None:
    centre = QPointF(widget.rect().center())
    event = QWheelEvent(
        centre,
        QPointF(widget.mapToGlobal(centre.toPoint())),
        QPoint(0, -120),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)
