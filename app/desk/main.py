"""Opening the window: the last workshop, or on the first start a copy of the sample one."""

import gc
import os
import shutil
import sys
import traceback
from functools import partial
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QIcon, QWheelEvent
from PySide6.QtWidgets import QAbstractSlider, QAbstractSpinBox, QApplication, QComboBox, QMessageBox

from app.desk import settings as settings_file
from app.desk.theme import Theme, load_fonts
from app.desk.window import MainWindow
from app.sheet.draw.tokens import Distance
from app.store.database import FILE

ROOT = Path(__file__).parents[2]
WARM_UP_MS = 800
# Qt lets go of the interpreter at every call and must get it back from a worker that reads plans or draws pages; at
# Python's own 5 ms each time, fifty calls would hold a page back for a quarter of a second.
SWITCH_S = 0.0005
SAMPLE = ROOT / "demo_data" / "workshop"


class WheelGuard(QObject):
    """The wheel scrolls; it never changes a value under the pointer."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the wheel from value fields and leave it to what scrolls around them."""
        if isinstance(event, QWheelEvent) and isinstance(watched, QComboBox | QAbstractSpinBox | QAbstractSlider):
            if isinstance(watched, QAbstractSlider) and watched.inherits("QScrollBar"):
                return False
            event.ignore()
            return True
        return super().eventFilter(watched, event)


def make_application(arguments: list[str]) -> QApplication:
    """The one application object, with our style, fonts and the wheel guard."""
    sys.setswitchinterval(SWITCH_S)
    application = QApplication(arguments)
    application.setApplicationName(settings_file.APPLICATION)
    application.setDesktopFileName("org.firstcrank.Firstcrank")
    application.setStyle("Fusion")
    application.setWindowIcon(QIcon(str(ROOT / "resources" / "icons" / "firstcrank.svg")))
    load_fonts()
    guard = WheelGuard(application)
    application.installEventFilter(guard)
    return application


def make_theme(application: QApplication, settings: settings_file.Settings) -> Theme:
    """The look the person chose."""
    dark = None if settings.theme == "system" else settings.theme == "dark"
    return Theme(application, dark=dark, distance=Distance[settings.distance])


def open_window(folder: Path | None = None) -> int:
    """Open the window and run it; gives the exit code. Without a display it says so and gives 1."""
    if not _display():
        print(
            "firstcrank: there is no display to open a window on. Start it on a desktop, or use the verbs without a "
            "window: firstcrank --help lists them.",
            file=sys.stderr,
        )
        return 1
    gc.disable()
    application = make_application(sys.argv[:1])
    config = settings_file.config_folder()
    settings = settings_file.load(config)
    theme = make_theme(application, settings)
    window = MainWindow(theme, settings, config)
    sys.excepthook = partial(_tell_fault, theme)
    window.show()
    if not window.workshops.open_workshop(folder or workshop_to_open(settings)):
        window.pages.show_page("help")
    QTimer.singleShot(WARM_UP_MS, partial(settle, window))
    return application.exec()


def settle(window: MainWindow) -> None:
    """Load what the first use of a page would wait for, and collect garbage from now on, but not among what stays."""
    window.warm_up()
    gc.freeze()
    gc.enable()


def workshop_to_open(settings: settings_file.Settings) -> Path:
    """The workshop of last time if it is still there, else the sample one, copied where it may be written."""
    last = Path(settings.workshop) if settings.workshop else None
    if last is not None and (last / FILE).is_file():
        return last
    sample = settings_file.data_folder() / "sample workshop"
    if not (sample / FILE).is_file():
        _copy_sample(sample)
    return sample


def _copy_sample(target: Path) -> None:
    """Copy the sample's files, not their rights: the program may lie where nobody may write."""
    (target / "photos").mkdir(parents=True, exist_ok=True)
    for file in SAMPLE.rglob("*"):
        if file.is_file():
            (target / file.relative_to(SAMPLE)).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(file, target / file.relative_to(SAMPLE))


def _display() -> bool:
    if not sys.platform.startswith("linux"):
        return True
    chosen = os.environ.get("QT_QPA_PLATFORM", "")
    if chosen and not chosen.startswith(("xcb", "wayland")):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _tell_fault(theme: Theme, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    """A fault of ours: write it down, then say so once. What was marked before it is on disk already."""
    details = "".join(traceback.format_exception(kind, error, trace))
    print(details, file=sys.stderr)
    note = settings_file.config_folder() / "last-fault.txt"
    note.parent.mkdir(parents=True, exist_ok=True)
    note.write_text(details, "utf-8")
    box = QMessageBox(
        QMessageBox.Icon.Warning,
        "Firstcrank",
        f"Something went wrong inside the program: {error}.\nEverything marked before is safely on disk. "
        f"The details are in {note}.",
    )
    box.setStyleSheet(theme.style)
    box.setDetailedText(details)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.open()
