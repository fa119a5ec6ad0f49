"""What one key press costs: nothing is worked out twice, and nothing is loaded before it is wanted."""

import os
import subprocess
import sys
from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.assembly.said.actions import MarkLine, TakeReading
from app.assembly.said.marks import State
from app.assembly.standing.disturb import disturbed
from app.desk.page_stack import KINDS
from app.desk.pages.list_page import ListPage
from app.desk.pages.log_page import LogRows
from app.desk.pages.rows import told_row
from app.desk.window import MainWindow
from tests.desk.conftest import calls, press, state

K = Qt.Key
ROOT = Path(__file__).parents[2]


def test_a_mark_works_out_once_what_it_opens(window: MainWindow, qtbot: QtBot) -> None:
    work = window.work
    assert work is not None
    work.do(TakeReading("deck", "engine", "0.01 mm", "MK", work.now()))
    work.do(MarkLine("deck", State.DONE, "MK", work.now()))
    work.do(MarkLine("gasket", State.STARTED, "MK", work.now()))
    window.sheet.go_to("gasket")
    with calls() as count:
        press(qtbot, K.Key_Space)
    assert (state(window, "gasket"), count(disturbed)) == ("done", 1)
    with calls() as count:
        press(qtbot, "u")  # opens the deck, so it asks
    assert (window.ask.asking, count(disturbed)) == (True, 1)
    with calls() as count:
        press(qtbot, K.Key_Return)
    assert (state(window, "deck"), count(disturbed)) == ("look-again", 1)


def test_every_page_of_the_menus_can_be_made(window: MainWindow) -> None:
    for key, kind in KINDS.items():
        about = "close-top" if key == "gate" else ""
        shown = window.pages.show_page(key, about)
        assert shown or not kind.rows, key


STARTED = """
import sys
from pathlib import Path
from PySide6.QtCore import QEvent, QObject
from app.desk.main import make_application, make_theme
from app.desk.settings import Settings
from app.desk.window import MainWindow

class Watch(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint and not painted and window.sheet.model().rowCount():
            painted.append(sorted(sys.modules))
        return False

painted = []
application = make_application(["test"])
settings = Settings()
window = MainWindow(make_theme(application, settings), settings, Path(sys.argv[2]))
watch = Watch()
window.sheet.viewport().installEventFilter(watch)
window.show()
window.workshops.open_workshop(Path(sys.argv[1]))
while not painted:
    application.processEvents()
print("\\n".join(painted[0]))
window.close()
"""
ROOMS = ("app.desk.pages.", "app.desk.places.", "app.desk.records.", "app.desk.sheet.marking", "app.assembly.deeds.m")
NOT_YET = ("alembic", "pydantic", "reportlab", "pint", "scipy", "numpy", "highspy", "app.paper", "app.exchange")


def test_start_up_loads_no_page_and_nothing_a_page_wants(workshop_folder: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-c", STARTED, str(workshop_folder), str(tmp_path / "config")]
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, check=True, env=environment, timeout=60, stdout=subprocess.PIPE, text=True)
    loaded = done.stdout.split()
    assert "app.desk.sheet.view" in loaded
    early = [name for name in loaded if name.startswith(ROOMS) or name.partition(".")[0] in NOT_YET]
    assert early + [name for name in loaded if name.startswith(("app.paper", "app.exchange"))] == []


def test_the_logbook_left_open_makes_a_row_for_each_new_entry_and_no_other(window: MainWindow, qtbot: QtBot) -> None:
    work = window.work
    assert work is not None
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space)
    window.pages.show_page("log")
    rows = window.pages.widget_of("log", ListPage).list.model_
    before = rows.rows
    with calls() as count:
        work.refresh()
    assert (count(told_row), rows.rows) == (0, before)
    with calls() as count:
        work.do(MarkLine("fan", State.STARTED, "MK", work.now()))
    assert (count(told_row), rows.rows[:-1]) == (1, before)
    assert "Fit the fan" in rows.rows[-1].spoken
    # The third line signed off within seconds makes a burst of all three.
    assert work.do(TakeReading("deck", "engine", "0.01 mm", "MK", work.now()))
    for step in ("gasket", "feed"):
        assert work.do(MarkLine(step, State.DONE, "MK", work.now()))
    assert not any("together" in row.spoken for row in rows.rows)
    assert work.do(MarkLine("deck", State.DONE, "MK", work.now()))
    assert sum("together" in row.spoken for row in rows.rows) == 3
    log = LogRows()
    log.follow(work)
    assert tuple(log.rows) == rows.rows


def test_only_the_page_that_shows_is_told_of_another_look_and_the_others_when_they_do(window: MainWindow) -> None:
    window.pages.show_page("ends")
    told: list[str] = []
    window.pages.page("ends").theme.changed.connect(lambda: told.append("ends"))
    window.pages.page("ready").theme.changed.connect(lambda: told.append("ready"))
    window.looks.flip()
    assert told == ["ends"]
    window.pages.show_page("ready")
    assert told == ["ends", "ready"]
    window.pages.show_page("ends")
    window.pages.show_page("ready")
    assert told == ["ends", "ready"]
    leaf = window.pages.page("ready").widget.parentWidget()
    assert leaf is not None
    assert leaf.styleSheet() == window.desk.theme.style
