"""The field a value is typed into: our own, because stock number fields take 0,05 for 5 under some languages.

What was typed is kept as typed; beside it stands at once how it was understood, or why it was not. A word of a list is
typed or taken from the list; nothing is chosen before somebody chooses.
"""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QLocale, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QMoveEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QListWidget, QListWidgetItem, QWidget

from app.words.entry import Taken

LONGEST = 200
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)
# Going to another window, or to a list that drops down, is not leaving the field.
_STAYS = (
    Qt.FocusReason.ActiveWindowFocusReason,
    Qt.FocusReason.PopupFocusReason,
    Qt.FocusReason.MenuBarFocusReason,
)


def decimal_mark() -> str:
    """The decimal mark of the person's own language settings."""
    return "," if QLocale().decimalPoint() == "," else "."


Understand = Callable[[str], Taken]


class Echo(QLabel):
    """How the value being typed is understood; stands under its field and takes no keys."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = parent
        self.setAutoFillBackground(True)
        self.setFrameShape(QLabel.Shape.Box)
        self.setMargin(5)
        self.setWordWrap(True)
        self.setAccessibleName("How the value is understood")
        self.hide()

    def show_under(self, field: QWidget, text: str) -> None:
        """Stand under the field, inside the parent, or above it where there is no room below."""
        self.setText(text)
        room = self._room.rect()
        self.setFixedWidth(min(420, room.width() - 16))
        self.adjustSize()
        left = min(field.x(), room.right() - self.width() - 8)
        below = field.geometry().bottom() + 4
        top = below if below + self.height() < room.bottom() else field.y() - self.height() - 4
        self.move(max(8, left), top)
        self.setVisible(bool(text))
        self.raise_()


class ValueField(QLineEdit):
    """A write-in being written in. Enter keeps the value, Esc leaves it, Tab keeps it and goes on.

    `kept` gives what is to be written, `left` that Esc threw it away, `let_go` that the keys went elsewhere: then
    nothing is written and nothing thrown away. `moved` are Up and Down, which go to another place.
    """

    kept = Signal(str)
    left = Signal()
    let_go = Signal()
    moved = Signal(int)
    drafted = Signal(str)

    def __init__(self, parent: QWidget, understand: Understand, echo: Echo) -> None:
        super().__init__(parent)
        self._understand = understand
        self._echo = echo
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setMaxLength(LONGEST)
        self.textEdited.connect(self._edited)

    def begin(self, text: str) -> None:
        """Start with this text, all of it selected."""
        self.setText(text)
        self.selectAll()
        self._show()

    def take(self, text: str) -> None:
        """Go on with this text, as if it had just been typed."""
        self.setText(text)
        self._edited(text)

    def _edited(self, text: str) -> None:
        self.drafted.emit(text)
        self._show()

    def _show(self) -> None:
        self._echo.show_under(self._over_echo(), self._understand(self.text()).words)

    def _over_echo(self) -> QWidget:
        return self

    def _keep(self) -> None:
        found = self._understand(self.text())
        if found.good:
            self.kept.emit(found.kept)
        elif not self.text().strip():
            self.left.emit()
        else:
            self._show()

    def _step(self, by: int) -> None:
        self.moved.emit(by)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Tab keep, Esc leaves; a value that cannot be read stays where it is. No key goes further."""
        key = Qt.Key(event.key())
        if key in _ENTER:
            self._keep()
        elif key == Qt.Key.Key_Escape:
            self.left.emit()
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._step(1 if key == Qt.Key.Key_Down else -1)
        else:
            super().keyPressEvent(event)
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Tab belongs to the field: it keeps the value and goes on to the next place."""
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Tab and event.type() == QEvent.Type.KeyPress:
            self.keyPressEvent(event)
            return True
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The keys have gone elsewhere: what is typed so far stays as it is, and is no reading."""
        super().focusOutEvent(event)
        if event.reason() not in _STAYS:
            self.let_go.emit()


class ChoiceField(ValueField):
    """A finding in words: typed, by its first letters, with Up and Down and Enter, or pressed in the list."""

    def __init__(self, parent: QWidget, choices: tuple[str, ...], understand: Understand, echo: Echo) -> None:
        super().__init__(parent, understand, echo)
        self._room = parent
        self.setAlignment(Qt.AlignmentFlag.AlignLeft)
        self.list = QListWidget(parent)
        self.list.addItems(choices)
        # A press on it leaves the keys with the field; without a policy they would go to the view behind.
        self.list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.list.setFocusProxy(self)
        self.list.setObjectName("choices")
        self.list.setAccessibleName("Choices")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.itemClicked.connect(self._pressed)

    def begin(self, text: str) -> None:
        """Start with this word; with none nothing is chosen."""
        self.list.show()
        self._place_list()
        self._mark_in_list(text)
        super().begin(text)

    def _edited(self, text: str) -> None:
        self._mark_in_list(self._understand(text).kept)
        super()._edited(text)

    def _mark_in_list(self, word: str) -> None:
        found = self.list.findItems(word, Qt.MatchFlag.MatchExactly) if word else []
        self.list.setCurrentRow(self.list.row(found[0]) if found else -1)

    def _step(self, by: int) -> None:
        """Up and Down go through the list; the word stands in the field, and Enter keeps it."""
        row, count = self.list.currentRow(), self.list.count()
        row = (0 if by > 0 else count - 1) if row < 0 else min(max(0, row + by), count - 1)
        self.take(self.list.item(row).text())
        self.selectAll()

    def _pressed(self, item: QListWidgetItem) -> None:
        self.kept.emit(item.text())

    def _over_echo(self) -> QWidget:
        return self.list if self.list.isVisible() and self.list.y() > self.y() else self

    def _place_list(self) -> None:
        """Under the field, or above it where there is more room; never over it."""
        room, rect = self._room.rect(), self.geometry()
        self.list.setFont(self.font())
        wide = self.list.sizeHintForColumn(0) + 2 * self.list.frameWidth() + 24
        tall = sum(self.list.sizeHintForRow(n) for n in range(self.list.count())) + 2 * self.list.frameWidth() + 2
        below, above = room.bottom() - rect.bottom() - 2, rect.top() - 2
        under = tall <= below or below >= above
        high = min(tall, below if under else above)
        left = min(rect.left(), room.right() - max(wide, rect.width()) - 4)
        top = rect.bottom() + 1 if under else rect.top() - high - 1
        self.list.setGeometry(max(4, left), top, min(max(wide, rect.width()), room.width() - 8), high)
        self.list.raise_()

    def moveEvent(self, event: QMoveEvent) -> None:
        """The list goes with its field."""
        super().moveEvent(event)
        self._place_list()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The list goes with its field."""
        super().resizeEvent(event)
        self._place_list()

    def hideEvent(self, event: QHideEvent) -> None:
        """The list goes with its field."""
        super().hideEvent(event)
        self.list.hide()
        self.list.deleteLater()
