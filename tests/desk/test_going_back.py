"""Going back to a backup in the window: what was marked since is set aside, and one undone by damage comes back."""

from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.desk.window import MainWindow
from app.store.database import FILE
from tests.desk.conftest import Opener, press, state

K = Qt.Key


def _back(window: MainWindow, qtbot: QtBot, folder: Path, copy: Path) -> None:
    window.workshops.go_back(folder, copy)
    qtbot.waitUntil(lambda: window.desk.background.running == 0, timeout=20_000)


def test_what_was_marked_since_the_backup_is_gone_and_kept_aside(
    window: MainWindow, qtbot: QtBot, workshop_folder: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "sunday.db"
    assert window.desk.at_hand.workshop is not None
    window.desk.at_hand.workshop.back_up(copy)
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space)
    assert state(window, "gasket") == "started"
    _back(window, qtbot, workshop_folder, copy)
    assert state(window, "gasket") == "to-do"
    assert "Back to sunday.db" in window.foot.message.text()
    (aside,) = (workshop_folder / "set aside").iterdir()
    _back(window, qtbot, workshop_folder, aside / FILE)
    assert state(window, "gasket") == "started"


def test_what_is_no_backup_leaves_the_workshop_open_as_it_was(
    window: MainWindow, qtbot: QtBot, workshop_folder: Path, tmp_path: Path
) -> None:
    wrong = tmp_path / "notes.db"
    wrong.write_text("not a database", "utf-8")
    _back(window, qtbot, workshop_folder, wrong)
    assert window.work is not None
    assert "notes.db" in window.foot.message.text()


def test_a_workshop_too_damaged_to_open_is_gone_back_in(
    open_window: Opener, qtbot: QtBot, workshop_folder: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "sunday.db"
    copy.write_bytes((workshop_folder / FILE).read_bytes())
    (workshop_folder / FILE).write_bytes(b"nothing of a database" * 300)
    window = open_window(workshop_folder)
    assert window.work is None
    _back(window, qtbot, workshop_folder, copy)
    assert window.work is not None


def test_a_backup_is_kept_while_at_work_and_on_closing(window: MainWindow, qtbot: QtBot, workshop_folder: Path) -> None:
    kept = workshop_folder / "backups"
    window.workshops.keep_backup()
    qtbot.waitUntil(lambda: window.desk.background.running == 0, timeout=20_000)
    assert len(list(kept.iterdir())) == 1
    window.sheet.go_to("gasket")
    press(qtbot, K.Key_Space)
    qtbot.wait(1100)  # their names tell seconds apart
    window.close()
    assert len(list(kept.iterdir())) == 2
