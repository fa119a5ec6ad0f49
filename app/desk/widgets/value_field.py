"""The field a value is typed into: our own, because stock number fields take 0,05 for 5 under some languages.

What was typed is kept as typed; beside it stands at once how it was understood, or why it was not.
"""

from collections.abc import Callable

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QWidget

from app.words.understood import Understood


def decimal_mark() -> str:
    """The decimal mark of the person's own language settings."""
    return "," if QLocale().decimalPoint() == "," else "."


Understand = Callable[[str], Understood]


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
    """A write-in being written in. Enter keeps the value, Esc leaves it, Tab keeps it and goes on."""

    kept = Signal(str)
    left = Signal()
    drafted = Signal(str)

    def __init__(self, parent: QWidget, understand: Understand, echo: Echo) -> None:
        super().__init__(parent)
        self._understand = understand
        self._echo = echo
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setMaxLength(200)
        self.textEdited.connect(self._edited)

    def begin(self, text: str) -> None:
        """Start with this text, all of it selected."""
        self.setText(text)
        self.selectAll()
        self._show()

    def _edited(self, text: str) -> None:
        self.drafted.emit(text)
        self._show()

    def _show(self) -> None:
        self._echo.show_under(self, self._understand(self.text()).words)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Tab keep, Esc leaves; a value that cannot be read stays where it is."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab):
            found = self._understand(self.text())
            if found.good and self.text().strip():
                self.kept.emit(self.text())
            elif not self.text().strip():
                self.left.emit()
            else:
                self._echo.show_under(self, found.words)
            return
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
            return
        super().keyPressEvent(event)

    def event(self, event: object) -> bool:
        """Tab belongs to the field: it keeps the value and goes on to the next place."""
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Tab and event.type() == QKeyEvent.Type.KeyPress:
            self.keyPressEvent(event)
            return True
        return super().event(event)  # type: ignore[arg-type]


class ChoiceField(QComboBox):
    """A finding in words being chosen: arrows and Enter, or its first letters."""

    kept = Signal(str)
    left = Signal()

    def __init__(self, parent: QWidget, choices: tuple[str, ...], current: str) -> None:
        super().__init__(parent)
        self.addItems(choices)
        self.setCurrentIndex(choices.index(current) if current in choices else 0)
        self.textActivated.connect(self._activated)

    def _activated(self, text: str) -> None:
        self.kept.emit(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter keeps what is shown, Esc leaves."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab):
            self.kept.emit(self.currentText())
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)
