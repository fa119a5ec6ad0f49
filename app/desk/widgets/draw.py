"""Drawing the sheet's shapes and its flowing text with Qt."""

from collections.abc import Iterable, Sequence
from functools import lru_cache

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QFont, QImage, QPainter, QPainterPath, QPen

from app.desk.theme import Theme, font, metrics
from app.sheet.draw import marks
from app.sheet.draw.drawing import CAPITALS, Anchor, Drawing
from app.sheet.draw.shapes import Cap, Command, Join, Path
from app.sheet.draw.tokens import Token
from app.sheet.rows import Run


@lru_cache(maxsize=512)
def _path(commands: tuple[Command, ...]) -> QPainterPath:
    path = QPainterPath()
    for letter, numbers in commands:
        match letter:
            case "M":
                path.moveTo(*numbers)
            case "L":
                path.lineTo(*numbers)
            case "C":
                path.cubicTo(*numbers)
            case "Z":
                path.closeSubpath()
    return path


def shapes(
    painter: QPainter, theme: Theme, drawn: Iterable[Path], x: float, y: float, scale: float, ink: Token | None = None
) -> None:
    """Draw shapes with their box's corner at x, y; `ink` overrides their own colour."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(x, y)
    painter.scale(scale, scale)
    for shape in drawn:
        colour = theme.colour(ink or shape.ink)
        painter.setBrush(QBrush(colour) if shape.filled else Qt.BrushStyle.NoBrush)
        painter.setPen(_pen(shape, QPen(colour)) if shape.stroke is not None else QPen(Qt.PenStyle.NoPen))
        painter.drawPath(_path(shape.commands))
    painter.restore()


def _pen(shape: Path, pen: QPen) -> QPen:
    width = shape.stroke or 1.0
    pen.setWidthF(width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap if shape.cap is Cap.ROUND else Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin if shape.join is Join.ROUND else Qt.PenJoinStyle.MiterJoin)
    if shape.dash:
        pen.setDashPattern([length / width for length in shape.dash])
    return pen


def box(painter: QPainter, theme: Theme, frame: marks.Frame, state: str, x: float, y: float, size: float) -> None:
    """Draw a line's box with its mark; the frame's lines are set on whole device pixels."""
    ratio = painter.device().devicePixelRatioF()
    scale = size / marks.BOX
    shapes(painter, theme, marks.frame(frame, size * ratio), round(x), round(y), scale)
    shapes(painter, theme, marks.mark(state, size), round(x), round(y), scale)


def drawing(painter: QPainter, theme: Theme, drawn: Drawing, x: float, y: float, scale: float) -> None:
    """Draw a drawing with its words, its corner at x, y."""
    shapes(painter, theme, drawn.shapes, x, y, scale)
    for label in drawn.labels:
        size = label.size * scale
        painter.setFont(font(size, label.weight))
        painter.setPen(theme.colour(label.ink))
        wide = metrics(size, label.weight).horizontalAdvance(label.text)
        left = {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[label.anchor]
        middle = label.y * scale + size * CAPITALS / 2
        painter.drawText(QPointF(x + label.x * scale - left, y + middle), label.text)


def ring(theme: Theme) -> QPen:
    """The pen of the ring round what has the keys."""
    return QPen(theme.colour("ink"), 3)


def picture(theme: Theme, drawn: Drawing, width: float, ratio: float) -> QImage:
    """A drawing as an image `width` px wide on a screen of so many device pixels to the px."""
    scale = width / drawn.width
    size = QSize(round(width * ratio), round(drawn.height * scale * ratio))
    image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
    image.setDevicePixelRatio(ratio)
    image.fill(0)  # nothing, with nothing behind it
    painter = QPainter(image)
    drawing(painter, theme, drawn, 0, 0, scale)
    painter.end()
    return image


class Word(Struct, frozen=True):
    """A word set in its place."""

    text: str
    x: float
    y: float
    face: QFont
    ink: Token


class Flow(Struct, frozen=True):
    """Text flowed into a width: its words, and how high it came out."""

    words: tuple[Word, ...]
    height: float


def flow(runs: Sequence[Run], width: float, px: float, *, weight: int = 400, bold: int = 700, most: int = 99) -> Flow:
    """Set runs of text into lines of `width` px; past `most` lines the rest is cut with an ellipsis."""
    return _flow(tuple(runs), round(width), px, weight, bold, most)


@lru_cache(maxsize=4096)
def _flow(runs: tuple[Run, ...], width: int, px: float, weight: int, bold: int, most: int) -> Flow:
    plain = metrics(px, weight)
    pitch = plain.height()
    words: list[Word] = []
    x, line = 0.0, 0
    for run in runs:
        heavy = bold if run.bold else weight
        measure = metrics(px, heavy)
        space = measure.horizontalAdvance(" ")
        for text in _pieces(run.text, measure.horizontalAdvance, width):
            advance = measure.horizontalAdvance(text)
            if x and x + advance > width:
                x, line = 0.0, line + 1
            if line >= most:
                last = words[-1]
                words[-1] = Word(f"{last.text} …", last.x, last.y, last.face, last.ink)
                return Flow(tuple(words), pitch * most)
            words.append(Word(text, x, line * pitch + plain.ascent(), font(px, heavy), run.ink))
            x += advance + space
    return Flow(tuple(words), pitch * (line + 1) if words else 0.0)


def _pieces(text: str, advance: object, width: int) -> Iterable[str]:
    """The words of a text; one that is wider than the whole column is cut."""
    for word in text.split():
        yield from _cut(word, advance, width)


def _cut(word: str, advance: object, width: int) -> Iterable[str]:
    assert callable(advance)
    while advance(word) > width > 20 and len(word) > 4:
        keep = max(1, int(len(word) * width / advance(word)) - 1)
        yield word[:keep]
        word = word[keep:]
    yield word


def put(painter: QPainter, theme: Theme, flowed: Flow, x: float, y: float, ink: Token | None = None) -> None:
    """Draw flowed text with its corner at x, y."""
    for word in flowed.words:
        painter.setFont(word.face)
        painter.setPen(theme.colour(ink or word.ink))
        painter.drawText(QPointF(x + word.x, y + word.y), word.text)


def text(
    painter: QPainter,
    theme: Theme,
    rect: QRectF,
    words: str,
    px: float,
    weight: int,
    ink: Token,
    *,
    right: bool = False,
) -> None:
    """Draw one line of text in a rectangle, in the middle of its height; what does not fit ends in “…”."""
    shown = metrics(px, weight).elidedText(words, Qt.TextElideMode.ElideRight, rect.width() + 0.5)
    painter.setFont(font(px, weight))
    painter.setPen(theme.colour(ink))
    side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
    painter.drawText(rect, side | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine, shown)
