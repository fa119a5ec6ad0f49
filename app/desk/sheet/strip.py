"""The strip at the left: stages with what is open in each, and the gates between them."""

from collections.abc import Sequence
from typing import Any

from msgspec import Struct
from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.desk.theme import Theme, metrics
from app.desk.widgets import draw
from app.desk.work import Work
from app.sheet.draw import marks
from app.sheet.draw import tokens as k
from app.sheet.rows import open_lines

Index = QModelIndex | QPersistentModelIndex


class StripStage(Struct, frozen=True):
    """A stage in the strip."""

    number: int
    title: str
    open: int
    here: bool


class StripGate(Struct, frozen=True):
    """A gate in the strip."""

    gate: str
    title: str
    passed: bool
    in_writing: bool


StripRow = StripStage | StripGate


def strip_rows(work: Work, stage: int) -> tuple[StripRow, ...]:
    """The strip of a build, with the stage that is open marked."""
    found: list[StripRow] = []
    for head in work.build.stages:
        lines = [line for line in work.build.lines if line.stage == head.number]
        found.append(StripStage(head.number, head.title, open_lines(work.survey, lines), head.number == stage))
        found += [
            StripGate(one.gate.id, one.gate.title, one.passed, bool(one.conceded))
            for one in work.standings
            if one.gate.after == head.id
        ]
    return tuple(found)


class StripModel(QAbstractListModel):
    """The strip's rows."""

    RowRole = Qt.ItemDataRole.UserRole

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[StripRow, ...] = ()

    def set_rows(self, rows: tuple[StripRow, ...]) -> None:
        """Show these rows."""
        if rows == self._rows:
            return
        if len(rows) == len(self._rows):
            old, self._rows = self._rows, rows
            for number, (before, after) in enumerate(zip(old, rows, strict=True)):
                if before != after:
                    self.dataChanged.emit(self.index(number), self.index(number))
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

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
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            if isinstance(row, StripStage):
                return f"stage {row.number} {row.title}, {row.open} open"
            return f"gate {row.title}, {'open' if row.passed else 'shut'}"
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.title
        return None


class StripDelegate(QStyledItemDelegate):
    """Draws the strip; `narrow` shows numbers and gates only."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._theme = theme
        self.narrow = False

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """A stage is 36 high, a gate 26 and a little air."""
        row = index.data(StripModel.RowRole)
        high = k.STRIP_ROW_PX if isinstance(row, StripStage) else k.STRIP_GATE_PX + 6
        return QSize(option.rect.width(), round(high * self._theme.times))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one row."""
        row = index.data(StripModel.RowRole)
        painter.save()
        rect = QRectF(option.rect)
        focused = bool(option.state & option.state.State_HasFocus)
        if isinstance(row, StripStage):
            self._stage(painter, rect, row)
        else:
            self._gate(painter, rect, row)
        if focused:
            painter.setPen(QPen(self._theme.colour("ink"), k.FOCUS_RING_PX))
            painter.drawRect(rect.adjusted(2, 2, -3, -3))
        painter.restore()

    def _stage(self, painter: QPainter, rect: QRectF, row: StripStage) -> None:
        theme, times = self._theme, self._theme.times
        if row.here:
            painter.fillRect(rect, theme.colour("paper"))
            painter.fillRect(QRectF(rect.left(), rect.top(), rect.width(), 2), theme.colour("text"))
            painter.fillRect(QRectF(rect.left(), rect.bottom() - 2, rect.width(), 2), theme.colour("text"))
        weight = 700 if row.here else 400
        ink: k.Token = "text" if row.open else "quiet"
        number = QRectF(rect.left(), rect.top(), 28 * times, rect.height())
        draw.text(painter, theme, number, str(row.number), 16 * times, 700 if row.open else 400, ink, right=True)
        if self.narrow:
            return
        count = str(row.open) if row.open else ""
        wide = metrics(15 * times, weight).horizontalAdvance(count)
        title = rect.adjusted(34 * times, 0, -(wide + 12 * times), 0)
        words = metrics(14 * times, weight).elidedText(row.title, Qt.TextElideMode.ElideRight, title.width())
        draw.text(painter, theme, title, words, 14 * times, weight, ink)
        draw.text(painter, theme, rect.adjusted(0, 0, -6 * times, 0), count, 15 * times, weight, "quiet", right=True)

    def _gate(self, painter: QPainter, rect: QRectF, row: StripGate) -> None:
        theme, times = self._theme, self._theme.times
        bar = rect.adjusted(10 * times, 3 * times, -10 * times, -3 * times)
        solid = not row.passed or row.in_writing
        if solid:
            painter.fillRect(bar, theme.colour("gate"))
        else:
            painter.fillRect(QRectF(bar.left(), bar.top(), bar.width(), 1), theme.colour("text"))
            painter.fillRect(QRectF(bar.left(), bar.bottom() - 1, bar.width(), 1), theme.colour("text"))
        if row.passed and row.in_writing:
            draw.shapes(painter, theme, marks.stripes(8 * times, bar.height(), "on_gate"), bar.left(), bar.top(), 1)
        ink: k.Token = "on_gate" if solid else "quiet"
        glyph = 16 * times
        top = bar.center().y() - glyph / 2
        shapes = marks.gate_glyph(shut=not row.passed, ink=ink)
        draw.shapes(painter, theme, shapes, bar.left() + 8 * times, top, glyph / marks.BOX)
        if not self.narrow:
            title = bar.adjusted(30 * times, 0, -4 * times, 0)
            weight = 700 if solid else 600
            words = metrics(14 * times, weight).elidedText(row.title, Qt.TextElideMode.ElideRight, title.width())
            draw.text(painter, theme, title, words, 14 * times, weight, ink)


class Strip(QListView):
    """Stages and gates; a press or Enter goes there."""

    stage_wanted = Signal(int)
    gate_wanted = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._model = StripModel(self)
        self._delegate = StripDelegate(theme)
        self.setModel(self._model)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName("Stages and gates")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setObjectName("strip")
        self.clicked.connect(self._go)
        self.activated.connect(self._go)
        theme.changed.connect(self.scheduleDelayedItemsLayout)

    def show_rows(self, rows: tuple[StripRow, ...]) -> None:
        """Show the strip."""
        self._model.set_rows(rows)
        here = next((n for n, row in enumerate(rows) if isinstance(row, StripStage) and row.here), 0)
        self.setCurrentIndex(self._model.index(here))

    def dataChanged(self, top: Index, bottom: Index, roles: Sequence[int] = ()) -> None:
        """Draw only what changed: a list view would lay out every row anew, and no row is ever higher."""
        QAbstractItemView.dataChanged(self, top, bottom, roles)

    def set_narrow(self, narrow: bool) -> None:
        """Show numbers and gate bars only."""
        self._delegate.narrow = narrow
        wide = 48 if narrow else k.STRIP_WIDTH_PX
        self.setFixedWidth(round(wide * self._theme.times) + 10)
        self.scheduleDelayedItemsLayout()

    def _go(self, index: QModelIndex) -> None:
        row = index.data(StripModel.RowRole)
        if isinstance(row, StripStage):
            self.stage_wanted.emit(row.number)
        else:
            self.gate_wanted.emit(row.gate)
