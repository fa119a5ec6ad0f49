"""The window: gates, loose ends, remembering, looks, printing, and what it never does."""

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLineEdit,
    QPushButton,
    QWidget,
)
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from app.assembly.said.actions import EnterFigure, MarkLine, SayPart, TakeReading
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.desk import settings as settings_file
from app.desk.pages.gate_page import GatePage
from app.desk.pages.list_page import ListPage
from app.desk.pages.new_build import NewBuildPage
from app.desk.pages.print_page import OPEN, RECORD, WHOLE, PrintPage
from app.desk.window import MainWindow
from app.desk.work import clock
from app.sheet.draw.tokens import Distance
from app.sheet.rows import GateRow
from app.store.database import FILE
from app.store.workshop import Workshop
from tests.desk.conftest import Opener, button, choices, field, fields, listed, press, push, state, words

K = Qt.Key
DESK = Path(__file__).parents[2] / "app" / "desk"


def _fill_in(window: MainWindow, *steps: str) -> None:
    """Write what these lines ask for and mark them Done."""
    work = window.work
    assert work is not None
    values = {"deck": "0.01 mm", "gap": "0.40 mm", "opens": "nothing"}
    if "gap" in steps:
        work.do(EnterFigure("gap", "0.30 to 0.45 mm", "Ring maker", "MK", work.now()))
    for step in steps:
        line = work.build.by_id[step]
        for place in line.places if line.reads else ():
            work.do(TakeReading(step, place.id, values[step], "MK", work.now()))
        assert work.do(MarkLine(step, State.DONE, "MK", work.now(), together=True)), step


def _rows(window: MainWindow) -> list[object]:
    """The rows of the sheet as it is shown."""
    model = window.sheet.model()
    return [model.index(number, 0).data(Qt.ItemDataRole.UserRole) for number in range(model.rowCount())]


# --- gates and loose ends


def test_a_shut_gate_names_what_holds_it_and_opens_only_in_writing(window: MainWindow, qtbot: QtBot) -> None:
    _fill_in(window, "deck", "gap", "opens", "gasket")
    window.pages.show_page("gate", "close-top")
    rows = listed(window.pages.widget_of("gate", GatePage)).model_.rows
    assert [row.number for row in rows] == ["1.01", "1.06"]
    assert not button(window.pages.widget_of("gate", GatePage), "Go through the gate").isVisible()
    push(qtbot, window.pages.widget_of("gate", GatePage), "Go on anyway")
    assert not button(window.pages.widget_of("gate", GatePage), "Go through, in writing").isEnabled()
    first, second = fields(window.pages.widget_of("gate", GatePage))
    first.setFocus()
    press(qtbot, "Blown dry at the machine shop")
    second.setFocus()
    press(qtbot, "Feed seen open, no oil on hand")
    assert button(window.pages.widget_of("gate", GatePage), "Go through, in writing").isEnabled()
    push(qtbot, window.pages.widget_of("gate", GatePage), "Go through, in writing")
    assert window.work is not None
    assert window.work.standing("close-top").passed
    window.home.show_stage(1)
    bar = next(row for row in _rows(window) if isinstance(row, GateRow))
    assert bar.in_writing
    assert {end.rule for end in window.work.ends} >= {"concession-open"}


def test_a_ready_gate_is_passed_by_keys(window: MainWindow, qtbot: QtBot) -> None:
    _fill_in(window, "blow-dry", "deck", "gap", "opens", "gasket", "feed")
    assert window.work is not None
    window.sheet.go_to("gate:close-top")
    press(qtbot, K.Key_Return)
    assert QApplication.focusWidget() is button(window.pages.widget_of("gate", GatePage), "Go through the gate")
    press(qtbot, K.Key_Space)
    assert window.work.standing("close-top").passed


def test_a_loose_end_leads_to_its_line(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    window.work.do(MarkLine("gasket", State.DONE, "MK", window.work.now()))
    qtbot.mouseClick(window.foot.ends, Qt.MouseButton.LeftButton)
    page = window.pages.widget_of("ends", ListPage).list
    row = next(n for n, one in enumerate(page.model_.rows) if one.key == "deck")
    qtbot.mouseClick(page.viewport(), Qt.MouseButton.LeftButton, pos=page.visualRect(page.model_.index(row)).center())
    assert window.pages.shown() is window.home
    assert window.sheet.here == "deck"


def test_the_ready_page_says_what_the_rest_waits_for(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    window.work.do(SayPart("gasket", Holding.ON_ORDER, "MK", window.work.now()))
    window.pages.show_page("ready")
    rows = {row.key: row.spoken for row in window.pages.widget_of("ready", ListPage).list.model_.rows}
    assert "Head gasket, on order" in rows["gasket"]
    assert "hold 1.06" in rows["covers"]
    assert "figure" in rows["gap"]


def test_the_logbook_tells_what_was_done(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space)
    window.pages.show_page("log")
    said = [row.spoken for row in window.pages.widget_of("log", ListPage).list.model_.rows]
    assert any("Lay the head gasket" in one and "Started" in one and "MK" in one for one in said)


# --- making and opening


def test_a_build_is_made_in_the_window(window: MainWindow, qtbot: QtBot) -> None:
    window.pages.show_page("new")
    page = window.pages.widget_of("new", NewBuildPage)
    press(qtbot, K.Key_Return)
    assert "still being read" in words(page)
    qtbot.waitUntil(lambda: choices(page, "Plan").count() > 1, timeout=20_000)
    press(qtbot, K.Key_Return)
    assert "name" in words(page)
    field(page, "Name of the build").setFocus()
    press(qtbot, "Hill climb four", K.Key_Return)
    assert window.work is not None
    assert window.work.build.name == "Hill climb four"
    assert len(window.work.build.lines) >= 70
    assert window.desk.at_hand.workshop is not None
    assert {one.name for one in window.desk.at_hand.workshop.builds()} == {"Grey four", "Hill climb four"}


def test_a_second_window_on_the_same_workshop_is_told_clearly(
    window: MainWindow, open_window: Opener, workshop_folder: Path
) -> None:
    second = open_window(workshop_folder)
    assert second.work is None
    assert "open in another window" in second.foot.message.text()


@pytest.mark.parametrize("case", ["missing", "not ours", "corrupt"])
def test_a_folder_that_is_no_workshop_is_refused_in_a_sentence(open_window: Opener, tmp_path: Path, case: str) -> None:
    folder = tmp_path / "somewhere"
    if case != "missing":
        folder.mkdir()
        (folder / FILE).write_bytes(b"" if case == "not ours" else b"garbage" * 1000)
    window = open_window(folder)
    assert window.work is None
    assert str(folder) in window.foot.message.text()


# --- remembering


def test_the_hand_comes_back_with_its_scroll_and_half_typed_value(
    open_window: Opener, workshop_folder: Path, qtbot: QtBot
) -> None:
    window = open_window(workshop_folder)
    window.resize(1000, 500)
    window.sheet.go_to("gap", "3")
    press(qtbot, K.Key_Return, "0.3")
    scroll = window.sheet.verticalScrollBar().value()
    assert scroll > 0
    window.close()
    again = open_window(workshop_folder)
    assert (again.sheet.here, again.sheet.place) == ("gap", "3")
    assert again.sheet.draft == "", "no field takes the keys by itself"
    assert again.work is not None
    assert again.work.drafts == {("gap", "3", 1): "0.3"}
    assert again.sheet.verticalScrollBar().value() == scroll


def test_a_window_kept_on_a_screen_that_is_gone_comes_back(open_window: Opener, workshop_folder: Path) -> None:
    window = open_window(workshop_folder)
    window.move(9999, 9999)
    window.close()
    again = open_window(workshop_folder)
    room = QApplication.primaryScreen().availableGeometry()
    assert room.intersects(again.frameGeometry())


def test_every_acknowledged_mark_is_there_after_a_kill(workshop_folder: Path, tmp_path: Path) -> None:
    script = f"""
import sys
from pathlib import Path
from PySide6.QtTest import QTest
from PySide6.QtCore import Qt
from app.desk import settings
from app.desk.main import make_application, make_theme
from app.desk.pages.gate_page import GatePage
from app.desk.pages.list_page import ListPage
from app.desk.pages.new_build import NewBuildPage
from app.desk.pages.print_page import PrintPage
from app.desk.window import MainWindow
from app.desk.work import clock
application = make_application(["test"])
chosen = settings.Settings()
window = MainWindow(make_theme(application, chosen), chosen, Path({str(tmp_path / "config")!r}))
window.show()
window.workshops.open_workshop(Path({str(workshop_folder)!r}))
window.sheet.go_to("blow-dry")
for number in range(3):
    QTest.keyClick(window.sheet, Qt.Key.Key_Space)
    print(len(window.work.build.facts.ticks["blow-dry"]), flush=True)
window.sheet.go_to("gap", "2")
QTest.keyClick(window.sheet, Qt.Key.Key_Space)
print("marked", flush=True)
application.exec()
"""
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(DESK.parents[1])}
    with subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, text=True, env=environment
    ) as program:
        assert program.stdout is not None
        lines = [program.stdout.readline().strip() for _ in range(4)]
        program.send_signal(signal.SIGKILL)
    assert lines == ["1", "2", "3", "marked"]
    with Workshop.open_at(workshop_folder, now=clock()) as workshop:
        build = workshop.load(1)
        assert len(build.facts.ticks["blow-dry"]) == 3
        assert build.facts.lines["gap"].state is State.STARTED
        arrow = workshop.arrow(build)
        assert arrow is not None
        assert (arrow.line, arrow.place) == ("gap", "2")
        assert all(one.ok for one in workshop.health())


# --- looks


def test_f9_flips_light_and_dark(window: MainWindow, qtbot: QtBot) -> None:
    before = window.desk.theme.dark
    window.looks.flip()
    QApplication.processEvents()
    assert window.desk.theme.dark is not before
    ground = window.grab().toImage().pixelColor(5, 400)
    assert (ground.lightness() < 128) is window.desk.theme.dark


@pytest.mark.parametrize("distance", list(Distance))
@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080), (900, 600)])
def test_the_sheet_never_scrolls_sideways(
    open_window: Opener, workshop_folder: Path, distance: Distance, size: tuple[int, int]
) -> None:
    window = open_window(workshop_folder, settings_file.Settings(distance=distance.name))
    window.resize(*size)
    QApplication.processEvents()
    assert window.sheet.horizontalScrollBar().maximum() == 0
    assert window.sheet.viewport().width() > 300


def test_every_control_has_a_name_for_a_screen_reader(window: MainWindow) -> None:
    for key in ("new", "print", "ends", "ready", "log"):
        window.pages.show_page(key)
    window.pages.show_page("builds")
    window.pages.show_page("gate", "close-top")
    window.pages.show_home()
    window.sheet.go_to("deck")
    window.sheet.write_here()
    kinds = (QAbstractButton, QLineEdit, QComboBox, QAbstractItemView)
    nameless = [
        widget
        for widget in window.findChildren(QWidget)
        if isinstance(widget, kinds)
        and not _inside_combo(widget)
        and not (widget.accessibleName() or (isinstance(widget, QAbstractButton) and widget.text()))
    ]
    assert nameless == []


def test_a_row_is_said_with_its_number_kind_and_state(window: MainWindow) -> None:
    model = window.sheet.model()
    said = [model.index(n, 0).data(Qt.ItemDataRole.AccessibleTextRole) for n in range(model.rowCount())]
    assert "line 1.06, Hold, To do, See oil out of the feed hole" in said


def test_pressed_targets_are_large_enough(window: MainWindow) -> None:
    small = [
        button.text()
        for button in window.findChildren(QPushButton)
        if button.isVisible() and (button.height() < 24 or button.width() < 24)
    ]
    assert small == []


def test_models_keep_to_what_qt_asks_of_them(window: MainWindow, qtmodeltester: ModelTester) -> None:
    window.pages.show_page("ends")
    for model in (
        window.sheet.model(),
        window.home.strip.model(),
        window.pages.widget_of("ends", ListPage).list.model_,
    ):
        qtmodeltester.check(model)


# --- what it never does


def test_nothing_opens_a_dialog_by_itself() -> None:
    for path in DESK.glob("*.py"):
        text = path.read_text("utf-8")
        allowed = 1 if path.name == "main.py" else 0  # the program's own event loop
        assert len(re.findall(r"\.exec\(", text)) == allowed, path.name


# --- printing


@pytest.mark.parametrize(
    ("what", "words"), [(WHOLE, "Blow the stud holes dry"), (OPEN, "Fit the fan"), (RECORD, "Grey four")]
)
def test_printing_runs_beside_the_window_and_says_where_the_file_is(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, what: int, words: str
) -> None:
    window.pages.show_page("print")
    window.pages.widget_of("print", PrintPage).choose(what)
    target = tmp_path / "out.pdf"
    window.pages.widget_of("print", PrintPage).write(target)
    qtbot.waitUntil(lambda: "written" in window.foot.message.text(), timeout=20_000)
    text = "".join(page.extract_text() for page in PdfReader(target).pages)
    assert words in text


def test_a_file_that_cannot_be_written_is_said_in_a_sentence(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    window.pages.show_page("print")
    window.pages.widget_of("print", PrintPage).write(tmp_path / "no such folder" / "out.pdf")
    qtbot.waitUntil(lambda: window.foot.message.text() not in ("", "Writing out.pdf …"), timeout=20_000)
    assert "no such folder" in window.foot.message.text()
    assert state(window, "gasket") == "to-do"


def _inside_combo(widget: QWidget) -> bool:
    parent = widget.parentWidget()
    while parent is not None:
        if isinstance(parent, QComboBox):
            return True
        parent = parent.parentWidget()
    return "qt_" in widget.objectName()
