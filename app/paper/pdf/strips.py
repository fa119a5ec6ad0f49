"""The rows of the sheet cut into strips of half a row, as they stand on paper: a page breaks between strips only."""

from collections.abc import Sequence
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from app.paper.pdf.items import MM, Item, Text, line_of
from app.paper.pdf.letters import Span, broken
from app.sheet.draw.tokens import (
    PAPER_ARROW_COLUMN_MM,
    PAPER_BOX_COLUMN_MM,
    PAPER_LINE_COLUMN_MM,
    PAPER_NUMBER_COLUMN_MM,
    PAPER_ROW_MM,
    PAPER_SPEC_COLUMN_MM,
    PAPER_WIDTH_MM,
    SECOND,
)
from app.sheet.page_breaks import Block
from app.sheet.rows import Fixed

WIDTH = PAPER_WIDTH_MM * MM
ROW = PAPER_ROW_MM * MM
HALF = ROW / 2
BASE = 8.5  # the baseline in a strip of half a row
FIRST = 9.9  # the baseline of the first words under a rule
AIR = 3.4  # from the last baseline to the rule below
MIDDLE = 16.0  # the baseline of a text alone in a whole row

NUMBER_X = PAPER_ARROW_COLUMN_MM * MM
BOX_X = NUMBER_X + PAPER_NUMBER_COLUMN_MM * MM
LINE_X = BOX_X + PAPER_BOX_COLUMN_MM * MM
SPEC_X = LINE_X + PAPER_LINE_COLUMN_MM * MM
WRITTEN_X = SPEC_X + PAPER_SPEC_COLUMN_MM * MM
GUTTER = 2 * MM


class Edge(Enum):
    """What stands at the left edge of the sheet beside a row."""

    NONE = "none"
    EASY = "easy"
    STRIPED = "striped"


class Ground(Enum):
    """What a row stands on: paper, the black of a gate that is shut, its striped form, or two rules."""

    PAPER = "paper"
    SOLID = "solid"
    SOLID_STRIPED = "solid, striped end"
    RULES = "rules"


class Strip(Struct, frozen=True):
    """A piece that is never cut, some half rows high; its items are placed from its top left corner."""

    halves: int
    items: tuple[Item, ...]


class Group(Struct, frozen=True):
    """A row of the sheet. `number` stands again where it goes on on the next page; `line` counts in the page's head.

    A row with many places may begin low on a page and go on on the next; its first `head` strips stay together.
    """

    strips: tuple[Strip, ...]
    number: str = ""
    line: bool = False
    edge: Edge = Edge.NONE
    fixed: Fixed = Fixed.NONE
    ground: Ground = Ground.PAPER
    keep: bool = False
    head: int = 0

    def block(self) -> Block:
        """How high it is, for the page breaks."""
        return Block(tuple(strip.halves for strip in self.strips), self.keep, again=2, head=self.head)


def text_strips(spans: Sequence[Span], size: float, *, x: float = LINE_X, room: float | None = None) -> list[Strip]:
    """A text over as many half rows as it needs."""
    wide = WIDTH - x if room is None else room
    return [Strip(1, tuple(line_of(line, x, BASE, size))) for line in broken(spans, size, wide)]


def note_group(number: str, spans: Sequence[Span]) -> Group:
    """A row of small text across the sheet, with a line's number before it."""
    strips = text_strips(spans, SECOND.paper_pt)
    shown = Text(NUMBER_X, BASE, number, SECOND.paper_pt, 700)
    strips[0] = replace(strips[0], items=(shown, *strips[0].items))
    return Group(tuple(headed(strips)), number=number)


def block_group(text: str) -> Group:
    """The title of a block; it stands with the line that follows."""
    strips = text_strips([Span(text, 500)], SECOND.paper_pt)
    return Group(tuple(headed(strips)), keep=True)


def headed(strips: list[Strip]) -> list[Strip]:
    """Lines of text under a rule: one alone in the middle of a whole row, else spread evenly between the rules."""
    if len(strips) == 1:
        return [Strip(2, tuple(lowered(strips[0].items, MIDDLE - BASE)))]
    pitch = (len(strips) * HALF - FIRST - AIR) / (len(strips) - 1)
    return [Strip(1, tuple(lowered(one.items, FIRST - BASE + n * (pitch - HALF)))) for n, one in enumerate(strips)]


def lowered(items: Sequence[Item], by: float) -> list[Item]:
    """The texts moved down."""
    return [item.moved(0, by) if isinstance(item, Text) else item for item in items]
