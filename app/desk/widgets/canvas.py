"""A drawing of the sheet on a widget of its own: drawn as large as there is room, and pressed where it has targets."""

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.desk.theme import Theme
from app.desk.widgets import draw
from app.sheet.draw.drawing import Drawing

Draw = Callable[[float, float], Drawing]
# Room for the ring of what has the keys, in px at the desk.
_MARGIN = 5


class Canvas(QWidget):
    """Shows what `draw_in` makes for its size; arrows are told on as steps, other keys go to the page."""

    pressed = Signal(str)
    moved = Signal(int, int)

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._draw_in: Draw | None = None
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(240, 180)
        theme.changed.connect(self.update)

    def show_drawing(self, draw_in: Draw, spoken: str) -> None:
        """Show a drawing, made anew for each size; `spoken` is how it is said aloud."""
        self._draw_in = draw_in
        self.setAccessibleDescription(spoken)
        self.update()

    @property
    def drawn(self) -> Drawing | None:
        """The drawing as it lies in the room there is, None before there is one."""
        return self._draw_in(*self._room()) if self._draw_in is not None else None

    def _room(self) -> tuple[float, float]:
        """The width and height there is to draw in, in px at the desk."""
        times = self._theme.times
        return max(1.0, self.width() / times - 2 * _MARGIN), max(1.0, self.height() / times - 2 * _MARGIN)

    def placed(self, drawn: Drawing) -> tuple[float, float, float]:
        """Where the drawing's corner lies, and its scale: one that needs more room than there is is made smaller."""
        wide, high = self._room()
        scale = min(1.0, wide / drawn.width, high / drawn.height)
        return _MARGIN + max(0.0, (wide - drawn.width * scale) / 2), _MARGIN, scale

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw it, and a ring while it has the keys."""
        if self._draw_in is None:
            return
        times = self._theme.times
        painter = QPainter(self)
        drawn = self._draw_in(*self._room())
        left, top, scale = self.placed(drawn)
        draw.drawing(painter, self._theme, drawn, left * times, top * times, times * scale)
        if self.hasFocus():
            painter.setPen(draw.ring(self._theme))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """What lies under the press is told on."""
        times = self._theme.times
        at = event.position()
        drawn = self.drawn
        if drawn is None:
            return
        left, top, scale = self.placed(drawn)
        key = drawn.target_at((at.x() / times - left) / scale, (at.y() / times - top) / scale)
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
