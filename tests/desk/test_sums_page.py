"""The sums in the window, by keys alone; what is typed stays."""

from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.desk.pages.sums_page import SumsPage
from app.desk.window import MainWindow
from tests.desk.conftest import Opener, press

Key = Qt.Key


@pytest.fixture
def page(qtbot: QtBot, window: MainWindow) -> SumsPage:
    """The sums, opened by their key."""
    qtbot.keyClick(window, Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    assert window.pages.shown() is window.pages.widget_of("sums", SumsPage)
    return window.pages.widget_of("sums", SumsPage)


def says(qtbot: QtBot, page: SumsPage, words: str) -> None:
    """Wait until the answer says so."""
    qtbot.waitUntil(lambda: words in page.answer.toPlainText(), timeout=3000)


def to_list(qtbot: QtBot, page: SumsPage) -> None:
    """Go on with Tab until the list has the hand."""
    for _ in range(20):
        if QApplication.focusWidget() is page.list:
            return
        press(qtbot, Key.Key_Tab)
    raise AssertionError("Tab never reaches the list")


def test_two_sums_by_keys_alone_and_what_was_typed_stays(qtbot: QtBot, page: SumsPage) -> None:
    press(qtbot, "60 N·m", Key.Key_Tab, "420 mm", Key.Key_Tab, "50 mm")
    says(qtbot, page, "53.6")
    to_list(qtbot, page)
    press(qtbot, Key.Key_Down, Key.Key_Return, "M10x1.5", Key.Key_Tab, "60 N·m")
    says(qtbot, page, "20.0 to 86.7 N·m")
    to_list(qtbot, page)
    press(qtbot, Key.Key_Up)
    says(qtbot, page, "53.6")
    assert page.form.typed()["lever"] == "420 mm"


def test_a_faulty_field_keeps_its_text_and_says_its_sentence(qtbot: QtBot, page: SumsPage) -> None:
    press(qtbot, "60 N·m", Key.Key_Tab, "long")
    says(qtbot, page, "Lever: ")
    assert page.form.typed()["lever"] == "long"
    press(qtbot, *[Key.Key_Backspace] * 4)
    says(qtbot, page, "Set the wrench to")


def test_what_is_missing_is_asked_for(qtbot: QtBot, page: SumsPage) -> None:
    says(qtbot, page, "Torque at the bolt: still to be given")


@pytest.mark.parametrize("key", ["shim", "valves", "pattern", "verdict"])
def test_each_example_is_answered(qtbot: QtBot, page: SumsPage, key: str) -> None:
    page.show_sum(key)
    page.form.fill_example()
    says(qtbot, page, "Where this is from")


def test_the_sums_need_no_workshop(qtbot: QtBot, open_window: Opener, tmp_path: Path) -> None:
    window = open_window(tmp_path / "nothing here")
    assert window.work is None
    window.pages.show_page("sums")
    press(qtbot, "60 N·m")
    says(qtbot, window.pages.widget_of("sums", SumsPage), "Set the wrench to")


def test_every_field_is_named(page: SumsPage) -> None:
    assert all(field.accessibleName() for field in page.form.inputs.values())


def test_while_a_sum_is_worked_no_older_answer_stands_there(qtbot: QtBot, window: MainWindow, page: SumsPage) -> None:
    press(qtbot, "60 N·m")
    says(qtbot, page, "60")
    free = Event()
    window.desk.background.run(lambda *_: free.wait(10), lambda _: None, lambda _: None)
    press(qtbot, Key.Key_Tab, "420 mm")
    says(qtbot, page, "Working it out")
    free.set()
    says(qtbot, page, "Set the wrench to")
