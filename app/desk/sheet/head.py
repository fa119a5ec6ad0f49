"""The head of the sheet: the stage's name, what is open in it, and the heads of the columns."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.desk.sheet.layout import columns
from app.desk.theme import Theme, metrics
from app.desk.widgets import draw
from app.sheet.rows import StageSheet


class SheetHead(QWidget):
    """Stays above the rows while they scroll."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._sheet: StageSheet | None = None
        self._print = 0
        theme.changed.connect(self._size)
        self._size()

    def _size(self) -> None:
        self.setFixedHeight(round(66 * self._theme.times))
        self.update()

    def show_stage(self, sheet: StageSheet, last_print: int) -> None:
        """Show a stage's head."""
        self._sheet, self._print = sheet, last_print
        self.setAccessibleName(f"Stage {sheet.number}, {sheet.title}, {sheet.counts}")
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it."""
        theme, times = self._theme, self._theme.times
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("paper"))
        painter.fillRect(0, self.height() - 2, self.width(), 2, theme.colour("text"))
        if self._sheet is None:
            return
        sheet = self._sheet
        top = QRectF(16 * times, 4 * times, self.width() - 30 * times, 36 * times)
        draw.text(painter, theme, top, sheet.title, 24 * times, 700, "text")
        draw.text(painter, theme, top, sheet.counts, 17 * times, 700, "text", right=True)
        after = 16 * times + metrics(24 * times, 700).horizontalAdvance(sheet.title) + 14 * times
        printed = f"   print {self._print}" if self._print else ""
        counts = metrics(17 * times, 700).horizontalAdvance(sheet.counts)
        room = self.width() - after - counts - 40 * times
        words = metrics(16 * times, 400).elidedText(
            f"Stage {sheet.number}, {sheet.build}{printed}", Qt.TextElideMode.ElideRight, room
        )
        draw.text(painter, theme, QRectF(after, 6 * times, room, 36 * times), words, 16 * times, 400, "quiet")
        self._columns(painter)

    def _columns(self, painter: QPainter) -> None:
        theme, times = self._theme, self._theme.times
        c = columns(self.width() - 14, times)
        y, high = 42 * times, 20 * times
        heads = [(c.number, "Line")]
        if not c.stacked:
            heads += [(c.spec, "Spec"), (c.written, "Written")]
        for x, words in heads:
            draw.text(painter, theme, QRectF(x, y, 120 * times, high), words, 14 * times, 400, "quiet")
