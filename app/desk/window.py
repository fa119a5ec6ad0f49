"""The main window: the frame round the desk, where it stands on the screen, and how it is left."""

from pathlib import Path

from PySide6.QtCore import QSettings, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QVBoxLayout, QWidget

from app.desk.desk import Desk
from app.desk.looks import Looks
from app.desk.menus import Menus
from app.desk.settings import Choices, Settings
from app.desk.theme import Theme
from app.desk.work import Work

LAYOUT_VERSION = 1
REFRESH_MS = 20_000


class MainWindow(QMainWindow):
    """Holds the desk. `config` is the folder of settings and geometry."""

    def __init__(self, theme: Theme, settings: Settings, config: Path) -> None:
        super().__init__()
        self._geometry = QSettings(str(config / "window.ini"), QSettings.Format.IniFormat)
        self._choices = Choices(settings, config)
        self.desk = Desk(theme, self._choices, self)
        self.home, self.pages, self.workshops = self.desk.home, self.desk.pages, self.desk.workshops
        self.sheet, self.ask, self.foot = self.home.sheet, self.desk.ask, self.desk.foot
        self.looks = Looks(self.desk)
        self._lay_out()
        self.menus = Menus(self.desk, self.looks, self)
        self.desk.changed.connect(self._named)
        self._refresh_timer = QTimer(self)
        self._refresh_timer.setInterval(REFRESH_MS)
        self._refresh_timer.timeout.connect(self._time_passed)
        self._refresh_timer.start()
        self.setWindowTitle("Firstcrank")
        self.setMinimumSize(720, 480)
        self._restore_geometry()

    def _lay_out(self) -> None:
        centre = QWidget(self)
        column = QVBoxLayout(centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.pages, 1)
        column.addWidget(self.ask)
        column.addWidget(self.foot)
        self.setCentralWidget(centre)

    @property
    def work(self) -> Work | None:
        """The build at hand."""
        return self.desk.at_hand.work

    def _named(self) -> None:
        if self.work is not None:
            self.setWindowTitle(f"{self.work.build.name} – Firstcrank")
        self.menus.show_steps()

    def _time_passed(self) -> None:
        # Only cures and clocks move by themselves; the hand and its half-typed value stay where they are.
        if self.work is not None and not self.ask.asking and not self.sheet.draft:
            self.work.refresh()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc, where nothing nearer wants it, leads back."""
        if event.key() == Qt.Key.Key_Escape:
            self.pages.go_back()
        else:
            super().keyPressEvent(event)

    def warm_up(self) -> None:
        """Load what the first look at a figure wants, off the window's thread, once the window stands."""
        self.desk.background.run(lambda _progress, _cancelled: _warm_up(), lambda _: None, self.foot.fail)

    # --- where it stands

    def _restore_geometry(self) -> None:
        kept = self._geometry.value("geometry")
        if self._geometry.value("version") == str(LAYOUT_VERSION) and kept is not None:
            self.restoreGeometry(kept)
        else:
            self.resize(1366, 768)
        self._clamp()

    def _clamp(self) -> None:
        """A window kept on a screen that is gone comes back onto one that is there."""
        frame = self.frameGeometry()
        if any(screen.availableGeometry().intersects(frame) for screen in QApplication.screens()):
            return
        room = QApplication.primaryScreen().availableGeometry()
        self.setGeometry(room.x(), room.y(), min(self.width(), room.width()), min(self.height(), room.height()))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave everything as it can be found again, and one lone file behind."""
        self.desk.background.close()
        self._geometry.setValue("version", str(LAYOUT_VERSION))
        self._geometry.setValue("geometry", self.saveGeometry())
        self._geometry.sync()
        self._choices.keep()
        self.workshops.close()
        super().closeEvent(event)


def _warm_up() -> None:
    from app.assembly.deeds.decide import warm_up

    warm_up()
