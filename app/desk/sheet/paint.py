"""Painting the rows of the sheet: line, block head and gate bar."""

from collections.abc import Mapping
from datetime import timedelta

from msgspec.structs import replace
from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.assembly.said.marks import State
from app.assembly.standing.entry_places import Form
from app.desk.sheet.layout import (
    GATE_TEXT_AT_PX,
    SIGNED_PX,
    SMALL_BOX_PX,
    VALUE_PX,
    Cell,
    RowLayout,
    gate_text,
    height_of,
    lay_out,
)
from app.desk.sheet.model import SheetModel
from app.desk.theme import Theme, font, metrics
from app.desk.widgets import draw
from app.sheet.draw import marks
from app.sheet.draw import tokens as k
from app.sheet.draw.marks import Frame
from app.sheet.draw.tokens import Token
from app.sheet.rows import BlockRow, Fixed, GateRow, LineRow, WriteIn
from app.store.workshop import Cell as WrittenAt
from app.trade.verdict import Verdict

Index = QModelIndex | QPersistentModelIndex
NOT_KEPT = "not kept"


_INK: dict[Verdict | None, Token] = {Verdict.OUT: "stop", Verdict.UNDECIDED: "mind"}


class SheetDelegate(QStyledItemDelegate):
    """Draws rows as the sheet shows them. `place` is the cell of the current line the keys act on."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._theme = theme
        self.place = 0
        self.here = ""
        self.drafts: Mapping[WrittenAt, str] = {}
        self.focused = False

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """How high the row is at the view's width."""
        width = option.rect.width() or 1
        row = index.data(SheetModel.RowRole)
        return QSize(width, round(height_of(row, width, self._theme.times)))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one row."""
        row = index.data(SheetModel.RowRole)
        rect = QRectF(option.rect)
        painter.save()
        painter.translate(rect.topLeft())
        size = QRectF(0, 0, rect.width(), rect.height())
        if isinstance(row, BlockRow):
            self._block(painter, size, row)
        elif isinstance(row, GateRow):
            self._gate(painter, size, row, here=self.here == f"gate:{row.gate}")
        else:
            self._line(painter, size, row, here=self.here == row.id)
        painter.restore()

    # --- block and gate

    def _block(self, painter: QPainter, size: QRectF, row: BlockRow) -> None:
        times = self._theme.times
        painter.fillRect(size, self._theme.colour("paper"))
        rect = size.adjusted(94 * times, 0, 0, -1)
        draw.text(painter, self._theme, rect, row.text, 14 * times, 400, "quiet")
        self._rule(painter, size)

    def _gate(self, painter: QPainter, size: QRectF, row: GateRow, *, here: bool) -> None:
        theme, times = self._theme, self._theme.times
        solid = not row.passed or row.in_writing
        painter.fillRect(size, theme.colour("gate" if solid else "paper"))
        ink: Token = "on_gate" if solid else "quiet"
        left = 0.0
        if row.passed and row.in_writing:
            striped = marks.stripes(14 * times, size.height(), "on_gate")
            draw.shapes(painter, theme, striped, 0, 0, 1)
            left = 10 * times
        if not solid:
            painter.fillRect(QRectF(0, 2, size.width(), 2), theme.colour("text"))
            painter.fillRect(QRectF(0, size.height() - 4, size.width(), 2), theme.colour("text"))
        glyph = 26 * times
        top = (size.height() - glyph) / 2
        shut = not row.passed
        draw.shapes(painter, theme, marks.gate_glyph(shut=shut, ink=ink), left + 12 * times, top, glyph / marks.BOX)
        name = QRectF(left + 50 * times, 0, (GATE_TEXT_AT_PX - 56) * times, size.height())
        draw.text(painter, theme, name, row.title, 22 * times if shut else 19 * times, 800 if shut else 600, ink)
        flowed = gate_text(row, round(size.width()), times)
        draw.put(painter, theme, flowed, GATE_TEXT_AT_PX * times, (size.height() - flowed.height) / 2, ink)
        if here:
            self._ring(painter, size.adjusted(4, 4, -4, -4), "on_gate" if solid else "ink")

    # --- a line

    def _line(self, painter: QPainter, size: QRectF, row: LineRow, *, here: bool) -> None:
        theme, times = self._theme, self._theme.times
        lay = lay_out(row, round(size.width()), times)
        painter.fillRect(size, theme.colour("here" if here else "paper"))
        self._rule(painter, size)
        self._edge(painter, size, row)
        self._order(painter, size, row, lay)
        if here:
            self._here(painter, size, lay)
        number = QRectF(lay.columns.number, lay.box.top(), k.NUMBER_COLUMN_PX * times, lay.box.height())
        wide = metrics(19 * times, 700).horizontalAdvance(row.number)
        px = 19 * times * min(1.0, (number.width() - 8 * times) / wide)  # a line put in between carries a letter more
        draw.text(painter, theme, number, row.number, px, 700, "text")
        draw.box(painter, theme, row.frame, row.state.value, lay.box.left(), lay.box.top(), lay.box.width())
        if row.hold:
            self._hold_tag(painter, lay)
        quiet = row.state is State.NOT_NEEDED
        draw.put(painter, theme, lay.title, *lay.title_at, ink="quiet" if quiet else None)
        draw.put(painter, theme, lay.second, *lay.second_at)
        draw.put(painter, theme, lay.lead, *lay.spec_at)
        draw.put(painter, theme, lay.figure, lay.spec_at[0], lay.spec_at[1] + lay.lead.height)
        for cell in lay.cells:
            self._cell(painter, row, lay, cell)
        self._written_foot(painter, row, lay)
        if here and self.focused and lay.cells and self.place < len(lay.cells):
            self._ring(painter, lay.cells[self.place].rect.adjusted(0, 1, 0, -1), "ink")

    def _rule(self, painter: QPainter, size: QRectF) -> None:
        painter.fillRect(QRectF(0, size.height() - 1, size.width(), 1), self._theme.colour("hair"))

    def _edge(self, painter: QPainter, size: QRectF, row: LineRow) -> None:
        width = k.EASY_BAR_PX * self._theme.times
        if row.striped:
            draw.shapes(painter, self._theme, marks.stripes(width, size.height(), "stop"), 0, 0, 1)
        elif row.easy_to_miss:
            painter.fillRect(QRectF(0, 0, width, size.height() - 1), self._theme.colour("mind"))

    def _order(self, painter: QPainter, size: QRectF, row: LineRow, lay: RowLayout) -> None:
        if row.fixed is Fixed.NONE:
            return
        times = self._theme.times
        x, middle = lay.columns.number - 8 * times, lay.box.center().y()
        top = middle - 14 * times if row.fixed is Fixed.FIRST else 0.0
        end = middle + 14 * times if row.fixed is Fixed.LAST else size.height()
        colour = self._theme.colour("text")
        painter.fillRect(QRectF(x, top, 2, end - top), colour)
        if row.fixed is Fixed.FIRST:
            painter.fillRect(QRectF(x, top, k.ORDER_FOOT_PX, 2), colour)
        if row.fixed is Fixed.LAST:
            painter.fillRect(QRectF(x, end - 2, k.ORDER_FOOT_PX, 2), colour)

    def _here(self, painter: QPainter, size: QRectF, lay: RowLayout) -> None:
        theme, times = self._theme, self._theme.times
        painter.fillRect(QRectF(0, 0, size.width(), k.HERE_RULE_PX), theme.colour("ink"))
        painter.fillRect(QRectF(0, size.height() - k.HERE_RULE_PX, size.width(), k.HERE_RULE_PX), theme.colour("ink"))
        arrow = k.PLACE_ARROW_PX * times
        top = lay.box.center().y() - arrow / 2
        draw.shapes(painter, theme, marks.place_arrow(), 3 * times, top, arrow / marks.BOX)

    def _hold_tag(self, painter: QPainter, lay: RowLayout) -> None:
        theme, times = self._theme, self._theme.times
        line = lay.title.words[0].y if lay.title.words else 0.0
        rect = QRectF(lay.columns.line, lay.title_at[1] + line - 15 * times, 52 * times, 18 * times)
        painter.fillRect(rect, theme.colour("gate"))
        painter.setFont(theme.font(k.HOLD_TAG))
        painter.setPen(theme.colour("on_gate"))
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, "HOLD")

    # --- the written column

    def _cell(self, painter: QPainter, row: LineRow, lay: RowLayout, cell: Cell) -> None:
        if row.boxes:
            self._small_box(painter, row, lay, cell)
        elif lay.single:
            self._write_in(painter, row, row.write_ins[0], cell.rect)
        else:
            self._value_cell(painter, row, row.write_ins[cell.index], cell.rect)

    def _draft(self, row: LineRow, one: WriteIn) -> str:
        return self.drafts.get((row.id, one.place, one.round), "")

    def _small_box(self, painter: QPainter, row: LineRow, lay: RowLayout, cell: Cell) -> None:
        theme, times = self._theme, self._theme.times
        box = row.boxes[cell.index]
        # Drawn so that the pen's square, four sixths of the box, comes out at the small size.
        size = SMALL_BOX_PX * times * 1.5
        if lay.labels_beside:
            top = cell.rect.center().y() - size / 2
            draw.box(painter, theme, Frame.DO, box.state.value, cell.rect.left() - 4 * times, top, size)
            draw.text(painter, theme, cell.rect.adjusted(22 * times, 0, 0, 0), box.label, 14 * times, 400, "text")
            return
        label = QRectF(cell.rect.left(), cell.rect.top(), cell.rect.width(), 15 * times)
        painter.setFont(font(13 * times, 400))
        painter.setPen(theme.colour("quiet"))
        painter.drawText(label, Qt.AlignmentFlag.AlignCenter, box.label)
        left = cell.rect.center().x() - size / 2
        draw.box(painter, theme, Frame.DO, box.state.value, left, cell.rect.top() + 13 * times, size)

    def _write_in(self, painter: QPainter, row: LineRow, one: WriteIn, rect: QRectF) -> None:
        theme, times = self._theme, self._theme.times
        self._open_box(painter, rect)
        after = rect.right() + 6 * times
        draft = self._draft(row, one)
        unit = "" if any(letter.isalpha() for letter in one.value) else one.unit
        inner = rect.adjusted(6 * times, 0, -6 * times, 0)
        if draft:
            draw.text(painter, theme, inner, draft, 17 * times, 400, "stop", right=one.form is not Form.TEXT)
            note = QRectF(after, rect.top(), 90 * times, rect.height())
            draw.text(painter, theme, note, NOT_KEPT, 14 * times, 400, "stop")
            return
        if one.old:
            draw.text(painter, theme, inner, f"was {one.value}", 15 * times, 400, "quiet", right=True)
        elif one.value:
            fits = metrics(22 * times, 700).horizontalAdvance(one.value) <= inner.width()
            size = (22 if fits else VALUE_PX) * times
            right = one.form is not Form.TEXT
            draw.text(painter, theme, inner, one.value, size, 700, "ink", right=right)
        draw.text(painter, theme, QRectF(after, rect.top(), 90 * times, rect.height()), unit, 15 * times, 400, "quiet")
        if one.verdict:
            after += (metrics(15 * times, 400).horizontalAdvance(unit) + 12 * times) if unit else 4 * times
            self._verdict(painter, one, QRectF(after, rect.top() + 3 * times, 36 * times, 24 * times), words=True)

    def _value_cell(self, painter: QPainter, row: LineRow, one: WriteIn, rect: QRectF) -> None:
        theme, times = self._theme, self._theme.times
        draft = self._draft(row, one)
        if draft:
            one = replace(one, verdict=None, old=False, label=f"{one.label} {NOT_KEPT}".strip())
        label = QRectF(rect.left() + 2 * times, rect.top(), rect.width() - 34 * times, 16 * times)
        draw.text(painter, theme, label, one.label, 13 * times, 400, "stop" if draft else "quiet")
        if one.verdict:
            glyph = QRectF(rect.right() - 32 * times, rect.top() - 1 * times, 27 * times, 18 * times)
            self._verdict(painter, one, glyph, words=False)
        written = QRectF(rect.left(), rect.top() + 16 * times, rect.width(), 28 * times)
        self._open_box(painter, written)
        inner = written.adjusted(5 * times, 0, -5 * times, 0)
        if draft:
            draw.text(painter, theme, inner, draft, 17 * times, 400, "stop", right=one.form is not Form.TEXT)
        elif one.old:
            was = QRectF(rect.left(), rect.top(), rect.width() - 5 * times, 16 * times)
            draw.text(painter, theme, was, "was", 13 * times, 400, "quiet", right=True)
            draw.text(painter, theme, inner, one.value, 17 * times, 400, "quiet", right=True)
        elif one.value:
            ink: Token = _INK.get(one.verdict, "ink")
            right = one.form is not Form.TEXT
            draw.text(painter, theme, inner, one.value, VALUE_PX * times, 700, ink, right=right)
        else:
            draw.text(painter, theme, inner, one.unit, 13 * times, 400, "quiet", right=True)

    def _open_box(self, painter: QPainter, rect: QRectF) -> None:
        """Left, bottom and right side: a place to write in."""
        painter.setPen(QPen(self._theme.colour("text"), 1))
        left, right, bottom = round(rect.left()) + 0.5, round(rect.right()) - 0.5, round(rect.bottom()) - 0.5
        painter.drawLine(QPointF(left, rect.top()), QPointF(left, bottom))
        painter.drawLine(QPointF(left, bottom), QPointF(right, bottom))
        painter.drawLine(QPointF(right, bottom), QPointF(right, rect.top()))

    def _verdict(self, painter: QPainter, one: WriteIn, rect: QRectF, *, words: bool) -> None:
        if one.verdict is None:
            return
        theme, times = self._theme, self._theme.times
        draw.shapes(painter, theme, marks.verdict(one.verdict), rect.left(), rect.top(), rect.width() / 36)
        if words:
            ink = _INK.get(one.verdict, "ink")
            where = QRectF(rect.right() + 6 * times, rect.top(), 120 * times, rect.height())
            draw.text(painter, theme, where, one.verdict.value, 16 * times, 700, ink)

    def _written_foot(self, painter: QPainter, row: LineRow, lay: RowLayout) -> None:
        theme, times = self._theme, self._theme.times
        x, y = lay.foot_at
        if row.wait is not None:
            bar = 110 * times
            shapes = marks.wait_bar(bar / times, row.wait.over)
            draw.shapes(painter, theme, shapes, x, y + 8 * times, times)
            begun = f"from {row.wait.begun.astimezone():%a %H:%M}"
            near = row.wait.ends - row.wait.begun < timedelta(days=6)
            ends = f"ready {row.wait.ends.astimezone():{'%a %H:%M' if near else '%d %b %H:%M'}}"
            right = x + bar + 10 * times
            draw.text(painter, theme, QRectF(right, y, 200 * times, 20 * times), begun, 15 * times, 400, "quiet")
            draw.text(
                painter, theme, QRectF(right, y + 19 * times, 200 * times, 20 * times), ends, 15 * times, 700, "text"
            )
            return
        rect = QRectF(x, y, lay.columns.written_width, 22 * times)
        if not lay.cells and not lay.columns.stacked:
            rect = QRectF(x, lay.box.top(), lay.columns.written_width, lay.box.height())
            if row.spec is None:
                rect.setLeft(lay.columns.written + lay.columns.written_width - SIGNED_PX * times + 12 * times)
        if row.count:
            half = sum(cell[0] == row.id for cell in self.drafts) if row.in_grid else 0
            count = f"{row.count}, {half} {NOT_KEPT}" if half else row.count
            draw.text(painter, theme, rect, count, 15 * times, 700, "stop" if half else "text")
            rect.setLeft(x + metrics(15 * times, 700).horizontalAdvance(count) + 12 * times)
        if row.signed:
            draw.text(painter, theme, rect, row.signed, 17 * times, 700, "ink")
            rect.setLeft(rect.left() + metrics(17 * times, 700).horizontalAdvance(row.signed) + 8 * times)
            draw.text(painter, theme, rect, row.signed_at, 15 * times, 400, "ink")

    def _ring(self, painter: QPainter, rect: QRectF, ink: Token) -> None:
        painter.setPen(QPen(self._theme.colour(ink), k.FOCUS_RING_PX))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(rect)
