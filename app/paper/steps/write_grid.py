"""Fields to write readings in, laid out as the engine lies or one below the other, with what was read in its place."""

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.said.marks import State
from app.paper.pdf.items import MM, Item, Rule, Text, cut
from app.paper.pdf.letters import shortened, width_pt, words
from app.paper.pdf.strips import BASE, HALF, MIDDLE, WIDTH, Strip
from app.paper.steps.parts import as_one
from app.paper.traveller.fields import BETWEEN_FIELDS, CELL, FIELD_DROP, FIELD_HIGH, cells_of, comb, verdict_mark
from app.sheet.draw.tokens import HEAD, PAPER_ROW_RULE_PT, SECOND, VALUE
from app.sheet.grid import GridCell
from app.trade.verdict import Verdict

_LABEL_MOST = 62 * MM
_LABEL_GAP = 3 * MM
_SMALL_PT = 9.0
# Two rows with nothing under their fields share five half rows.
_PAIR = 5
# With heads, notes and what goes on these fill a page even where every row says what was.
_MOST_ROWS = 12


class Slot(Struct, frozen=True):
    """One place and round: what was read, its verdict, and whether a field is open."""

    text: str = ""
    verdict: Verdict | None = None
    wanted: bool = True

    @property
    def was(self) -> str:
        """What stood there before, where it is read anew."""
        return self.text if self.wanted else ""


class WriteRow(Struct, frozen=True):
    """A row of fields: what is read, its limits where the rows differ, and None where a column has no such place."""

    title: str
    limits: str
    slots: tuple[Slot | None, ...]


def unit_words(unit: str) -> str:
    """A unit as it is said in a sentence."""
    return "degrees" if unit == "deg" else unit


def slot_of(cell: GridCell | None, state: State) -> Slot | None:
    """A cell of the screen's grid as it is written on paper."""
    if cell is None:
        return None
    anew = cell.old or cell.verdict is Verdict.OUT or state in (State.LOOK_AGAIN, State.STOPPED)
    return Slot(cell.text, None if cell.old else cell.verdict, not cell.text or anew)


def cells_wanted(figure: str, unit: str, read: Iterable[str], *, whole_size: bool) -> int:
    """How many letters a field has: by the figure, by what was read, and six at least for a bore or journal itself."""
    number = max((len(text.split()[0]) for text in read if text.strip()), default=0)
    return max(cells_of(figure, unit), min(number, 7), 6 if whole_size else 0)


def grid_rows(columns: Sequence[str], rows: Sequence[WriteRow], cells: int, corner: str) -> list[Strip]:
    """The grid in as few bands of columns as the width holds, its heads kept with the first rows under them."""
    wide = cells * CELL
    shown = max(_label_wide(row) for row in rows) + _LABEL_GAP
    across = max(1, int((WIDTH - shown + BETWEEN_FIELDS) // (wide + BETWEEN_FIELDS)))
    bands = math.ceil(len(columns) / across)
    each = math.ceil(len(columns) / bands)
    found: list[Strip] = []
    for first in range(0, len(columns), each):
        part = [replace(row, slots=row.slots[first : first + each]) for row in rows]
        part = [row for row in part if any(row.slots)]
        xs = [shown + n * (wide + BETWEEN_FIELDS) for n in range(each)]
        for some in _even(part):
            lines = [(_row_items(row, xs, cells), _has_was(row.slots)) for row in some]
            # Fields end close above: later heads need air. No page parts the fields from the heads over them.
            air = [Strip(1, ())] if found else []
            found.append(as_one([*air, _heads(columns[first : first + each], xs, wide, corner), *paired(lines)]))
    return found


def listed(entries: Sequence[tuple[str, Slot]], cells: int, *, ticks: bool) -> list[Strip]:
    """The places one below the other, in as many columns as the width holds."""
    longest = max(width_pt(words(title), 500, SECOND.paper_pt) for title, _ in entries)
    label = min(longest, _LABEL_MOST) + _LABEL_GAP
    wide = label + cells * CELL
    across = max(1, int((WIDTH + BETWEEN_FIELDS) // (wide + BETWEEN_FIELDS)))
    deep = math.ceil(len(entries) / across)
    lines = []
    for row in range(deep):
        items: list[Item] = []
        some = entries[row::deep]
        for side, (title, slot) in enumerate(some):
            x = side * (wide + BETWEEN_FIELDS)
            name = shortened(words(title), 500, SECOND.paper_pt, label - _LABEL_GAP)
            items.append(Text(x, FIELD_DROP + MIDDLE - 1, name, SECOND.paper_pt, 500))
            items += slot_items(slot, x + label, cells, ticks=ticks)
        lines.append((items, _has_was([slot for _, slot in some])))
    return paired(lines)


def slot_items(slot: Slot, x: float, cells: int, *, ticks: bool = True) -> list[Item]:
    """A field, with what stood there before under it, or the value that stands."""
    room = cells * CELL
    if slot.wanted:
        items = comb(x, FIELD_DROP, cells, ticks=ticks)
        return [*items, cut(x, FIELD_DROP + FIELD_HIGH + 7.2, f"was {slot.was}", 9, 400, room)] if slot.was else items
    base = FIELD_DROP + MIDDLE - 1
    items = verdict_mark(slot.verdict, x, base) if slot.verdict else []
    after = 17.0 if slot.verdict else 0.0
    return [*items, cut(x + after, base, slot.text, VALUE.paper_pt, 700, room - after)]


def _even(rows: Sequence[WriteRow]) -> Iterator[Sequence[WriteRow]]:
    """The rows in as few even runs as stand on a page."""
    each = math.ceil(len(rows) / max(1, math.ceil(len(rows) / _MOST_ROWS)))
    return (rows[first : first + each] for first in range(0, len(rows), max(1, each)))


def _label_wide(row: WriteRow) -> float:
    wide = max(width_pt(words(row.title), 500, SECOND.paper_pt), width_pt(words(row.limits), 400, _SMALL_PT), 12 * MM)
    return min(wide, _LABEL_MOST)


def _heads(columns: Sequence[str], xs: Sequence[float], wide: float, corner: str) -> Strip:
    size = HEAD.paper_pt
    items: list[Item] = [
        cut(x, BASE, text[:1].upper() + text[1:], size, 700, wide) for x, text in zip(xs, columns, strict=False) if text
    ]
    return Strip(1, (*items, Text(0, BASE, words(corner), size), Rule(0, HALF, WIDTH, HALF, PAPER_ROW_RULE_PT)))


def _row_items(row: WriteRow, xs: Sequence[float], cells: int) -> list[Item]:
    base = FIELD_DROP + MIDDLE - 1
    title = base - 5.5 if row.limits else base
    items: list[Item] = [cut(0, title, row.title, SECOND.paper_pt, 500, _LABEL_MOST)] if row.title else []
    if row.limits:
        items.append(cut(0, title + 10.6, row.limits, _SMALL_PT, 400, _LABEL_MOST))
    for x, slot in zip(xs, row.slots, strict=False):
        items += slot_items(slot, x, cells) if slot is not None else []
    return items


def _has_was(slots: Iterable[Slot | None]) -> bool:
    return any(slot is not None and slot.was for slot in slots)


def paired(lines: Sequence[tuple[list[Item], bool]]) -> list[Strip]:
    """Rows of fields as strips; a row that needs room below (True) has three half rows, two others share five."""
    found, at = [], 0
    while at < len(lines):
        items, below = lines[at]
        if at + 1 < len(lines) and not below and not lines[at + 1][1]:
            lower = (item.moved(0, _PAIR * HALF / 2) for item in lines[at + 1][0])
            found.append(Strip(_PAIR, (*items, *lower)))
            at += 2
        else:
            found.append(Strip(3, tuple(items)))
            at += 1
    return found
