"""A page with a list of rows: loose ends, what is ready, a gate's reasons, the logbook, the builds."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from msgspec import Struct
from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListView,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from app.desk.theme import Theme, font
from app.desk.widgets import draw
from app.desk.widgets.draw import Flow, flow
from app.sheet.draw import marks
from app.sheet.draw import tokens as k
from app.sheet.draw.marks import Frame
from app.sheet.rows import Run

Index = QModelIndex | QPersistentModelIndex
NUMBER_PX = 64.0
BOX_PX = 52.0
STACKED_UNDER_PX = 900.0


class ListRow(Struct, frozen=True):
    """One row: a heading, or a line with a glyph, a title with a second row, and up to two columns at the right."""

    key: str
    title: str
    heading: bool = False
    number: str = ""
    frame: Frame | None = None
    state: str = ""
    gate: str = ""
    hold: bool = False
    second: tuple[Run, ...] = ()
    middle: str = ""
    right: str = ""

    @property
    def spoken(self) -> str:
        """How the row is said aloud."""
        words = [self.number, "Hold" if self.hold else "", self.title, *(run.text for run in self.second)]
        return ", ".join(word.strip() for word in [*words, self.middle, self.right] if word.strip())


class ListModel(QAbstractListModel):
    """The rows of a page."""

    RowRole = Qt.ItemDataRole.UserRole

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[ListRow, ...] = ()

    @property
    def rows(self) -> tuple[ListRow, ...]:
        """The rows shown."""
        return self._rows

    def set_rows(self, rows: tuple[ListRow, ...]) -> bool:
        """Show these rows; say whether all were taken anew, not only some put behind those that stood there."""
        old = self._rows
        if rows == old:
            return False
        if old and rows[: len(old)] == old:
            self.beginInsertRows(QModelIndex(), len(old), len(rows) - 1)
            self._rows = rows
            self.endInsertRows()
            return False
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()
        return True

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many rows; none below a row."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The row itself, or how it is said aloud."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == self.RowRole:
            return row
        return row.spoken if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole) else None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Headings cannot be chosen."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        if self._rows[index.row()].heading:
            return Qt.ItemFlag.ItemNeverHasChildren
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemNeverHasChildren


class _Placed(Struct, frozen=True):
    height: float
    title: Flow
    second: Flow
    middle: Flow
    right: Flow
    text_at: float
    middle_at: float
    right_at: float
    stacked: bool


@lru_cache(maxsize=2048)
def _place(row: ListRow, width: int, times: float, middle_px: float, right_px: float) -> _Placed:
    text_at = (16 + (NUMBER_PX if row.number else 0) + (BOX_PX if row.frame or row.gate else 0)) * times
    stacked = width / times < STACKED_UNDER_PX
    middle_px, right_px = middle_px * times, right_px * times
    rest = width - text_at - 24 * times
    text_width = rest if stacked else rest - middle_px - right_px
    tag = 58 * times if row.hold else 0.0
    title = flow((Run(row.title, "text"),), text_width - tag, 18 * times, weight=600)
    second = flow(row.second, text_width, 15 * times)
    side = rest if stacked else middle_px - 16 * times
    middle = flow((Run(row.middle, "text"),), side, 16 * times, weight=600)
    right = flow((Run(row.right, "text"),), rest if stacked else right_px - 16 * times, 16 * times)
    words = title.height + second.height
    if stacked:
        height = words + middle.height + right.height + 14 * times
    else:
        height = max(words, middle.height, right.height) + 14 * times
    middle_at = text_at if stacked else text_at + text_width + 16 * times
    right_at = text_at if stacked else middle_at + (middle_px if middle_px else 0)
    height = round(max(height, 48 * times))
    return _Placed(height, title, second, middle, right, text_at, middle_at, right_at, stacked)


class ListDelegate(QStyledItemDelegate):
    """Draws the rows; the two right-hand columns have fixed widths."""

    def __init__(self, theme: Theme, middle_px: float, right_px: float) -> None:
        super().__init__(theme)
        self._theme = theme
        self._middle_px, self._right_px = middle_px, right_px
        # How high each row is at one width and distance: Qt asks for all of them again and again.
        self._heights: dict[int, tuple[ListRow, int]] = {}
        self._heights_at = (0, 0.0)

    def _placed(self, row: ListRow, width: int) -> _Placed:
        return _place(row, width, self._theme.times, self._middle_px, self._right_px)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """How high the row is at the view's width."""
        width = option.rect.width() or 1
        if (width, self._theme.times) != self._heights_at:
            self._heights_at = (width, self._theme.times)
            self._heights.clear()
        row = index.data(ListModel.RowRole)
        high = self._heights.get(id(row))
        if high is None or high[0] is not row:
            times = self._theme.times
            high = row, round(44 * times if row.heading else self._placed(row, width).height)
            self._heights[id(row)] = high
        return QSize(width, high[1])

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one row."""
        row: ListRow = index.data(ListModel.RowRole)
        rect = QRectF(option.rect)
        selected = bool(option.state & option.state.State_Selected)
        painter.save()
        painter.translate(rect.topLeft())
        size = QRectF(0, 0, rect.width(), rect.height())
        if row.heading:
            self._heading(painter, size, row)
        else:
            self._row(painter, size, row, selected=selected)
        painter.restore()

    def _heading(self, painter: QPainter, size: QRectF, row: ListRow) -> None:
        times = self._theme.times
        painter.fillRect(size, self._theme.colour("paper"))
        rect = size.adjusted(16 * times, 8 * times, -16 * times, -4 * times)
        draw.text(painter, self._theme, rect, row.title, 17 * times, 700, "text")
        draw.text(painter, self._theme, rect, row.right, 15 * times, 400, "quiet", right=True)
        painter.fillRect(QRectF(0, size.height() - 2, size.width(), 2), self._theme.colour("text"))

    def _row(self, painter: QPainter, size: QRectF, row: ListRow, *, selected: bool) -> None:
        theme, times = self._theme, self._theme.times
        placed = self._placed(row, round(size.width()))
        painter.fillRect(size, theme.colour("here" if selected else "paper"))
        painter.fillRect(QRectF(0, size.height() - 1, size.width(), 1), theme.colour("hair"))
        if selected:
            painter.fillRect(QRectF(0, 0, size.width(), 2), theme.colour("ink"))
            painter.fillRect(QRectF(0, size.height() - 2, size.width(), 2), theme.colour("ink"))
        top = (size.height() - placed.height) / 2 + 7 * times
        if row.number:
            draw.text(
                painter,
                theme,
                QRectF(16 * times, top, NUMBER_PX * times, 26 * times),
                row.number,
                18 * times,
                700,
                "text",
            )
        self._glyph(painter, row, placed, top)
        x = placed.text_at
        if row.hold:
            tag = QRectF(x, top + 3 * times, 52 * times, 18 * times)
            painter.fillRect(tag, theme.colour("gate"))
            painter.setFont(theme.font(k.HOLD_TAG))
            painter.setPen(theme.colour("on_gate"))
            painter.drawText(tag, Qt.AlignmentFlag.AlignCenter, "HOLD")
        draw.put(painter, theme, placed.title, x + (58 * times if row.hold else 0), top)
        draw.put(painter, theme, placed.second, x, top + placed.title.height)
        below = top + placed.title.height + placed.second.height if placed.stacked else top
        draw.put(painter, theme, placed.middle, placed.middle_at, below)
        draw.put(painter, theme, placed.right, placed.right_at, below + (placed.middle.height if placed.stacked else 0))

    def _glyph(self, painter: QPainter, row: ListRow, placed: _Placed, top: float) -> None:
        theme, times = self._theme, self._theme.times
        size = 28 * times
        x = placed.text_at - BOX_PX * times + 4 * times
        if row.frame is not None:
            draw.box(painter, theme, row.frame, row.state, x, top - 2 * times, size)
        elif row.gate:
            shut = row.gate == "shut"
            if shut:
                painter.fillRect(QRectF(x, top - 2 * times, size, size), theme.colour("gate"))
            else:
                painter.setPen(QPen(theme.colour("text"), 2))
                painter.drawRect(QRectF(x, top - 2 * times, size, size))
            glyph = marks.gate_glyph(shut=shut, ink="on_gate" if shut else "text")
            draw.shapes(painter, theme, glyph, x + 4 * times, top + 2 * times, (size - 8 * times) / marks.BOX)


class RowList(QListView):
    """The list itself: arrows, Enter or one press."""

    wanted = Signal(str)

    def __init__(self, theme: Theme, middle_px: float, right_px: float, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.model_ = ListModel(self)
        self.setModel(self.model_)
        self._theme = theme
        self._laid_out_for = theme.times
        self.setItemDelegate(ListDelegate(theme, middle_px, right_px))
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.verticalScrollBar().setSingleStep(22)
        self.clicked.connect(self._go)
        theme.changed.connect(self._look_changed)

    def _look_changed(self) -> None:
        """Paint anew; only another distance moves thousands of rows as well."""
        self.viewport().update()
        if self._theme.times != self._laid_out_for:
            self._laid_out_for = self._theme.times
            self.scheduleDelayedItemsLayout()

    def show_rows(self, rows: tuple[ListRow, ...]) -> None:
        """Show rows, keeping the chosen one."""
        here = self.currentIndex().data(ListModel.RowRole) if self.currentIndex().isValid() else None
        if not self.model_.set_rows(rows):
            return
        wanted = next((n for n, row in enumerate(rows) if here is not None and row.key == here.key), None)
        first = next((n for n, row in enumerate(rows) if not row.heading), None)
        if wanted is not None or first is not None:
            self.setCurrentIndex(self.model_.index(wanted if wanted is not None else first or 0))

    @property
    def key(self) -> str:
        """The key of the chosen row, "" when none is."""
        index = self.currentIndex()
        return index.data(ListModel.RowRole).key if index.isValid() else ""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out anew at the new width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes where the row says."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.key:
            self.wanted.emit(self.key)
        else:
            super().keyPressEvent(event)

    def _go(self, index: QModelIndex) -> None:
        row = index.data(ListModel.RowRole)
        if row is not None and not row.heading:
            self.wanted.emit(row.key)


class ListPage(QWidget):
    """A page: a head with title, subtitle and count, column heads, the list, and a row of buttons."""

    wanted = Signal(str)

    def __init__(
        self,
        theme: Theme,
        *,
        middle_px: float = 0,
        right_px: float = 0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._theme = theme
        self._title, self._subtitle, self._count = QLabel(self), QLabel(self), QLabel(self)
        self._subtitle.setWordWrap(True)
        self._subtitle.setProperty("quiet", True)
        head = QHBoxLayout()
        head.setContentsMargins(16, 8, 16, 8)
        head.setSpacing(14)
        head.addWidget(self._title)
        head.addWidget(self._subtitle, 1)
        head.addWidget(self._count)
        self.list = RowList(theme, middle_px, right_px, self)
        self.list.wanted.connect(self.wanted)
        self._empty = QLabel(self)
        self._empty.setWordWrap(True)
        self._empty.setMargin(16)
        self.buttons = QHBoxLayout()
        self.buttons.setContentsMargins(16, 10, 16, 10)
        self.buttons.setSpacing(12)
        self.buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self._empty)
        layout.addWidget(self.list, 1)
        layout.addLayout(self.buttons)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        theme.changed.connect(self._restyle)
        self._restyle()

    def _restyle(self) -> None:
        times = self._theme.times
        self._title.setFont(font(24 * times, 700))
        self._subtitle.setFont(font(16 * times, 400))
        self._count.setFont(font(17 * times, 700))
        self._empty.setFont(font(17 * times, 400))

    def show_page(self, title: str, subtitle: str, count: str, rows: Sequence[ListRow], empty: str = "") -> None:
        """Show a title and rows; `empty` is what is said when there are none."""
        self._title.setText(title)
        self._subtitle.setText(subtitle)
        self._count.setText(count)
        self._empty.setText(empty)
        self._empty.setVisible(not rows and bool(empty))
        self.list.setAccessibleName(title)
        self.list.show_rows(tuple(rows))

    def add_button(self, text: str, *, first: bool = False) -> QPushButton:
        """Put a button at the foot of the page."""
        button = QPushButton(text, self)
        button.setProperty("first", first)
        self.buttons.insertWidget(self.buttons.count() - 1, button)
        return button
