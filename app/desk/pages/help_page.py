"""Help, offline: the keys, the marks and frames, and how far to trust a figure."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.assembly.said.marks import State
from app.desk.registry import Page
from app.desk.theme import PageTheme, Theme, font
from app.desk.widgets import draw
from app.sheet.draw.marks import Frame

if TYPE_CHECKING:
    from app.desk.desk import Desk

KEYS = (
    ("Up, Down", "the line before, the line after"),
    ("Left, Right", "the place before, the place after, in a line with several"),
    ("Space", "next mark: To do, Started, Done; in a line with small boxes it ticks the place"),
    ("Shift+Space", "tick all places still open and mark the line Done, in one stroke"),
    ("Enter", "write the value: in its field Enter keeps it, Esc throws it away; at a gate, open its page"),
    ("L  N  !  ?", "Later, Not needed, Stopped, Look again"),
    ("U", "take the mark away"),
    ("F", "enter the figure and where it is from"),
    ("Shift+F", "go to the next open line whose figure nobody entered, and enter it"),
    ("P", "the line's places as the part lies: bolts one by one, readings as a grid, lash stop by stop"),
    ("W", "go on in writing although the line is open"),
    ("O", "something of this line was slackened, opened or removed"),
    ("X", "something was found, or a symptom noticed"),
    ("S", "second look"),
    ("Ctrl+L", "leaving: what must be remembered"),
    ("G or Ctrl+F", "go to a line by number, or find words"),
    ("Ctrl+Z, Ctrl+Shift+Z", "undo, redo; also after a restart"),
    ("Ctrl+E", "loose ends"),
    ("Ctrl+R", "ready now"),
    ("Ctrl+J", "logbook"),
    ("Ctrl+T", "sums at the bench: wrench, joint, shims, ratio and more; no build is needed"),
    ("Ctrl+P", "print the traveller or the build record"),
    ("Ctrl+Page Up, Ctrl+Page Down", "the stage before, the stage after"),
    ("F9", "light or dark"),
    ("Esc", "back to the sheet"),
)
SAFETY = (
    "The engine maker's manual and the part maker's sheet come first. Where they differ from a plan here, follow them.",
    "This is a record and an aid to memory. It is not approval for service.",
    "Some vehicles, boats, aircraft, lifting gear and emissions parts may only be worked on or signed off by licensed "
    "people. Ask before you start.",
    "A figure carried over from another engine, edition or lubricant is unknown until it is checked. One without a "
    "source says so.",
    "Stop if what you see does not match what the line says.",
)


class MarkKey(QWidget):
    """The marks and frames, drawn as they stand on the sheet."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.setAccessibleName("The marks and the frames")
        theme.changed.connect(self._size)
        self._size()

    def _size(self) -> None:
        self.setFixedHeight(round(130 * self._theme.times))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw both rows."""
        times = self._theme.times
        painter = QPainter(self)
        step = self.width() / len(State)
        for number, state in enumerate(State):
            self._one(painter, Frame.DO, state.value, state.word, number * step, 0)
        for number, frame in enumerate(Frame):
            word = frame.value[0].upper() + frame.value[1:]
            self._one(painter, frame, "to-do", word, number * step * 7 / 4, 66 * times)

    def _one(self, painter: QPainter, frame: Frame, state: str, word: str, x: float, y: float) -> None:
        theme, times = self._theme, self._theme.times
        draw.box(painter, theme, frame, state, x, y + 8 * times, 36 * times)
        where = QRectF(x + 42 * times, y + 8 * times, 160 * times, 36 * times)
        draw.text(painter, theme, where, word, 16 * times, 400, "text")


class HelpPage(QScrollArea):
    """Everything needed to work the sheet, on one page."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setAccessibleName("Help")
        inner = QWidget(self)
        layout = QVBoxLayout(inner)
        layout.setContentsMargins(24, 16, 24, 16)
        layout.addWidget(_head("Keys", inner))
        for keys, words in KEYS:
            layout.addLayout(_row(keys, words, inner))
        layout.addSpacing(12)
        layout.addWidget(_head("Marks, and the four frames", inner))
        layout.addWidget(MarkKey(theme, inner))
        layout.addWidget(_head("Before you trust a figure", inner))
        for sentence in SAFETY:
            label = QLabel(sentence, inner)
            label.setWordWrap(True)
            layout.addWidget(label)
        layout.addStretch(1)
        self.setWidget(inner)


def _head(words: str, parent: QWidget) -> QLabel:
    label = QLabel(words, parent)
    label.setFont(font(20, 700))
    return label


def _row(keys: str, words: str, parent: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    left, right = QLabel(keys, parent), QLabel(words, parent)
    left.setFont(font(16, 700))
    left.setFixedWidth(280)
    right.setWordWrap(True)
    row.addWidget(left)
    row.addWidget(right, 1)
    return row


def make_page(desk: "Desk", _key: str) -> Page:
    """Help."""
    theme = PageTheme(desk.theme)
    page = HelpPage(theme)
    return Page(page, theme, focus=page.setFocus)
