"""The grid itself: values typed at speed with Enter and arrows, pasted from a table, each judged at once."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QKeySequence, QMouseEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.assembly.lines import Line
from app.assembly.standing.entry_places import Form
from app.desk.theme import Theme, font, metrics
from app.desk.widgets import draw
from app.desk.widgets.open_field import OpenField
from app.desk.work import Work
from app.sheet.draw import marks
from app.sheet.draw.tokens import Token
from app.sheet.grid import GridCell, GridView
from app.trade.verdict import Verdict

Index = QModelIndex | QPersistentModelIndex
CELL_PX, ROW_PX, HEAD_PX = 132, 62, 40
_INK: dict[Verdict | None, Token] = {
    Verdict.IN: "ink",
    Verdict.OUT: "stop",
    Verdict.UNDECIDED: "mind",
    None: "ink",
}
_LEAST_BAR = 36.0
_WIDEST_PX = 190


class GridModel(QAbstractTableModel):
    """The cells; `draft` tells what is half typed in one: it stays there until it is a reading or thrown away."""

    CellRole = Qt.ItemDataRole.UserRole
    written = Signal(str, int, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view: GridView | None = None
        self.draft: Callable[[GridCell], str] = lambda _cell: ""

    def show_view(self, view: GridView) -> None:
        """Show a grid; the same shape keeps its cells, so the hand stays."""
        before = self._view
        same = before is not None and (before.number, _shape(before)) == (view.number, _shape(view))
        if same:
            self._view = view
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, self.columnCount() - 1))
            return
        self.beginResetModel()
        self._view = view
        self.endResetModel()

    @property
    def view(self) -> GridView | None:
        """The grid shown."""
        return self._view

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many rows; none below a cell."""
        return 0 if parent.isValid() or self._view is None else len(self._view.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many columns; none below a cell."""
        return 0 if parent.isValid() or self._view is None else len(self._view.columns)

    def cell(self, index: Index) -> GridCell | None:
        """The cell at an index, None where the row has no such place."""
        if self._view is None or not index.isValid():
            return None
        return self._view.rows[index.row()].cells[index.column()]

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The cell itself, its text, or how it is said aloud."""
        cell = self.cell(index)
        if cell is None:
            return None
        if role == self.CellRole:
            return cell
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self.draft(cell) or cell.text
        return cell.spoken if role == Qt.ItemDataRole.AccessibleTextRole else None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Columns by their number on the engine, rows by what is read and its limits."""
        if self._view is None or role != Qt.ItemDataRole.DisplayRole:
            return None
        if orientation == Qt.Orientation.Horizontal:
            return self._view.columns[section]
        row = self._view.rows[section]
        return f"{row.title}\n{row.limits}" if row.limits else row.title

    def flags(self, index: Index) -> Qt.ItemFlag:
        """What is worked out can be looked at and not typed into."""
        cell = self.cell(index)
        if cell is None:
            return Qt.ItemFlag.NoItemFlags
        look = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return look if cell.worked else look | Qt.ItemFlag.ItemIsEditable

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Tell what was typed; whoever keeps it shows the grid anew."""
        cell = self.cell(index)
        text = str(value).strip()
        if cell is None or cell.worked or role != Qt.ItemDataRole.EditRole or not text:
            return False
        if text == cell.text:
            return False
        self.written.emit(cell.place, cell.round, text)
        return True


def _shape(view: GridView) -> tuple[Any, ...]:
    return view.columns, tuple((row.title, tuple(cell and cell.place for cell in row.cells)) for row in view.rows)


class GridDelegate(QStyledItemDelegate):
    """Draws a value with its verdict by shape, word and colour."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._theme = theme

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        """One size for all, so that the grid keeps the shape of the engine."""
        times = self._theme.times
        return QSize(round(CELL_PX * times), round(ROW_PX * times))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one cell."""
        theme = self._theme
        rect = QRectF(option.rect)
        here = bool(option.state & option.state.State_Selected)
        painter.save()
        painter.fillRect(rect, theme.colour("here" if here else "paper"))
        painter.fillRect(QRectF(rect.left(), rect.bottom() - 1, rect.width(), 1), theme.colour("hair"))
        painter.fillRect(QRectF(rect.right() - 1, rect.top(), 1, rect.height()), theme.colour("hair"))
        cell: GridCell | None = index.data(GridModel.CellRole)
        if cell is None:
            painter.fillRect(rect, theme.colour("bench"))
        else:
            refused = str(index.data()) if str(index.data() or "") != cell.text else ""
            self._cell(painter, rect, cell, refused)
        if here:
            painter.setPen(draw.ring(theme))
            painter.drawRect(rect.adjusted(1, 1, -2, -2))
        painter.restore()

    def _cell(self, painter: QPainter, rect: QRectF, cell: GridCell, refused: str) -> None:
        theme, times = self._theme, self._theme.times
        if cell.verdict in (Verdict.OUT, Verdict.UNDECIDED):
            wide = (6 if cell.verdict is Verdict.OUT else 3) * times
            painter.fillRect(QRectF(rect.left(), rect.top(), wide, rect.height()), theme.colour(_INK[cell.verdict]))
        inner = rect.adjusted(12 * times, 4 * times, -6 * times, -4 * times)
        ink: Token = "stop" if refused else "quiet" if cell.old else _INK[cell.verdict]
        text = refused or (cell.text if not cell.old else f"was {cell.text}")
        if cell.worked and not cell.text:
            draw.text(painter, theme, inner, "–", 18 * times, 400, "quiet")
            return
        alone = not refused and not cell.verdict
        upper = QRectF(inner.left(), inner.top(), inner.width(), inner.height() * (1.0 if alone else 0.56))
        draw.text(painter, theme, upper, text, (19 if len(text) < 11 else 15) * times, 700, ink)
        lower = QRectF(inner.left(), upper.bottom(), inner.width(), inner.height() * 0.44)
        if refused:
            draw.text(painter, theme, lower, "not kept", 14 * times, 400, "stop")
        elif cell.verdict is not None:
            self._verdict(painter, lower, cell, cell.verdict)
        elif not cell.text:
            self._write_in(painter, inner)

    def _verdict(self, painter: QPainter, room: QRectF, cell: GridCell, verdict: Verdict) -> None:
        theme, times = self._theme, self._theme.times
        word = metrics(14 * times, 600).horizontalAdvance(verdict.value)
        wide = min(62.0, (room.width() - word) / times - 6)
        if wide >= _LEAST_BAR and cell.band is not None and any(end is not None for end in cell.limits):
            shapes = marks.verdict_to_scale(verdict, cell.band, cell.limits, wide)
            draw.shapes(painter, theme, shapes, room.left(), room.center().y() - 12 * times, times)
        else:
            wide = 26.0
            draw.shapes(
                painter, theme, marks.verdict(verdict), room.left(), room.center().y() - 9 * times, times * 0.72
            )
        words = QRectF(room.left() + (wide + 4) * times, room.top(), room.width(), room.height())
        draw.text(painter, theme, words, verdict.value, 14 * times, 600, _INK[verdict])

    def _write_in(self, painter: QPainter, room: QRectF) -> None:
        """An open box to write in, as on paper."""
        theme, times = self._theme, self._theme.times
        box = QRectF(
            room.left(), room.top() + 8 * times, min(room.width() - 40 * times, 92 * times), room.height() - 14 * times
        )
        painter.setPen(theme.colour("text"))
        painter.drawLine(box.topLeft(), box.bottomLeft())
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        painter.drawLine(box.bottomRight(), box.topRight())


class GridTable(QTableView):
    """The table: typing opens a cell, Enter goes to the next open one, a block can be pasted from a table."""

    chosen = Signal()
    key_wanted = Signal(str)
    written = Signal(str, int, str)
    told = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.grid = GridModel(self)
        self._at: tuple[Work, Line] | None = None
        self._pressed_here = False
        self.setModel(self.grid)
        self.setItemDelegate(GridDelegate(theme))
        self.setAccessibleName("Readings")
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.setSectionsClickable(False)
            header.setHighlightSections(False)
        self.verticalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self._field = OpenField(self)
        self._field.kept.connect(self.written)
        self._field.moved.connect(self.step)
        self.selectionModel().currentChanged.connect(self._changed)
        theme.changed.connect(self._size)
        self._size()

    def _size(self) -> None:
        times, tokens = self._theme.times, self._theme.tokens
        self.verticalHeader().setDefaultSectionSize(round(ROW_PX * times))
        self._widen()
        self.horizontalHeader().setFixedHeight(round(HEAD_PX * times))
        self.verticalHeader().setFixedWidth(round(168 * times))
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        size = round(15 * times)
        self.setStyleSheet(
            f"QTableView {{ background: {tokens.paper}; border: none; }}"
            f"QHeaderView {{ background: {tokens.paper}; border: none; }}"
            f"QHeaderView::section {{ background: {tokens.paper}; color: {tokens.text}; border: none; "
            f"padding: 0 {round(8 * times)}px; font-size: {size}px; font-weight: 600; }}"
            f"QHeaderView::section:horizontal {{ border-bottom: 2px solid {tokens.text}; }}"
            f"QHeaderView::section:vertical {{ border-bottom: 1px solid {tokens.hair}; }}"
            f"QTableCornerButton::section {{ background: {tokens.paper}; border: none; "
            f"border-bottom: 2px solid {tokens.text}; }}"
        )
        self.viewport().update()

    def _widen(self) -> None:
        """Cells take the room there is, within reason, and never less than a value and its verdict need."""
        times, count = self._theme.times, max(1, self.grid.columnCount())
        room = (self.viewport().width() - 2) / count
        self.horizontalHeader().setDefaultSectionSize(round(min(max(room, CELL_PX * times), _WIDEST_PX * times)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the cells their share of the new width."""
        super().resizeEvent(event)
        self._widen()
        self._field.place_anew()

    def show_view(self, view: GridView, work: Work, line: Line) -> None:
        """Show a line as a grid, the hand on its first open cell when it is another line's."""
        before = self.grid.view
        if before is not None and before.number != view.number:
            self._field.close()
        self._at = work, line
        self.grid.show_view(view)
        self._widen()
        if before is None or before.number != view.number or not self.currentIndex().isValid():
            self.first_open()

    @property
    def here(self) -> GridCell | None:
        """The cell in hand."""
        return self.grid.cell(self.currentIndex())

    def _changed(self) -> None:
        self._field.close()
        self.chosen.emit()

    # --- writing

    def write_here(self, typed: str = "") -> None:
        """Open the cell in hand, with what was just typed, else what is half typed there or stands there."""
        cell = self.here
        if cell is None:
            return
        if cell.entry is None:
            self.told.emit(f"{cell.title} is worked out from what is read: {cell.words}.")
            return
        if self._at is not None:
            self.scrollTo(self.currentIndex())
            size = 20 if cell.entry.form is Form.VALUE else 16
            shown = font(size * self._theme.times, 700)
            self._field.open((*self._at, cell.entry), self._cell_rect, cell.title, shown, typed)

    def _cell_rect(self) -> QRect:
        return self.visualRect(self.currentIndex())

    # --- places

    def first_open(self) -> None:
        """Put the hand on the first place without a value."""
        order = self._order()
        empty = next((index for index in order if self._is_open(index)), order[0] if order else None)
        if empty is not None:
            self.setCurrentIndex(empty)

    def next_open(self) -> None:
        """Go on to the next place without a value, cylinder by cylinder; stay where there is none."""
        order = self._order()
        here = self.currentIndex()
        at = next((n for n, index in enumerate(order) if index == here), -1)
        for index in (*order[at + 1 :], *order[: at + 1]):
            if self._is_open(index):
                self.setCurrentIndex(index)
                return

    def go_on_from(self, place: str, turn: int) -> None:
        """Go on to the next open cell, if the hand is still on this one."""
        cell = self.here
        if cell is not None and (cell.place, cell.round) == (place, turn):
            self.next_open()

    def step(self, by: int) -> None:
        """One row up or down."""
        index = self.grid.index(self.currentIndex().row() + by, self.currentIndex().column())
        if self.grid.cell(index) is not None:
            self.setCurrentIndex(index)

    def _order(self) -> list[QModelIndex]:
        rows, columns = range(self.grid.rowCount()), range(self.grid.columnCount())
        every = (self.grid.index(row, column) for column in columns for row in rows)
        return [index for index in every if (cell := self.grid.cell(index)) is not None and not cell.worked]

    def _is_open(self, index: QModelIndex) -> bool:
        cell = self.grid.cell(index)
        return cell is not None and not cell.worked and (not cell.text or cell.old)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press takes a cell in hand; another press on it opens it."""
        self._pressed_here = self.indexAt(event.position().toPoint()) == self.currentIndex()
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The second press on a cell opens it."""
        super().mouseReleaseEvent(event)
        here = self.indexAt(event.position().toPoint()) == self.currentIndex()
        if event.button() == Qt.MouseButton.LeftButton and self._pressed_here and here and not self._field.is_open:
            self.write_here()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A figure or a sign begins to write; Enter opens the cell; Ctrl+V pastes a block; letters go to the page."""
        if self._field.take_key(event):
            return
        if event.matches(QKeySequence.StandardKey.Paste):
            self._paste(QApplication.clipboard().text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.write_here()
        elif event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Space):
            event.ignore()
        elif event.modifiers() in _TYPING and event.text().isprintable() and event.text():
            self._typed(event.text())
        else:
            super().keyPressEvent(event)

    def _typed(self, text: str) -> None:
        """What begins a value opens the cell with it; any other letter is the page's."""
        cell = self.here
        words = cell is not None and cell.entry is not None and cell.entry.form is not Form.VALUE
        if text in "0123456789.,-+" or words:
            self.write_here(text)
        else:
            self.key_wanted.emit(text.lower())

    def keyboardSearch(self, _text: str) -> None:
        """What is typed is written or is a command; it never looks for a cell that begins so."""

    def _paste(self, text: str) -> None:
        """Write a block of a table from the cell in hand on: lines down, tabs or semicolons across."""
        here = self.currentIndex()
        for down, line in enumerate(text.strip("\n").splitlines()):
            for across, value in enumerate(line.replace(";", "\t").split("\t")):
                index = self.grid.index(here.row() + down, here.column() + across)
                if value.strip():
                    self.grid.setData(index, value)


_TYPING = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.KeypadModifier,
)
