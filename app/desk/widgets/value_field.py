"""The field a value is typed into: our own, because stock number fields take 0,05 for 5 under some languages.

What was typed is kept as typed; beside it stands at once how it was understood, or why it was not.
"""

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QWidget

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.plan.steps import Measured, Spec
from app.trade.notation import NotationError, read_quantity, second, write_quantity
from app.trade.quantity import Kind, TorqueTurn
from app.trade.verdict import judge


def decimal_mark() -> str:
    """The decimal mark of the person's own language settings."""
    return "," if QLocale().decimalPoint() == "," else "."


def understood(text: str, spec: Spec, bounds: Bounds | None, place: str = "") -> tuple[str, bool]:
    """What a typed value is taken for, with the other system and the verdict; or the sentence that refuses it."""
    if spec.kind in (Measured.CHOICE, Measured.TEXT) or not text.strip():
        return "", True
    try:
        quantity = read_quantity(text, Kind(spec.kind.value), unit=spec.unit or None, decimal=decimal_mark())
    except NotationError as error:
        return str(error), False
    other = second(quantity)
    said = f"{write_quantity(quantity)}{f' = {other}' if other else ''}"
    limits = bounds.limits_at(place) if bounds is not None else None
    if limits is not None and not isinstance(limits, TorqueTurn):
        said += f"   {judge(quantity, limits).value}"
    return said, True


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

    def __init__(self, parent: QWidget, line: Line, bounds: Bounds | None, echo: Echo) -> None:
        super().__init__(parent)
        assert line.step.spec is not None  # only reading lines have write-ins
        self._spec = line.step.spec
        self._bounds = bounds
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
        said, _ = understood(self.text(), self._spec, self._bounds)
        self._echo.show_under(self, said)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Tab keep, Esc leaves; a value that cannot be read stays where it is."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab):
            said, good = understood(self.text(), self._spec, self._bounds)
            if good and self.text().strip():
                self.kept.emit(self.text())
            elif not self.text().strip():
                self.left.emit()
            else:
                self._echo.show_under(self, said)
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
