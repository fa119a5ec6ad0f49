"""A gate's page: what holds it, in the order to clear it, and the ways through."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QLineEdit, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.assembly.said.actions import PassGate
from app.assembly.standing.gates import GateStanding
from app.desk.pages.list_page import ListPage
from app.desk.pages.rows import reason_rows
from app.desk.registry import Page
from app.desk.theme import PageTheme, Theme, font
from app.desk.widgets import draw
from app.desk.work import Work
from app.sheet.draw import marks
from app.sheet.draw.tokens import Token
from app.sheet.rows import Run
from app.words.ends import shut_why
from app.words.say import say

if TYPE_CHECKING:
    from app.desk.desk import Desk


class GateBar(QWidget):
    """The gate's bar, large."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._title, self._text, self._shut = "", "", True
        theme.changed.connect(self._size)
        self._size()

    def _size(self) -> None:
        self.setFixedHeight(round(84 * self._theme.times))
        self.update()

    def show_gate(self, title: str, text: str, *, shut: bool) -> None:
        """Show a gate's name and how it stands."""
        self._title, self._text, self._shut = title, text, shut
        self.setAccessibleName(f"{title}. {text}")
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Solid when shut; two rules when open."""
        theme, times = self._theme, self._theme.times
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("gate" if self._shut else "paper"))
        ink: Token = "on_gate" if self._shut else "text"
        if not self._shut:
            painter.fillRect(0, 0, self.width(), 2, theme.colour("text"))
            painter.fillRect(0, self.height() - 2, self.width(), 2, theme.colour("text"))
        glyph = marks.gate_glyph(shut=self._shut, ink=ink)
        draw.shapes(painter, theme, glyph, 26 * times, 20 * times, 44 * times / marks.BOX)
        name = draw.flow((Run(self._title, ink),), self.width(), 34 * times, weight=800, most=1)
        draw.put(painter, theme, name, 100 * times, 6 * times, ink)
        text = draw.flow((Run(self._text, ink),), self.width() - 120 * times, 18 * times, most=1)
        draw.put(painter, theme, text, 100 * times, 48 * times, ink)


class GatePage(QWidget):
    """One gate: reasons, and going through, with a written reason for each line left open."""

    line_wanted = Signal(str)
    passed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self.gate = ""
        self._bar = GateBar(theme, self)
        self._page = ListPage(theme, middle_px=110, right_px=330, parent=self)
        self._page.wanted.connect(self.line_wanted)
        self._through = self._page.add_button("Go through the gate", first=True)
        self._through.clicked.connect(self._go_through)
        self._go = self._page.add_button("Go to the first line")
        self._go.clicked.connect(self._go_first)
        self._anyway = self._page.add_button("Go on anyway, in writing …")
        self._anyway.clicked.connect(self._write)
        self._writing = Concessions(theme, self)
        self._writing.kept.connect(self._go_through_in_writing)
        self._writing.left.connect(self._stop_writing)
        self._writing.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._bar)
        layout.addWidget(self._page, 1)
        layout.addWidget(self._writing, 1)

    def show_gate(self, work: Work) -> None:
        """Show the gate chosen as it stands."""
        self._work = work
        standing = work.standing(self.gate)
        text = _standing_words(standing)
        self._bar.show_gate(standing.gate.title, text, shut=not standing.passed)
        shut = sum(not one.passed for one in work.standings)
        rows = reason_rows(work, standing)
        empty = "Nothing holds it any more." if not standing.passed else standing.gate.means
        self._page.show_page(
            "Gate",
            f"{work.build.name}. {standing.gate.means}",
            f"{shut} of {len(work.standings)} gates shut",
            rows,
            empty,
        )
        self._through.setVisible(not standing.passed and standing.ready)
        self._go.setVisible(bool(rows))
        self._anyway.setVisible(bool(rows) and not standing.passed)
        self._stop_writing()

    def focus(self) -> None:
        """Put the keys on what is to be done here."""
        (self._through if self._through.isVisible() else self._page.list).setFocus()

    def _go_first(self) -> None:
        if self._page.list.model_.rows:
            self.line_wanted.emit(self._page.list.model_.rows[0].key)

    def _go_through(self) -> None:
        self._pass({})

    def _go_through_in_writing(self, written: dict[str, str]) -> None:
        self._pass(written)

    def _pass(self, written: dict[str, str]) -> None:
        work = self._work
        if work is None:
            return
        if work.do(PassGate(self.gate, work.initials, work.now(), written)):
            self.passed.emit()

    def _write(self) -> None:
        assert self._work is not None  # the button shows with a gate only
        self._page.hide()
        self._writing.ask(self._work.standing(self.gate))
        self._writing.show()

    def _stop_writing(self) -> None:
        self._writing.hide()
        self._page.show()


class Concessions(QFrame):
    """One field for each line that is left open; going on takes a written reason in every one."""

    kept = Signal(dict)
    left = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._fields: dict[str, QLineEdit] = {}
        self._area = QScrollArea(self)
        self._area.setWidgetResizable(True)
        self._note = QLabel(
            "Going on anyway is a decision of yours. Write for each line why it may stay open and what would make you "
            "come back to it. The bar stays striped on every later sheet, and the lines stay loose ends.",
            self,
        )
        self._note.setWordWrap(True)
        self._ok = QPushButton("Go through, in writing", self)
        self._ok.setProperty("first", True)
        self._ok.setEnabled(False)
        self._ok.clicked.connect(self._keep)
        cancel = QPushButton("Leave the gate shut   Esc", self)
        cancel.clicked.connect(self.left)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 12, 16, 12)
        layout.addWidget(self._note)
        layout.addWidget(self._area, 1)
        layout.addWidget(self._ok, 0, Qt.AlignmentFlag.AlignLeft)
        layout.addWidget(cancel, 0, Qt.AlignmentFlag.AlignLeft)

    def ask(self, standing: GateStanding) -> None:
        """Ask for each reason; what was typed for a line before stays."""
        typed = {line: field.text() for line, field in self._fields.items()}
        self._fields = {}
        inner = QWidget()
        grid = QGridLayout(inner)
        grid.setColumnStretch(2, 1)
        for row, reason in enumerate(standing.reasons):
            number = QLabel(reason.line, inner)
            number.setFont(font(18 * self._theme.times, 700))
            words = QLabel(f"{shut_why(reason)}\nIf nobody does: {say(reason.harm)}", inner)
            words.setWordWrap(True)
            words.setFixedWidth(round(420 * min(self._theme.times, 1.3)))
            field = QLineEdit(typed.get(reason.line, ""), inner)
            field.setPlaceholderText("why it may stay open")
            field.setAccessibleName(f"Written reason for line {reason.line}")
            field.textChanged.connect(self._look)
            grid.addWidget(number, row, 0, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(words, row, 1)
            grid.addWidget(field, row, 2)
            self._fields[reason.line] = field
        grid.setRowStretch(len(standing.reasons), 1)
        self._area.setWidget(inner)
        self._look()
        first = next(iter(self._fields.values()), None)
        if first is not None:
            first.setFocus()

    def _look(self) -> None:
        left = sum(not field.text().strip() for field in self._fields.values())
        self._ok.setEnabled(not left)
        self._ok.setText(f"Go through, in writing ({left} still to write)" if left else "Go through, in writing")

    def _keep(self) -> None:
        self.kept.emit({line: field.text() for line, field in self._fields.items()})


def _standing_words(standing: GateStanding) -> str:
    if standing.passage is not None:
        words = f"Passed {standing.passage.at.astimezone():%a %d %b %Y %H:%M} by {standing.passage.by}"
        return f"{words}, in writing without {', '.join(standing.conceded)}" if standing.conceded else words
    if standing.ready:
        return "Ready. Nothing holds it"
    count = len(standing.reasons)
    return f"Not ready. {count} thing holds it" if count == 1 else f"Not ready. {count} things hold it"


def make_page(desk: "Desk", _key: str) -> Page:
    """The page of one gate."""
    theme = PageTheme(desk.theme)
    page = GatePage(theme)
    page.line_wanted.connect(desk.home.go_to_step)
    page.passed.connect(desk.pages.show_home)

    def begin(gate: str) -> bool:
        page.gate = gate
        return True

    def refill() -> None:
        if desk.at_hand.work is not None:
            page.show_gate(desk.at_hand.work)

    return Page(page, theme, begin, refill, page.focus)
