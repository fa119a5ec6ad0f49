"""The sheet on the screen: one stage, worked by mouse or by keys alone."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QItemSelectionModel, QModelIndex, QPoint, QPointF, QRect, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from app.assembly.lines import Line
from app.assembly.said.marks import State
from app.assembly.standing.entry_places import EntryPlace, Form, entry_place
from app.desk.sheet.layout import lay_out
from app.desk.sheet.model import Index, SheetModel, key_of
from app.desk.sheet.paint import SheetDelegate
from app.desk.theme import Theme
from app.desk.widgets.open_field import OpenField
from app.desk.work import Work
from app.sheet.rows import BlockRow, GateRow, LineRow, PlaceBox, Row, WriteIn
from app.store.workshop import Arrow


class SheetView(QListView):
    """Shows the rows of a stage. It says what is wanted; the window sees to it."""

    next_mark = Signal()
    mark_wanted = Signal(str)
    tick_wanted = Signal(str)
    value_written = Signal(str, int, str)
    gate_wanted = Signal(str)
    line_changed = Signal()
    beyond = Signal(int)
    figure_wanted = Signal()
    next_figure_wanted = Signal()
    concession_wanted = Signal()
    find_wanted = Signal()
    record_wanted = Signal(str)
    places_wanted = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._work: Work | None = None
        self._on_line = ""
        self.letters = True
        self._model = SheetModel(self)
        self._delegate = SheetDelegate(theme)
        self._field = OpenField(self)
        self._field.kept.connect(self.value_written)
        self._field.moved.connect(self._moved_on)
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
        self._delegate.drafts = work.drafts
        here, scroll = self.here, self.verticalScrollBar().value()
        same = [key_of(row) for row in rows] == [key_of(row) for row in self._model.rows]
        heights = self._heights() if same else []
        self._model.set_rows(rows)
        if same:
            if heights != self._heights():
                self._relayout()
            return
        self._field.close()
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
        if self._field.is_open:
            self.doItemsLayout()
            self._field.place_anew()

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
        self._field.close()
        row = current.data(SheetModel.RowRole) if current.isValid() else None
        self._delegate.here = key_of(row) if row is not None else ""
        if isinstance(row, LineRow):
            self._on_line = row.id
        self._delegate.place = _first_open(row) if isinstance(row, LineRow) else 0
        self.viewport().update()
        self.line_changed.emit()

    # --- keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of the sheet; single letters act only here and can be turned off."""
        if self._field.take_key(event):
            return
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
        elif self.letters and shifted and key == Qt.Key.Key_F:
            self.next_figure_wanted.emit()
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
        elif isinstance(row, LineRow) and (row.in_grid or row.write_ins):
            self.open_entry()
        elif isinstance(row, LineRow):
            self._space()

    def open_entry(self) -> None:
        """Where the values of the line in hand are written: here, or on the page of its places where these are many."""
        row = self.row
        if isinstance(row, LineRow) and row.in_grid:
            self.places_wanted.emit()
        else:
            self.write_here()

    def write_here(self) -> None:
        """Open the current write-in, with what is half typed there, else with what stands in it."""
        entry, line = self._entry(), self._line
        if entry is not None and line is not None and self._work is not None:
            name = f"Value of line {line.number}, {entry.title}"
            self._field.open((self._work, line, entry), self._field_rect, name)

    @property
    def _line(self) -> Line | None:
        row = self.row
        return self._work.build.by_id.get(row.id) if isinstance(row, LineRow) and self._work is not None else None

    def _entry(self) -> EntryPlace | None:
        """The place the keys act on, as it is written at."""
        row, line = self.row, self._line
        if not isinstance(row, LineRow) or not row.write_ins or line is None or self._work is None:
            return None
        one = row.write_ins[self._delegate.place]
        return entry_place(self._work.survey, line, one.place, one.round)

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
        if event.button() != Qt.MouseButton.LeftButton or not index.isValid() or self._field.is_open:
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
                    self.write_here()
                self.viewport().update()
                return

    # --- writing a value

    def _field_rect(self) -> QRect:
        row = self.row
        assert isinstance(row, LineRow)
        lay = lay_out(row, self.viewport().width(), self._theme.times)
        corner = self.visualRect(self.currentIndex()).topLeft()
        rect = lay.cells[self._delegate.place].rect.toRect().translated(corner)
        words = row.write_ins[self._delegate.place].form is Form.TEXT
        rect.setWidth(max(rect.width(), round((300 if words else 120) * self._theme.times)))
        rect.setHeight(max(rect.height(), round(36 * self._theme.times)))
        overhang = rect.right() - self.viewport().width() + 4
        return rect.translated(QPoint(-max(0, overhang), 0))

    def _moved_on(self, step: int) -> None:
        """Up and Down lead on from an open field as from the line; nothing is written."""
        self._move_from(self.currentIndex().row(), step)

    @property
    def draft(self) -> str:
        """What is half typed in the open field, "" when none is open."""
        return self._field.text

    def arrow(self) -> Arrow:
        """Where the hand is now, with the scroll and what is half typed."""
        drafts = dict(self._work.drafts) if self._work is not None else {}
        place = self.place if isinstance(self.row, LineRow) else ""
        return Arrow(self._on_line, place, self.verticalScrollBar().value(), drafts)

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


def _open_cell(cell: PlaceBox | WriteIn) -> bool:
    return cell.state is not State.DONE if isinstance(cell, PlaceBox) else not cell.value or cell.old


def _first_open(row: LineRow) -> int:
    return next((n for n, cell in enumerate(cells_of(row)) if _open_cell(cell)), 0)


def _workable(row: LineRow) -> bool:
    return row.state in (State.TO_DO, State.STARTED, State.LOOK_AGAIN)
