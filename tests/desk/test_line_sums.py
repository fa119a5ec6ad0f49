"""The sum that goes with a line: opened by a key with what the line knows, and left again to the line."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit
from pytestqt.qtbot import QtBot

from app.desk.pages.sums_page import SumsPage
from app.desk.places.grid_page import MeasurePage
from app.desk.places.lash_page import LashPage
from app.desk.window import MainWindow
from tests.desk.conftest import PLAN, Opener, press
from tests.workshops import JUST_NOW, put_workshop

K = Qt.Key
STEPS = """[[stages.steps]]
id = "clearance"
do = "Read bore and journal"
places = "mains"
spec = { kind = "length", unit = "mm", limits = "0.04 to 0.07 mm", source = "practice" }
measure = { points = ["bore", "journal"], result = "clearance", how = "difference", sum = "shells" }

[[stages.steps]]
id = "lash"
do = "Read lash"
places = "valves"
spec = { kind = "length", unit = "mm", limits = "0.2 to 0.3 mm", source = "practice" }
measure = { heat = "cold", adjuster = "shim" }

[[stages.steps]]
id = "free"
do = "Read the room"
spec = { kind = "length", unit = "mm", limits = "0.2 to 0.3 mm", source = "practice" }

[[stages.steps]]
id = "opens\""""


@pytest.fixture
def window(open_window: Opener, tmp_path: Path) -> MainWindow:
    """A window on a plan with a bearing line, a shimmed lash line and a plain one."""
    counts = "cam_journals = 3\nintake_per_cylinder = 1\nexhaust_per_cylinder = 1"
    plan = PLAN.replace('[[stages.steps]]\nid = "opens"', STEPS, 1).replace("cam_journals = 3", counts)
    folder = put_workshop(tmp_path / "sums", plan=plan, build="Grey four", by="MK", made=JUST_NOW, initials="MK")
    return open_window(folder)


def _text(window: MainWindow, key: str) -> str:
    field = window.pages.widget_of("sums", SumsPage).form.inputs[key]
    assert isinstance(field, QLineEdit | QPlainTextEdit)
    return field.text() if isinstance(field, QLineEdit) else field.toPlainText()


def test_a_clearance_goes_to_the_shells_and_esc_comes_back(window: MainWindow, qtbot: QtBot) -> None:
    window.home.go_to_step("clearance")
    press(qtbot, "p", "54.08 mm", K.Key_Return, "54.00 mm", K.Key_Return)
    press(qtbot, "s")
    assert window.pages.shown() is window.pages.widget_of("sums", SumsPage)
    assert window.pages.widget_of("sums", SumsPage).form.sum.id == "shells"
    assert (_text(window, "now"), _text(window, "band")) == ("1 0.08 mm", "0.04 to 0.07 mm")
    press(qtbot, K.Key_Escape)
    assert window.pages.shown() is window.pages.widget_of("grid", MeasurePage)
    press(qtbot, K.Key_Escape)
    assert window.pages.shown() is not window.pages.widget_of("grid", MeasurePage)


def test_what_was_typed_into_a_sum_stays_when_a_line_fills_it(window: MainWindow, qtbot: QtBot) -> None:
    window.home.go_to_step("clearance")
    press(qtbot, "p", "54.08 mm", K.Key_Return, "54.00 mm", K.Key_Return, "s")
    band = window.pages.widget_of("sums", SumsPage).form.inputs["band"]
    assert isinstance(band, QLineEdit)
    band.setText("0.03 to 0.05 mm")
    press(qtbot, K.Key_Escape, "54.09 mm", K.Key_Return, "54.00 mm", K.Key_Return)
    window.desk.show_sum_of_line()
    assert _text(window, "band") == "0.03 to 0.05 mm"
    assert _text(window, "now") == "1 0.08 mm; 2 0.09 mm", "what came from the line follows the line"


def test_shims_are_asked_for_valve_by_valve(window: MainWindow, qtbot: QtBot) -> None:
    window.home.go_to_step("lash")
    press(qtbot, "p", "0.35 mm", K.Key_Return, "s")
    assert window.pages.widget_of("sums", SumsPage).form.sum.id == "shim"
    assert _text(window, "valves").endswith("? 0.35 mm")
    press(qtbot, K.Key_Escape)
    assert window.pages.shown() is window.pages.widget_of("lash", LashPage)


def test_a_line_without_a_sum_offers_none(window: MainWindow, qtbot: QtBot) -> None:
    window.home.go_to_step("free")
    press(qtbot, "p")
    assert window.pages.shown() is window.pages.widget_of("grid", MeasurePage)
    press(qtbot, "s")
    assert window.pages.shown() is window.pages.widget_of("grid", MeasurePage)


def test_from_the_menu_esc_goes_to_the_sheet(window: MainWindow, qtbot: QtBot) -> None:
    window.home.go_to_step("clearance")
    window.pages.show_page("sums")
    press(qtbot, K.Key_Escape)
    assert window.pages.shown() is not window.pages.widget_of("sums", SumsPage)
    assert "measure_page" not in vars(window)
