"""What can be put on paper: text, lines, boxes and drawings, each with its place in points from the top left."""

from functools import cache

from msgspec import Struct

from app.paper.pdf.letters import Piece, shortened, width_pt, words
from app.sheet.draw.marks import BOX, Frame, frame_on_paper, mark
from app.sheet.draw.shapes import Path

MM = 72 / 25.4
TO_TICK = "to tick"


class Text(Struct, frozen=True):
    """A text from its left end on; `y` is its baseline. `light` is white on black, `spaced` opens the letters."""

    x: float
    y: float
    text: str
    size: float
    weight: int = 400
    light: bool = False
    spaced: float = 0.0

    def moved(self, x: float, y: float) -> "Text":
        """It so much further right and down."""
        return Text(self.x + x, self.y + y, self.text, self.size, self.weight, self.light, self.spaced)


class Rule(Struct, frozen=True):
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float

    def moved(self, x: float, y: float) -> "Rule":
        """It so much further right and down."""
        return Rule(self.x1 + x, self.y1 + y, self.x2 + x, self.y2 + y, self.width)


class Lines(Struct, frozen=True):
    """Straight lines of one width that stand together; each is x1, y1, x2, y2 from their own corner at x, y."""

    x: float
    y: float
    lines: tuple[tuple[float, float, float, float], ...]
    width: float

    def moved(self, x: float, y: float) -> "Lines":
        """They so much further right and down."""
        return Lines(self.x + x, self.y + y, self.lines, self.width)


class Bar(Struct, frozen=True):
    """A solid black rectangle."""

    x: float
    y: float
    wide: float
    high: float

    def moved(self, x: float, y: float) -> "Bar":
        """It so much further right and down."""
        return Bar(self.x + x, self.y + y, self.wide, self.high)


class Drawing(Struct, frozen=True):
    """Shapes of the sheet, their box's top left corner at x, y, one unit of theirs being `scale` points."""

    x: float
    y: float
    shapes: tuple[Path, ...]
    scale: float

    def moved(self, x: float, y: float) -> "Drawing":
        """It so much further right and down."""
        return Drawing(self.x + x, self.y + y, self.shapes, self.scale)


Item = Text | Rule | Lines | Bar | Drawing


def right_aligned(x: float, y: float, text: str, size: float, weight: int) -> Text:
    """A text that ends at x."""
    shown = words(text)
    return Text(x - width_pt(shown, weight, size), y, shown, size, weight)


def cut(x: float, y: float, text: str, size: float, weight: int, room: float) -> Text:
    """A text in one line, cut with “…” where it does not fit the room."""
    return Text(x, y, shortened(words(text), weight, size, room), size, weight)


def line_of(pieces: tuple[Piece, ...], x: float, y: float, size: float, *, light: bool = False) -> list[Item]:
    """One broken line of text with the small marks that stand in it."""
    found: list[Item] = []
    for piece in pieces:
        found.append(Text(x + piece.x, y, piece.text, size, piece.weight, light))
        if piece.mark:
            side = 12.0
            found.append(Drawing(x + piece.x - side - 0.5, y - side + 2.3, small_mark(piece.mark), side / BOX))
    return found


@cache
def small_mark(state: str) -> tuple[Path, ...]:
    """The mark of a state as it stands before its word, or a small box for the pen."""
    return frame_on_paper(Frame.DO) if state == TO_TICK else mark(state, 16)
