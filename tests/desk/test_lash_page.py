"""Lash set in the window by keys alone, stop by stop, on eight valves and on sixteen."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from app.assembly.said import actions as a
from app.desk.places.grid_page import MeasurePage
from app.desk.places.lash_page import LashPage
from app.desk.window import MainWindow
from app.store.workshop import Workshop
from app.trade.verdict import Verdict
from tests.desk.conftest import PLAN, Opener, press, state, words
from tests.workshops import JUST_NOW, put_workshop

K = Qt.Key
LASH = """[[stages.steps]]
id = "lash"
do = "Set lash at each valve"
places = "valves"
spec = { kind = "length", limits = "in: 0.22 to 0.28 mm; ex: 0.27 to 0.33 mm", unit = "mm", source = "practice" }
measure = { heat = "cold", adjuster = "screw" }

[[stages.steps]]
id = "opens\""""


def _folder(tmp_path: Path, valves: int) -> Path:
    counts = f"cam_journals = 3\nintake_per_cylinder = {valves}\nexhaust_per_cylinder = {valves}"
    plan = PLAN.replace('[[stages.steps]]\nid = "opens"', LASH).replace("cam_journals = 3", counts)
    return put_workshop(
        tmp_path / f"lash {valves}", plan=plan, build="Grey four", by="MK", made=JUST_NOW, initials="MK"
    )


def _page(window: MainWindow, qtbot: QtBot) -> LashPage:
    window.home.go_to_step("lash")
    press(qtbot, "p")
    assert window.pages.shown() is window.pages.widget_of("lash", LashPage)
    return window.pages.widget_of("lash", LashPage)


@pytest.mark.parametrize(("each", "valves"), [(1, 8), (2, 16)])
def test_a_whole_lash_set_is_done_by_keys_alone(
    open_window: Opener, tmp_path: Path, qtbot: QtBot, each: int, valves: int
) -> None:
    folder = _folder(tmp_path, each)
    window = open_window(folder)
    page = _page(window, qtbot)
    for stop in range(2):
        assert page.view is not None
        assert page.view.stop == stop
        for valve in page.view.offered:
            assert page.chosen == valve, "the hand goes on to the next valve of this stop"
            press(qtbot, "0.25 mm" if valve.startswith("in") else "0.30 mm", K.Key_Return)
        if stop == 0:
            press(qtbot, K.Key_Return)  # an empty field: on to the next stop
    assert page.view is not None
    assert page.view.count == f"{valves} of {valves}"
    press(qtbot, K.Key_Space)
    assert state(window, "lash") == "done"
    window.close()
    with Workshop.open_at(folder, now=datetime.now(UTC)) as workshop:
        readings = workshop.load(1).facts.readings["lash"]
        assert len(readings) == valves
        assert {one.text for (place, _), one in readings.items() if place.startswith("ex")} == {"0.30 mm"}


@pytest.fixture
def window(open_window: Opener, tmp_path: Path) -> MainWindow:
    """The window on eight valves."""
    return open_window(_folder(tmp_path, 1))


def test_the_next_stop_is_a_turn_away_the_way_it_runs(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert page.view is not None
    assert "one full turn, the way it runs, to stop 2" in page.view.then
    press(qtbot, K.Key_PageDown)
    assert page.view.stop == 1
    assert page.view.theta_deg - 360 == pytest.approx(0, abs=180)
    press(qtbot, K.Key_PageUp)
    assert page.view.stop == 0


def test_each_kind_of_valve_is_judged_by_its_own_figure(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    press(qtbot, "0.25 mm", K.Key_Return)
    while not page.chosen.startswith("ex"):
        press(qtbot, K.Key_Down)
    press(qtbot, "0.25 mm", K.Key_Return)
    assert page.view is not None
    verdicts = {row.key[:2]: row.verdict for row in page.view.rows if row.value}
    assert verdicts == {"in": Verdict.IN, "ex": Verdict.OUT}


def test_a_value_that_cannot_be_read_stays_in_the_field(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    press(qtbot, "0.25 ells", K.Key_Return)
    assert page.field.text() == "0.25 ells"
    assert "ells" in words(page)


def test_blades_that_go_and_do_not(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    first = page.chosen
    press(qtbot, "0.23 goes, 0.27 does not", K.Key_Return)
    assert window.work is not None
    assert window.work.build.facts.readings["lash"][first, 1].doubt == pytest.approx(0.02)


def test_the_cam_is_said_by_keys_and_the_stops_follow(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert "general cam" in page.words.toPlainText()
    press(qtbot, "c", "15°", K.Key_Return, "50°", K.Key_Return, "50°", K.Key_Return, "15°", K.Key_Return)
    assert not window.ask.asking
    assert "Intake opens 15° before" in page.words.toPlainText()


def test_pressing_a_valve_of_this_stop_takes_it_in_hand(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    drawn = page.map.drawn
    assert drawn is not None
    assert page.view is not None
    for key, wanted in ((page.view.offered[-1], page.view.offered[-1]), (_elsewhere(page), page.view.offered[-1])):
        target = next(one for one in drawn.targets if one.key == key)
        at = QPoint(round((target.left + target.right) / 2) + 5, round((target.top + target.bottom) / 2) + 5)
        qtbot.mouseClick(page.map, Qt.MouseButton.LeftButton, pos=at)
        assert page.chosen == wanted


def _elsewhere(page: LashPage) -> str:
    assert page.view is not None
    return next(row.key for row in page.view.rows if not row.offered)


def test_how_lash_went_on_the_other_lines_stands_beside_the_valve(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert window.work is not None
    now = datetime.now(UTC)
    window.work.do(a.SayCam({"ivo": "15°", "ivc": "50°", "evo": "50°", "evc": "15°", "pitch": "1 mm"}, "MK", now))
    press(qtbot, "0.35 mm", K.Key_Return, K.Key_Up)
    words = page.words.toPlainText()
    assert "0.10 mm too much against 0.25 mm" in words
    assert "in at the screw" in words


def test_the_same_line_as_a_grid(window: MainWindow, qtbot: QtBot) -> None:
    _page(window, qtbot)
    press(qtbot, "g")
    page = window.pages.widget_of("grid", MeasurePage)
    assert window.pages.shown() is page
    assert page.view is not None
    assert {row.title for row in page.view.rows} == {"Intake", "Exhaust"}


def test_what_it_is_read_with_and_when_holds_on_this_page_too(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    first = page.chosen
    press(qtbot, "k")
    assert window.ask.asking
    press(qtbot, K.Key_Tab, "21 °C", K.Key_Tab, "2026-03-14 19:30", K.Key_Return)
    press(qtbot, "0.25 mm", K.Key_Return)
    assert window.work is not None
    reading = window.work.build.facts.readings["lash"][first, 1]
    assert reading.celsius == 21
    assert f"{reading.at.astimezone():%Y-%m-%d %H:%M}" == "2026-03-14 19:30"


def test_a_lash_ten_times_the_others_is_asked_about(window: MainWindow, qtbot: QtBot) -> None:
    page = _page(window, qtbot)
    assert page.view is not None
    for _ in page.view.offered:
        press(qtbot, "0.27 mm", K.Key_Return)
    press(qtbot, K.Key_Return)  # on to the next stop
    odd = page.chosen
    press(qtbot, "2.7 mm", K.Key_Return)
    assert window.ask.asking
    assert window.work is not None
    assert (odd, 1) not in window.work.build.facts.readings["lash"]
    press(qtbot, K.Key_Return)
    assert window.work.build.facts.readings["lash"][odd, 1].text == "2.7 mm"
    assert page.field.text() == ""


@pytest.mark.parametrize("each", [1, 2])
@pytest.mark.parametrize("size", [(1366, 768), (1000, 620)])
def test_the_map_fits_the_room_there_is_and_is_pressed_where_it_is_drawn(
    open_window: Opener, tmp_path: Path, qtbot: QtBot, each: int, size: tuple[int, int]
) -> None:
    """Sixteen valves on a small laptop, with a question open below: nothing is cut off and nothing fails to draw."""
    window = open_window(_folder(tmp_path, each))
    window.resize(*size)
    page = _page(window, qtbot)
    press(qtbot, "c")
    assert window.ask.asking
    page.grab()
    press(qtbot, K.Key_Escape)
    drawn = page.map.drawn
    assert drawn is not None
    assert page.view is not None
    last = page.view.offered[-1]
    target = next(one for one in drawn.targets if one.key == last)
    left, top, scale = page.map.placed(drawn)
    assert top + drawn.height * scale <= page.map.height() + 1
    at = QPoint(
        round(left + (target.left + target.right) / 2 * scale), round(top + (target.top + target.bottom) / 2 * scale)
    )
    qtbot.mouseClick(page.map, Qt.MouseButton.LeftButton, pos=at)
    assert page.chosen == last


def test_each_value_says_at_once_what_it_is_taken_for(open_window: Opener, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(_folder(tmp_path, 1))
    page = _page(window, qtbot)
    press(qtbot, "12 thou")
    assert "12 thou = 0.3048 mm: Out, 0.22 to 0.28 mm" in words(page)
    page.field.clear()
    press(qtbot, "0.25 goes, 0.30 does not")
    assert "between the two: 0.275 mm ± 0.025 mm" in words(page)
    page.field.clear()
    press(qtbot, "0.30 goes, 0.25 does not")
    assert "thinner" in words(page)


def test_what_is_half_typed_of_a_valve_comes_back_at_that_valve(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    folder = _folder(tmp_path, 1)
    window = open_window(folder)
    page = _page(window, qtbot)
    first = page.chosen
    press(qtbot, "0.2", K.Key_Down)
    assert page.chosen != first
    assert page.field.text() == ""
    assert "Half typed, not kept: 1 intake 0.2" in words(page)
    press(qtbot, K.Key_Return)
    assert window.work is not None
    assert "lash" not in window.work.build.facts.readings, "Enter at another valve keeps nothing"
    press(qtbot, K.Key_Up)
    assert page.field.text() == "0.2"
    press(qtbot, K.Key_Escape)
    assert window.pages.shown() is window.home
    window.close()
    again = open_window(folder)
    assert again.work is not None
    assert again.work.drafts == {("lash", first, 1): "0.2"}
    page = _page(again, qtbot)
    assert (page.chosen, page.field.text()) == (first, "0.2")
    press(qtbot, "0.27", K.Key_Return)
    assert again.work.drafts == {}
    assert again.work.build.facts.readings["lash"][first, 1].text == "0.27"
