"""A window on a small build of our own, worked with real keys and a real mouse."""

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.desk import settings as settings_file
from app.desk.main import WheelGuard, make_theme
from app.desk.pages.list_page import RowList
from app.desk.sheet.layout import RowLayout, lay_out
from app.desk.sheet.view import SheetView
from app.desk.theme import load_fonts
from app.desk.window import MainWindow
from app.sheet.rows import LineRow
from tests.workshops import JUST_NOW, put_workshop

PLAN = """
format = 1
id = "small"
title = "Small four"
edition = "1"
summary = "For tests"

[arrangement]
layout = "inline"
cylinders = 4
firing_order = [1, 3, 4, 2]
mains = 3
crankpins = 4
cam_journals = 3

[[sources]]
id = "practice"
title = "General practice"
trust = "general practice"

[[groups]]
id = "studs"
title = "Head stud holes"
count = 3
each = "Stud"

[[gates]]
id = "close-top"
letter = "A"
title = "Close the top"
after = "head"
means = "The head goes on for good"
harm = "Coolant in the oil"

[[stages]]
id = "head"
title = "Head"

[[stages.steps]]
id = "blow-dry"
do = "Blow the stud holes dry"
note = "A cloth on a wire comes out dry"
places = "studs"
gate = "close-top"
harm = "A cracked casting"

[[stages.steps]]
id = "deck"
do = "Write deck flatness"
spec = { kind = "length", limits = "at most 0.05 mm", unit = "mm", source = "practice" }

[[stages.steps]]
id = "gap"
do = "Write each ring gap"
places = "cylinders"
spec = { kind = "length", unit = "mm" }

[[stages.steps]]
id = "opens"
do = "Write what each hole opens to"
places = "studs"
spec = { kind = "choice", choices = ["nothing", "oil", "coolant", "unknown"] }

[[stages.steps]]
id = "gasket"
do = "Lay the head gasket"
once = true
parts = [{ id = "gasket", name = "Head gasket", one_use = true, fit = "final" }]
undoing_disturbs = ["deck"]

[[stages.steps]]
id = "feed"
do = "See oil out of the feed hole"
hold = true
harm = "Dry rockers"
gate = "close-top"

[[stages]]
id = "outside"
title = "Outside"

[[stages.steps]]
id = "covers"
do = "Fit the valve covers"
act = "close-top"

[[stages.steps]]
id = "fan"
do = "Fit the fan"
"""

Opener = Callable[..., MainWindow]


@pytest.fixture
def workshop_folder(tmp_path: Path) -> Path:
    """A workshop with one build “Grey four” made from the small plan."""
    return put_workshop(tmp_path / "workshop", plan=PLAN, build="Grey four", by="MK", made=JUST_NOW, initials="MK")


@pytest.fixture
def open_window(qtbot: QtBot, qapp: QApplication, tmp_path: Path) -> Iterator[Opener]:
    """Opens windows on a workshop as the program does, and closes what a test leaves open."""
    load_fonts()
    guard = WheelGuard(qapp)
    qapp.installEventFilter(guard)
    opened: list[MainWindow] = []

    def opener(folder: Path, settings: settings_file.Settings | None = None) -> MainWindow:
        chosen = settings or settings_file.Settings(theme="light")
        window = MainWindow(make_theme(qapp, chosen), chosen, tmp_path / "config")
        window.show()
        qtbot.waitExposed(window)
        window.workshops.open_workshop(folder)
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        window.sheet.setFocus()
        opened.append(window)
        return window

    yield opener
    for window in opened:
        window.close()
        window.deleteLater()
    qapp.removeEventFilter(guard)
    guard.deleteLater()
    qapp.processEvents()


@pytest.fixture
def window(open_window: Opener, workshop_folder: Path) -> MainWindow:
    """The window on the small build."""
    return open_window(workshop_folder)


def press(qtbot: QtBot, *keys: Qt.Key | str) -> None:
    """Press keys, or type text, into whatever has the focus."""
    for key in keys:
        target = QApplication.focusWidget()
        assert target is not None, "nothing has the focus"
        if isinstance(key, str):
            qtbot.keyClicks(target, key)
        else:
            qtbot.keyClick(target, key)


def words(widget: QWidget) -> str:
    """All that the labels in a widget say."""
    return " ".join(label.text() for label in widget.findChildren(QLabel) if not label.isHidden())


def fields(widget: QWidget) -> list[QLineEdit]:
    """The fields to be written in, in their order."""
    return [field for field in widget.findChildren(QLineEdit) if field.isVisible() and field.accessibleName()]


def field(widget: QWidget, label: str) -> QLineEdit:
    """The field under this label."""
    return next(one for one in fields(widget) if one.accessibleName() == label)


def choices(widget: QWidget, label: str) -> QComboBox:
    """The list to choose from under this label."""
    found = (one for one in widget.findChildren(QComboBox) if one.isVisible())
    return next(one for one in found if one.accessibleName() == label)


def choose(widget: QWidget, label: str, key: str) -> None:
    """Choose from the list under a label, by the key of the choice."""
    box = choices(widget, label)
    assert box.findData(key) >= 0, f"{label} does not offer {key}"
    box.setCurrentIndex(box.findData(key))


def button(widget: QWidget, text: str) -> QPushButton:
    """The button whose text begins so."""
    return next(one for one in widget.findChildren(QPushButton) if one.text().startswith(text))


def push(qtbot: QtBot, widget: QWidget, text: str) -> None:
    """Press the button whose text begins so."""
    qtbot.mouseClick(button(widget, text), Qt.MouseButton.LeftButton)


def listed(widget: QWidget | None) -> RowList:
    """The list on a page."""
    found = widget.findChild(RowList) if widget is not None else None
    assert isinstance(found, RowList)
    return found


def click_box(qtbot: QtBot, sheet: SheetView, step: str) -> None:
    """Press the box of a line with the mouse."""
    rect, layout = _laid_out(sheet, step)
    qtbot.mouseClick(sheet.viewport(), Qt.MouseButton.LeftButton, pos=rect + layout.box.center().toPoint())


def click_cell(qtbot: QtBot, sheet: SheetView, step: str, number: int) -> None:
    """Press a small box or write-in of a line with the mouse."""
    corner, layout = _laid_out(sheet, step)
    at = corner + layout.cells[number].rect.center().toPoint()
    qtbot.mouseClick(sheet.viewport(), Qt.MouseButton.LeftButton, pos=at)


def _laid_out(sheet: SheetView, step: str) -> tuple[QPoint, RowLayout]:
    model = sheet.model()
    for number in range(model.rowCount()):
        index = model.index(number, 0)
        row = index.data(Qt.ItemDataRole.UserRole)
        if isinstance(row, LineRow) and row.id == step:
            sheet.scrollTo(index)
            return sheet.visualRect(index).topLeft(), lay_out(row, sheet.viewport().width(), 1.0)
    raise AssertionError(f"{step} is not on this stage")


def state(window: MainWindow, step: str) -> str:
    """What a line stands at."""
    assert window.work is not None
    return window.work.survey.state(window.work.build.by_id[step]).value


@contextmanager
def calls() -> Iterator[Callable[[Callable[..., object]], int]]:
    """Counts the calls of every function meanwhile; gives how many a function had."""
    counted: Counter[object] = Counter()

    def count(frame: FrameType, event: str, _arg: object) -> None:
        if event == "call":
            counted[frame.f_code] += 1

    sys.setprofile(count)
    try:
        yield lambda function: counted[function.__code__]
    finally:
        sys.setprofile(None)
