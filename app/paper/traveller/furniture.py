"""What stands on every sheet around its rows: head, extra lines, the note left last, pen key and check bar."""

from datetime import datetime
from functools import cache

from msgspec import Struct

from app.assembly.said.marks import State
from app.assembly.standing.remembered import last_left, last_worked
from app.assembly.standing.survey import Survey
from app.paper.pdf.items import MM, Drawing, Item, Rule, Text, cut, line_of, right_aligned
from app.paper.pdf.letters import Span, broken, sentence, width_pt, words
from app.paper.pdf.strips import BOX_X, HALF, LINE_X, NUMBER_X, ROW, SPEC_X, WIDTH, WRITTEN_X
from app.paper.traveller.fields import box, marked_box
from app.sheet.draw.marks import BOX, Frame
from app.sheet.draw.tokens import (
    BOX_NUMBER,
    HEAD,
    NUMBER,
    PAPER_FRAME_PT,
    PAPER_HEAD_RULE_PT,
    PAPER_ROW_RULE_PT,
    SECOND,
    TITLE,
)
from app.words.say import say

HEAD_HIGH = 24.5 * MM
ROWS = 25
EXTRA_ROWS = 3
BODY_HALVES = 2 * (ROWS - EXTRA_ROWS)

_SHEET_X = 97 * MM
_PRINT_X = 138.5 * MM
_TITLE_LOW = 19 * MM
_KEY_BOX = 5.0 * MM
_BOX_INDENT = 2.5 * MM
_BOX_FIRST = 13.5
_BOX_LINES = 6
_FOOT_TOP = HEAD_HIGH + ROWS * ROW
_KEY_X = 11 * MM
_PEN_BASE = _FOOT_TOP + 5.2 * MM
_BOX_BASE = _FOOT_TOP + 10.6 * MM
_BAR_BASE = _FOOT_TOP + 16.4 * MM


class SheetHead(Struct, frozen=True):
    """What the head of one sheet says."""

    title: str
    build: str
    stage: int
    lines: tuple[str, str] | None
    sheet: int
    sheets: int
    stage_sheet: int
    stage_sheets: int
    print_number: int
    printed: datetime
    open_lines: str
    step_words: str = ""


def head(one: SheetHead) -> list[Item]:
    """The head of a sheet down to the rule under the column heads."""
    small = HEAD.paper_pt
    room = _SHEET_X - 3 * MM
    rows = (13.2 * MM, 17.3 * MM)
    items = [*_title(one.title, room), cut(0, rows[0], one.build, SECOND.paper_pt, 400, room)]
    items += _stage_and_lines(one, rows[1])
    for x, heading, below in (
        (_SHEET_X, f"Sheet {one.sheet}", (_of(one), "A4 or Letter, at 100 %")),
        (_PRINT_X, f"Print {one.print_number}", (f"{one.printed.astimezone():%a %d %b %Y, %H:%M}", one.open_lines)),
    ):
        wide = (_PRINT_X if x == _SHEET_X else WIDTH) - x - 3 * MM
        items.append(Rule(x, 0, x, _TITLE_LOW, PAPER_ROW_RULE_PT))
        items.append(cut(x + 3 * MM, 6.4 * MM, heading, NUMBER.paper_pt, NUMBER.paper_weight, wide))
        items += [cut(x + 3 * MM, y, text, small, 400, wide) for y, text in zip(rows, below, strict=True)]
    return items + (_step_heads(one.step_words) if one.step_words else _column_heads())


def _of(one: SheetHead) -> str:
    return f"of {one.sheets}, this stage {one.stage_sheet} of {one.stage_sheets}"


def _title(title: str, room: float) -> list[Item]:
    """The stage's title as large as it fits in one line, else small in two."""
    shown = words(title)
    for size in (TITLE.paper_pt, 20.0, NUMBER.paper_pt):
        if width_pt(shown, TITLE.paper_weight, size) <= room:
            return [Text(0, 7.6 * MM, shown, size, TITLE.paper_weight)]
    size = BOX_NUMBER.paper_pt
    first, *rest = broken([Span(shown[:500], TITLE.paper_weight)], size, room)
    more = " ".join(piece.text for line in rest for piece in line)
    found: list[Item] = [Text(0, 3.4 * MM, first[0].text, size, TITLE.paper_weight)]
    return [*found, cut(0, 7.8 * MM, more, size, TITLE.paper_weight, room)]


def _stage_and_lines(one: SheetHead, y: float) -> list[Item]:
    """The stage, the first and last line of this sheet, and what goes before all that stands on it."""
    first_last = _lines_words(*one.lines) if one.lines else "gate and loose ends"
    spans = (Span(f"Stage {one.stage},"), Span(f"{first_last}.", 700), Span("Maker's manual goes first."))
    line = broken(spans, HEAD.paper_pt, _SHEET_X - 3 * MM)[0]
    return line_of(line, 0, y, HEAD.paper_pt)


def _lines_words(first: str, last: str) -> str:
    return f"line {first}" if first == last else f"lines {first} to {last}"


def _column_heads() -> list[Item]:
    heads = ((NUMBER_X, "Line"), (LINE_X, "What to do"), (SPEC_X, "Spec"), (WRITTEN_X, "Written, or initials and time"))
    return [*_head_rules(), *(Text(x, HEAD_HIGH - 1.8 * MM, text, HEAD.paper_pt) for x, text in heads)]


def _step_heads(said: str) -> list[Item]:
    """What stands in place of the column heads where the sheet shows bolts or readings one by one."""
    spans = (Span("Step sheet:", 700), Span(said))
    return [*_head_rules(), *line_of(broken(spans, HEAD.paper_pt, WIDTH)[0], 0, HEAD_HIGH - 1.8 * MM, HEAD.paper_pt)]


def _head_rules() -> list[Item]:
    return [
        Rule(0, y - PAPER_HEAD_RULE_PT / 2, WIDTH, y - PAPER_HEAD_RULE_PT / 2, PAPER_HEAD_RULE_PT)
        for y in (_TITLE_LOW + PAPER_HEAD_RULE_PT, HEAD_HIGH)
    ]


# --- the note left last


class LeftBox(Struct, frozen=True):
    """What was left to be remembered, in a box above the extra lines: the half rows it takes, and what is drawn."""

    halves: int
    items: tuple[Item, ...]


def left_box(survey: Survey) -> LeftBox | None:
    """The note left last and what went with it; None where there is none, or work went on since."""
    left, worked = last_left(survey.build), last_worked(survey.build)
    if left is None or (worked is not None and worked > left.at):
        return None
    spans = [Span(f"Left on {left.at.astimezone():%a %d %b, %H:%M}", 700), Span(sentence(left.note))]
    if left.items:
        spans.append(Span(sentence("; ".join(say(one) for one in left.items))))
    size = SECOND.paper_pt
    lines = broken(spans, size, WIDTH - 2 * _BOX_INDENT)
    halves = min(len(lines), _BOX_LINES) + 2  # at least one line stays empty for the pen
    begin = HEAD_HIGH + (BODY_HALVES - halves) * HALF
    items = _frame(begin + 1 * MM, begin + halves * HALF - 2 * MM)
    bases = [begin + _BOX_FIRST + n * HALF for n in range(_BOX_LINES)]
    for pieces, base in zip(lines, bases if len(lines) <= _BOX_LINES else bases[:-1], strict=False):
        items += line_of(pieces, _BOX_INDENT, base, size)
    if len(lines) > _BOX_LINES:
        items.append(Text(_BOX_INDENT, bases[-1], "… and more, in the build record.", size))
    return LeftBox(halves, tuple(items))


def _frame(top: float, low: float) -> list[Item]:
    line, half = PAPER_FRAME_PT, PAPER_FRAME_PT / 2
    across: list[Item] = [Rule(0, y, WIDTH, y, line) for y in (top, low)]
    return across + [Rule(x, top - half, x, low + half, line) for x in (half, WIDTH - half)]


# --- the foot


@cache
def foot() -> tuple[Item, ...]:
    """The three extra lines, the pen key, the kinds of box, and the bar that shows the print's scale."""
    return (*_extra_lines(), *_pen_key(), *_box_key(), *_check_bar())


def _extra_lines() -> list[Item]:
    top = _FOOT_TOP - EXTRA_ROWS * ROW
    line = PAPER_ROW_RULE_PT
    items: list[Item] = [
        Rule(x, top, x, _FOOT_TOP, line) for x in (LINE_X - 1 * MM, SPEC_X - 1 * MM, WRITTEN_X - 1 * MM)
    ]
    for number in range(EXTRA_ROWS):
        y = top + number * ROW
        items.append(Rule(0, y, WIDTH, y, line))
        items.append(Text(NUMBER_X, y + 16, f"+{number + 1}", BOX_NUMBER.paper_pt, 500))
        items.append(box(Frame.DO, State.TO_DO, BOX_X + 1 * MM, y + 1.4))
    items.append(Rule(0, _FOOT_TOP, WIDTH, _FOOT_TOP, line))
    return items


def _pen_key() -> list[Item]:
    """The seven marks as the pen makes them, spread over the width."""
    found: list[Item] = [Text(0, _PEN_BASE, "Pen", HEAD.paper_pt, 700)]
    gap = (WIDTH - _KEY_X - sum(_key_wide(state.word) for state in State)) / (len(State) - 1)
    x = _KEY_X
    for state in State:
        found += _key(Frame.DO, state, state.word, x, _PEN_BASE)
        x += _key_wide(state.word) + gap
    return found


def _box_key() -> list[Item]:
    """The four kinds of box, and what stands at the left edge."""
    found: list[Item] = [Text(0, _BOX_BASE, "Box", HEAD.paper_pt, 700)]
    x = _KEY_X
    for kind in Frame:
        found += _key(kind, State.TO_DO, kind.value, x, _BOX_BASE)
        x += _key_wide(kind.value) + 4 * MM
    edge = "Left edge: bar, easy to miss; stripes, stopped or grave"
    return [*found, right_aligned(WIDTH, _BOX_BASE, edge, HEAD.paper_pt, 400)]


def _key(kind: Frame, state: State, name: str, x: float, base: float) -> list[Item]:
    top = base - 10.5
    return [
        Drawing(x, top, marked_box(kind, state), _KEY_BOX / BOX),
        Text(x + _KEY_BOX + 1 * MM, base, name, HEAD.paper_pt),
    ]


def _key_wide(name: str) -> float:
    return _KEY_BOX + 1 * MM + width_pt(name, 400, HEAD.paper_pt)


def _check_bar() -> list[Item]:
    """A bar of 100 mm with a tick each 10 mm, and what to do when a ruler says otherwise."""
    y = _BAR_BASE - 1 * MM
    ends = [Rule(x, y - 1.3 * MM, x, y + 1.3 * MM, 1.0) for x in (0.5, 100 * MM - 0.5)]
    ticks = [Rule(n * 10 * MM, y - 0.7 * MM, n * 10 * MM, y + 0.7 * MM, PAPER_ROW_RULE_PT) for n in range(1, 10)]
    said = "This bar is 100 mm. If not, print again at 100 %."
    return [Rule(0, y, 100 * MM, y, 1.0), *ends, *ticks, Text(103 * MM, _BAR_BASE, said, HEAD.paper_pt)]
