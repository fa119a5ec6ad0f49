"""A drawing of the sheet on a widget of its own: drawn as large as there is room, and pressed where it has targets."""

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.desk import draw
from app.desk.theme import Theme
from app.sheet.drawing import Drawing

Draw = Callable[[float, float], Drawing]


class Canvas(QWidget):
    """Shows what `draw_in` makes for its size; arrows are told on as steps, other keys go to the page."""

    pressed = Signal(str)
    moved = Signal(int, int)

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._draw_in: Draw | None = None
        self.drawn: Drawing | None = None
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(240, 180)
        theme.changed.connect(self.update)

    def show_drawing(self, draw_in: Draw, spoken: str) -> None:
        """Show a drawing, made anew for each size; `spoken` is how it is said aloud."""
        self._draw_in = draw_in
        self.setAccessibleDescription(spoken)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it, and a ring while it has the keys."""
        if self._draw_in is None:
            return
        times = self._theme.times
        self.drawn = self._draw_in(self.width() / times - 8, self.height() / times - 8)
        painter = QPainter(self)
        draw.drawing(painter, self._theme, self.drawn, 4 * times, 4 * times, times)
        if self.hasFocus():
            painter.setPen(draw.ring(self._theme))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """What lies under the press is told on."""
        times = self._theme.times
        at = event.position()
        key = self.drawn.target_at(at.x() / times - 4, at.y() / times - 4) if self.drawn is not None else ""
        if key:
            self.pressed.emit(key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows move; the page has the other keys."""
        steps = {
            Qt.Key.Key_Left: (-1, 0),
            Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Up: (0, -1),
            Qt.Key.Key_Down: (0, 1),
        }
        step = steps.get(Qt.Key(event.key()))
        if step is None:
            event.ignore()
        else:
            self.moved.emit(*step)
