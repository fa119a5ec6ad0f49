"""A drawing with words in it, once for screen and paper: shapes, labels, and the places that can be pressed."""

from enum import Enum

from msgspec import Struct

from app.sheet.draw.shapes import Path
from app.sheet.draw.tokens import Token


class Anchor(Enum):
    """Which end of a label stands at its point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Label(Struct, frozen=True):
    """A word in a drawing; `x`, `y` is its middle or end on the line half way up its capitals."""

    x: float
    y: float
    text: str
    size: float
    weight: int = 400
    ink: Token = "text"
    anchor: Anchor = Anchor.MIDDLE


class Target(Struct, frozen=True):
    """A place in a drawing that can be pressed, and what pressing it means."""

    key: str
    spoken: str
    left: float
    top: float
    right: float
    bottom: float

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies in it."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom


class Drawing(Struct, frozen=True):
    """Shapes and labels in a box `width` x `height` of their own units, y down."""

    width: float
    height: float
    shapes: tuple[Path, ...]
    labels: tuple[Label, ...] = ()
    targets: tuple[Target, ...] = ()

    def target_at(self, x: float, y: float) -> str:
        """What is pressed at a point, "" for nothing."""
        return next((one.key for one in self.targets if one.holds(x, y)), "")


# The capitals of the sheet's typeface stand this part of the size high.
CAPITALS = 0.668
