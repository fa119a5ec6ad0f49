"""Writing at places, wherever they are shown: one way to type, to choose, to leave and to come back."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from app.assembly.make import make_blank
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.standing.entry_places import Form, entry_places
from app.desk.page_stack import KINDS
from app.desk.places.grid_page import MeasurePage
from app.desk.widgets.value_field import ChoiceField, ValueField
from app.desk.window import MainWindow
from app.paper.traveller.lines import line_group
from app.sheet.rows import LineRow, line_row
from app.store.workshop import Workshop
from tests.cases.story import PLANS, SHIPPED, shipped
from tests.desk.conftest import PLAN, Opener, click_cell, listed, press, words
from tests.plans import good_value
from tests.workshops import JUST_NOW, put_workshop

K = Qt.Key
M = Qt.KeyboardModifier


def shipped_folder(folder: Path, name: str, options: dict[str, str] | None = None) -> Path:
    """A workshop with a build of a shipped plan, every line that reads in hand."""
    now = datetime.now(UTC)
    with Workshop.create(folder, name="Garage", now=now) as workshop:
        text = (PLANS / f"{name}.toml").read_text(encoding="utf-8")
        workshop.make_build("Grey four", make_blank(shipped(name), options or {}), text, by="MK", now=now)
        workshop.keep_initials("MK")
        build = workshop.load(1)
        mark = Mark(State.STARTED, "MK", now)
        begun = [Entry(EventName.BEGUN, Subject(MARK, line.id), None, mark) for line in build.lines if line.reads]
        workshop.commit(build, Deed(Verb.MARK, "MK", now, tuple(begun)), now=now)
    return folder


def readings(window: MainWindow, step: str) -> dict[tuple[str, int], str]:
    """What is written on a line."""
    assert window.work is not None
    return {key: one.text for key, one in window.work.build.facts.readings.get(step, {}).items()}


def open_field(widget: QWidget) -> ValueField | None:
    """The field that is open in a widget."""
    return next((one for one in widget.findChildren(ValueField) if one.isVisible()), None)


# --- every line can be answered


@pytest.mark.parametrize("name", SHIPPED)
def test_each_line_of_many_places_opens_where_it_is_written(
    open_window: Opener, tmp_path: Path, qtbot: QtBot, name: str
) -> None:
    window = open_window(shipped_folder(tmp_path / "garage", name))
    assert window.work is not None
    for line in [one for one in window.work.build.lines if one.reads]:
        window.home.go_to_step(line.id)
        row = window.sheet.row
        assert isinstance(row, LineRow)
        if not row.in_grid:
            continue
        press(qtbot, K.Key_Return)
        page = window.pages.shown()
        assert page is not window.home, f"{line.number} has no way in"
        if isinstance(page, MeasurePage):
            press(qtbot, K.Key_Return)
            field = open_field(page)
            assert field is not None, line.number
            assert field.hasFocus()
            assert isinstance(field, ChoiceField) is (entry_places(window.work.survey, line)[0].form is Form.CHOICE)
        window.pages.show_home()


SHAPES = [
    ("four-ohc", "identify-engine"),  # words in a cell
    ("four-ohc", "slacken-head"),  # words of a list in cells
    ("four-ohc", "holes-open-into"),  # words of a list in the grid
    ("v8-ohv", "pushrod-length"),  # words in the grid
    ("four-ohc", "prime-pressure"),  # a size in a cell
    ("v8-ohv", "measure-bores"),  # sizes in the grid
]


# Such as their lines have, so that nothing is asked.
SIZES = {"prime-pressure": "350", "measure-bores": "101.5"}


@pytest.mark.parametrize(("name", "step"), SHAPES, ids=[step for _, step in SHAPES])
def test_a_line_of_each_shape_is_answered_by_keys_alone(
    open_window: Opener, tmp_path: Path, qtbot: QtBot, name: str, step: str
) -> None:
    window = open_window(shipped_folder(tmp_path / "garage", name))
    work = window.work
    assert work is not None
    line = work.build.by_id[step]
    asked = entry_places(work.survey, line)
    window.home.go_to_step(step)
    press(qtbot, K.Key_Return)
    wanted = good_value(work.survey, line) if asked[0].form is not Form.VALUE else SIZES[step]
    first = True
    for _ in asked[:3]:
        if open_field(window) is None:
            press(qtbot, K.Key_Return)
        press(qtbot, wanted[0] if first and asked[0].form is Form.CHOICE else wanted)
        first = False
        press(qtbot, K.Key_Return)
    found = readings(window, step)
    assert len(found) == min(3, len(asked))
    assert set(found.values()) == {wanted}


def test_a_word_is_taken_from_the_list_with_the_mouse(open_window: Opener, tmp_path: Path, qtbot: QtBot) -> None:
    window = open_window(shipped_folder(tmp_path / "garage", "four-ohc"))
    window.home.go_to_step("holes-open-into")
    press(qtbot, K.Key_Return)
    page = window.pages.widget_of("grid", MeasurePage)
    cell = page.table.visualRect(page.table.grid.index(2, 0)).center()
    qtbot.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    assert open_field(page) is None, "a press takes the cell in hand"
    qtbot.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=cell)
    field = open_field(page)
    assert isinstance(field, ChoiceField)
    item = field.list.visualItemRect(field.list.item(1)).center()
    qtbot.mouseClick(field.list.viewport(), Qt.MouseButton.LeftButton, pos=item)
    assert list(readings(window, "holes-open-into").values()) == ["oil"]


# --- a choice starts unknown


def test_nothing_is_chosen_before_somebody_chooses(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("opens")
    press(qtbot, K.Key_Return)
    field = open_field(window.sheet)
    assert isinstance(field, ChoiceField)
    assert (field.text(), field.list.currentRow()) == ("", -1)
    press(qtbot, K.Key_Return)
    assert readings(window, "opens") == {}


def test_a_word_that_is_not_on_the_list_is_refused_in_a_sentence(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("opens")
    press(qtbot, K.Key_Return, "odd", K.Key_Return)
    assert readings(window, "opens") == {}
    field = open_field(window.sheet)
    assert field is not None
    assert field.text() == "odd", "what was typed stays"
    assert "“odd” is none of nothing, oil, coolant, unknown." in words(window.sheet.viewport())
    field.clear()
    press(qtbot, "coo")
    assert "coolant" in words(window.sheet.viewport())
    press(qtbot, K.Key_Return)
    assert readings(window, "opens") == {("1", 1): "coolant"}


@pytest.mark.parametrize("how", ["close", "tray", "line", "page", "other window"])
@pytest.mark.parametrize(("step", "typed"), [("opens", "coo"), ("gap", "0.3")])
def test_leaving_a_field_records_nothing_and_throws_nothing_away(
    open_window: Opener, workshop_folder: Path, qtbot: QtBot, how: str, step: str, typed: str
) -> None:
    window = open_window(workshop_folder)
    assert window.work is not None
    window.sheet.go_to(step)
    press(qtbot, K.Key_Return, typed)
    match how:
        case "tray":
            window.home.tray.setFocus()
        case "line":
            window.sheet.go_to("gasket")
        case "page":
            window.pages.show_page("ends")
            window.pages.show_home()
        case "other window":
            other = QWidget()
            qtbot.addWidget(other)
            other.show()
            other.activateWindow()
            window.activateWindow()
    if how != "close":
        assert readings(window, step) == {}
        assert window.work.drafts == {(step, "1", 1): typed}
    window.close()
    again = open_window(workshop_folder)
    assert readings(again, step) == {}
    assert again.work is not None
    assert again.work.drafts == {(step, "1", 1): typed}


# --- drafts


def test_what_is_half_typed_comes_back_in_its_own_place_and_round(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    plan = PLAN.replace(
        'spec = { kind = "length", unit = "mm" }', 'spec = { kind = "length", unit = "mm", rounds = 2 }'
    )
    folder = put_workshop(tmp_path / "twice", plan=plan, build="Grey", by="MK", made=JUST_NOW, initials="MK")
    window = open_window(folder)
    click_cell(qtbot, window.sheet, "gap", 6)
    press(qtbot, "0.3")
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.0")
    window.close()
    again = open_window(folder)
    assert again.work is not None
    assert again.work.drafts == {("gap", "3", 2): "0.3", ("deck", "engine", 1): "0.0"}
    assert open_field(again) is None, "no field takes the keys by itself"
    click_cell(qtbot, again.sheet, "gap", 6)
    field = open_field(again.sheet)
    assert field is not None
    assert field.text() == "0.3"
    assert "0.3 mm" in words(again.sheet.viewport())


def test_enter_elsewhere_never_makes_a_reading_of_it(open_window: Opener, workshop_folder: Path, qtbot: QtBot) -> None:
    window = open_window(workshop_folder)
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.0")
    window.close()
    again = open_window(workshop_folder)
    press(qtbot, K.Key_Return)
    assert readings(again, "deck") == {}, "the first Enter only opens it"
    press(qtbot, K.Key_Return)
    assert readings(again, "deck") == {("engine", 1): "0.0"}
    assert again.work is not None
    assert again.work.drafts == {}


def test_esc_throws_away_and_only_esc(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.0", K.Key_Down)
    assert window.work is not None
    assert window.work.drafts == {("deck", "engine", 1): "0.0"}
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, K.Key_Escape)
    assert window.work.drafts == {}


def test_a_value_waits_for_the_initials_and_is_not_lost_without_them(
    open_window: Opener, workshop_folder: Path, qtbot: QtBot
) -> None:
    window = open_window(workshop_folder)
    assert window.work is not None
    window.work.keep_initials("")
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.02", K.Key_Return)
    assert window.ask.asking
    press(qtbot, K.Key_Escape)
    assert window.work.drafts == {("deck", "engine", 1): "0.02"}


def test_a_draft_in_the_grid_stands_in_its_cell_and_on_the_sheet(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    folder = shipped_folder(tmp_path / "garage", "v8-ohv")
    window = open_window(folder)
    window.home.go_to_step("measure-bores")
    press(qtbot, K.Key_Return, "63.5", K.Key_Escape)
    assert window.work is not None
    assert window.work.drafts == {}, "Esc throws away"
    press(qtbot, "63.5")
    window.pages.show_home()
    window.close()
    again = open_window(folder)
    assert again.work is not None
    assert list(again.work.drafts.values()) == ["63.5"]
    assert again.sheet.here == "measure-bores"
    press(qtbot, "p")
    page = again.pages.widget_of("grid", MeasurePage)
    assert open_field(page) is None
    assert page.table.grid.data(page.table.grid.index(0, 0)) == "63.5"
    assert readings(again, "measure-bores") == {}


def test_the_grid_says_at_once_what_a_value_is_taken_for(open_window: Opener, tmp_path: Path, qtbot: QtBot) -> None:
    plan = PLAN.replace(
        'places = "cylinders"\nspec = { kind', 'places = "cylinders"\nspec = { limits = "0.3 to 0.4 mm", kind'
    )
    folder = put_workshop(tmp_path / "judged", plan=plan, build="Grey", by="MK", made=JUST_NOW, initials="MK")
    window = open_window(folder)
    window.sheet.go_to("gap")
    press(qtbot, "p", "12 thou")
    page = window.pages.widget_of("grid", MeasurePage)
    assert "12 thou = 0.3048 mm: In, 0.30 to 0.40 mm" in words(page.table)


# --- what cannot be written yet says so


def test_a_line_that_cannot_be_begun_opens_no_field_and_says_why(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    plan = PLAN.replace('do = "Write deck flatness"', 'do = "Write deck flatness"\nneeds = ["blow-dry"]').replace(
        'do = "Write each ring gap"', 'do = "Write each ring gap"\nneeds = ["blow-dry"]'
    )
    folder = put_workshop(tmp_path / "waits", plan=plan, build="Grey", by="MK", made=JUST_NOW, initials="MK")
    window = open_window(folder)
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return)
    assert open_field(window) is None
    assert "1.02 cannot be begun yet: it waits for 1.01 Blow the stud holes dry." in window.foot.message.text()
    window.home.go_to_step("gap")
    press(qtbot, "p", "0")
    page = window.pages.widget_of("grid", MeasurePage)
    assert open_field(page) is None
    assert "1.03 cannot be begun yet" in window.foot.message.text()


# --- keys

MODIFIERS = [M.NoModifier, M.ShiftModifier, M.ControlModifier, M.AltModifier, M.MetaModifier, M.KeypadModifier]
CLOSES = (K.Key_Return, K.Key_Enter, K.Key_Tab, K.Key_Backtab, K.Key_Escape, K.Key_Up, K.Key_Down)


def strike(widget: QWidget, key: Qt.Key, modifier: Qt.KeyboardModifier) -> None:
    """A key as it comes to a widget once no shortcut has taken it."""
    text = chr(key) if 32 <= key < 256 and modifier in (M.NoModifier, M.ShiftModifier) else ""
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        QApplication.sendEvent(widget, QKeyEvent(kind, key, modifier, text))


@pytest.fixture
def beyond(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The keys that come through to the window behind the pages; its menus' own keys are off meanwhile."""
    seen: list[int] = []
    for action in window.findChildren(QAction):
        action.setEnabled(False)
    monkeypatch.setattr(type(window), "keyPressEvent", lambda _window, event: seen.append(event.key()))
    return seen


def _opened(window: MainWindow, qtbot: QtBot, where: str) -> QLineEdit:
    window.pages.show_home()
    window.sheet.go_to({"cell": "deck", "grid": "gap"}.get(where, "opens"))
    if where.startswith("grid"):
        window.pages.show_page("grid")
    press(qtbot, K.Key_Return)
    field = open_field(window.pages.shown())
    assert field is not None
    return field


@pytest.mark.parametrize("where", ["cell", "choice", "grid", "grid of words"])
def test_every_key_goes_to_the_open_field_and_nowhere_else(
    window: MainWindow, qtbot: QtBot, beyond: list[int], where: str
) -> None:
    assert window.work is not None
    before = window.work.build.number
    for modifier in MODIFIERS:
        for key in Qt.Key:
            field = open_field(window.pages.shown()) or _opened(window, qtbot, where)
            strike(field, key, modifier)
            if field is open_field(window.pages.shown()):
                field.clear()
            else:
                assert key in CLOSES, f"{key} with {modifier} closes the field"
    assert window.work.build.number == before, "nothing was typed, so nothing is written"
    assert beyond == [], "what the field does not use goes nowhere"


@pytest.mark.parametrize("where", ["cell", "grid"])
def test_a_key_that_comes_to_the_view_behind_an_open_field_is_the_field_s(
    window: MainWindow, qtbot: QtBot, beyond: list[int], where: str
) -> None:
    """It did so where a key was struck while the field was being opened; Shift then went round until all fell over."""
    _opened(window, qtbot, where)
    view = window.sheet if where == "cell" else window.pages.widget_of("grid", MeasurePage).table
    for key in (K.Key_Shift, K.Key_Control, K.Key_Alt, K.Key_CapsLock, K.Key_F13, K.Key_Left):
        for modifier in MODIFIERS:
            strike(view, key, modifier)
    assert open_field(view) is not None
    assert beyond == []


def test_every_key_can_be_struck_in_every_field_of_every_page(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(shipped_folder(tmp_path / "garage", "four-ohv", {"lifters": "flat-solid"}))
    for page, step in [*((key, "set-lash") for key in KINDS if key != "gate"), ("bolts", "torque-head-last")]:
        window.home.go_to_step(step)
        if not window.pages.show_page(page):
            continue
        found = [one for one in window.pages.shown().findChildren(QLineEdit) if one.isVisible()]
        for field in found:
            for modifier in (M.NoModifier, M.ShiftModifier):
                for key in Qt.Key:
                    if key not in CLOSES and isValid(field) and field.isVisible():
                        strike(field, key, modifier)
        window.ask.leave()
        window.pages.show_home()
    assert window.isVisible()


# --- read back whole


def test_long_words_take_the_width_they_need_and_stand_whole_in_the_tray(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(shipped_folder(tmp_path / "garage", "four-ohc"))
    long = "Number 0 317 442 B on the pad behind the alternator, stamped by hand over an older one that is ground off"
    window.home.go_to_step("identify-engine")
    narrow = _cell_width(window)
    press(qtbot, K.Key_Return, long, K.Key_Return)
    window.home.go_to_step("identify-engine")
    assert readings(window, "identify-engine").popitem()[1] == long
    assert _cell_width(window) > 2 * narrow
    assert long in window.home.tray.toPlainText()


def _cell_width(window: MainWindow) -> float:
    from app.desk.sheet.layout import lay_out

    row = window.sheet.row
    assert isinstance(row, LineRow)
    return lay_out(row, window.sheet.viewport().width(), 1.0).cells[0].rect.width()


# --- a second look


TWICE = PLAN.replace('do = "Write deck flatness"', 'do = "Write deck flatness"\nsecond_look = true').replace(
    'do = "Write each ring gap"', 'do = "Write each ring gap"\nsecond_look = true'
)


@pytest.fixture
def signed(open_window: Opener, tmp_path: Path, qtbot: QtBot) -> MainWindow:
    """A window on a line that is signed off and whose second look is still to come."""
    folder = put_workshop(tmp_path / "looks", plan=TWICE, build="Grey", by="MK", made=JUST_NOW, initials="MK")
    window = open_window(folder)
    assert window.work is not None
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.0123", K.Key_Return, K.Key_Space)
    assert window.work.survey.done(window.work.build.by_id["deck"])
    return window


def _seen(window: MainWindow) -> str:
    """All that can be read of the line: its row, its tray, its grid, the lists, and its row on paper."""
    work = window.work
    assert work is not None
    line = work.build.by_id["deck"]
    window.home.go_to_step("deck")
    row = window.sheet.row
    assert isinstance(row, LineRow)
    found = [repr(row), window.home.tray.toPlainText()]
    window.pages.show_page("grid")
    page = window.pages.widget_of("grid", MeasurePage)
    found += [repr([cell.text for one in page.view.rows for cell in one.cells if cell]) if page.view else ""]
    found += [page.words.toPlainText()]
    for key in ("ends", "log", "ready"):
        window.pages.show_page(key)
        rows = listed(window.pages.shown()).model()
        found += [repr(rows.index(n, 0).data(Qt.ItemDataRole.UserRole)) for n in range(rows.rowCount())]
    window.pages.show_home()
    found += [repr(line_group(work.survey, line_row(work.survey, line)))]
    return "\n".join(found)


def test_a_second_look_hides_the_first_reading_wherever_it_stands(signed: MainWindow, qtbot: QtBot) -> None:
    assert "0.0123" not in _seen(signed)
    signed.sheet.go_to("deck")
    press(qtbot, K.Key_Return)
    field = open_field(signed.sheet)
    assert field is not None
    assert field.text() == "", "nor does a field open with it"
    press(qtbot, K.Key_Escape, "s", "JT", K.Key_Return, "0.0131", K.Key_Return)
    assert not signed.ask.asking, words(signed.ask)
    assert "0.0123" in _seen(signed)


def test_it_is_hidden_while_anybody_looks_though_the_plan_asks_for_no_second_look(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.0123", K.Key_Return, K.Key_Space)
    window.sheet.go_to("deck")
    row = window.sheet.row
    assert isinstance(row, LineRow)
    assert row.write_ins[0].value == "0.0123"
    press(qtbot, "s")
    assert "0.0123" not in repr(window.sheet.row)
    press(qtbot, K.Key_Escape)
    assert "0.0123" in repr(window.sheet.row)
