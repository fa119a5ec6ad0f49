"""The traveller: the sheet that goes with the job to the engine, stage by stage, and comes back with marks on it."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

from msgspec import Struct

from app.assembly.rules import loose_ends
from app.assembly.standing.gates import GateStanding, gate_standings
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.remembered import last_marked
from app.assembly.standing.survey import Survey
from app.paper.pdf.items import MM, Bar, Drawing, Item, Rule, Text
from app.paper.pdf.pen import PaperError, Pen, write_pages
from app.paper.pdf.strips import BASE, HALF, NUMBER_X, ROW, WIDTH, Edge, Ground, Group, block_group
from app.paper.steps.bolts import step_groups, step_lines
from app.paper.steps.readings import measure_groups, measure_lines
from app.paper.traveller.furniture import BODY_HALVES, HEAD_HIGH, LeftBox, SheetHead, foot, head, left_box
from app.paper.traveller.gates import STRIPED_END, after_the_last_gate, gate_groups, still_in
from app.paper.traveller.lines import line_group
from app.sheet.draw.marks import stripes
from app.sheet.draw.tokens import PAPER_EASY_BAR_MM, PAPER_ROW_RULE_PT, SECOND
from app.sheet.page_breaks import Part, page_breaks
from app.sheet.rows import BlockRow, Fixed, GateRow, LineRow, Row, StageSheet, stage_sheet

_BRACKET_X = 5 * MM
_BRACKET_FOOT = 1.6 * MM
_GATE_RULE_PT = 1.5
# What the head of a step sheet says, by whether all on it is for bolts, or all for measuring.
_STEP_WORDS = {
    (True, False): ("bolts", "one box for each bolt and pass; when every bolt has its last, mark the line itself"),
    (False, True): ("measuring", "one field for each reading; when all are filled, mark the line itself"),
    (False, False): (
        "bolts, measuring",
        "one box for each bolt and pass, one field for each reading; then mark the line",
    ),
}


class _Stage(Struct, frozen=True):
    """A stage laid out: its sheet, its rows on paper, and which of them stand on which page."""

    sheet: StageSheet
    groups: tuple[Group, ...]
    pages: tuple[tuple[Part, ...], ...]
    steps: tuple[Group, ...] = ()
    step_pages: tuple[tuple[Part, ...], ...] = ()
    of_bolts: tuple[bool, ...] = ()

    @property
    def sheets(self) -> int:
        """How many sheets it takes with its step sheets."""
        return len(self.pages) + len(self.step_pages)


def write_traveller(
    out: Path,
    survey: Survey,
    *,
    number: int,
    stages: Sequence[int] = (),
    only_open: bool = False,
    steps: bool = True,
    paper: str = "A4",
    invariant: bool = False,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> int:
    """Write print `number` of the sheet to a PDF, and return how many sheets it has.

    `stages` are stage numbers, all when empty; `only_open` leaves out what is Done or Not needed, `steps` adds the
    step sheets of each stage's bolts and readings behind its rows. Raises OSError when the file cannot be written and
    `PaperError` when there is nothing to print or the person stopped it; then no file is left behind.
    """
    left = left_box(survey)
    laid = _lay_out(survey, stages, only_open, left, steps=steps)
    sheets = sum(stage.sheets for stage in laid)
    at_hand = {line.stage for line in last_marked(survey.build, 1)}
    pages: list[Callable[[Pen], None]] = []
    for stage in laid:
        for index, parts in enumerate(stage.pages):
            top = _head(survey, stage, parts, number, only_open, (len(pages) + 1, sheets, index + 1))
            # The note stands on the first sheet, and where there is room in the stage the hand was at.
            note = left if not pages or stage.sheet.number in at_hand else None
            pages.append(partial(_draw_page, top, stage.groups, parts, note))
        for index, parts in enumerate(stage.step_pages, len(stage.pages)):
            top = _step_head(survey, stage, parts, number, (len(pages) + 1, sheets, index + 1))
            pages.append(partial(_draw_page, top, stage.steps, parts, None))
    title = f"{survey.build.name}, print {number}"
    return write_pages(
        out, pages, title=title, paper=paper, invariant=invariant, progress=progress, cancelled=cancelled
    )


# --- what is printed


def _lay_out(
    survey: Survey, stages: Sequence[int], only_open: bool, left: LeftBox | None, *, steps: bool
) -> list[_Stage]:
    """Each stage's rows on its pages; the first page keeps room for the note left last."""
    known = {stage.number for stage in survey.build.stages}
    for number in stages:
        if number not in known:
            raise PaperError(f"There is no stage {number} to print; the stages run from 1 to {len(known)}.")
    ends = loose_ends(survey)
    standings = gate_standings(survey, ends)
    laid: list[_Stage] = []
    for stage in survey.build.stages:
        if stages and stage.number not in stages:
            continue
        sheet = stage_sheet(survey, ends, standings, stage)
        rows = _open_rows(survey, sheet) if only_open else sheet.rows
        if rows:
            last = stage.number == len(survey.build.stages)
            stepped = _stepped(survey, stage.number) if steps else frozenset()
            groups = tuple(_groups(survey, rows, ends, standings, stepped, last=last))
            blocks = [group.block() for group in groups]
            first = BODY_HALVES - (left.halves if left and not laid else 0)
            blocks_of = _steps(survey, stage.number) if steps else ()
            step_pages = page_breaks([group.block() for group, _ in blocks_of], BODY_HALVES)
            pages = page_breaks(blocks, BODY_HALVES, first=first)
            of_bolts = tuple(bolts for _, bolts in blocks_of)
            laid.append(_Stage(sheet, groups, pages, tuple(group for group, _ in blocks_of), step_pages, of_bolts))
    if not laid:
        raise PaperError("No line is open, so there is nothing to print; print the whole sheet instead.")
    return laid


def _stepped(survey: Survey, stage: int) -> frozenset[str]:
    """The lines of a stage that have a step sheet of either kind."""
    return step_lines(survey, stage) | measure_lines(survey, stage)


def _steps(survey: Survey, stage: int) -> tuple[tuple[Group, bool], ...]:
    """The step sheets of a stage in the order of its lines, each with whether it is one for bolts."""
    at = {line.number: n for n, line in enumerate(survey.build.lines)}
    found = [(group, True) for group in step_groups(survey, stage)]
    found += [(group, False) for group in measure_groups(survey, stage)]
    return tuple(sorted(found, key=lambda pair: at[pair[0].number.split()[0]]))


def _open_rows(survey: Survey, sheet: StageSheet) -> tuple[Row, ...]:
    """The open lines under their block titles, and the gates; nothing where a stage has neither open."""
    rows: list[Row] = []
    for row in sheet.rows:
        if isinstance(row, LineRow) and not survey.open(survey.build.by_id[row.id]):
            continue
        if not isinstance(row, LineRow) and rows and isinstance(rows[-1], BlockRow):
            rows.pop()
        rows.append(row)
    wanted = any(isinstance(row, LineRow) or (isinstance(row, GateRow) and row.lines) for row in rows)
    if rows and isinstance(rows[-1], BlockRow):
        rows.pop()
    return tuple(rows) if wanted else ()


def _groups(
    survey: Survey,
    rows: Sequence[Row],
    ends: Sequence[LooseEnd],
    standings: Sequence[GateStanding],
    stepped: frozenset[str],
    *,
    last: bool,
) -> Iterator[Group]:
    by_gate = {standing.gate.id: standing for standing in standings}
    for row in rows:
        match row:
            case LineRow():
                yield line_group(survey, row, step_sheet=row.id in stepped)
            case BlockRow():
                yield block_group(row.text)
            case GateRow():
                yield from gate_groups(survey, row, by_gate[row.gate])
    if last:
        yield from after_the_last_gate(survey, ends)
    if any(isinstance(row, LineRow) and survey.open(survey.build.by_id[row.id]) for row in rows):
        yield from still_in(survey)


# --- how a page is drawn


def _head(
    survey: Survey, stage: _Stage, parts: Sequence[Part], number: int, only_open: bool, place: tuple[int, int, int]
) -> SheetHead:
    numbers = [stage.groups[part.block].number for part in parts if stage.groups[part.block].line]
    count = f"{stage.sheet.open} open" if stage.sheet.open else "nothing open"
    return SheetHead(
        title=stage.sheet.title,
        build=stage.sheet.build,
        stage=stage.sheet.number,
        lines=(numbers[0], numbers[-1]) if numbers else None,
        sheet=place[0],
        sheets=place[1],
        stage_sheet=place[2],
        stage_sheets=stage.sheets,
        print_number=number,
        printed=survey.now,
        open_lines=f"open lines only: {stage.sheet.open}" if only_open else f"{count} in this stage",
    )


def _step_head(
    survey: Survey, stage: _Stage, parts: Sequence[Part], number: int, place: tuple[int, int, int]
) -> SheetHead:
    """The head of a step sheet: as of any sheet, with the joints or lines on it."""
    numbers = [stage.steps[part.block].number for part in parts]
    kinds = {stage.of_bolts[part.block] for part in parts}
    what, said = _STEP_WORDS[kinds == {True}, kinds == {False}]
    return SheetHead(
        title=stage.sheet.title,
        build=stage.sheet.build,
        stage=stage.sheet.number,
        lines=(numbers[0].split()[0], numbers[-1].split()[-1]),
        sheet=place[0],
        sheets=place[1],
        stage_sheet=place[2],
        stage_sheets=stage.sheets,
        print_number=number,
        printed=survey.now,
        open_lines=f"step sheets for {what}",
        step_words=said,
    )


def _draw_page(top: SheetHead, groups: Sequence[Group], parts: Sequence[Part], left: LeftBox | None, pen: Pen) -> None:
    pen.draw(head(top))
    y = HEAD_HIGH
    for index, part in enumerate(parts):
        y = _draw_part(pen, groups[part.block], part, y, first=index == 0)
    pen.draw([Rule(0, y, WIDTH, y, PAPER_ROW_RULE_PT)])
    # A hundredth of a point is no height, only what adding them up leaves over.
    if left is not None and y + left.halves * HALF <= HEAD_HIGH + BODY_HALVES * HALF + 0.01:
        pen.draw_always("left", left.items)
    pen.draw_always("foot", foot())


def _draw_part(pen: Pen, group: Group, part: Part, y: float, *, first: bool) -> float:
    """Draw what stands on this page of a row, and return where it ends."""
    begin = y
    if part.goes_on:
        pen.draw(_continued(group), 0, y)
        y += ROW
    high = part.height * HALF + (y - begin)
    last = part.last == len(group.strips)
    pen.draw(_ground(group, high), 0, begin)
    pen.draw(_edge(group, high), 0, begin)
    pen.draw(_bracket(group.fixed, high, begins=not part.goes_on, ends=last), 0, begin)
    if not first:
        joined = group.fixed in (Fixed.MIDDLE, Fixed.LAST)
        pen.draw([Rule(_BRACKET_X if joined else 0, begin, WIDTH, begin, PAPER_ROW_RULE_PT)])
    for strip in group.strips[part.first : part.last]:
        pen.draw(strip.items, 0, y)
        y += strip.halves * HALF
    return begin + high


def _continued(group: Group) -> list[Item]:
    size = SECOND.paper_pt
    words_of_it = f"{group.number}, continued" if group.number else "continued"
    return [Text(NUMBER_X, BASE + HALF / 2, words_of_it, size, 700, light=group.ground in _DARK)]


_DARK = (Ground.SOLID, Ground.SOLID_STRIPED)


def _ground(group: Group, high: float) -> list[Item]:
    """The black of a shut gate, with a striped end where it was opened in writing; two rules where it is open."""
    match group.ground:
        case Ground.PAPER:
            return []
        case Ground.RULES:
            return [Rule(0, y, WIDTH, y, _GATE_RULE_PT) for y in (_GATE_RULE_PT, high - _GATE_RULE_PT)]
        case Ground.SOLID:
            return [Bar(0, 0, WIDTH, high)]
        case Ground.SOLID_STRIPED:
            return [Bar(0, 0, WIDTH, high), Drawing(0, 0, stripes(STRIPED_END, high, "on_gate", on=2.4, off=2.4), 1.0)]


def _edge(group: Group, high: float) -> list[Item]:
    wide = PAPER_EASY_BAR_MM * MM
    match group.edge:
        case Edge.NONE:
            return []
        case Edge.EASY:
            return [Bar(0, 0, wide, high)]
        case Edge.STRIPED:
            return [Drawing(0, 0, stripes(wide, high, "stop", on=3.0, off=2.25), 1.0)]


def _bracket(fixed: Fixed, high: float, *, begins: bool, ends: bool) -> list[Item]:
    """This row's piece of the bracket that links lines whose order is fixed."""
    if fixed is Fixed.NONE:
        return []
    opens, closes = begins and fixed is Fixed.FIRST, ends and fixed is Fixed.LAST
    top, low = 1.2 * MM if opens else 0.0, high - (1.2 * MM if closes else 0.0)
    found: list[Item] = [Rule(_BRACKET_X, top, _BRACKET_X, low, 0.75)]
    for y, drawn in ((top, opens), (low, closes)):
        if drawn:
            found.append(Rule(_BRACKET_X - 0.375, y, _BRACKET_X + _BRACKET_FOOT, y, 0.75))
    return found
