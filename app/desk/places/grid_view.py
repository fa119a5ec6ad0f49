"""The grid itself: values typed at speed with Enter and arrows, pasted from a table, each judged at once."""

from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QAbstractTableModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.desk.theme import Theme, font, metrics
from app.desk.widgets import draw
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
_LONGEST = 200
_LEAST_BAR = 36.0
_WIDEST_PX = 190


class GridModel(QAbstractTableModel):
    """The cells; what was typed and refused stays in its cell until it is mended."""

    CellRole = Qt.ItemDataRole.UserRole
    written = Signal(str, int, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._view: GridView | None = None
        self.refused: dict[tuple[str, int], str] = {}

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
        self.refused.clear()
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
            return self.refused.get((cell.place, cell.round), cell.text)
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
        if text == cell.text and (cell.place, cell.round) not in self.refused:
            return False
        self.written.emit(cell.place, cell.round, text)
        return True


def _shape(view: GridView) -> tuple[Any, ...]:
    return view.columns, tuple((row.title, tuple(cell and cell.place for cell in row.cells)) for row in view.rows)


class GridDelegate(QStyledItemDelegate):
    """Draws a value with its verdict by shape, word and colour, and opens a plain field to type in."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._theme = theme

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A field for what is read."""
        field = QLineEdit(parent)
        field.setMaxLength(_LONGEST)
        field.setAlignment(Qt.AlignmentFlag.AlignRight)
        field.setFont(font(20 * self._theme.times, 700))
        cell = index.data(GridModel.CellRole)
        field.setAccessibleName(cell.title if cell is not None else "Value")
        return field

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Enter keeps the value and goes on to the next place that has none; the arrows up and down go on too."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            key = Qt.Key(event.key())
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Up, Qt.Key.Key_Down):
                assert isinstance(editor, QLineEdit)
                self.commitData.emit(editor)
                self.closeEditor.emit(editor, QAbstractItemDelegate.EndEditHint.NoHint)
                view = self._grid(editor)
                if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                    view.next_open()
                else:
                    view.step(1 if key == Qt.Key.Key_Down else -1)
                return True
        return super().eventFilter(editor, event)

    @staticmethod
    def _grid(editor: QWidget) -> "GridTable":
        parent = editor.parentWidget()
        while parent is not None and not isinstance(parent, GridTable):
            parent = parent.parentWidget()
        assert isinstance(parent, GridTable)
        return parent

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

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.grid = GridModel(self)
        self.setModel(self.grid)
        self.setItemDelegate(GridDelegate(theme))
        self.setAccessibleName("Readings")
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.EditKeyPressed | QAbstractItemView.EditTrigger.DoubleClicked)
        self.setTabKeyNavigation(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        for header in (self.horizontalHeader(), self.verticalHeader()):
            header.setSectionsClickable(False)
            header.setHighlightSections(False)
        self.verticalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
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

    def show_view(self, view: GridView) -> None:
        """Show a grid, the hand on its first open cell when it is another line's."""
        before = self.grid.view
        self.grid.show_view(view)
        self._widen()
        if before is None or before.number != view.number or not self.currentIndex().isValid():
            self.first_open()

    @property
    def here(self) -> GridCell | None:
        """The cell in hand."""
        return self.grid.cell(self.currentIndex())

    def _changed(self) -> None:
        self.chosen.emit()

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

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A figure or a sign begins to write; Enter opens the cell; Ctrl+V pastes a block; letters go to the page."""
        cell, open_field = self.here, self._field()
        if open_field is not None:  # a key that was struck while the field opened is the field's
            QApplication.sendEvent(open_field, event)
        elif event.matches(QKeySequence.StandardKey.Paste):
            self._paste(QApplication.clipboard().text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and cell is not None and not cell.worked:
            self.edit(self.currentIndex())
        elif event.text() and event.text() in "0123456789.,-+" and cell is not None and not cell.worked:
            self.edit(self.currentIndex())
            field = self._field()
            if field is not None:
                field.setText(event.text())
        elif event.text().isalpha() and event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.ShiftModifier,
        ):
            self.key_wanted.emit(event.text().lower())
        elif event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Space):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _field(self) -> QLineEdit | None:
        """The field that is open, None where nothing is being typed."""
        return next((one for one in self.viewport().findChildren(QLineEdit) if one.isVisible()), None)

    def _paste(self, text: str) -> None:
        """Write a block of a table from the cell in hand on: lines down, tabs or semicolons across."""
        here = self.currentIndex()
        for down, line in enumerate(text.strip("\n").splitlines()):
            for across, value in enumerate(line.replace(";", "\t").split("\t")):
                index = self.grid.index(here.row() + down, here.column() + across)
                if value.strip() and isinstance(self.model(), QAbstractItemModel):
                    self.grid.setData(index, value)
