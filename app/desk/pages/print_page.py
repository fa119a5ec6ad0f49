"""Printing: what to put on paper, on which paper, and where the file goes."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtCore import QObject, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QApplication,
    QButtonGroup,
    QCheckBox,
    QComboBox,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from app.assembly.standing.survey import Survey
from app.desk.registry import Page
from app.desk.theme import PageTheme, Theme, font
from app.desk.work import Work, clock
from app.words.journal import Told

if TYPE_CHECKING:
    from app.desk.desk import Desk

WHOLE, STAGE, OPEN, RECORD = range(4)
Progress = Callable[[int, int], None]
Cancelled = Callable[[], bool]


class PrintJob(Struct, frozen=True):
    """A file to be written: what it is, where, and the job that writes it and gives the number of sheets."""

    title: str
    path: Path
    number: int
    job: Callable[[Progress, Cancelled], int]


class PrintPage(QWidget):
    """The traveller or the build record, as a PDF."""

    wanted = Signal(object)
    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self._stage = 1
        title = QLabel("Print", self)
        title.setFont(font(24, 700))
        note = QLabel(
            "The traveller is the sheet on paper: the same lines, numbers and boxes. Print it at 100 %; the bar at the "
            "foot of each page is then 100 mm long.",
            self,
        )
        note.setWordWrap(True)
        self._what = QButtonGroup(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 12, 24, 12)
        layout.addWidget(title)
        layout.addWidget(note)
        for key, words in (
            (WHOLE, "Traveller, the whole build"),
            (STAGE, "Traveller, this stage"),
            (OPEN, "Traveller, what is open"),
            (RECORD, "Build record: what is inside, every reading, decision and concession"),
        ):
            button = QRadioButton(words, self)
            self._what.addButton(button, key)
            layout.addWidget(button)
        self._what.button(STAGE).setChecked(True)
        self._what.idClicked.connect(self._offer_steps)
        self.paper = QComboBox(self)
        self.paper.setAccessibleName("Paper")
        self.paper.addItem("A4 paper", "A4")
        self.paper.addItem("Letter paper", "Letter")
        self._save = QPushButton("Write the PDF …", self)
        self._save.setProperty("first", True)
        self._save.clicked.connect(self._choose)
        cancel = QPushButton("Leave it   Esc", self)
        cancel.clicked.connect(self.left)
        self.steps = QCheckBox("With step sheets for bolts, readings and lash", self)
        self.steps.setChecked(True)
        row = QHBoxLayout()
        row.addWidget(self.paper)
        row.addWidget(self.steps)
        row.addStretch(1)
        layout.addLayout(row)
        buttons = QHBoxLayout()
        buttons.addWidget(self._save)
        buttons.addWidget(cancel)
        buttons.addStretch(1)
        layout.addLayout(buttons)
        layout.addStretch(1)

    def begin(self, work: Work, stage: int) -> None:
        """Offer to print this build."""
        self._work, self._stage = work, stage
        head = work.build.stages[stage - 1]
        self._what.button(STAGE).setText(f"Traveller, this stage: {head.number} {head.title}")

    def focus(self) -> None:
        """Put the hand on what is to be printed."""
        self._what.button(self._what.checkedId()).setFocus()

    def choose(self, what: int) -> None:
        """Choose what to print."""
        self._what.button(what).setChecked(True)
        self._offer_steps(what)

    def _offer_steps(self, what: int) -> None:
        """The build record has no step sheets."""
        self.steps.setEnabled(what != RECORD)

    def _choose(self) -> None:
        work = self._work
        if work is None:
            return
        what = self._what.checkedId()
        name = "record" if what == RECORD else "traveller"
        start = str(Path.home() / f"{_safe(work.build.name)}-{name}.pdf")
        chosen, _ = QFileDialog.getSaveFileName(self, "Write the PDF", start, "PDF (*.pdf)")
        if chosen:
            self.write(Path(chosen))

    def write(self, path: Path) -> None:
        """Write the chosen print to this file."""
        work = self._work
        assert work is not None  # begin() gave it
        path = path if path.suffix.lower() == ".pdf" else path.with_name(path.name + ".pdf")
        paper = str(self.paper.currentData())
        survey = Survey(work.build, work.now())
        what = self._what.checkedId()
        if what == RECORD:
            job = partial(_record, path, survey, work.told_after(), paper)
            self.wanted.emit(PrintJob("Build record", path, 0, job))
            return
        number = work.workshop.printed(work.build)[0] + 1
        stages = (self._stage,) if what == STAGE else ()
        job = partial(_traveller, path, survey, number, stages, what == OPEN, self.steps.isChecked(), paper)
        self.wanted.emit(PrintJob("Traveller", path, number, job))


def _traveller(
    path: Path,
    survey: Survey,
    number: int,
    stages: tuple[int, ...],
    only_open: bool,
    steps: bool,
    paper: str,
    progress: Progress,
    cancelled: Cancelled,
) -> int:
    from app.paper.traveller.traveller import write_traveller

    return write_traveller(
        path,
        survey,
        number=number,
        stages=stages,
        only_open=only_open,
        steps=steps,
        paper=paper,
        progress=progress,
        cancelled=cancelled,
    )


def _record(
    path: Path, survey: Survey, entries: list[Told], paper: str, progress: Progress, cancelled: Cancelled
) -> int:
    from app.paper.record.record import write_record

    return write_record(path, survey, entries, paper=paper, progress=progress, cancelled=cancelled)


def _safe(name: str) -> str:
    return "".join(letter if letter.isalnum() or letter in " -_" else "-" for letter in name).strip() or "build"


class Printing(QObject):
    """Writes what the page wants, beside the window, and says where the file is."""

    def __init__(self, page: PrintPage, desk: "Desk") -> None:
        super().__init__(page)
        self._page = page
        self._desk = desk
        page.wanted.connect(self.write)

    def begin(self, _about: str) -> bool:
        """Offer to print the build at hand as it was printed last."""
        work, chosen = self._desk.at_hand.work, self._desk.choices.now
        if work is None:
            return False
        self._page.begin(work, self._desk.home.stage)
        self._page.paper.setCurrentIndex(self._page.paper.findData(chosen.paper))
        self._page.steps.setChecked(chosen.steps)
        return True

    def write(self, job: PrintJob) -> None:
        """Write it, the sheet back in view."""
        desk = self._desk
        desk.choices.choose(paper=str(self._page.paper.currentData()), steps=self._page.steps.isChecked())
        desk.pages.show_home()
        desk.foot.say(f"Writing {job.path.name} …")
        desk.background.run(job.job, lambda sheets: self._written(job, int(sheets)), desk.foot.fail)

    def _written(self, job: PrintJob, sheets: int) -> None:
        desk, work = self._desk, self._desk.at_hand.work
        desk.foot.job_over()
        if job.number and work is not None:
            work.workshop.keep_print(work.build, job.number, clock())
            desk.home.last_print = job.number
            desk.home.show_rows()
        desk.foot.say(f"{job.title} written: {job.path}, {sheets} sheets")
        if QApplication.platformName() not in ("offscreen", "minimal"):
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(job.path)))


def make_page(desk: "Desk", _key: str) -> Page:
    """Print the traveller or the build record."""
    theme = PageTheme(desk.theme)
    page = PrintPage(theme)
    page.left.connect(desk.pages.show_home)
    return Page(page, theme, Printing(page, desk).begin, focus=page.focus)
