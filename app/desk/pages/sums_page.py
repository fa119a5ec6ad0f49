"""The sums at the bench: the list at the left, what is asked in the middle, the answer as one types at the right."""

from collections.abc import Callable, Mapping
from functools import cached_property, partial
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.desk.background import Background
from app.desk.pages.list_page import ListRow, RowList
from app.desk.registry import Page
from app.desk.sheet.tray import Tray
from app.desk.theme import PageTheme, Theme, font
from app.desk.widgets.page_head import PageHead
from app.desk.widgets.value_field import decimal_mark
from app.exchange.measuring_tables import measuring_tables
from app.sheet.draw.tokens import Token
from app.sheet.line_sum import sum_of
from app.sheet.rows import Run
from app.sheet.sections import Item, Section
from app.sheet.sums import SUMS
from app.sheet.sums.from_line import fields_of
from app.sheet.sums.sum import Answer, Ask, Group, Missing, Shelf, Sum, SumError
from app.trade.shipped_tables import shipped_tables

if TYPE_CHECKING:
    from app.desk.desk import Desk

WAIT_MS = 250
NOT_GIVEN = "not given"
Input = QLineEdit | QComboBox | QPlainTextEdit


class SumForm(QScrollArea):
    """The fields of one sum; what is typed in them stays while the program runs."""

    changed = Signal()

    def __init__(self, theme: Theme, one: Sum, shelf: Shelf, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.sum = one
        self.inputs: dict[str, Input] = {}
        self._labels: dict[str, QLabel] = {}
        self._faulty = ""
        self._filled: dict[str, str] = {}
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(one.title)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget(self)
        inner.setObjectName("sum-fields")
        self.setStyleSheet("#sum-fields { background: transparent; }")
        self.viewport().setAutoFillBackground(False)
        layout = QVBoxLayout(inner)
        layout.setContentsMargins(16, 10, 14, 10)
        layout.setSpacing(3)
        for ask in one.asks:
            self._add(layout, ask, ask.words(shelf), inner)
        self.example = QPushButton("Fill in an example", inner)
        self.example.clicked.connect(self.fill_example)
        layout.addSpacing(6)
        layout.addWidget(self.example)
        layout.addStretch(1)
        self.setWidget(inner)
        theme.changed.connect(self._restyle)
        self._restyle()

    def _add(self, layout: QVBoxLayout, ask: Ask, choices: tuple[str, ...], inner: QWidget) -> None:
        label = QLabel(inner)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        field = self._input(ask, choices, inner)
        field.setAccessibleName(ask.label)
        field.setAccessibleDescription(ask.hint)
        label.setBuddy(field)
        self._labels[ask.key], self.inputs[ask.key] = label, field
        layout.addWidget(label)
        layout.addWidget(field)
        layout.addSpacing(5)

    def _input(self, ask: Ask, choices: tuple[str, ...], inner: QWidget) -> Input:
        if choices:
            box = QComboBox(inner)
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(8)
            if not ask.default:
                box.addItem(NOT_GIVEN, "")
            for word in choices:
                box.addItem(word, word)
            box.setCurrentIndex(max(0, box.findData(ask.default)))
            box.currentIndexChanged.connect(self.changed)
            return box
        if ask.long:
            rows = QPlainTextEdit(ask.default, inner)
            rows.setTabChangesFocus(True)
            rows.setPlaceholderText(ask.hint)
            rows.textChanged.connect(self.changed)
            return rows
        line = QLineEdit(ask.default, inner)
        line.setMaxLength(400)
        line.setPlaceholderText(ask.hint)
        line.textChanged.connect(self.changed)
        return line

    def typed(self) -> dict[str, str]:
        """What stands in the fields."""
        return {key: _text(field) for key, field in self.inputs.items()}

    def fill_example(self) -> None:
        """Put an example that works into the fields."""
        for ask in self.sum.asks:
            _set_text(self.inputs[ask.key], self.sum.example.get(ask.key, ask.default))

    def fill_from(self, fields: Mapping[str, str]) -> None:
        """Put in what a line knows; what the person typed stays."""
        typed = self.typed()
        for ask in self.sum.asks:
            theirs = typed[ask.key] not in ("", ask.default, self._filled.get(ask.key), self.sum.example.get(ask.key))
            if fields.get(ask.key) and not theirs:
                _set_text(self.inputs[ask.key], fields[ask.key])
                self._filled[ask.key] = fields[ask.key]

    def point_at(self, key: str) -> None:
        """Show which field is at fault, "" for none."""
        if key != self._faulty:
            self._faulty = key
            self._restyle()

    def _restyle(self) -> None:
        times, tokens = self._theme.times, self._theme.tokens
        for ask in self.sum.asks:
            label, field = self._labels[ask.key], self.inputs[ask.key]
            label.setFont(font(15 * times, 400 if ask.optional or ask.default else 600))
            label.setText(f"{ask.label}{', optional' if ask.optional and not ask.default else ''}")
            label.setStyleSheet(f"color: {tokens.stop if ask.key == self._faulty else tokens.text}")
            if isinstance(field, QPlainTextEdit):
                field.setFixedHeight(round(96 * times))


class SumsPage(QWidget):
    """All sums; works without a build and without a workshop."""

    def __init__(self, theme: Theme, background: Background, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._background = background
        self._forms: dict[str, SumForm] = {}
        self._turn = 0
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.setInterval(WAIT_MS)
        self._waiting.timeout.connect(self._work)
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(WAIT_MS)
        self._slow.timeout.connect(self._say_slow)
        self._head = PageHead(theme, self)
        self.list = RowList(theme, 0, 0, self)
        self.list.setAccessibleName("Sums")
        self.list.wanted.connect(self._enter)
        self.forms = QStackedWidget(self)
        self.answer = Tray(theme, self)
        self.answer.setAccessibleName("Answer")
        self._rules = [QFrame(self), QFrame(self)]
        self._lay_out()
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        theme.changed.connect(self._restyle)
        self._restyle()
        self.list.show_rows(_rows())
        self.list.selectionModel().currentChanged.connect(self._chosen)
        self._chosen()

    def _lay_out(self) -> None:
        columns = QHBoxLayout()
        columns.setSpacing(0)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.addWidget(self.list, 4)
        columns.addWidget(self._rules[0])
        columns.addWidget(self.forms, 6)
        columns.addWidget(self._rules[1])
        columns.addWidget(self.answer, 11)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._head)
        layout.addLayout(columns, 1)

    def _restyle(self) -> None:
        tokens = self._theme.tokens
        for rule in self._rules:
            rule.setFixedWidth(1)
            rule.setStyleSheet(f"background: {tokens.rule}")

    @cached_property
    def _shelf(self) -> Shelf:
        return Shelf(shipped_tables(), measuring_tables(), decimal_mark())

    @property
    def form(self) -> SumForm:
        """The fields of the sum in hand."""
        return self._forms[self.list.key]

    def begin(self) -> None:
        """Put the hand into the first field."""
        self._enter(self.list.key)

    def show_sum(self, key: str, fields: Mapping[str, str] | None = None, of: str = "") -> None:
        """Take one sum in hand, with what a line knows of its fields; `of` names the line."""
        model = self.list.model_
        number = next(number for number, row in enumerate(model.rows) if row.key == key)
        self.list.setCurrentIndex(model.index(number))
        if fields is not None:
            self.form.fill_from(fields)
            self._head.show_head(self.form.sum.title, f"{of}. Esc goes back to it.", "")
            self._work()

    def _chosen(self) -> None:
        key = self.list.key
        if not key:
            return
        if key not in self._forms:
            self._forms[key] = self._make(next(one for one in SUMS if one.id == key))
        self.forms.setCurrentWidget(self.form)
        self._head.show_head(self.form.sum.title, self.form.sum.about, "")
        self._work()

    def _make(self, one: Sum) -> SumForm:
        form = SumForm(self._theme, one, self._shelf, self)
        form.changed.connect(self._waiting.start)
        self.forms.addWidget(form)
        stops = [*form.inputs.values(), self.list, form.example, self.answer]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)
        return form

    def _enter(self, _key: str) -> None:
        first = next(iter(self.form.inputs.values()))
        first.setFocus(Qt.FocusReason.TabFocusReason)

    def _work(self) -> None:
        """Work the sum off the window's thread: some take longer than a key may."""
        self._waiting.stop()
        self._turn += 1
        form = self.form
        job: Callable[..., Answer] = partial(_answer, form.sum, form.typed(), self._shelf)
        turn = self._turn
        self._slow.start()
        self._background.run(job, partial(self._show, turn, form), partial(self._refuse, turn, form))

    def _say_slow(self) -> None:
        """An answer to what stood there before is no answer to what stands there now."""
        self.answer.show_sections("", (Section("", (Item((Run("Working it out …"),)),)),), self.form.sum.title)

    def _show(self, turn: int, form: SumForm, answer: Answer) -> None:
        if turn == self._turn:
            self._slow.stop()
            form.point_at("")
            self.answer.show_sections("", answer.sections, form.sum.title)

    def _refuse(self, turn: int, form: SumForm, error: BaseException) -> None:
        if not isinstance(error, ValueError):
            raise error
        if turn != self._turn:
            return
        self._slow.stop()
        missing = isinstance(error, Missing)
        form.point_at(error.key if isinstance(error, SumError) and not missing else "")
        ink: Token = "quiet" if missing else "stop"
        section = Section("", (Item((Run(str(error), ink),)),), px=19)
        self.answer.show_sections("", (section,), form.sum.title)


def _answer(one: Sum, typed: dict[str, str], shelf: Shelf, *_unused: object) -> Answer:
    return one.answer(typed, shelf)


def _rows() -> tuple[ListRow, ...]:
    rows: list[ListRow] = []
    for group in Group:
        rows.append(ListRow("", group.value, heading=True))
        rows += [ListRow(one.id, one.title) for one in SUMS if one.group is group]
    return tuple(rows)


def _text(field: Input) -> str:
    if isinstance(field, QComboBox):
        return str(field.currentData())
    return field.text() if isinstance(field, QLineEdit) else field.toPlainText()


def _set_text(field: Input, text: str) -> None:
    if isinstance(field, QComboBox):
        field.setCurrentIndex(max(0, field.findData(text)))
    elif isinstance(field, QLineEdit):
        field.setText(text)
    else:
        field.setPlainText(text)


def make_page(desk: "Desk", _key: str) -> Page:
    """The sums at the bench; they need no build. Asked for of a line, they show its sum, and Esc goes back to it."""
    theme = PageTheme(desk.theme)
    page = SumsPage(theme, desk.background)
    of = ""

    def begin(about: str) -> bool:
        nonlocal of
        line, work = desk.home.line if about else None, desk.at_hand.work
        if line is not None and work is not None:
            wanted = sum_of(line)
            if wanted is None:
                return False
            page.show_sum(wanted.value, fields_of(work.survey, line), f"{line.number} {line.step.do}")
        of = line.id if line is not None else ""
        return True

    def back() -> bool:
        line = desk.home.line
        if line is None or line.id != of:
            return False
        desk.show_places()
        return True

    return Page(page, theme, begin, focus=page.begin, back=back)
