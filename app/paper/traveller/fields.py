"""What is left open for the pen: boxes to mark and fields to write in, and the values that stand already."""

import re
from collections.abc import Sequence
from functools import cache, lru_cache

from app.assembly.said.marks import State
from app.paper.pdf.items import MM, Drawing, Item, Lines, Text, cut, right_aligned
from app.paper.pdf.letters import shortened, width_pt, words
from app.paper.pdf.strips import BASE, LINE_X, MIDDLE, WIDTH, Strip
from app.sheet.draw.marks import BOX, Frame, frame_on_paper, mark, verdict
from app.sheet.draw.shapes import Path
from app.sheet.draw.tokens import (
    BOX_NUMBER,
    PAPER_BOX_MM,
    PAPER_COMB_TICK_MM,
    PAPER_FRAME_PT,
    PAPER_WRITE_IN_CELL_MM,
    PAPER_WRITE_IN_HEIGHT_MM,
    SECOND,
    VALUE,
)
from app.sheet.rows import LineRow, PlaceBox, WriteIn
from app.trade.verdict import Verdict

BOX_SIDE = PAPER_BOX_MM * MM
FIELD_HIGH = PAPER_WRITE_IN_HEIGHT_MM * MM
CELL = PAPER_WRITE_IN_CELL_MM * MM
BETWEEN_FIELDS = 5 * MM
FIELD_DROP = 1.5 * MM
LABEL_ROOM = 85 * MM
ROOM = WIDTH - LINE_X

# Only these stand in the box itself: the pen needs an empty one for whatever comes next.
IN_BOX = (State.STARTED, State.DONE, State.NOT_NEEDED)
_CLOSED = (State.DONE, State.NOT_NEEDED)
# Where no figure is known yet: letters of a usual value in this unit.
_USUAL_LETTERS = {"in": 6, "N·m": 3, "deg": 3, "kPa": 3, "°C": 3}
_MOST_CELLS = 7
_WORD_CELLS = 6


def box(kind: Frame, state: State, x: float, y: float) -> Drawing:
    """A printed box, with the mark that was carried in where the pen need not write over it."""
    return Drawing(x, y, marked_box(kind, state if state in IN_BOX else State.TO_DO), BOX_SIDE / BOX)


@cache
def marked_box(kind: Frame, state: State) -> tuple[Path, ...]:
    """A box with any mark in it, as shapes."""
    return (*frame_on_paper(kind), *mark(state.value, 28))


def comb(x: float, y: float, cells: int, *, ticks: bool = True) -> list[Item]:
    """A field open at the top, `cells` letters wide, its top left corner at x, y."""
    return field(x, y, cells * CELL, ticks=ticks)


def field(x: float, y: float, wide: float, *, ticks: bool = False) -> list[Item]:
    """A field open at the top, with a short tick between the letters if it is a comb."""
    return [Lines(x, y, _field_lines(wide, ticks), PAPER_FRAME_PT)]


@lru_cache(maxsize=256)
def _field_lines(wide: float, ticks: bool) -> tuple[tuple[float, float, float, float], ...]:
    low, half = FIELD_HIGH, PAPER_FRAME_PT / 2
    ends = ((half, 0.0, half, low), (0.0, low - half, wide, low - half), (wide - half, 0.0, wide - half, low))
    places = range(1, round(wide / CELL)) if ticks else ()
    return (*ends, *((n * CELL, low - PAPER_COMB_TICK_MM * MM, n * CELL, low) for n in places))


def cells_for(row: LineRow, unit: str) -> int:
    """How many letters a value needs: one more than the figure it is held against."""
    spec = row.spec
    return cells_of(spec.figure if spec is not None and spec.strong else "", unit)


def cells_of(figure: str, unit: str) -> int:
    """How many letters a value needs that is held against a figure; "" where that is not known."""
    figures = re.findall(r"\d+(?:[.,]\d+)?", figure)
    if not figures:
        return _USUAL_LETTERS.get(unit, 4) + 1
    return min(max(3, *(len(figure) for figure in figures)) + 1, _MOST_CELLS)


def wants_field(row: LineRow, one: WriteIn) -> bool:
    """Whether the value is still to be written, or to be written anew."""
    if row.state in _CLOSED:
        return False
    return not one.value or one.old or one.verdict is Verdict.OUT or row.state in (State.LOOK_AGAIN, State.STOPPED)


def field_items(row: LineRow, one: WriteIn, x: float, y: float, *, ticks: bool) -> list[Item]:
    """A field with its unit, and under it what stood there before."""
    cells = cells_for(row, one.unit) if ticks else _WORD_CELLS
    found = comb(x, y, cells, ticks=ticks)
    if one.unit:
        found.append(Text(x + cells * CELL + 1 * MM, y + MIDDLE - 1, words(one.unit), SECOND.paper_pt))
    if one.value:
        found.append(Text(x, y + FIELD_HIGH + 7.2, words(f"was {value_words(one)}"), 9))
    return found


def field_wide(row: LineRow, unit: str, *, ticks: bool) -> float:
    """The width of a field with its unit."""
    cells = cells_for(row, unit) if ticks else _WORD_CELLS
    return cells * CELL + (1 * MM + width_pt(words(unit), 400, SECOND.paper_pt) if unit else 0.0)


def value_words(one: WriteIn) -> str:
    """A value as written, with its unit and verdict in words."""
    unit = f" {one.unit}" if one.unit and one.value[-1:].isdigit() else ""
    return f"{one.value}{unit}" + (f", {one.verdict.value}" if one.verdict else "")


def value_items(one: WriteIn, x: float, y: float, room: float) -> list[Item]:
    """A value that stands, its verdict drawn and in words; `y` is the baseline."""
    found: list[Item] = []
    if one.verdict:
        found += verdict_mark(one.verdict, x, y)
    after = 17.0 if one.verdict else 0.0
    return [*found, cut(x + after, y, value_words(one), VALUE.paper_pt, 700, room - after)]


def verdict_mark(kind: Verdict, x: float, y: float) -> list[Item]:
    """The small drawn verdict before a value whose baseline is `y`."""
    return [Drawing(x, y - 8.4, _verdict(kind), 10 / BOX)]


def value_wide(one: WriteIn) -> float:
    """The width of a value with its verdict."""
    return width_pt(words(value_words(one)), 700, VALUE.paper_pt) + (17.0 if one.verdict else 0.0)


def grid_strips(row: LineRow, *, ticks: bool) -> list[Strip]:
    """The fields and values of a line that is read at several places, in even columns."""
    write_ins = [one for one in row.write_ins if one.value or row.state not in _CLOSED]
    labels = [_label(one.label) for one in write_ins]
    label_wide = max((_label_wide(label) for label in labels), default=0.0) + 1 * MM
    open_ones = [one for one in write_ins if wants_field(row, one)]
    standing = [value_wide(one) for one in write_ins if one not in open_ones]
    fields = [field_wide(row, one.unit, ticks=ticks) for one in open_ones]
    wide = min(label_wide + max([*standing, *fields], default=0.0), ROOM)
    # Label and unit stand in the gap between two fields, which is at least 5 mm.
    gap = max(1.2 * MM, BETWEEN_FIELDS - label_wide) if open_ones else BETWEEN_FIELDS
    across = max(1, int((ROOM + gap) // (wide + gap)))
    # A long label beside the unit before it is hard to read: what room is left goes between them.
    gap = max(gap, min(BETWEEN_FIELDS, (ROOM - across * wide) / max(1, across - 1)))
    found = []
    for first in range(0, len(labels), across):
        cells = write_ins[first : first + across]
        tall = any(one in open_ones for one in cells)
        items: list[Item] = []
        for column, one in enumerate(cells):
            x = LINE_X + column * (wide + gap)
            base = FIELD_DROP + MIDDLE - 1 if tall else BASE
            items.append(right_aligned(x + label_wide - 1 * MM, base, _label(one.label), BOX_NUMBER.paper_pt, 700))
            if one in open_ones:
                items += field_items(row, one, x + label_wide, FIELD_DROP, ticks=ticks)
            else:
                items += value_items(one, x + label_wide, base, wide - label_wide)
        found.append(Strip(3 if tall else 1, tuple(items)))
    return found


def box_strips(boxes: Sequence[PlaceBox], line: State) -> list[Strip]:
    """The small boxes of a many-alike line, in even columns."""
    label_wide = max(_label_wide(_label(one.label)) for one in boxes)
    pitch = label_wide + BOX_SIDE + 2 * MM
    across = max(1, int((ROOM + 2 * MM) // pitch))
    found = []
    for first in range(0, len(boxes), across):
        items: list[Item] = []
        for column, one in enumerate(boxes[first : first + across]):
            x = LINE_X + column * pitch
            items.append(right_aligned(x + label_wide, MIDDLE, _label(one.label), BOX_NUMBER.paper_pt, 700))
            # What is to be looked at again wants a fresh mark at each place.
            state = State.TO_DO if line is State.LOOK_AGAIN else one.state
            items.append(box(Frame.DO, state, x + label_wide + 0.2 * MM, 1.4))
        found.append(Strip(2, tuple(items)))
    return found


def _label(text: str) -> str:
    return shortened(words(text), 700, BOX_NUMBER.paper_pt, LABEL_ROOM)


def _label_wide(label: str) -> float:
    return width_pt(label, 700, BOX_NUMBER.paper_pt)


@cache
def _verdict(kind: Verdict) -> tuple[Path, ...]:
    return verdict(kind)
