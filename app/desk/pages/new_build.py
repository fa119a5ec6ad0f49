"""Making a build: a plan, a name, and the plan's questions with a good guess in each."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app import RESOURCES
from app.assembly.make import make_blank
from app.assembly.plan.steps import Plan
from app.assembly.said.refusal import Refused
from app.desk.background import Background
from app.desk.registry import Page
from app.desk.theme import PageTheme, Theme, font
from app.desk.widgets.foot import Foot
from app.desk.work import clock
from app.store.errors import StoreError
from app.store.workshop import Workshop
from app.words.say import refusal

if TYPE_CHECKING:
    from app.desk.desk import Desk

PLANS = RESOURCES / "plans"


class PlansRead(Struct, frozen=True):
    """The plans that could be read, each with its text, and what is wrong with the others; `whole` once all were."""

    plans: tuple[tuple[Plan, str], ...]
    faults: tuple[str, ...]
    whole: bool


def _read_plans(progress: Callable[[int, int], None], cancelled: Callable[[], bool]) -> PlansRead:
    """Read the shipped plans; it takes too long for the window's thread."""
    # Reading plan files loads a validator that start-up has no use for.
    from app.exchange.plan_file import PlanError, parse_plan, read_text

    plans: list[tuple[Plan, str]] = []
    faults: list[str] = []
    paths = sorted(PLANS.glob("*.toml"))
    for number, path in enumerate(paths):
        progress(number, len(paths))
        if cancelled():
            break
        try:
            text = read_text(path)
            plans.append((parse_plan(text, path.name), text))
        except PlanError as error:
            faults.append(str(error))
    return PlansRead(tuple(plans), tuple(faults), len(plans) + len(faults) == len(paths))


class NewBuildPage(QWidget):
    """Plan, name, options, initials; says what is wrong beside the button."""

    made = Signal(int)
    left = Signal()

    def __init__(self, theme: Theme, background: Background, foot: Foot, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._background = background
        self._foot = foot
        self._reading = False
        self._whole = False
        self._workshop: Workshop | None = None
        self._texts: dict[str, str] = {}
        self._plans: dict[str, Plan] = {}
        self._options: dict[str, QComboBox] = {}
        self._title = QLabel("New build", self)
        self._title.setFont(font(24, 700))
        self._plan = QComboBox(self)
        self._plan.setAccessibleName("Plan")
        self._plan.currentIndexChanged.connect(self._show_plan)
        self._summary = QLabel(self)
        self._summary.setWordWrap(True)
        self._name = QLineEdit(self)
        self._name.setAccessibleName("Name of the build")
        self._name.returnPressed.connect(self._make)
        self._by = QLineEdit(self)
        self._by.setAccessibleName("Your initials")
        self._by.setMaxLength(20)
        self._by.returnPressed.connect(self._make)
        self._trouble = QLabel(self)
        self._trouble.setWordWrap(True)
        self._inner = QWidget(self)
        self._form = QFormLayout(self._inner)
        self._form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setWidget(self._inner)
        self._ok = QPushButton("Make the build", self)
        self._ok.setProperty("first", True)
        self._ok.clicked.connect(self._make)
        cancel = QPushButton("Leave it   Esc", self)
        cancel.clicked.connect(self.left)
        buttons = QHBoxLayout()
        buttons.addWidget(self._ok)
        buttons.addWidget(cancel)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 12, 24, 12)
        layout.addWidget(self._title)
        layout.addWidget(area, 1)
        layout.addWidget(self._trouble)
        layout.addLayout(buttons)
        self._fixed_rows()

    def _fixed_rows(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self._plan, 1)
        file = QPushButton("A plan file …", self)
        file.clicked.connect(self._choose_file)
        row.addWidget(file)
        self._form.addRow("Plan", row)
        self._form.addRow("", self._summary)
        self._form.addRow("Name of the build", self._name)
        self._form.addRow("Your initials", self._by)

    def begin(self, workshop: Workshop) -> None:
        """Offer the plans, once they are read."""
        self._workshop = workshop
        if not self._whole and not self._reading:
            self._reading = True
            self._plan.setPlaceholderText("Reading the plans …")
            self._background.run(_read_plans, self._show_plans, self._tell)
        if not self._by.text():
            self._by.setText(workshop.initials())
        self._say("")

    @property
    def ready(self) -> bool:
        """Whether the plans are read."""
        return self._whole and not self._reading

    def focus(self) -> None:
        """Put the hand into the first field."""
        self._name.setFocus()

    def _show_plans(self, read: PlansRead) -> None:
        """Offer what was read; a plan with faults is named and left out."""
        self._foot.job_over()
        self._reading, self._whole = False, read.whole
        self._plan.blockSignals(True)
        for plan, text in read.plans:
            self._offer(plan, text)
        if self._plan.currentIndex() < 0:  # no plan of the person's own was chosen meanwhile
            self._plan.setCurrentIndex(0)
        self._plan.setPlaceholderText("")
        self._plan.blockSignals(False)
        self._show_plan()
        self._say("\n".join(read.faults))

    def _tell(self, error: BaseException) -> None:
        self._reading = False
        self._foot.fail(error)

    def _offer(self, plan: Plan, text: str) -> None:
        if plan.id not in self._plans:
            self._plan.addItem(f"{plan.title}, {len(list(plan.steps()))} lines", plan.id)
        self._plans[plan.id], self._texts[plan.id] = plan, text

    def _choose_file(self) -> None:
        chosen, _ = QFileDialog.getOpenFileName(self, "A plan file", "", "Plan (*.toml)")
        if chosen:
            self.add_file(Path(chosen))

    def add_file(self, path: Path) -> None:
        """Offer a plan of the person's own; its faults, or what could be better in it, are said."""
        from app.assembly.plan.advice import advice
        from app.exchange.plan_file import PlanError, parse_plan, read_text

        try:
            text = read_text(path)
            plan = parse_plan(text, path.name)
        except PlanError as error:
            self._say(str(error))
            return
        self._offer(plan, text)
        self._plan.setCurrentIndex(self._plan.findData(plan.id))
        self._show_plan()
        better = advice(plan)
        self._say("\n".join(f"{path.name}: {one}" for one in better[:12]))

    def _show_plan(self) -> None:
        plan = self._plans.get(str(self._plan.currentData()))
        for box in self._options.values():
            self._form.removeRow(box)
        self._options = {}
        if plan is None:
            return
        self._summary.setText(plan.summary)
        for option in plan.options:
            box = QComboBox(self._inner)
            for choice in option.choices:
                box.addItem(choice.title, choice.id)
            box.setCurrentIndex(box.findData(option.default))
            box.setAccessibleName(option.ask)
            box.setToolTip(option.note)
            self._form.addRow(option.ask, box)
            self._options[option.id] = box

    def _make(self) -> None:
        plan = self._plans.get(str(self._plan.currentData()))
        if self._reading:
            self._say("The plans are still being read.")
            return
        if plan is None or self._workshop is None:
            self._say("There is no plan to make a build from.")
            return
        if not self._by.text().strip():
            self._say("Your initials are needed: every mark carries them.")
            self._by.setFocus()
            return
        chosen = {key: str(box.currentData()) for key, box in self._options.items()}
        try:
            blank = make_blank(plan, chosen)
            by = self._by.text().strip()
            build = self._workshop.make_build(self._name.text(), blank, self._texts[plan.id], by=by, now=clock())
            self._workshop.keep_initials(by)
        except (Refused, StoreError) as error:
            self._say(refusal(error) if isinstance(error, Refused) else str(error))
            return
        self._name.clear()
        self.made.emit(build.key)

    def _say(self, words: str) -> None:
        self._trouble.setText(words)
        self._trouble.setStyleSheet(f"color: {self._theme.tokens.stop}")
        self._trouble.setVisible(bool(words))


def make_page(desk: "Desk", _key: str) -> Page:
    """Making a build in the workshop at hand."""
    theme = PageTheme(desk.theme)
    page = NewBuildPage(theme, desk.background, desk.foot)
    page.made.connect(desk.workshops.open_build)
    page.left.connect(desk.pages.show_home)

    def begin(_about: str) -> bool:
        workshop = desk.at_hand.workshop
        if workshop is not None:
            page.begin(workshop)
        return workshop is not None

    return Page(page, theme, begin, focus=page.focus)
