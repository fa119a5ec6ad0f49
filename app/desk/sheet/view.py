"""The sheet on the screen: one stage, worked by mouse or by keys alone."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPoint, QPointF, QRect, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.said.marks import State
from app.desk.sheet.layout import lay_out
from app.desk.sheet.model import Index, SheetModel, key_of
from app.desk.sheet.paint import SheetDelegate
from app.desk.theme import Theme
from app.desk.widgets.value_field import ChoiceField, Echo, ValueField, decimal_mark
from app.desk.work import Work
from app.sheet.rows import BlockRow, GateRow, LineRow, PlaceBox, Row, WriteIn
from app.store.workshop import Arrow
from app.words.understood import Understood, value_understood


class SheetView(QListView):
    """Shows the rows of a stage. It says what is wanted; the window sees to it."""

    next_mark = Signal()
    mark_wanted = Signal(str)
    tick_wanted = Signal(str)
    value_written = Signal(str, int, str)
    gate_wanted = Signal(str)
    line_changed = Signal()
    beyond = Signal(int)
    drafted = Signal(str)
    figure_wanted = Signal()
    concession_wanted = Signal()
    find_wanted = Signal()
    record_wanted = Signal(str)
    places_wanted = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self._field: ValueField | ChoiceField | None = None
        self.letters = True
        self._model = SheetModel(self)
        self._delegate = SheetDelegate(theme)
        self._echo = Echo(self.viewport())
        self.setModel(self._model)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName("Sheet")
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalScrollBar().setSingleStep(22)
        self.selectionModel().currentChanged.connect(self._current_changed)
        theme.changed.connect(self._relayout)

    # --- what is shown

    def show_rows(self, work: Work, rows: tuple[Row, ...]) -> None:
        """Show a stage's rows, the hand staying on its line."""
        self._work = work
        here, scroll = self.here, self.verticalScrollBar().value()
        same = [key_of(row) for row in rows] == [key_of(row) for row in self._model.rows]
        heights = self._heights() if same else []
        self._model.set_rows(rows)
        if same:
            if heights != self._heights():
                self._relayout()
            return
        self._end_field()
        row = self._model.row_of(here)
        if row >= 0:
            self._select(row)
            self.verticalScrollBar().setValue(scroll)

    def dataChanged(self, top: Index, bottom: Index, roles: Sequence[int] = ()) -> None:
        """Draw only what changed: a list view would lay out every row anew, which `show_rows` does where it must."""
        QAbstractItemView.dataChanged(self, top, bottom, roles)

    def _heights(self) -> list[int]:
        width = self.viewport().width()
        times = self._theme.times
        return [round(lay_out(row, width, times).height) for row in self._model.rows if isinstance(row, LineRow)]

    def _relayout(self) -> None:
        self.scheduleDelayedItemsLayout()
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out anew at the new width."""
        super().resizeEvent(event)
        self._relayout()

    @property
    def here(self) -> str:
        """The key of the current row: a step's id, or "gate:" and a gate's."""
        index = self.currentIndex()
        return key_of(index.data(SheetModel.RowRole)) if index.isValid() else ""

    @property
    def row(self) -> Row | None:
        """The current row."""
        index = self.currentIndex()
        return index.data(SheetModel.RowRole) if index.isValid() else None

    @property
    def place(self) -> str:
        """The place of the current line the keys act on, "" where it has none."""
        row = self.row
        if not isinstance(row, LineRow):
            return ""
        cells = cells_of(row)
        return cells[self._delegate.place].place if self._delegate.place < len(cells) else ""

    def go_to(self, key: str, place: str = "") -> bool:
        """Put the hand on a row; say whether it is on this stage."""
        row = self._model.row_of(key)
        if row < 0:
            return False
        self._select(row)
        if place:
            self._go_to_place(place)
        self.scrollTo(self._model.index(row), QAbstractItemView.ScrollHint.EnsureVisible)
        return True

    def first(self) -> None:
        """Put the hand on the first line."""
        self._move_from(-1, 1)

    def last(self) -> None:
        """Put the hand on the last row."""
        self._move_from(len(self._model.rows), -1)

    def _go_to_place(self, place: str) -> None:
        row = self.row
        if isinstance(row, LineRow):
            cells = cells_of(row)
            self._delegate.place = next((n for n, cell in enumerate(cells) if cell.place == place), 0)
            self.viewport().update()

    def _select(self, row: int) -> None:
        self.selectionModel().setCurrentIndex(self._model.index(row), QItemSelectionModel.SelectionFlag.ClearAndSelect)

    def _current_changed(self, current: QModelIndex, _previous: QModelIndex) -> None:
        self._end_field()
        row = current.data(SheetModel.RowRole) if current.isValid() else None
        self._delegate.here = key_of(row) if row is not None else ""
        self._delegate.place = _first_open(row) if isinstance(row, LineRow) else 0
        self.viewport().update()
        self.line_changed.emit()

    # --- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of the sheet; single letters act only here and can be turned off."""
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        shifted = event.modifiers() == Qt.KeyboardModifier.ShiftModifier
        key = event.key()
        if plain and key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self._move_from(self.currentIndex().row(), 1 if key == Qt.Key.Key_Down else -1)
        elif plain and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._move_place(1 if key == Qt.Key.Key_Right else -1)
        elif plain and key == Qt.Key.Key_Space:
            self._space()
        elif plain and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter()
        elif self.letters and (plain or shifted) and event.text() in _LETTERS:
            self.mark_wanted.emit(_LETTERS[event.text()])
        elif self.letters and (plain or shifted) and event.text().lower() in ("f", "w", "g", "p"):
            wanted = {
                "f": self.figure_wanted,
                "w": self.concession_wanted,
                "g": self.find_wanted,
                "p": self.places_wanted,
            }
            wanted[event.text().lower()].emit()
        elif self.letters and (plain or shifted) and event.text().lower() in ("o", "x", "s"):
            self.record_wanted.emit(event.text().lower())
        else:
            super().keyPressEvent(event)

    def _move_from(self, row: int, step: int) -> None:
        rows = self._model.rows
        row += step
        while 0 <= row < len(rows) and isinstance(rows[row], BlockRow):
            row += step
        if 0 <= row < len(rows):
            self._select(row)
            self.scrollTo(self._model.index(row))
        else:
            self.beyond.emit(step)

    def _move_place(self, step: int) -> None:
        row = self.row
        if isinstance(row, LineRow):
            count = len(cells_of(row))
            self._delegate.place = min(max(0, self._delegate.place + step), max(0, count - 1))
            self.viewport().update()

    def _space(self) -> None:
        row = self.row
        if isinstance(row, GateRow):
            self.gate_wanted.emit(row.gate)
        elif isinstance(row, LineRow) and any(box.state is not State.DONE for box in row.boxes) and _workable(row):
            self.tick_wanted.emit(self.place)
        elif isinstance(row, LineRow):
            self.next_mark.emit()

    def _enter(self) -> None:
        row = self.row
        if isinstance(row, GateRow):
            self.gate_wanted.emit(row.gate)
        elif isinstance(row, LineRow) and row.in_grid:
            self.places_wanted.emit()
        elif isinstance(row, LineRow) and row.write_ins:
            self.write_here()
        elif isinstance(row, LineRow):
            self._space()

    def write_here(self) -> None:
        """Open the current write-in, with what stands in it."""
        row = self.row
        if isinstance(row, LineRow) and row.write_ins:
            self.write(_standing(row.write_ins[self._delegate.place]))

    def next_open_place(self) -> bool:
        """Go to the next place of the line that is still open; say whether there is one."""
        row = self.row
        if not isinstance(row, LineRow):
            return False
        cells = cells_of(row)
        order = [*range(self._delegate.place, len(cells)), *range(self._delegate.place)]
        for number in order:
            if _open_cell(cells[number]):
                self._delegate.place = number
                self.viewport().update()
                return True
        return False

    # --- mouse

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A press on the box marks, on a small box ticks, on a write-in writes, on a gate opens its page."""
        super().mouseReleaseEvent(event)
        index = self.indexAt(event.position().toPoint())
        if event.button() != Qt.MouseButton.LeftButton or not index.isValid() or self._field is not None:
            return
        row = index.data(SheetModel.RowRole)
        if isinstance(row, GateRow):
            self.gate_wanted.emit(row.gate)
        elif isinstance(row, LineRow):
            self._pressed(row, event.position() - QPointF(self.visualRect(index).topLeft()))

    def _pressed(self, row: LineRow, at: QPointF) -> None:
        lay = lay_out(row, self.viewport().width(), self._theme.times)
        target = lay.box.adjusted(-8, -8, 8, 8)
        if target.contains(at):
            self.next_mark.emit()
            return
        for cell in lay.cells:
            if cell.rect.contains(at):
                self._delegate.place = cell.index
                if row.boxes:
                    self.tick_wanted.emit(self.place)
                else:
                    self.write(_standing(row.write_ins[cell.index]))
                self.viewport().update()
                return

    # --- writing a value

    def write(self, text: str) -> None:
        """Open the current write-in for writing, with this text in it."""
        row, work = self.row, self._work
        if not isinstance(row, LineRow) or not row.write_ins or work is None:
            return
        self._end_field()
        line = work.build.by_id[row.id]
        spec = line.step.spec
        assert spec is not None  # it has write-ins
        if spec.kind is Measured.CHOICE:
            choice = ChoiceField(self.viewport(), spec.choices, text)
            choice.kept.connect(self._kept)
            choice.left.connect(self._left)
            self._field = choice
        else:
            place = row.write_ins[self._delegate.place].place
            field = ValueField(self.viewport(), partial(self._understood, line, place), self._echo)
            field.kept.connect(self._kept)
            field.left.connect(self._left)
            field.drafted.connect(self.drafted)
            self._field = field
        one = row.write_ins[self._delegate.place]
        self._field.setAccessibleName(f"Value of line {row.number}, {one.title}")
        self._field.setGeometry(self._field_rect())
        self._field.show()
        self._field.setFocus()
        if isinstance(self._field, ValueField):
            self._field.begin(text)
        else:
            self._field.showPopup()

    def _understood(self, line: Line, place: str, text: str) -> Understood:
        """What is being typed at a place is taken for."""
        assert self._work is not None  # a field is open only over a build
        return value_understood(self._work.survey, line, place, text, decimal_mark())

    def _field_rect(self) -> QRect:
        row = self.row
        assert isinstance(row, LineRow)
        lay = lay_out(row, self.viewport().width(), self._theme.times)
        corner = self.visualRect(self.currentIndex()).topLeft()
        rect = lay.cells[self._delegate.place].rect.toRect().translated(corner)
        rect.setWidth(max(rect.width(), round(120 * self._theme.times)))
        rect.setHeight(max(rect.height(), round(36 * self._theme.times)))
        overhang = rect.right() - self.viewport().width() + 4
        return rect.translated(QPoint(-max(0, overhang), 0))

    def _kept(self, text: str) -> None:
        row = self.row
        assert isinstance(row, LineRow)
        one = row.write_ins[self._delegate.place]
        self._end_field()
        self.value_written.emit(one.place, one.round, text)

    def _left(self) -> None:
        self._end_field()
        self.drafted.emit("")

    def _end_field(self) -> None:
        if self._field is not None:
            field, self._field = self._field, None
            field.hide()
            field.deleteLater()
            self._echo.hide()
            self.setFocus()

    @property
    def draft(self) -> str:
        """What is half typed, "" when nothing is."""
        return self._field.text() if isinstance(self._field, ValueField) else ""

    def arrow(self) -> Arrow:
        """Where the hand is now, with the scroll and what is half typed."""
        row = self.row
        key = row.id if isinstance(row, LineRow) else ""
        return Arrow(key, self.place, self.verticalScrollBar().value(), self.draft)

    # --- focus

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring."""
        super().focusInEvent(event)
        self._delegate.focused = True
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self._delegate.focused = False
        self.viewport().update()

    def viewportEvent(self, event: QEvent) -> bool:
        """A press on a head row must not take the hand off its line."""
        if event.type() == QEvent.Type.MouseButtonPress and isinstance(event, QMouseEvent):
            index = self.indexAt(event.position().toPoint())
            if not index.isValid() or isinstance(index.data(SheetModel.RowRole), BlockRow):
                return True
        return super().viewportEvent(event)


_LETTERS = {
    "l": "later",
    "L": "later",
    "n": "not-needed",
    "N": "not-needed",
    "!": "stopped",
    "?": "look-again",
    "u": "to-do",
    "U": "to-do",
}


def cells_of(row: LineRow) -> tuple[PlaceBox | WriteIn, ...]:
    """The small boxes or write-ins of a line."""
    return row.boxes or row.write_ins


def _standing(one: WriteIn) -> str:
    """What a write-in opens with. A value from before a disturbance is measured anew, not confirmed with a key."""
    return "" if one.old else one.value


def _open_cell(cell: PlaceBox | WriteIn) -> bool:
    return cell.state is not State.DONE if isinstance(cell, PlaceBox) else not cell.value or cell.old


def _first_open(row: LineRow) -> int:
    return next((n for n, cell in enumerate(cells_of(row)) if _open_cell(cell)), 0)


def _workable(row: LineRow) -> bool:
    return row.state in (State.TO_DO, State.STARTED, State.LOOK_AGAIN)
