"""Where everything of a sheet row lies at a width and distance: used to draw it and to tell what was pressed."""

from functools import lru_cache

from msgspec import Struct
from PySide6.QtCore import QRectF

from app.assembly.said.marks import State
from app.assembly.standing.entry_places import Form
from app.desk.theme import metrics
from app.desk.widgets.draw import Flow, flow
from app.sheet.draw import tokens as k
from app.sheet.rows import BlockRow, GateRow, LineRow, Row, Run, SpecCell, WriteIn

PAD = 5.0
SPEC_PX = 104.0
LINE_PX = 338.0
WRITTEN_PX = 250.0
# What a signature with its time takes at the right end of a line that has nothing else there.
SIGNED_PX = 190.0
STACKED_UNDER_PX = 640.0
HOLD_TAG_PX = 58.0
# What stands beside a single write-in.
UNIT_PX, VERDICT_PX = 34.0, 84.0
VALUE_PX = 17.0
VALUE_CELL_PX = 74.0
VALUE_CELL_HIGH_PX = 48.0
VALUE_GAP_PX = 5.0
SMALL_BOX_PX = 16.0
SMALL_CELL_PX = 25.0
SMALL_CELL_HIGH_PX = 38.0
# A name longer than this stands beside its box, not above it.
LABEL_ABOVE_PX = 60.0
GATE_TEXT_AT_PX = 260.0


class Columns(Struct, frozen=True):
    """Left edges and widths of the columns, in px; stacked when the sheet is too narrow for three beside each other."""

    number: float
    box: float
    line: float
    line_width: float
    spec: float
    spec_width: float
    written: float
    written_width: float
    stacked: bool


class Cell(Struct, frozen=True):
    """One place in the written column: where it is pressed, and which of the row's boxes or write-ins it is."""

    rect: QRectF
    index: int


class RowLayout(Struct, frozen=True):
    """A row laid out; positions count from the row's own corner."""

    height: float
    columns: Columns
    box: QRectF
    title: Flow
    title_at: tuple[float, float]
    second: Flow
    second_at: tuple[float, float]
    lead: Flow
    figure: Flow
    spec_at: tuple[float, float]
    cells: tuple[Cell, ...]
    labels_beside: bool
    written_at: tuple[float, float]
    foot_at: tuple[float, float]
    single: bool


@lru_cache(maxsize=64)
def columns(width: int, times: float) -> Columns:
    """The columns of the sheet at this width."""
    number = (k.ARROW_COLUMN_PX + k.ORDER_COLUMN_PX) * times
    box = number + k.NUMBER_COLUMN_PX * times
    line = box + k.BOX_COLUMN_PX * times
    rest = width - line - 12 * times
    if rest / times < STACKED_UNDER_PX:
        return Columns(number, box, line, rest, line, rest, line, rest, stacked=True)
    spare = max(0.0, rest - (LINE_PX + SPEC_PX + WRITTEN_PX + 20) * times)
    line_width = LINE_PX * times + spare * 0.45
    spec = line + line_width + 10 * times
    spec_width = SPEC_PX * times + spare * 0.1
    written = spec + spec_width + 10 * times
    return Columns(
        number, box, line, line_width, spec, spec_width, written, width - written - 10 * times, stacked=False
    )


def height_of(row: Row, width: int, times: float) -> float:
    """How high a row is at this width."""
    if isinstance(row, BlockRow):
        return round(k.BLOCK_GAP_PX * times) + 8
    if isinstance(row, GateRow):
        return max(k.GATE_BAR_PX * times, gate_text(row, width, times).height + 14 * times)
    return lay_out(row, width, times).height


@lru_cache(maxsize=256)
def gate_text(row: GateRow, width: int, times: float) -> Flow:
    """What holds a gate, flowed beside its name."""
    run = Run(row.text, "quiet" if row.passed else "on_gate")
    return flow((run,), max(120.0, width - (GATE_TEXT_AT_PX + 16) * times), 16 * times, weight=600, most=2)


@lru_cache(maxsize=2048)
def lay_out(row: LineRow, width: int, times: float) -> RowLayout:
    """Lay a line out."""
    c = columns(width, times)
    indent = HOLD_TAG_PX * times if row.hold else 0.0
    weight = 400 if row.state in (State.DONE, State.NOT_NEEDED) else k.OPEN_LINE.screen_weight
    words_width = _words_width(row, c, times)
    title = flow((Run(row.title, "text"),), words_width - indent, k.OPEN_LINE.screen_px * times, weight=weight)
    second = flow(row.second, words_width, k.SECOND.screen_px * times)
    lead, figure = _spec(row.spec, c, times)
    words_high = title.height + second.height
    spec_high = lead.height + figure.height
    written_width = c.written_width
    cells, cells_high, beside = _cells(row, written_width, times)
    foot_high = _foot_height(row, times)
    written_high = cells_high + foot_high
    least = k.ROW_PX * times
    if c.stacked:
        top = PAD * times
        below = top + max(words_high, least - 2 * top) + 2
        at_written = below + (spec_high + 4 if spec_high else 0)
        height = at_written + (written_high + 4 if written_high else 0) + 2
        words_top, spec_top = top, below
    else:
        height = max(least, words_high + 2 * PAD, spec_high + 2 * PAD, written_high + 2 * PAD)
        words_top = (height - words_high) / 2 if height <= least * 1.3 else PAD
        spec_top = (height - spec_high) / 2 if height <= least * 1.3 else PAD
        at_written = (height - written_high) / 2 if height <= least * 1.3 else PAD
    placed = tuple(Cell(cell.rect.translated(c.written, at_written), cell.index) for cell in cells)
    box_top = min(height, least * 1.3) / 2 - k.BOX_PX * times / 2
    return RowLayout(
        height=round(height),
        columns=c,
        box=QRectF(c.box, box_top, k.BOX_PX * times, k.BOX_PX * times),
        title=title,
        title_at=(c.line + indent, words_top),
        second=second,
        second_at=(c.line, words_top + title.height),
        lead=lead,
        figure=figure,
        spec_at=(c.spec, spec_top),
        cells=placed,
        labels_beside=beside,
        written_at=(c.written, at_written),
        foot_at=(c.written, at_written + cells_high),
        single=len(row.write_ins) == 1,
    )


def _words_width(row: LineRow, c: Columns, times: float) -> float:
    """The line's words run on over columns that are empty in this row."""
    if c.stacked or row.spec is not None:
        return c.line_width
    if row.boxes or row.write_ins or row.wait is not None:
        return c.written - c.line - 10 * times
    return c.written + c.written_width - c.line - SIGNED_PX * times


def _spec(spec: SpecCell | None, c: Columns, times: float) -> tuple[Flow, Flow]:
    if spec is None:
        return Flow((), 0.0), Flow((), 0.0)
    lead = flow((Run(spec.lead, "stop" if spec.missing else "text"),), c.spec_width, 14 * times)
    size, weight = (19 * times, 700) if spec.strong else (16 * times, 400)
    figure = flow((Run(spec.figure, "stop" if spec.missing else "text"),), c.spec_width, size, weight=weight)
    return lead, figure


def _cells(row: LineRow, width: float, times: float) -> tuple[list[Cell], float, bool]:
    if len(row.write_ins) == 1:
        rect = QRectF(0, 0, _single_wide(row.write_ins[0], width, times), k.WRITE_IN_HEIGHT_PX * times)
        return [Cell(rect, 0)], rect.height(), False
    if row.write_ins:
        labels = [one.label for one in row.write_ins]
        values = [one.value for one in row.write_ins]
        label_px, value_px = metrics(13 * times, 400), metrics(VALUE_PX * times, 700)
        widest = max(
            [label_px.horizontalAdvance(text) + 34 * times for text in labels]
            + [value_px.horizontalAdvance(text) + 12 * times for text in values]
        )
        cell = min(max(VALUE_CELL_PX * times, widest), width)
        return *_grid(len(row.write_ins), cell, VALUE_CELL_HIGH_PX * times, width, VALUE_GAP_PX * times), False
    if not row.boxes:
        return [], 0.0, False
    measure = metrics(13 * times, 400)
    widest = max(measure.horizontalAdvance(box.label) for box in row.boxes)
    if widest <= LABEL_ABOVE_PX * times:
        cell = max(SMALL_CELL_PX * times, widest + 8 * times)
        return *_grid(len(row.boxes), cell, SMALL_CELL_HIGH_PX * times, width, 0.0), False
    cell = min(width, widest + (SMALL_BOX_PX + 20) * times)
    return *_grid(len(row.boxes), cell, 26 * times, width, 0.0), True


def _single_wide(one: WriteIn, width: float, times: float) -> float:
    """A write-in takes what its value needs, as far as unit and verdict leave room beside it."""
    least = k.WRITE_IN_WIDTH_PX * times
    shown = f"was {one.value}" if one.old else one.value
    wanted = metrics(VALUE_PX * times, 700).horizontalAdvance(shown) + 14 * times
    beside = 0.0 if one.form is Form.TEXT else UNIT_PX * times + (VERDICT_PX * times if one.verdict else 0.0)
    return max(least, min(wanted, width - beside - 4 * times))


def _grid(count: int, wide: float, high: float, width: float, gap: float) -> tuple[list[Cell], float]:
    per_row = max(1, int((width + gap) // (wide + gap)))
    cells = [Cell(QRectF((n % per_row) * (wide + gap), (n // per_row) * high, wide, high), n) for n in range(count)]
    return cells, (count + per_row - 1) // per_row * high


def _foot_height(row: LineRow, times: float) -> float:
    """Below the cells: the count, who signed, or a running wait."""
    if row.wait is not None:
        return 40 * times
    if len(row.write_ins) == 1:
        return 20 * times if row.signed else 0.0
    if row.count or row.signed:
        return 22 * times
    return 0.0
