"""Colours, type sizes and measures of the sheet: the one file that holds a colour."""

from enum import Enum
from typing import Literal

from msgspec import Struct

Token = Literal[
    "paper", "bench", "here", "text", "ink", "stop", "mind", "quiet", "gate", "on_gate", "rule", "hair", "edge"
]


class Tokens(Struct, frozen=True):
    """One colour for each use, as `#RRGGBB`; grounds and what stands on them always come as a set."""

    paper: str
    bench: str
    here: str
    text: str
    ink: str
    stop: str
    mind: str
    quiet: str
    gate: str
    on_gate: str
    rule: str
    hair: str
    edge: str

    def colour(self, token: Token) -> str:
        """Return the colour of a token as `#RRGGBB`."""
        colour: str = getattr(self, token)
        return colour


LIGHT = Tokens(
    paper="#FFFFFF",
    bench="#F7F4EA",
    here="#EEF3F8",
    text="#111111",
    ink="#0B4F8A",
    stop="#8F1009",
    mind="#6B4200",
    quiet="#4A4A4A",
    gate="#111111",
    on_gate="#FFFFFF",
    rule="#8C887C",
    hair="#CFCABB",
    edge="#A8A290",
)

# The sheet stays a little lighter than the bench, so it still reads as paper.
DARK = Tokens(
    paper="#1D1D1D",
    bench="#151515",
    here="#1E2A36",
    text="#F2F2F2",
    ink="#8EC5FF",
    stop="#FFB1A6",
    mind="#FFC65C",
    quiet="#C4C4C4",
    gate="#F2F2F2",
    on_gate="#111111",
    rule="#7A7A7A",
    hair="#3C3C3C",
    edge="#5A5A5A",
)

# A one-colour printer must lose nothing, so paper uses black on white only.
PRINT = Tokens(
    paper="#FFFFFF",
    bench="#FFFFFF",
    here="#FFFFFF",
    text="#000000",
    ink="#000000",
    stop="#000000",
    mind="#000000",
    quiet="#000000",
    gate="#000000",
    on_gate="#FFFFFF",
    rule="#000000",
    hair="#000000",
    edge="#000000",
)

FONT_FAMILY = "Firstcrank Sheet"
FONT_WEIGHTS = (400, 500, 600, 700, 800)


def font_file(weight: int) -> str:
    """Return the file name, in resources/fonts, of one of FONT_WEIGHTS."""
    return f"FirstcrankSheet-{weight}.ttf"


class TypeRole(Struct, frozen=True):
    """Size and weight of one kind of text: pixels at Desk distance on screen, points on paper."""

    screen_px: float
    screen_weight: int
    paper_pt: float
    paper_weight: int


TITLE = TypeRole(24, 700, 25, 800)
NUMBER = TypeRole(19, 700, 16, 700)
OPEN_LINE = TypeRole(17, 600, 11.5, 500)
VALUE = TypeRole(22, 700, 11.5, 700)
SECOND = TypeRole(15, 400, 9.5, 400)
HEAD = TypeRole(14, 400, 9, 400)
BOX_NUMBER = TypeRole(13, 400, 11.5, 700)
GATE_NAME = TypeRole(22, 800, 16, 800)
HOLD_TAG = TypeRole(14, 800, 9.5, 800)
WRENCH = TypeRole(54, 700, 11.5, 700)


class Distance(Enum):
    """How far the reader stands from the screen; everything is multiplied by `times`."""

    DESK = ("Desk", 1.0)
    ONE_METRE = ("1 m", 1.67)
    BENCH = ("1.5 m", 2.5)
    TWO_METRES = ("2 m", 3.33)

    @property
    def label(self) -> str:
        """The name to show for this distance."""
        return self.value[0]

    @property
    def times(self) -> float:
        """Factor on every size, from equal capital height in minutes of arc."""
        return self.value[1]


# Screen, pixels at Desk distance.
ROW_PX = 44
BLOCK_GAP_PX = 22
GATE_BAR_PX = 54
STRIP_ROW_PX = 36
STRIP_GATE_PX = 26

STRIP_WIDTH_PX = 190
TRAY_WIDTH_PX = 276
TRAY_BELOW_UNDER_PX = 1200
NARROW_STRIP_UNDER_PX = 1000

ARROW_COLUMN_PX = 28
ORDER_COLUMN_PX = 12
NUMBER_COLUMN_PX = 60
BOX_COLUMN_PX = 48

BOX_PX = 32
PLACE_ARROW_PX = 28
HERE_RULE_PX = 2
FOCUS_RING_PX = 3
EASY_BAR_PX = 7
ORDER_FOOT_PX = 6
WRITE_IN_WIDTH_PX = 92
WRITE_IN_HEIGHT_PX = 30

# Paper, A4; the columns add up to the width.
PAPER_WIDTH_MM = 180.0
PAPER_HEIGHT_MM = 255.0
PAPER_ROW_MM = 8.5
PAPER_BOX_MM = 7.5
PAPER_ARROW_COLUMN_MM = 7.0
PAPER_NUMBER_COLUMN_MM = 15.0
PAPER_BOX_COLUMN_MM = 10.5
PAPER_LINE_COLUMN_MM = 79.5
PAPER_SPEC_COLUMN_MM = 25.0
PAPER_WRITTEN_COLUMN_MM = 43.0
PAPER_HEAD_RULE_PT = 1.5
PAPER_ROW_RULE_PT = 0.5
PAPER_FRAME_PT = 0.75
PAPER_EASY_BAR_MM = 1.8
PAPER_WRITE_IN_CELL_MM = 5.1
PAPER_WRITE_IN_HEIGHT_MM = 8.0
PAPER_COMB_TICK_MM = 2.0
