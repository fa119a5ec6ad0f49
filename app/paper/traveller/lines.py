"""One line of the sheet on paper: its caution, its row, and the rows for boxes, fields, waits and what was written."""

from itertools import chain

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.said.marks import State
from app.assembly.said.put_in import EXTRA, ExtraKind
from app.assembly.said.second_look import SEEN
from app.assembly.standing.inside import in_the_way
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import figure_unit
from app.assembly.standing.waits import WaitKind
from app.paper.pdf.items import MM, TO_TICK, Bar, Drawing, Item, Text, cut, line_of
from app.paper.pdf.letters import NO_BREAK, Piece, Span, broken, fitting_size, sentence, width_pt, words
from app.paper.pdf.strips import (
    AIR,
    BASE,
    BOX_X,
    FIRST,
    GUTTER,
    HALF,
    LINE_X,
    MIDDLE,
    NUMBER_X,
    SPEC_X,
    WIDTH,
    WRITTEN_X,
    Edge,
    Group,
    Strip,
    lowered,
    text_strips,
)
from app.paper.traveller.fields import (
    BOX_SIDE,
    CELL,
    IN_BOX,
    box,
    box_strips,
    cells_for,
    comb,
    field,
    field_items,
    grid_strips,
    value_items,
    wants_field,
)
from app.sheet.draw.marks import BOX, concession, wait_bar
from app.sheet.draw.tokens import HEAD, HOLD_TAG, NUMBER, OPEN_LINE, SECOND, VALUE
from app.sheet.rows import MOST_IN_A_ROW, LineRow, Run, SpecCell, Wait
from app.words.say import say

_CLOSED = (State.DONE, State.NOT_NEEDED)
STEP_SHEET = "Step sheet."
ON_SHEET = "on its step sheet"
_HOLD_WIDE = 33.0
_HOLD_SPACED = 0.45
_WAIT_BAR = 20 * MM
_LOOKED_AT = 22 * MM
# From baseline to baseline, in points.
_TITLE_PITCH = 12.6
_TO_SMALL = 10.2
_SMALL_PITCH = 11.0
_MOST_LOOSE = 1.2
_MOST_WORDS = 8 * HALF
# A row with more strips of places than this may begin low on a page and go on on the next.
_PLACES_KEPT = 1


def line_group(survey: Survey, row: LineRow, *, step_sheet: bool = False) -> Group:
    """Everything of one line, as strips; `step_sheet` says that its bolts or readings have a sheet of their own."""
    line = survey.build.by_id[row.id]
    top = [*_caution(line), *_main(survey, line, row, step_sheet=step_sheet), *_figure_to_enter(survey, line, row)]
    places = [] if step_sheet and _on_its_sheet(row) else _places(line, row)
    strips = (*top, *places, *_waiting(row.wait), *_conceded(row.conceded))
    edge = Edge.STRIPED if row.striped else Edge.EASY if row.easy_to_miss else Edge.NONE
    head = len(top) + 1 if len(places) > _PLACES_KEPT else 0
    return Group(strips, number=row.number, line=True, edge=edge, fixed=row.fixed, head=head)


# --- before the step


def _caution(line: Line) -> list[Strip]:
    caution = line.step.caution
    if caution is None:
        return []
    level = Span(caution.level.value.upper(), 700)
    strips = text_strips([level, Span(sentence(caution.text), 500)], OPEN_LINE.paper_pt)
    # The row's own words follow without a rule, so the whole text may hang a little low.
    return [Strip(1, tuple(lowered(strip.items, FIRST - BASE))) for strip in strips]


# --- the row itself

# A line of words as it was broken, and the size it was broken at.
_Broken = tuple[tuple[Piece, ...], float]


class _Cell(Struct, frozen=True):
    """What stands in one column, and how many half rows it needs."""

    items: tuple[Item, ...] = ()
    halves: int = 0


def _main(survey: Survey, line: Line, row: LineRow, *, step_sheet: bool) -> list[Strip]:
    """The row with its number, box, words, spec and what is written; very many words run on below."""
    spec, written = _spec(row.spec), _written(line, row, on_sheet=step_sheet and _on_its_sheet(row))
    titles, small = _words(survey, line, row, step_sheet=step_sheet)
    lines, bases = [*titles, *small], _baselines(len(titles), len(small))
    alone = len(lines) == 1 and max(spec.halves, written.halves) <= 2
    beside = [n for n, base in enumerate(bases) if base <= _MOST_WORDS]
    halves = max(2, spec.halves, written.halves, -(-(bases[len(beside) - 1] + AIR) // HALF))
    items: list[Item] = [_number(row.number), box(row.frame, row.state, BOX_X + 1 * MM, (HALF * 2 - BOX_SIDE) / 2)]
    # What is left of the last half row goes between the lines.
    loose = min((halves * HALF - bases[len(beside) - 1] - AIR) / len(beside), _MOST_LOOSE)
    placed = [MIDDLE] if alone else [bases[n] + n * loose for n in beside]
    if row.hold:
        items += _hold_tag(placed[0])
    for (pieces, size), base in zip(lines, placed, strict=False):
        items += line_of(pieces, LINE_X, base, size)
    first = Strip(int(halves), (*items, *spec.items, *written.items))
    return [first, *(Strip(1, tuple(line_of(pieces, LINE_X, BASE, size))) for pieces, size in lines[len(beside) :])]


def _baselines(titles: int, small: int) -> list[float]:
    """Where the lines of words stand under the rule, the title's lines first."""
    found = [FIRST + n * _TITLE_PITCH for n in range(titles)]
    return found + [found[-1] + _TO_SMALL + n * _SMALL_PITCH for n in range(small)]


def _number(number: str) -> Text:
    shown = words(number)
    room = BOX_X - NUMBER_X  # a line put in between carries a letter more
    size = fitting_size(shown, NUMBER.paper_weight, NUMBER.paper_pt, room)
    return Text(NUMBER_X, 17.5, shown, size, NUMBER.paper_weight)


def _hold_tag(base: float) -> list[Item]:
    tag = Text(
        LINE_X + 3.0, base - 0.8, "HOLD", HOLD_TAG.paper_pt, HOLD_TAG.paper_weight, light=True, spaced=_HOLD_SPACED
    )
    return [Bar(LINE_X, base - 9.0, _HOLD_WIDE, 10.8), tag]


def _words(survey: Survey, line: Line, row: LineRow, *, step_sheet: bool) -> tuple[list[_Broken], list[_Broken]]:
    """The lines of the title and of the small words under it."""
    # Without a figure the words may use its column too.
    room = (WRITTEN_X if row.spec is None else SPEC_X) - LINE_X - GUTTER
    indent = _HOLD_WIDE + 4.0 if row.hold else 0.0
    title = broken([Span(row.title, OPEN_LINE.paper_weight)], OPEN_LINE.paper_pt, room, indent_pt=indent) or ((),)
    spans = [*_small(survey, line, row), *([Span(STEP_SHEET, 700)] if step_sheet else [])]
    small = broken(spans, SECOND.paper_pt, room)
    return [(pieces, OPEN_LINE.paper_pt) for pieces in title], [(pieces, SECOND.paper_pt) for pieces in small]


def _small(survey: Survey, line: Line, row: LineRow) -> list[Span]:
    """The second row's words: why not to turn, state, note, what may be written, and where the figure is from."""
    spans = [*_not_turned(survey, line), *_on_the_way(survey, line)]
    spans += [Span(sentence(run.text), 700 if run.bold else 400, _mark_before(row, run)) for run in row.second]
    spans += _second_look(survey, line)
    if row.boxes and row.state in (*_CLOSED, State.LOOK_AGAIN):
        was = " were ticked" if row.state is State.LOOK_AGAIN else ""
        spans.append(Span(f"{row.count}{was}.".replace(" ", NO_BREAK)))
    spec = line.step.spec
    if row.state not in _CLOSED and line.reads and spec is not None and spec.kind is Measured.CHOICE:
        spans.append(Span(f"Write {_one_of(spec.choices)}."))
    return [*spans, *_source(survey, line, row)]


def _mark_before(row: LineRow, run: Run) -> str:
    """The small mark in front of a state's word, and the small box in front of a second look to come."""
    if run.bold and run.text.startswith("Second look wanted"):
        return TO_TICK
    return row.state.value if row.state not in IN_BOX and run.bold and run.text.startswith(row.state.word) else ""


def _not_turned(survey: Survey, line: Line) -> list[Span]:
    """What must be out or undone before the engine is turned at this line."""
    ahead = survey.build.bars.get(survey.next_gate, len(survey.build.lines))
    # Behind the next gate it is told by the gate, which all that is in keeps shut.
    if line.step.turns is None or not survey.open(line) or line.position >= ahead:
        return []
    things = "; ".join(thing.words for thing, _ in in_the_way(survey.build, survey.inside, line))
    spells = [say(one.said) for one in survey.waits(line) if one.said.kind is WaitKind.BETWEEN]
    inside = [Span("Nothing is turned while in:", 700), Span(sentence(things))] if things else []
    return inside + [span for text in spells for span in (Span("Not turned yet:", 700), Span(sentence(text)))]


def _on_the_way(survey: Survey, line: Line) -> list[Span]:
    """Of a line the plan does not have: how it came about, where and why."""
    if line.extra is None:
        return []
    one = survey.build.facts.of(EXTRA)[line.id, ""]
    words = ", ".join(word for word in (one.place, one.why) if word)
    how = "Opened on the way" if one.kind is ExtraKind.OPENED else "Put in on the way"
    return [Span(f"{how} by {one.by}{':' if words else '.'}", 700), Span(sentence(words))]


def _second_look(survey: Survey, line: Line) -> list[Span]:
    """Whether a second look is wanted, with a box to tick, or who took it; of a Done line the row says it itself."""
    if not line.step.second_look or survey.state(line) is State.NOT_NEEDED:
        return []
    if not survey.seen_twice(line):
        return [] if survey.done(line) else [Span("Second look wanted.", 700, TO_TICK)]
    seen = survey.build.facts.of(SEEN)[line.id, ""]
    return [Span("Second look:", 700, State.DONE.value), Span(f"{seen.by}, {seen.at.astimezone():%a %d %b %H:%M}.")]


def _one_of(choices: tuple[str, ...]) -> str:
    return f"{', '.join(choices[:-1])} or {choices[-1]}" if len(choices) > 1 else "".join(choices)


def _source(survey: Survey, line: Line, row: LineRow) -> list[Span]:
    bounds = survey.bounds(line)
    if bounds is None:
        return []
    state = f" Thread {line.step.spec.state}." if line.step.spec is not None and line.step.spec.state else ""
    if not bounds.source:
        return [Span("Figure without a source.", 700), Span(state)]
    return [Span(f"Figure: {bounds.source}.{state}")] if row.state not in _CLOSED else []


def _spec(spec: SpecCell | None) -> _Cell:
    """The figure, large; over it the small words that lead to it."""
    if spec is None:
        return _Cell()
    room = WRITTEN_X - SPEC_X - 1 * MM
    if not spec.strong:
        one_line = width_pt(words(spec.figure), 400, OPEN_LINE.paper_pt) <= room
        size = OPEN_LINE.paper_pt if one_line else SECOND.paper_pt
        lines = broken([Span(spec.figure)], size, room)
        bases = [MIDDLE] if one_line else [FIRST, *(BASE + n * HALF for n in range(1, len(lines)))]
        plain = [line_of(pieces, SPEC_X, base, size) for base, pieces in zip(bases, lines, strict=True)]
        return _Cell(tuple(chain.from_iterable(plain)), len(lines))
    size = NUMBER.paper_pt
    figure = broken([Span(spec.figure, NUMBER.paper_weight)], size, room)
    base = 20.5 if spec.lead else 17.5
    items: list[Item] = [cut(SPEC_X, 7.6, spec.lead, HEAD.paper_pt, 400, room)] if spec.lead else []
    for index, pieces in enumerate(figure):
        items += line_of(pieces, SPEC_X, base + index * 18.0, size)
    low = base + (len(figure) - 1) * 18.0 + 3.5
    return _Cell(tuple(items), int(-(-low // HALF)))


def _on_its_sheet(row: LineRow) -> bool:
    """Whether so much is read that only the step sheet of the line has room for it."""
    return len(row.write_ins) > MOST_IN_A_ROW


def _written(line: Line, row: LineRow, *, on_sheet: bool) -> _Cell:
    """The field or value of a line that is read once, and who signed when."""
    room = WIDTH - WRITTEN_X
    items: list[Item] = []
    halves = 0
    if on_sheet:
        base, halves = (FIRST, 1) if row.signed else (MIDDLE, 2)
        items.append(Text(WRITTEN_X, base, ON_SHEET, SECOND.paper_pt))
    if len(row.write_ins) == 1:
        one = row.write_ins[0]
        if wants_field(row, one):
            items += field_items(row, one, WRITTEN_X, 0.0, ticks=_has_figures(line))
            halves = 3 if one.value or not row.signed else 2
        elif one.value:
            items += value_items(one, WRITTEN_X, FIRST, room)
            halves = 1
    signed = _signed(row, room)
    if not halves and len(signed) == 1:
        return _Cell(tuple(lowered(signed[0], MIDDLE - BASE)), 2)
    for sign in signed:
        items += lowered(sign, halves * HALF)
        halves += 1
    return _Cell(tuple(items), halves)


def _signed(row: LineRow, room: float) -> list[list[Item]]:
    """Initials, and the time beside them or under them."""
    if not row.signed:
        return []
    initials = words(row.signed)
    wide = width_pt(initials, 700, VALUE.paper_pt) + 2 * MM
    time = cut(WRITTEN_X + wide, BASE, row.signed_at, SECOND.paper_pt, 400, room)
    name = cut(WRITTEN_X, BASE, initials, VALUE.paper_pt, 700, room)
    if wide + width_pt(time.text, 400, SECOND.paper_pt) <= room:
        return [[name, time]]
    return [[name], [cut(WRITTEN_X, BASE, row.signed_at, SECOND.paper_pt, 400, room)]]


def _has_figures(line: Line) -> bool:
    """Whether what is written is a number, letter by letter, and not a word."""
    spec = line.step.spec
    return spec is not None and spec.kind not in (Measured.CHOICE, Measured.TEXT)


# --- under the row


def _figure_to_enter(survey: Survey, line: Line, row: LineRow) -> list[Strip]:
    """Room for a figure the plan leaves to the person, and for where it is from."""
    if not survey.figure_missing(line) or row.state in _CLOSED:
        return []
    unit = words(figure_unit(survey, line))
    base, cells = MIDDLE, cells_for(row, unit)
    label = words("Maker's figure")
    x = LINE_X + width_pt(label, 700, SECOND.paper_pt) + 2 * MM
    after = x + cells * CELL + 1 * MM
    source_x = after + width_pt(unit, 400, SECOND.paper_pt) + 4 * MM
    source = "and its source"
    blank = source_x + width_pt(source, 400, SECOND.paper_pt) + 2 * MM
    items = [
        Text(LINE_X, base, label, SECOND.paper_pt, 700),
        *comb(x, 1.4 * MM, cells),
        Text(after, base, unit, SECOND.paper_pt),
        Text(source_x, base, source, SECOND.paper_pt),
        *field(blank, 1.4 * MM, WIDTH - blank),
    ]
    return [Strip(3, tuple(items))]


def _places(line: Line, row: LineRow) -> list[Strip]:
    if len(row.write_ins) > 1:
        return grid_strips(row, ticks=_has_figures(line))
    if row.boxes and row.state not in _CLOSED:
        return box_strips(row.boxes, row.state)
    return []


def _waiting(wait: Wait | None) -> list[Strip]:
    """The wait in front of the line: began, how much of it is over, ready, and room for the time one looked."""
    if wait is None:
        return []
    size = SECOND.paper_pt
    scale = 12 / BOX
    x = LINE_X
    items: list[Item] = []
    for text, weight in (("began", 400), (f"{wait.begun.astimezone():%a %d %b %H:%M}", 700)):
        items.append(Text(x, MIDDLE, text, size, weight))
        x += width_pt(text, weight, size) + 1.5 * MM
    items.append(Drawing(x, MIDDLE - 9.5, wait_bar(_WAIT_BAR / scale, wait.over), scale))
    x += _WAIT_BAR + 1.5 * MM
    for text, weight in (("ready", 400), (f"{wait.ends.astimezone():%a %d %b %H:%M}", 700), ("looked at", 400)):
        items.append(Text(x, MIDDLE, text, size, weight))
        x += width_pt(text, weight, size) + 1.5 * MM
    items += field(min(x, WIDTH - _LOOKED_AT), 0.5 * MM, _LOOKED_AT)
    return [Strip(3, tuple(items))]


def _conceded(text: str) -> list[Strip]:
    """The signing line with its scrawl, and the words that were written to go on without this line."""
    if not text:
        return []
    wide = 20.0
    strips = text_strips([Span("In writing:", 700), Span(text, 500)], SECOND.paper_pt, x=LINE_X + wide)
    scrawl = Drawing(LINE_X, 0.5, concession(signed=True), 14 / 30)
    return [Strip(1, (scrawl, *strips[0].items)), *strips[1:]]
