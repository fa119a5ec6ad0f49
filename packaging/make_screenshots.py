"""Make the pictures of README.md from the sample workshop: packaging/make_screenshots.py.

Drawn without a screen, 1366 x 768 as on a small laptop, into resources/screenshots. A page of the traveller is drawn
from its PDF. Run it again after a change that shows.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pypdfium2
from PIL import Image
from PySide6.QtTest import QTest

from app.assembly.standing.survey import Survey
from app.desk.main import SAMPLE, make_application, make_theme
from app.desk.settings import Settings
from app.desk.window import MainWindow
from app.paper.traveller.traveller import write_traveller
from app.store.database import FILE
from app.store.workshop import Workshop

PICTURES = Path(__file__).resolve().parents[1] / "resources" / "screenshots"
SIZE_PX = (1366, 768)
PAGE_DPI = 110
BUILD, STAGE, GATE = "Hill-climb special, sprint engine", 15, "close-top"
Show = Callable[[MainWindow], object]

PAGES: dict[str, tuple[str, Show]] = {
    "sheet-light": ("light", lambda window: window.pages.show_home()),
    "sheet-dark": ("dark", lambda window: window.pages.show_home()),
    "loose-ends": ("light", lambda window: window.pages.show_page("ends")),
    "gate": ("light", lambda window: window.pages.show_page("gate", GATE)),
    "bolts": ("light", lambda window: _places(window, "torque-head-second")),
    "grid": ("light", lambda window: _places(window, "main-clearance")),
    "lash": ("light", lambda window: _places(window, "set-lash")),
    "sum": ("light", lambda window: _sum(window, "set-lash")),
}


def _places(window: MainWindow, step: str) -> None:
    window.home.go_to_step(step)
    window.desk.show_places()


def _sum(window: MainWindow, step: str) -> None:
    """The sum that goes with a line; it is worked off the window's thread."""
    window.home.go_to_step(step)
    window.desk.show_sum_of_line()
    QTest.qWait(2000)


def main() -> int:
    """Draw every picture."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    os.environ["TZ"] = "UTC"
    time.tzset()
    PICTURES.mkdir(parents=True, exist_ok=True)
    application = make_application(["make_screenshots"])
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "workshop"
        folder.mkdir()
        (folder / FILE).write_bytes((SAMPLE / FILE).read_bytes())
        for name, (theme, show) in PAGES.items():
            settings = Settings(theme=theme)
            window = MainWindow(make_theme(application, settings), settings, Path(place) / "config")
            picture_of_window(window, folder, show, PICTURES / f"{name}.png")
        picture_of_traveller(folder, Path(place) / "traveller.pdf", PICTURES / "traveller.png")
    print(f"{PICTURES}: {len(PAGES) + 1} pictures")
    return 0


def picture_of_window(window: MainWindow, folder: Path, show: Show, picture: Path) -> None:
    """Open the workshop in a window of the one size, go to a page, and keep what stands there."""
    window.resize(*SIZE_PX)
    window.show()
    if not window.workshops.open_workshop(folder):
        sys.exit(f"{folder} could not be opened: {window.foot.message.text()}")
    show(window)
    QTest.qWait(150)
    window.grab().save(str(picture))
    window.close()
    # Few colours stand on a sheet: 128 keep every letter as it is and the file small.
    with Image.open(picture) as drawn:
        drawn.convert("RGB").quantize(128, dither=Image.Dither.NONE).save(picture, optimize=True)


def picture_of_traveller(folder: Path, paper: Path, picture: Path) -> None:
    """Print one stage and draw its first page."""
    with Workshop.open_at(folder, now=datetime.now(UTC)) as workshop:
        build = workshop.load(workshop.find(BUILD))
    write_traveller(paper, Survey(build, datetime.now(UTC)), number=1, stages=(STAGE,))
    document = pypdfium2.PdfDocument(paper)
    document[0].render(scale=PAGE_DPI / 72).to_pil().convert("L").save(picture, optimize=True)
    document.close()


if __name__ == "__main__":
    sys.exit(main())
