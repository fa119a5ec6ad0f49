"""Readings typed into the grid: by keys alone, pasted, asked about, and judged at once."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from app.assembly.said import actions as a
from app.desk.places.grid_page import MeasurePage
from app.desk.window import MainWindow
from app.sheet.grid import GridCell
from app.store.workshop import Workshop
from app.trade.verdict import Verdict
from tests.desk.conftest import PLAN, Opener, choose, field, fields, press, push, state, words
from tests.workshops import JUST_NOW, put_workshop

K = Qt.Key
BEARINGS = PLAN.replace(
    """[[stages.steps]]
id = "opens\"""",
    """[[stages.steps]]
id = "mains"
do = "Measure main bearing clearance"
places = "mains"
spec = { kind = "length", limits = "0.04 to 0.07 mm", unit = "mm", source = "practice" }
measure = { points = ["bore", "journal"], result = "clearance", how = "difference" }

[[stages.steps]]
id = "opens\"""",
)


@pytest.fixture
def bearing_folder(tmp_path: Path) -> Path:
    """A workshop with one build that has a bearing set to measure."""
    return put_workshop(tmp_path / "bearings", plan=BEARINGS, build="Grey four", by="MK", made=JUST_NOW, initials="MK")


@pytest.fixture
def window(open_window: Opener, bearing_folder: Path) -> MainWindow:
    """The window on it."""
    return open_window(bearing_folder)


def _page(window: MainWindow, qtbot: QtBot, line: str) -> MeasurePage:
    window.home.go_to_step(line)
    press(qtbot, "p")
    assert window.pages.shown() is window.pages.widget_of("grid", MeasurePage)
    return window.pages.widget_of("grid", MeasurePage)


def _cells(page: MeasurePage) -> dict[tuple[str, str], GridCell]:
    """Every cell by its row and column."""
    view = page.view
    assert view is not None
    return {
        (row.title, column): cell
        for row in view.rows
        for column, cell in zip(view.columns, row.cells, strict=True)
        if cell is not None
    }


def test_a_bearing_set_is_measured_by_keys_alone(window: MainWindow, qtbot: QtBot, bearing_folder: Path) -> None:
    page = _page(window, qtbot, "mains")
    for bore, journal in (("60.05", "60.00"), ("60.055", "59.995"), ("60.06", "60.005")):
        press(qtbot, bore, K.Key_Return, journal, K.Key_Return)
    cells = _cells(page)
    assert cells["Clearance", "Main 1"].text == "0.05 mm"
    assert cells["Clearance", "Main 2"].words == "60.055 - 59.995 = 0.06 mm, 0.04 to 0.07 mm wanted"
    assert [cells["Clearance", f"Main {n}"].verdict for n in (1, 2, 3)] == [Verdict.IN] * 3
    press(qtbot, K.Key_Space)
    assert state(window, "mains") == "done"
    assert window.sheet.hasFocus()
    window.close()
    with Workshop.open_at(bearing_folder, now=datetime.now(UTC)) as workshop:
        assert len(workshop.load(1).facts.readings["mains"]) == 6


def test_the_grid_is_shaped_like_the_engine(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "gap")
    view = page.view
    assert view is not None
    assert view.columns == ("Cylinder 1", "Cylinder 2", "Cylinder 3", "Cylinder 4")
    assert len(view.rows) == 1


def test_each_cell_is_judged_at_once_by_shape_word_and_colour(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "mains")
    press(qtbot, "60.20", K.Key_Return, "60.00", K.Key_Return)
    cell = _cells(page)["Clearance", "Main 1"]
    assert (cell.text, cell.verdict) == ("0.20 mm", Verdict.OUT)
    assert page.table.grid.data(page.table.grid.index(2, 0), Qt.ItemDataRole.AccessibleTextRole) == (
        "Main 1 clearance, 0.20 mm, Out"
    )
    press(qtbot, K.Key_Space)
    assert state(window, "mains") == "started"
    assert "write the value" in window.foot.message.text()


def test_what_is_worked_out_cannot_be_typed_into(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "mains")
    page.table.setCurrentIndex(page.table.grid.index(2, 0))
    press(qtbot, "9")
    assert page.table.findChild(QLineEdit) is None
    assert page.table.currentIndex() == page.table.grid.index(2, 0), "the hand stays"
    assert "Main 1 clearance is worked out from what is read" in window.foot.message.text()
    assert not page.table.grid.setData(page.table.grid.index(2, 0), "9")


def test_no_key_looks_for_a_cell_that_begins_so(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "mains")
    press(qtbot, "9.05", K.Key_Return, "9.00", K.Key_Return)
    page.table.setCurrentIndex(page.table.grid.index(2, 0))
    for modifier in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.GroupSwitchModifier):
        qtbot.keyClick(page.table, K.Key_9, modifier)
        assert page.table.currentIndex() == page.table.grid.index(2, 0)


def test_a_value_that_cannot_be_read_stays_in_its_cell(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "mains")
    press(qtbot, "60 furlongs", K.Key_Return)
    index = page.table.grid.index(0, 0)
    assert "furlongs" in words(page.table)
    press(qtbot, K.Key_Down)
    assert page.table.grid.data(index) == "60 furlongs"
    assert window.work is not None
    assert "mains" not in window.work.build.facts.readings
    page.table.setCurrentIndex(index)
    press(qtbot, K.Key_Return)
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit)
    assert field.text() == "60 furlongs"
    field.clear()
    press(qtbot, "60.05", K.Key_Return)
    assert _cells(page)["Bore", "Main 1"].text == "60.05"


def test_a_block_is_pasted_from_a_table(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "mains")
    QApplication.clipboard().setText("60.05\t60.055\t60.06\n60.00\t59.995\t60.005\n")
    qtbot.keyClick(page.table, K.Key_V, Qt.KeyboardModifier.ControlModifier)
    cells = _cells(page)
    assert [cells["Clearance", f"Main {n}"].text for n in (1, 2, 3)] == ["0.05 mm", "0.06 mm", "0.055 mm"]


def test_a_value_far_from_its_neighbours_is_asked_about(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "gap")
    press(qtbot, "0.34", K.Key_Return, "0.36", K.Key_Return, "3.5", K.Key_Return)
    assert window.ask.asking
    assert "no size for this on any engine" in words(window.ask)
    assert window.work is not None
    assert ("3", 1) not in window.work.build.facts.readings["gap"]
    fields(window.ask)[0].setText("0.35")
    press(qtbot, K.Key_Return)
    assert window.work.build.facts.readings["gap"]["3", 1].text == "0.35"
    assert page.table.hasFocus()


def test_it_is_kept_as_it_is_when_it_is_so(window: MainWindow, qtbot: QtBot) -> None:
    _page(window, qtbot, "gap")
    press(qtbot, "0.34", K.Key_Return, "0.36", K.Key_Return, "3.5", K.Key_Return, K.Key_Return)
    assert window.work is not None
    assert window.work.build.facts.readings["gap"]["3", 1].text == "3.5"


def test_a_gauge_in_doubt_cannot_decide_near_a_limit(window: MainWindow, qtbot: QtBot) -> None:
    now = datetime.now(UTC)
    assert window.work is not None
    window.work.do(a.KeepTool("BG", "bore gauge", "MK", now, checked=now, doubt="± 0.01 mm"))
    page = _page(window, qtbot, "mains")
    press(qtbot, "k")
    choose(window.ask, "Gauge", "BG")
    push(qtbot, window.ask, "Keep")
    assert "bore gauge, ± 0.01 mm" in words(page)
    assert "coarse" in page.words.toPlainText(), "said before measuring, with what would do"
    press(qtbot, "60.065", K.Key_Return, "60.00", K.Key_Return)
    cell = _cells(page)["Clearance", "Main 1"]
    assert cell.verdict is Verdict.UNDECIDED
    page.table.setCurrentIndex(page.table.grid.index(2, 0))
    press(qtbot, "d")
    assert "% that it is within its limits" in page.words.toPlainText()


def test_a_reading_from_last_week_keeps_its_day_and_its_warmth(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "gap")
    press(qtbot, "k")
    field(window.ask, "Part and gauge are at").setText("12 °C")
    field(window.ask, "Read on, if not now").setText("2026-03-14 19:30")
    push(qtbot, window.ask, "Keep")
    press(qtbot, "0.34", K.Key_Return)
    assert window.work is not None
    reading = window.work.build.facts.readings["gap"]["1", 1]
    assert reading.celsius == 12.0
    assert reading.at.astimezone().strftime("%Y-%m-%d %H:%M") == "2026-03-14 19:30"
    assert "at 12 °C" in words(page)


def test_rounds_stand_below_each_other(open_window: Opener, bearing_folder: Path, qtbot: QtBot) -> None:
    other = open_window(bearing_folder)
    page = _page(other, qtbot, "mains")
    assert page.view is not None
    assert [row.title for row in page.view.rows] == ["Bore", "Journal", "Clearance"]


def test_every_cell_is_large_enough_and_has_a_name(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "mains")
    assert page.table.rowHeight(0) >= 44
    assert page.table.columnWidth(0) >= 44
    for cell in _cells(page).values():
        assert cell.spoken
    assert page.table.accessibleName()
    assert all(one.text().strip() for one in page.findChildren(QPushButton))


def test_another_round_is_begun_once_all_before_it_are_read(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot, "gap")
    press(qtbot, "r")
    assert "Cylinder 1 is still to be read, and 3 more" in window.foot.message.text()
    for text in ("0.34", "0.35", "0.36", "0.37"):
        press(qtbot, text, K.Key_Return)
    push(qtbot, page, "Another round")
    assert page.view is not None
    assert [row.title for row in page.view.rows] == ["Round 1", "Round 2"]
    for text in ("0.33", "0.34"):
        press(qtbot, text, K.Key_Return)
    assert window.work is not None
    written = window.work.build.facts.readings["gap"]
    assert {key: one.text for key, one in written.items() if key[1] == 2} == {("1", 2): "0.33", ("2", 2): "0.34"}
    assert len(page.view.rows) == 2, "no third round is begun by itself"
    assert not window.work.survey.unread(window.work.build.by_id["gap"]), "what the plan wants is there"
