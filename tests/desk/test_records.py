"""What the plan does not foresee, said and worked in the window."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from pytestqt.qtbot import QtBot

from app.assembly.make import make_blank
from app.assembly.said.actions import MarkLine
from app.assembly.said.findings import FINDING, Disposition
from app.assembly.said.leaving import RESUMED
from app.assembly.said.marks import State
from app.assembly.said.parts import FIT, Fitted
from app.assembly.said.second_look import SEEN
from app.assembly.said.temporary import ITEM
from app.desk.pages.list_page import ListPage
from app.desk.pages.new_build import NewBuildPage
from app.desk.window import MainWindow
from app.exchange.plan_file import parse_plan
from app.store.workshop import Workshop
from tests.desk.conftest import PLAN, Opener, choices, choose, field, fields, press, state, words

K = Qt.Key

MORE = """
[[options]]
id = "fan"
ask = "What cools it?"
default = "belt"
choices = [{ id = "belt", title = "A belt fan" }, { id = "electric", title = "An electric fan" }]

[[happenings]]
id = "engine-tipped"
title = "Engine tipped"
disturbs = ["deck"]

[[fasteners]]
id = "nuts"
title = "Head nuts"
places = "studs"
limit = 2
"""


def _done(window: MainWindow, *steps: str) -> None:
    assert window.work is not None
    for step in steps:
        assert window.work.do(MarkLine(step, State.DONE, "MK", window.work.now(), together=True))


def _fuller(folder: Path) -> None:
    """A second build in the workshop, from a plan with options, events and counted bolts."""
    text = PLAN.replace("[[sources]]", MORE + "\n[[sources]]", 1)
    text = text.replace('id = "fan"\ndo', 'id = "fan-belt"\nwhen = [{ option = "fan", any_of = ["belt"] }]\ndo', 1)
    text += (
        '\n[[stages.steps]]\nid = "fan-wire"\ndo = "Wire the fan"\nwhen = [{ option = "fan", any_of = ["electric"] }]\n'
    )
    with Workshop.open_at(folder, now=datetime.now(UTC)) as workshop:
        workshop.make_build("Fuller", make_blank(parse_plan(text), {}), text, by="MK", now=datetime.now(UTC))


def test_something_found_is_decided_and_a_symptom_is_a_hold(window: MainWindow, qtbot: QtBot) -> None:
    window.sheet.go_to("gasket")
    press(qtbot, "x", "scored at the edge")
    choose(window.ask, "A symptom: noise, no pressure, an odd feel", "yes")
    press(qtbot, K.Key_Return)
    assert window.work is not None
    assert {end.rule for end in window.work.ends} >= {"finding-open"}
    window.sheet.go_to("feed")
    press(qtbot, K.Key_Space, K.Key_Space)
    assert state(window, "feed") == "started"
    assert "symptom f1" in window.foot.message.text()
    window.pages.show_page("findings")
    press(qtbot, K.Key_Return)
    choose(window.ask, "Decision", Disposition.EXPLAINED.name)
    field(window.ask, "Why, and by what evidence").setFocus()
    press(qtbot, "A scratch in the paint, photographed", K.Key_Return)
    assert window.work.build.facts.of(FINDING)["f1", ""].decision is Disposition.EXPLAINED
    window.home.go_to_step("feed")
    press(qtbot, K.Key_Space)
    assert state(window, "feed") == "done"


def test_opening_a_done_line_opens_what_hangs_on_it(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.02", K.Key_Return, K.Key_Space)
    _done(window, "gasket")
    window.sheet.go_to("gasket")
    press(qtbot, "o")
    assert "1.02" in words(window.ask)
    press(qtbot, K.Key_Return)
    assert (state(window, "gasket"), state(window, "deck")) == ("look-again", "look-again")


def test_something_opened_beside_the_plan_gets_a_line_of_its_own(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    window.sheet.go_to("gasket")
    press(qtbot, "o", "heater hose off", K.Key_Return)
    extra = next(line for line in window.work.build.lines if line.extra is not None)
    assert extra.number == "1.05a"
    assert {end.rule for end in window.work.ends if end.line.id == extra.id} == {"opened-not-closed"}
    window.home.go_to_step(extra.id)
    press(qtbot, K.Key_Space, K.Key_Space)
    assert not [end for end in window.work.ends if end.line.id == extra.id]


def test_a_part_taken_off_again_opens_the_line_that_put_it_on(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    _done(window, "gasket")
    window.sheet.go_to("gasket")
    next(one for one in window.findChildren(QAction) if one.text() == "A part goes on, or comes off …").trigger()
    assert window.ask.asking
    assert choices(window.ask, "Part").currentText() == "Head gasket", "the part of the line in hand comes first"
    choose(window.ask, "It is", Fitted.OFF.name)
    field(window.ask, "Note").setFocus()
    press(qtbot, "Wrong side up", K.Key_Return)
    assert state(window, "gasket") == "look-again"
    assert window.work.build.facts.of(FIT)["gasket", ""].why == "Wrong side up"


def test_a_temporary_thing_goes_in_and_comes_out_counted(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    window.pages.show_page("temporary")
    window.desk.records.put_in_temporary()
    press(qtbot, "rag", K.Key_Tab, "2", K.Key_Tab, "intake ports", K.Key_Return)
    item = window.work.build.facts.of(ITEM)["t1", ""]
    assert (item.name, item.count, item.where) == ("rag", 2, "intake ports")
    window.desk.records.take_out("t1")
    press(qtbot, "1", K.Key_Return)
    assert "find the rest" in words(window.ask)
    field(window.ask, "How many came out").clear()
    press(qtbot, "2", K.Key_Return)
    assert window.work.build.facts.of(ITEM)["t1", ""].out_by == "MK"


def test_a_second_look_hides_the_first_reading(window: MainWindow, qtbot: QtBot) -> None:
    assert window.work is not None
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.021", K.Key_Return, K.Key_Space, "s")
    shown = " ".join(field.text() for field in fields(window.ask))
    assert "0.021" not in shown + words(window.ask)
    press(qtbot, "JT", K.Key_Tab, "0.02", K.Key_Return)
    assert window.work.build.facts.of(SEEN)["deck", ""].by == "JT"


def test_an_option_changed_tells_what_comes_and_goes_before_it_is_done(
    open_window: Opener, workshop_folder: Path, qtbot: QtBot
) -> None:
    _fuller(workshop_folder)
    window = open_window(workshop_folder)
    assert window.work is not None
    assert window.work.build.name == "Fuller"
    window.pages.show_page("options")
    press(qtbot, K.Key_Return)
    assert "comes 2.02a; goes 2.02" in words(window.ask)
    field(window.ask, "Why").setFocus()
    press(qtbot, "No room for the belt", K.Key_Return)
    assert [line.number for line in window.work.build.lines][-1] == "2.02a"
    window.workshops.undo()
    assert [line.number for line in window.work.build.lines][-1] == "2.02"


def test_an_event_and_a_count_are_said_on_their_pages(open_window: Opener, workshop_folder: Path, qtbot: QtBot) -> None:
    _fuller(workshop_folder)
    window = open_window(workshop_folder)
    assert window.work is not None
    window.sheet.go_to("deck")
    press(qtbot, K.Key_Return, "0.02", K.Key_Return, K.Key_Space)
    window.pages.show_page("events")
    press(qtbot, K.Key_Return, "off the hoist", K.Key_Return)
    assert state(window, "deck") == "look-again"
    window.pages.show_page("fasteners")
    press(qtbot, K.Key_Return, "3", K.Key_Return)
    said = [row.spoken for row in window.pages.widget_of("fasteners", ListPage).list.model_.rows]
    assert any("Stud 1" in one and "too often" in one for one in said)


def test_leaving_is_remembered_and_coming_back_asks(open_window: Opener, workshop_folder: Path, qtbot: QtBot) -> None:
    window = open_window(workshop_folder)
    assert window.work is not None
    earlier = datetime.now().astimezone() - timedelta(hours=3)
    window.work.do(MarkLine("gasket", State.STARTED, "MK", earlier))
    window.desk.records.leave()
    assert "1.05 in hand" in words(window.ask)
    press(qtbot, "Gasket lies on the bench", K.Key_Return)
    window.close()
    again = open_window(workshop_folder)
    assert again.work is not None
    assert again.ask.asking
    assert "Gasket lies on the bench" in words(again.ask)
    press(qtbot, K.Key_Escape)
    assert len(again.work.build.facts.of(RESUMED)) == 1
    again.close()
    assert not open_window(workshop_folder).ask.asking


def test_every_page_of_records_opens_on_a_new_build(window: MainWindow) -> None:
    for key in window.desk.records.pages():
        window.pages.show_page(key)
        assert window.pages.shown() is window.pages.widget_of(key, ListPage)


def test_the_engine_laid_out_otherwise_opens_the_lines_whose_places_change(
    open_window: Opener, workshop_folder: Path, qtbot: QtBot
) -> None:
    text = PLAN.replace('places = "cylinders"', 'places = "mains"', 1)
    with Workshop.open_at(workshop_folder, now=datetime.now(UTC)) as workshop:
        workshop.make_build("Longer", make_blank(parse_plan(text), {}), text, by="MK", now=datetime.now(UTC))
    window = open_window(workshop_folder)
    assert window.work is not None
    window.desk.records.change_option("arrangement:mains")
    assert "1.03" in words(window.ask)
    press(qtbot, "5", K.Key_Return, "Another crank", K.Key_Return)
    assert [place.id for place in window.work.build.by_id["gap"].places] == ["1", "2", "3", "4", "5"]
    window.workshops.undo()
    assert len(window.work.build.by_id["gap"].places) == 3


def test_a_plan_file_of_ones_own_is_offered_and_its_faults_are_said(window: MainWindow, tmp_path: Path) -> None:
    good, bad = tmp_path / "mine.toml", tmp_path / "bad.toml"
    good.write_text(PLAN, "utf-8")
    bad.write_text(PLAN.replace('act = "close-top"', 'act = "nowhere"'), "utf-8")
    window.pages.show_page("new")
    window.pages.widget_of("new", NewBuildPage).add_file(bad)
    assert "covers" in words(window.pages.widget_of("new", NewBuildPage))
    window.pages.widget_of("new", NewBuildPage).add_file(good)
    assert choices(window.pages.widget_of("new", NewBuildPage), "Plan").currentText().startswith("Small four")


def test_lines_signed_in_one_burst_are_told_so(window: MainWindow) -> None:
    _done(window, "gasket", "blow-dry", "feed")
    window.pages.show_page("log")
    said = [row.spoken for row in window.pages.widget_of("log", ListPage).list.model_.rows]
    assert sum("Marked together" in one for one in said) == 3
