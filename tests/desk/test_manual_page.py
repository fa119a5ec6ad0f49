"""The figures of a whole engine, typed in from one page: by keys alone, and few enough for a quarter of an hour."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.assembly.rules import loose_ends
from app.assembly.standing.widths import is_open
from tests.desk.conftest import Opener, press, words
from tests.desk.test_entry import shipped_folder

K = Qt.Key
SOURCE = "Manual, 4th edition, page 12"
# An engine of our own, in inches and millimetres side by side as manuals print them.
PAGE = {
    "measure-bores": "3.3858-3.3864 in (86.00-86.015 mm)",
    "measure-journals": "54.98 to 55.00 mm",
    "measure-deck-flatness": "max. 0.05 mm",
    "remeasure-bores": "86.50 +0.015/-0",
    "fit-gallery-plugs": "20-25 ft. lbs. (27-34 N.m)",
    "main-clearance": ".0015-.0025 in",
    "rod-clearance": ".001-.0025 in",
    "ring-gaps": "top: 0.34 to 0.50 mm; second: 0.34 to 0.50 mm; oil: 0.25 to 0.80 mm",
    "deck-height": "-0.10 to 0.10 mm",
    "rods-swing-clear": "at least 1.5 mm",
    "degree-cam": "106 to 110°",
    "valve-to-piston": "at least 2.0 mm",
    "coil-bind-room": "at least 1.0 mm",
    "retainer-to-seal": "at least 1.5 mm",
    "torque-mains-first": "30 lbf ft",
    "torque-mains-last": "65/70 lbf ft",
    "turn-after-caps": "at most 8 N·m",
    "end-float": "new 0.05 to 0.20 mm, replace over 0.30",
    "torque-rod-bolts": "45 N·m",
    "rod-side-clearance": ".008-.014 in",
    "cam-end-float": ".003-.007 in",
    "torque-sprocket-bolts": "18±2 N·m",
    "bolt-pump": "10 Nm (89 in. lb.)",
    "pump-drive-depth": "8 to 12 mm",
    "fit-front-cover": "8.9-9.6 N·m",
    "seat-pickup": "10 N·m",
    "pickup-clearance": "1/4-3/8 in",
    "torque-pan": "9 N·m",
    "torque-drain-plug": "35 N·m",
    "installed-height": "1.62-1.66 in",
    "torque-head-first": "30 N·m",
    "torque-head-second": "60 N·m",
    "torque-head-last": "85 N·m oiled",
    "torque-rocker-posts": "25 N·m",
    "set-lash": "IN .012 in EX .014 in cold",
    "lash-reread": "IN .012 in EX .014 in cold",
    "torque-manifolds": "22 +/- 3 ft-lb",
    "fit-water-pump": "20 N·m",
    "fit-flywheel": "60-65 FT.-LBS.",
    "torque-crank-bolt": "120 to 130 N·m",
    "fill-oil": "4.5 to 5.0 L",
    "prime-pressure": "40-60 psi",
    "fit-rocker-cover": "8 N·m",
    "fill-coolant": "7 to 8 L",
    "coolant-test": "0.9-1.1 bar",
    "starter-pressure": "at least 20 psi",
    "cranking-compression": "145-175 psi",
    "static-timing": "8 to 10° BTDC",
    "start-engine": "at least 25 psi",
    "hot-oil-pressure": "at least 10 psi at 900 rpm",
    "retorque-head": "85 N·m oiled",
    "lash-cold": "IN .012 in EX .014 in cold",
    "lash-second": "IN .012 in EX .014 in cold",
    "baseline-leak-down": "at most 10 %",
    "leak-down-after-season": "at most 15 %",
}
# Two keys and a half in a second is slow typing from a page; a quarter of an hour is 900 s.
MOST_KEYS = 900 * 2.5


def _next_figure(qtbot: QtBot) -> None:
    field = QApplication.focusWidget()
    assert field is not None
    qtbot.keyClick(field, K.Key_F, Qt.KeyboardModifier.ShiftModifier)


def test_a_page_of_a_manual_is_typed_in_within_a_quarter_of_an_hour(
    open_window: Opener, tmp_path: Path, qtbot: QtBot
) -> None:
    window = open_window(shipped_folder(tmp_path / "garage", "four-ohv"))
    work = window.work
    assert work is not None
    wanting = [line.id for line in work.build.lines if work.survey.figure_missing(line)]
    assert wanting == list(PAGE)
    keys = 0
    for number, (step, figure) in enumerate(PAGE.items()):
        typed: list[Qt.Key | str] = [figure, K.Key_Return]
        if number == 0:
            typed[1:1] = [K.Key_Tab, SOURCE]
        _next_figure(qtbot)
        press(qtbot, *typed)
        keys += 1 + sum(len(one) if isinstance(one, str) else 1 for one in typed)
        line = work.build.by_id[step]
        assert work.survey.bounds(line) is not None, (step, words(window.ask))
        if window.ask.asking:
            press(qtbot, K.Key_Return)  # what the trade gives for the width of a single figure
            keys += 1
        assert not window.ask.asking, (step, words(window.ask))
        assert not is_open(work.build, line), step
    assert keys < MOST_KEYS
    assert {one.source for one in work.build.facts.figures.values()} == {SOURCE}
    assert [one.line.id for one in loose_ends(work.survey) if one.rule == "size-doubtful"] == []
    _next_figure(qtbot)
    assert not window.ask.asking
    assert "Every open line has its figure" in window.foot.message.text()
