"""The asking panel: what a mark demands (why, before which line, initials) is asked here, never in a dialog."""

from collections.abc import Callable, Mapping

from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.desk.theme import Theme, font

Answers = Mapping[str, str]
# More fields than this stand in two columns, so that the sheet above can still be seen.
MOST_IN_A_COLUMN = 5


class Field(Struct, frozen=True):
    """One thing asked: its key, label, what stands in it, and fixed choices if it has them.

    `offers` are shown as far as they hold what is typed, and anything else may be written. `understand` says what a
    text is taken for, shown while it is typed; `typed` is told of each change.
    """

    key: str
    label: str
    value: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    hint: str = ""
    optional: bool = False
    offers: tuple[str, ...] = ()
    understand: Callable[[str], str] | None = None
    typed: Callable[[str], None] | None = None


class AskPanel(QFrame):
    """Asks under the sheet. Enter keeps, Esc leaves; what was typed stays when the answer is refused."""

    opened = Signal()
    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._keep: Callable[[Answers], bool] | None = None
        self._leave: Callable[[], None] | None = None
        self._inputs: dict[str, QLineEdit | QComboBox] = {}
        self._wanted: tuple[str, ...] = ()
        self._answered = False
        self._fields: tuple[Field, ...] = ()
        self._echo = QLabel(self)
        self._echo.setWordWrap(True)
        self._echo.setAccessibleName("How the value is understood")
        self._title = QLabel(self)
        self._title.setWordWrap(True)
        self._note = QLabel(self)
        self._note.setWordWrap(True)
        self._grid = QGridLayout()
        self._grid.setColumnStretch(1, 1)
        self._ok = QPushButton("Keep", self)
        self._ok.setProperty("first", True)
        self._ok.clicked.connect(self._kept)
        self._cancel = QPushButton("Leave it   Esc", self)
        self._cancel.clicked.connect(self.leave)
        buttons = QHBoxLayout()
        buttons.addWidget(self._ok)
        buttons.addWidget(self._cancel)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 10, 16, 12)
        layout.addWidget(self._title)
        layout.addWidget(self._note)
        layout.addLayout(self._grid)
        layout.addWidget(self._echo)
        layout.addLayout(buttons)
        self.setAutoFillBackground(True)
        self.setAccessibleName("Question")
        theme.changed.connect(self._restyle)
        self._restyle()
        self.hide()

    def _restyle(self) -> None:
        self.setStyleSheet(self._theme.style)

    def ask(
        self,
        title: str,
        fields: tuple[Field, ...],
        keep: Callable[[Answers], bool],
        *,
        note: str = "",
        button: str = "Keep",
        leave: Callable[[], None] | None = None,
    ) -> None:
        """Ask; `keep` gets the answers and says whether they were taken, `leave` is told when the question is left."""
        self._clear()
        self._keep = keep
        self._leave = leave
        self._title.setText(title)
        self._title.setFont(font(19 * self._theme.times, 700))
        self._say(note, trouble=False)
        self._ok.setText(f"{button}   Enter")
        self._lay(fields)
        self._fields = fields
        self._echo.setVisible(any(field.understand for field in fields))
        self._show_understood()
        self.show()
        self._wanted = tuple(field.key for field in fields if not field.optional)
        self.opened.emit()
        first = next(iter(self._inputs.values()), self._ok)
        if isinstance(first, QLineEdit):
            first.selectAll()
        first.setFocus()

    def _lay(self, fields: tuple[Field, ...]) -> None:
        """The fields with their labels, in two columns where there are many."""
        columns = 2 if len(fields) > MOST_IN_A_COLUMN and self._theme.times < 1.3 else 1
        self._grid.setColumnStretch(3, columns - 1)
        for n, field in enumerate(fields):
            label = QLabel(field.label, self)
            widget = self._input(field)
            label.setBuddy(widget)
            widget.setAccessibleName(field.label)
            row, column = divmod(n, columns)
            self._grid.addWidget(label, row, 2 * column)
            self._grid.addWidget(widget, row, 2 * column + 1)
            self._inputs[field.key] = widget
            label.show()  # a panel that asks the next question stands already, and shows nothing of itself
            widget.show()

    def _input(self, field: Field) -> QLineEdit | QComboBox:
        if field.choices:
            box = QComboBox(self)
            for key, words in field.choices:
                box.addItem(words, key)
            box.setCurrentIndex(max(0, box.findData(field.value)))
            return box
        edit = QLineEdit(field.value, self)
        edit.setPlaceholderText(field.hint)
        edit.returnPressed.connect(self._entered)
        if field.offers:
            known = QCompleter(field.offers, edit)
            known.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            known.setFilterMode(Qt.MatchFlag.MatchContains)
            edit.setCompleter(known)
        if field.typed is not None:
            edit.textEdited.connect(field.typed)
        if field.understand is not None:
            edit.textEdited.connect(self._show_understood)
        return edit

    def _show_understood(self) -> None:
        """What is typed into each field is taken for, as far as it can be told."""
        said = []
        for field in self._fields:
            widget = self._inputs.get(field.key)
            if field.understand is not None and isinstance(widget, QLineEdit):
                words = field.understand(widget.text())
                said += [f"{field.label}: {words}"] if words else []
        self._echo.setText(". ".join(said))

    def refuse(self, sentence: str) -> None:
        """Say why the answer was not taken; everything typed stays."""
        self._say(sentence, trouble=True)

    @property
    def asking(self) -> bool:
        """Whether a question stands open."""
        return self._keep is not None

    def _say(self, words: str, *, trouble: bool) -> None:
        ink = self._theme.tokens.stop if trouble else self._theme.tokens.text
        self._note.setStyleSheet(f"color: {ink}")
        self._note.setText(words)
        self._note.setVisible(bool(words))

    def _entered(self) -> None:
        """Enter goes to the next field that still wants an answer, then keeps."""
        self._answered = True
        asking = self.focusWidget()
        for key in self._wanted:
            field = self._inputs[key]
            if isinstance(field, QLineEdit) and field is not asking and not field.text().strip():
                field.setFocus()
                return
        self._kept()

    def _kept(self) -> None:
        if self._keep is None:
            return
        answers = {key: _answer(widget) for key, widget in self._inputs.items()}
        if self._keep(answers):
            self.close_panel()

    def leave(self) -> None:
        """Leave the question, as Esc does."""
        leave = self._leave
        self.close_panel()
        if leave is not None:
            leave()

    def close_panel(self) -> None:
        """Leave the question."""
        self._keep = None
        self._leave = None
        self.hide()
        self._clear()
        self.closed.emit()

    def _clear(self) -> None:
        self._inputs.clear()
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc leaves, Enter keeps."""
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            # The Enter of a field comes here after it; by then the next question may stand here already.
            answered, self._answered = self._answered, False
            if not answered:
                self._kept()
        else:
            super().keyPressEvent(event)


def _answer(widget: QLineEdit | QComboBox) -> str:
    return widget.text() if isinstance(widget, QLineEdit) else str(widget.currentData())
