"""The bar that says what comes next: the place arrow and a sentence, between two rules of ink."""

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.desk.theme import Theme
from app.desk.widgets import draw
from app.sheet.draw import marks
from app.sheet.rows import Run


class HereBar(QWidget):
    """One sentence, large enough to be read at arm's length."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._runs: tuple[Run, ...] = ()
        theme.changed.connect(self._size)
        self._size()

    def _size(self) -> None:
        self.setFixedHeight(round(54 * self._theme.times))
        self.update()

    def show_runs(self, runs: tuple[Run, ...]) -> None:
        """Show a sentence."""
        self._runs = runs
        self.setAccessibleName("".join(run.text for run in runs))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """The here ground, two rules, the arrow and the words."""
        theme, times = self._theme, self._theme.times
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("here"))
        for y in (0, self.height() - 2):
            painter.fillRect(QRectF(0, y, self.width(), 2), theme.colour("ink"))
        draw.shapes(painter, theme, marks.place_arrow(), 12 * times, 13 * times, 28 * times / marks.BOX)
        flowed = draw.flow(self._runs, self.width() - 64 * times, 20 * times, most=2)
        small = (
            draw.flow(self._runs, self.width() - 64 * times, 17 * times, most=2)
            if flowed.height > self.height() - 8
            else flowed
        )
        draw.put(painter, theme, small, 52 * times, (self.height() - small.height) / 2)
