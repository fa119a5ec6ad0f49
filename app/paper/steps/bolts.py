"""Step sheets: one block for each joint of several bolts, to tick at the engine bolt by bolt and pass by pass."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache, partial
from itertools import pairwise

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.plan.steps import HowTight, Measured, Tightening
from app.assembly.said.bolts import BoltTurn
from app.assembly.said.marks import State
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import (
    Bolt,
    Pass,
    Round,
    bolts,
    joint_lines,
    joint_of,
    joint_passes,
    pattern_of,
    row_counts,
    stretch_window,
    turns_of,
)
from app.assembly.standing.units import figure_unit, unit_at
from app.assembly.standing.wrenches import WrenchSum, wrench_sum
from app.paper.pdf.items import MM, Drawing, Item, Rule, Text, line_of
from app.paper.pdf.letters import Span, broken, sentence, width_pt, words
from app.paper.pdf.strips import BASE, FIRST, HALF, MIDDLE, WIDTH, Group, Strip, text_strips
from app.paper.steps.parts import as_one, drawn_items, note_strips, title_strips, together
from app.paper.traveller.fields import BOX_SIDE, CELL, FIELD_DROP, box, cells_of, comb
from app.sheet.draw.bolts import wrench_drawing
from app.sheet.draw.drawing import CAPITALS
from app.sheet.draw.marks import Frame
from app.sheet.draw.shapes import Path, dot, polygon, solid
from app.sheet.draw.tokens import BOX_NUMBER, HEAD, NUMBER, OPEN_LINE, PAPER_ROW_RULE_PT, SECOND, VALUE
from app.sheet.tighten import TightenView, joint_title, tighten_view
from app.trade.notation import second
from app.trade.pattern import Pattern

FEWEST_BOLTS = 3

_CLOSED = (State.DONE, State.NOT_NEEDED)
# Where the columns of the figures begin.
_WHAT_X = 20 * MM
_BOLT_X = 60 * MM
_OTHER_X = 101 * MM
_SET_X = 133 * MM
_GAP = 2 * MM

_HEX = 4.6 * MM
_HEX_HIGH = 2 * _HEX + 1.5 * MM
_LABELS = 31 * MM
_MOST_ACROSS = 18
_MOST_DEEP = 8
# In a cell of the figures; no figure and no wrench needs more.
_MOST_LINES = 12
_BORE = 5.5 * MM
_LEAST_CIRCLE = 24 * MM
_WRENCH_SCALE = 9.0 / 17
_WRENCH_X = 66 * MM
# Behind a field and its unit; with the unit it is more than the 5 mm a pen needs between two fields.
_BETWEEN = 2.5 * MM


def step_lines(survey: Survey, stage: int) -> frozenset[str]:
    """The lines of a stage that have a step sheet, by id."""
    return frozenset(line.id for joint in _joints(survey, stage) for line in joint)


def step_groups(survey: Survey, stage: int) -> tuple[Group, ...]:
    """The step sheets of a stage: a group for each joint of at least three bolts with a line still to be closed."""
    return tuple(_group(survey, joint) for joint in _joints(survey, stage))


def _joints(survey: Survey, stage: int) -> Iterator[tuple[Line, ...]]:
    """The joints to print, each where its first line stands."""
    seen: set[str] = set()
    for line in survey.build.lines:
        if line.stage != stage or line.tightening is None or line.id in seen:
            continue
        joint = joint_lines(survey.build, line)
        seen |= {other.id for other in joint}
        still_open = any(survey.state(other) not in _CLOSED for other in joint)
        if still_open and len(survey.places(line)) >= FEWEST_BOLTS:
            yield joint


def _group(survey: Survey, joint: tuple[Line, ...]) -> Group:
    open_lines = [line for line in joint if survey.state(line) not in _CLOSED]
    views = {line.id: tighten_view(survey, line) for line in joint}
    number = joint_title(survey, joint[0])
    strips = [
        *title_strips(number, _joint_words([line.step.do for line in joint])),
        *_figures(survey, joint, views),
        *_remarks(open_lines, [views[line.id] for line in open_lines]),
        *_sums(survey, open_lines),
        *_drawn_and_written(survey, open_lines),
    ]
    return Group(tuple(strips), number=number)


def _drawn_and_written(survey: Survey, open_lines: Sequence[Line]) -> list[Strip]:
    """The drawing, the table to write in and the notes; the notes never stand alone on a page."""
    table, notes = _write_in_table(survey, open_lines), note_strips()
    drawn = _drawn(survey, open_lines[0])
    if not table:
        return together([*drawn[:-1], as_one([drawn[-1], *notes])])
    return [*together(drawn), *together([*table[:-1], as_one([table[-1], *notes])])]


# --- what it is


def _joint_words(titles: Sequence[str]) -> str:
    """What the lines of a joint have in common: “Torque head nuts”; a line alone keeps its own words."""
    if len(titles) == 1:
        return titles[0]
    shared = []
    for at_once in zip(*(title.split() for title in titles), strict=False):
        if len(set(at_once)) > 1:
            break
        shared.append(at_once[0])
    said = " ".join(shared) if len(shared) > 1 else titles[0].split(",")[0]
    return said.rstrip(" ,;:")


# --- its figures: one row for each pass


def _figures(survey: Survey, joint: Sequence[Line], views: Mapping[str, TightenView]) -> list[Strip]:
    size = HEAD.paper_pt
    heads = (
        (0.0, "Line"),
        (_WHAT_X, "Pass, and threads"),
        (_BOLT_X, "At the bolt"),
        (_OTHER_X, "The same"),
        (_SET_X, "Set the wrench to"),
    )
    rule = Rule(0, HALF, WIDTH, HALF, 1.0)
    found = [Strip(1, (*(Text(x, BASE, text, size) for x, text in heads), rule))]
    every = list(joint_passes(survey, joint[0]))
    for at, (line, one) in enumerate(every, 1):
        which = f"{one.round.value} {at} of {len(every)}" if len(every) > 1 else f"one {one.round.value}"
        found.append(_figure(survey, line, one, which, views[line.id].state))
    return found


def _figure(survey: Survey, line: Line, one: Pass, which: str, threads: str) -> Strip:
    """One pass: which, to what in both systems, and what the wrench has to show."""
    done = survey.state(line) in _CLOSED
    small = f"{survey.state(line).word}, " if done else ""
    cells = [
        _large(0.0, line.number, _WHAT_X - _GAP),
        _two(_WHAT_X, which, f"{small}{one.first and f'{one.first} first, '}{threads}", _BOLT_X - _WHAT_X - _GAP),
        _at_bolt(survey, line, one),
        _small(_OTHER_X, second(one.torque) if one.torque is not None and one.text else "", _SET_X - _OTHER_X - _GAP),
        _setting(survey, line, one) if not done else _Cell(),
    ]
    halves = max(2, *(cell.halves for cell in cells))
    items = [item for cell in cells for item in cell.items]
    return Strip(halves, (*items, Rule(0, halves * HALF, WIDTH, halves * HALF, PAPER_ROW_RULE_PT)))


class _Cell(Struct, frozen=True):
    """What stands in one column of a row, and how many half rows it needs."""

    items: tuple[Item, ...] = ()
    halves: int = 0


def _large(x: float, text: str, room: float) -> _Cell:
    """A figure to be read from afar; one too long for it in small letters over several rows, never cut."""
    shown, size = words(text), NUMBER.paper_pt
    if width_pt(shown, 700, size) <= room:
        return _Cell((Text(x, 17.8, shown, size, 700),), 2)
    return _several(x, [Span(text, 700)], room)


def _small(x: float, text: str, room: float) -> _Cell:
    shown = words(text)
    if width_pt(shown, 500, OPEN_LINE.paper_pt) <= room:
        return _Cell((Text(x, MIDDLE, shown, OPEN_LINE.paper_pt, 500),) if shown else (), 2)
    return _several(x, [Span(text, 500)], room)


def _two(x: float, text: str, below: str, room: float) -> _Cell:
    """Words, and small words under them."""
    lines = broken([Span(below)], SECOND.paper_pt, room)[:_MOST_LINES]
    items: list[Item] = [Text(x, FIRST, words(text), OPEN_LINE.paper_pt, 700)]
    for n, pieces in enumerate(lines, 1):
        items += line_of(pieces, x, FIRST + 10.6 * n, SECOND.paper_pt)
    return _Cell(tuple(items), math.ceil((FIRST + 10.6 * len(lines) + 3) / HALF))


def _several(x: float, spans: Iterable[Span], room: float, size: float = SECOND.paper_pt) -> _Cell:
    lines = broken(spans, size, room)[:_MOST_LINES]
    items = [item for n, pieces in enumerate(lines) for item in line_of(pieces, x, FIRST + 11.0 * n, size)]
    return _Cell(tuple(items), math.ceil((FIRST + 11.0 * len(lines) - 7.5) / HALF))


def _at_bolt(survey: Survey, line: Line, one: Pass) -> _Cell:
    """The figure at the bolt, or a field for one that is not entered yet."""
    if one.text:
        return _large(_BOLT_X, one.text, _OTHER_X - _BOLT_X - _GAP)
    return _blank(_BOLT_X, figure_unit(survey, line) or "N·m")


def _blank(x: float, unit: str) -> _Cell:
    cells = cells_of("", unit)
    after = Text(x + cells * CELL + 1 * MM, FIELD_DROP + MIDDLE, _unit_words(unit), SECOND.paper_pt)
    return _Cell((*comb(x, FIELD_DROP, cells), after), 3)


def _unit_words(unit: str) -> str:
    return "°" if unit == "deg" else words(unit)


_BY_HAND = {
    Round.TURN: "by angle: a fresh pen line on each bolt and its part",
    Round.SLACKEN: "in the reverse order",
    Round.NEW_BOLT: "a new one in every hole from here on",
    Round.STRETCH: "read the gauge at each, zeroed when it was slack",
}


def _setting(survey: Survey, line: Line, one: Pass) -> _Cell:
    """What to set, and on which wrench; a field where nobody said with which."""
    room = WIDTH - _SET_X
    if one.torque is None:
        return _several(_SET_X, [Span(_BY_HAND.get(one.round, ""))], room)
    found = wrench_sum(survey, line, one)
    if found is not None and found.trouble:
        return _several(_SET_X, [Span(found.trouble)], room)
    if found is None or not found.set_text or not (found.wrench or found.adapter_text):
        return _blank(_SET_X, one.torque.unit)
    large = _large(_SET_X, found.set_text, room)
    if not found.wrench:
        return large
    under = broken([Span(f"on {found.wrench}")], SECOND.paper_pt, room)[:_MOST_LINES]
    low = 28.4 if large.halves <= 2 else large.halves * HALF + BASE
    items = [item for n, p in enumerate(under) for item in line_of(p, _SET_X, low + 11.0 * n, SECOND.paper_pt)]
    return _Cell((*large.items, *items), math.ceil((low + 11.0 * (len(under) - 1) + 3) / HALF))


def _sums(survey: Survey, open_lines: Sequence[Line]) -> list[Strip]:
    """The wrench with its adapter, and the sum of each pass beside it."""
    found = [
        (line, one, sum_)
        for line in open_lines[:1]
        for line, one in joint_passes(survey, line)
        if line in open_lines and (sum_ := wrench_sum(survey, line, one)) is not None and sum_.adapter_text
    ]
    if not found:
        return []
    lines = [
        pieces
        for line, _, sum_ in found
        if not sum_.trouble
        for pieces in broken([Span(f"{line.number}:", 700), Span(sum_.sum_text)], OPEN_LINE.paper_pt, WIDTH - _WRENCH_X)
    ]
    drawn = _wrench(found[0][2])
    base, size = FIRST + 4, OPEN_LINE.paper_pt
    beside = [item for n, p in enumerate(lines) for item in line_of(p, _WRENCH_X, base + n * 14, size)]
    high = max(112 * _WRENCH_SCALE, base + 14 * (len(lines) - 1) + 4)
    return [Strip(math.ceil(high / HALF), (*drawn, *beside))]


def _wrench(one: WrenchSum) -> list[Item]:
    drawn = _kept_wrench(one.lever_text or "lever", one.adapter_text, one.adapter_deg)
    return drawn_items(drawn, 0.0, 0.0, _WRENCH_SCALE)


_kept_wrench = cache(wrench_drawing)


# --- the bolts as the part lies


def _drawn(survey: Survey, line: Line) -> list[Strip]:
    """The bolts with their numbers in the order, and an empty box for each pass."""
    pattern, places = pattern_of(survey, line)
    standing = {bolt.place.id: bolt for bolt in bolts(survey, line)}
    every = list(joint_passes(survey, line))
    marks = [_Marked(standing[place.id], _states(survey, standing[place.id])) for place in places]
    deep = len(every)
    radius = _circle_radius(pattern, deep)
    if radius:
        return _round(marks, pattern, radius, every)
    words_below = _lie_words(survey, line, pattern, places)
    strips = [
        strip
        for first in range(0, deep, _MOST_DEEP)
        for strip in _rows(marks, pattern, every, slice(first, first + _MOST_DEEP), _bores(survey, line))
    ]
    return [*strips, *words_below]


class _Marked(Struct, frozen=True):
    """A bolt, and the state of each of its passes."""

    bolt: Bolt
    states: tuple[State, ...]


def _states(survey: Survey, bolt: Bolt) -> tuple[State, ...]:
    found = []
    for one in bolt.passes:
        called_off = survey.state(survey.build.by_id[one.line]) is State.NOT_NEEDED
        found.append(State.DONE if one.done else State.NOT_NEEDED if called_off else State.TO_DO)
    return tuple(found)


def _bores(survey: Survey, line: Line) -> int:
    return line.tightening.bores if line.tightening and _lie_is_known(survey, line) else 0


def _lie_is_known(survey: Survey, line: Line) -> bool:
    """Whether somebody said in what rows the bolts lie."""
    joint, plan = joint_of(survey.build, line), line.tightening or Tightening()
    counts = row_counts(joint.said("rows")) if joint and joint.said("rows") else plan.rows
    return sum(counts) == len(survey.places(line))


def _lie_words(survey: Survey, line: Line, pattern: Pattern, places: Sequence[Place]) -> list[Strip]:
    if _on_circle(pattern):
        said = f"Drawn in a row: {places[0].title} is at the top of the circle, the others follow clockwise."
        return text_strips([Span(said)], SECOND.paper_pt, x=0)
    if not _lie_is_known(survey, line):
        return text_strips([Span("Drawn in the order of the list, not as they lie.")], SECOND.paper_pt, x=0)
    y = BASE - 3.2
    arrow = (Rule(6, y, 16 * MM, y, 1.0), Drawing(0, y - 4, _ARROW, 1.0))
    rows = [round(y, 6) for _, y in pattern.at]
    cut = any(rows.count(y) > _MOST_ACROSS for y in set(rows))
    said = "front of engine; a row that does not fit goes on below" if cut else "front of engine"
    return [Strip(1, (*arrow, Text(18 * MM, BASE, said, SECOND.paper_pt)))]


_ARROW = (solid("M0 4 L9 0.5 V7.5 Z", "text"),)


def _rows(
    marks: Sequence[_Marked], pattern: Pattern, every: Sequence[tuple[Line, Pass]], which: slice, bores: int
) -> Iterator[Strip]:
    """A strip for each row of bolts, its boxes above it in the upper half and below it in the lower."""
    rows: dict[float, list[tuple[float, _Marked]]] = {}
    for n, (at, one) in enumerate(zip(pattern.at, marks, strict=True)):
        x, y = (float(n), 0.0) if _on_circle(pattern) else at
        rows.setdefault(round(y, 6), []).append((x, one))
    bands = [band for y in sorted(rows) for band in _parts(sorted(rows[y], key=_across))]
    shown = every[which]
    upper = len(bands) // 2
    for n, band in enumerate(bands):
        if bores and n == upper and len(bands) > 1:
            yield _bore_strip(bores)
        yield _band(band, shown, which, above=n < upper)


def _parts(row: Sequence[tuple[float, _Marked]]) -> list[Sequence[tuple[float, _Marked]]]:
    """A row of bolts, cut and spread evenly where more stand in it than the pen has room for."""
    if len(row) <= _MOST_ACROSS and all(0 <= x <= 1 for x, _ in row):
        return [row]
    each = math.ceil(len(row) / math.ceil(len(row) / _MOST_ACROSS))
    parts = [row[first : first + each] for first in range(0, len(row), each)]
    return [[((n + 0.5) / len(part), one) for n, (_, one) in enumerate(part)] for part in parts]


def _across(pair: tuple[float, _Marked]) -> float:
    return pair[0]


def _band(
    band: Sequence[tuple[float, _Marked]], shown: Sequence[tuple[Line, Pass]], which: slice, *, above: bool
) -> Strip:
    high = len(shown) * BOX_SIDE + _HEX_HIGH
    halves = math.ceil((high + 1) / HALF)
    top = (halves * HALF - high) / 2
    hex_y = top + (high - _HEX_HIGH / 2 if above else _HEX_HIGH / 2)
    rows = [top + (n * BOX_SIDE if above else _HEX_HIGH + n * BOX_SIDE) for n in range(len(shown))]
    if above:
        rows.reverse()
    items: list[Item] = []
    for (line, one), y in zip(shown, rows, strict=True):
        items += _pass_label(line, one, y)
    pitch = (WIDTH - _LABELS) / len(band)
    for n, (x, bolt) in enumerate(band):
        # Where neighbours would touch as they lie, they are spread evenly.
        even = pitch < 12 * MM or len({round(at, 6) for at, _ in band}) < len(band)
        middle = _LABELS + (pitch * (n + 0.5) if even else x * (WIDTH - _LABELS))
        items += _bolt(bolt.bolt.order, middle, hex_y)
        states = bolt.states[which]
        items += [box(Frame.DO, s, middle - BOX_SIDE / 2, y) for s, y in zip(states, rows, strict=True)]
    return Strip(halves, tuple(items))


def _pass_label(line: Line, one: Pass, y: float) -> list[Item]:
    """What a row of boxes is for, before its first box."""
    text = one.text or f"figure of {line.number}"
    pieces = broken([Span(text, 700)], HEAD.paper_pt, _LABELS - _GAP)[:2]
    base = y + BOX_SIDE / 2 + 3.2 - 5.2 * (len(pieces) - 1)
    return [item for n, p in enumerate(pieces) for item in line_of(p, 0, base + 10.4 * n, HEAD.paper_pt)]


def _bolt(number: int, x: float, y: float) -> list[Item]:
    shown, size = str(number), BOX_NUMBER.paper_pt
    wide = width_pt(shown, 700, size)
    return [
        Drawing(x - _HEX, y - _HEX, _hexagon(), 1.0),
        Text(x - wide / 2, y + CAPITALS * size / 2, shown, size, 700),
    ]


@cache
def _hexagon() -> tuple[Path, ...]:
    turns = [math.radians(60 * n) for n in range(6)]
    corners = [(_HEX + _HEX * math.sin(turn), _HEX + _HEX * math.cos(turn)) for turn in turns]
    return (polygon(corners, "text", 1.2),)


def _bore_strip(count: int) -> Strip:
    """The cylinders between the rows, so that nobody holds the drawing the wrong way round."""
    halves = math.ceil((2 * _BORE + 3) / HALF)
    y = halves * HALF / 2
    items: list[Item] = []
    for n in range(count):
        x = _LABELS + (n + 0.5) * (WIDTH - _LABELS) / count
        shown = str(n + 1)
        items.append(Drawing(x - _BORE, y - _BORE, _bore(), 1.0))
        items.append(Text(x - width_pt(shown, 400, 9.5) / 2, y + CAPITALS * 9.5 / 2, shown, 9.5))
    return Strip(halves, tuple(items))


@cache
def _bore() -> tuple[Path, ...]:
    return (dot(_BORE, _BORE, _BORE - 0.5, "rule", 0.5),)


def _on_circle(pattern: Pattern) -> bool:
    return all(abs(math.dist(point, (0.5, 0.5)) - 0.5) < 1e-6 for point in pattern.at)


def _circle_radius(pattern: Pattern, deep: int) -> float:
    """How large a circle of bolts is drawn so that no boxes touch; 0 where it does not fit, or is no circle."""
    if not _on_circle(pattern):
        return 0.0
    # The boxes of the topmost and the lowest bolt run up and down, all others to the side.
    heights = sorted({round(y, 6) for x, y in pattern.at if abs(x - 0.5) > 1e-6})
    least = min((b - a for a, b in pairwise(heights)), default=1.0) * 2
    radius = max(_LEAST_CIRCLE, (BOX_SIDE + 2) / least)
    reach = radius + _HEX + deep * BOX_SIDE + 2
    return radius if reach <= WIDTH / 2 else 0.0


def _round(
    marks: Sequence[_Marked], pattern: Pattern, radius: float, every: Sequence[tuple[Line, Pass]]
) -> list[Strip]:
    """A circle of bolts, the boxes of each running outwards from it."""
    ends = _HEX + len(every) * BOX_SIDE + 2
    halves = math.ceil(2 * (radius + ends) / HALF)
    middle = (WIDTH / 2, halves * HALF / 2)
    items: list[Item] = []
    for at, one in zip(pattern.at, marks, strict=True):
        x, y = middle[0] + (at[0] - 0.5) * 2 * radius, middle[1] + (at[1] - 0.5) * 2 * radius
        items += _bolt(one.bolt.order, x, y)
        dx, dy = _outwards(at)
        for n, state in enumerate(one.states):
            off = _HEX + 1 + (n + 0.5) * BOX_SIDE
            items.append(box(Frame.DO, state, x + dx * off - BOX_SIDE / 2, y + dy * off - BOX_SIDE / 2))
    first = marks[0].bolt.place.title
    names = ", ".join(one.text or f"figure of {line.number}" for line, one in every)
    order = f"Boxes from the bolt outwards: {names}." if len(every) > 1 else f"Box: {names}."
    said = [Span(f"{first} is at the top, the others follow clockwise."), Span(order, 700)]
    return [Strip(halves, tuple(items)), *text_strips(said, SECOND.paper_pt, x=0)]


def _outwards(at: tuple[float, float]) -> tuple[float, float]:
    """Which way the boxes of a bolt on a circle run: up at the top, down at the bottom, else to its own side."""
    if abs(at[0] - 0.5) < 1e-6:
        return (0.0, -1.0) if at[1] < 0.5 else (0.0, 1.0)
    return (1.0, 0.0) if at[0] > 0.5 else (-1.0, 0.0)


# --- in words


def _remarks(open_lines: Sequence[Line], views: Sequence[TightenView]) -> list[Strip]:
    """How it is done, which wrench to take, what each line notes, and the caution."""
    noted = [f"{line.number}: {line.step.note}" for line in open_lines if line.step.note]
    said = dict.fromkeys([*noted, *(remark for view in views for remark in view.remarks)])
    spans = [Span(sentence(text)) for text in said]
    caution = [Span("CAUTION", 700), Span(max((view.caution for view in views), key=len))]
    strips = [*text_strips(spans, SECOND.paper_pt, x=0), *text_strips(caution, SECOND.paper_pt, x=0)]
    return together(strips)


# --- values to write


class _Column(Struct, frozen=True):
    """One value of each bolt: what it is, its unit, how many letters it may have, and what stands already."""

    title: str
    unit: str
    cells: int
    value: Callable[[str], str]

    @property
    def wide(self) -> float:
        """The width of its field and its unit."""
        return self.cells * CELL + 1 * MM + width_pt(_unit_words(self.unit), 400, SECOND.paper_pt)


def _columns(survey: Survey, open_lines: Sequence[Line]) -> Iterator[_Column]:
    for line in open_lines:
        yield from _read_columns(survey, line)
        yield from _further_columns(survey, line)


def _read_columns(survey: Survey, line: Line) -> Iterator[_Column]:
    """The values the line itself asks for, in each of its rounds."""
    spec = line.step.spec
    if not line.reads or spec is None:
        return
    bounds = survey.bounds(line)
    unit = unit_at(survey, line)
    cells = cells_of(bounds.text if bounds is not None else "", unit)
    for turn in range(1, spec.rounds + 1):
        rounds = f", round {turn}" if spec.rounds > 1 else ""
        title = f"{line.number} {spec.kind.value}{rounds}"
        yield _Column(title, unit, cells, partial(_read, survey, line, turn))


def _read(survey: Survey, line: Line, turn: int, place: str) -> str:
    """What was read at a bolt, "" where it is to be read anew."""
    found = survey.build.facts.readings.get(line.id, {}).get((place, turn))
    old = any((one.place.id, one.round) == (place, turn) for one in survey.outdated(line))
    return found.text if found is not None and not old else ""


def _further_columns(survey: Survey, line: Line) -> Iterator[_Column]:
    """Angle and stretch, where the joint is judged by them."""
    plan = line.tightening
    if plan is None:
        return
    turns = turns_of(survey.build, line)
    asks_angle = line.step.spec is not None and line.step.spec.kind is Measured.ANGLE
    if plan.kind in (HowTight.ANGLE, HowTight.YIELD) and not (line.reads and asks_angle):
        yield _Column(f"{line.number} angle", "deg", 4, partial(_last, turns, "angle"))
    if plan.kind in (HowTight.STRETCH, HowTight.BOTH) or stretch_window(line, joint_of(survey.build, line)):
        yield _Column(f"{line.number} stretch", "mm", 5, partial(_last, turns, "stretch"))


def _last(turns: Mapping[tuple[int, str], BoltTurn], what: str, place: str) -> str:
    """What was written of a bolt in the last pass that says it."""
    found = [str(getattr(turns[key], what)) for key in sorted(turns) if key[1] == place]
    return next((text for text in reversed(found) if text), "")


def _write_in_table(survey: Survey, open_lines: Sequence[Line]) -> list[Strip]:
    """A row for each bolt in its order, as many side by side as the width holds."""
    columns = list(_columns(survey, open_lines))
    if not columns:
        return []
    each = bolts(survey, open_lines[0])
    names = [_name(bolt) for bolt in each]
    size = BOX_NUMBER.paper_pt
    widest = max(width_pt(words(" ".join(span.text for span in name)), 700, size) for name in names)
    name_wide = min(widest, 50 * MM) + _GAP
    return [
        strip for some in _fitting(columns, WIDTH - name_wide) for strip in _table_part(each, names, some, name_wide)
    ]


def _name(bolt: Bolt) -> tuple[Span, ...]:
    """A bolt's number in the order, and its name where that does not say it."""
    title = bolt.place.title
    if title.endswith(f" {bolt.order}"):
        return (Span(title, 500),)
    return (Span(f"{bolt.order}:", 700), Span(title, 500))


def _fitting(columns: Sequence[_Column], room: float) -> Iterator[tuple[_Column, ...]]:
    """The columns as many at a time as stand beside a name."""
    some: list[_Column] = []
    for column in columns:
        if some and sum(one.wide + _BETWEEN for one in (*some, column)) > room:
            yield tuple(some)
            some = []
        some.append(column)
    yield tuple(some)


def _table_part(
    each: Sequence[Bolt], names: Sequence[Sequence[Span]], columns: Sequence[_Column], name_wide: float
) -> Iterator[Strip]:
    wide = name_wide + sum(column.wide + _BETWEEN for column in columns)
    across = max(1, min(int((WIDTH + _BETWEEN) // wide), len(each)))
    pitch = WIDTH / across
    deep = math.ceil(len(each) / across)
    heads = [
        item
        for side in range(across)
        for x, column in _placed(columns, side * pitch + name_wide)
        for item in _heading(column, x)
    ]
    yield Strip(2, (*heads, Rule(0, 2 * HALF, WIDTH, 2 * HALF, 1.0)))
    for row in range(deep):
        items: list[Item] = []
        for side in range(across):
            at = side * deep + row
            if at < len(each):
                items += _table_row(each[at], names[at], columns, side * pitch, name_wide)
        yield Strip(3, tuple(items))


def _placed(columns: Sequence[_Column], x: float) -> Iterator[tuple[float, _Column]]:
    for column in columns:
        yield x, column
        x += column.wide + _BETWEEN


def _heading(column: _Column, x: float) -> list[Item]:
    pieces = broken([Span(column.title)], HEAD.paper_pt, column.wide + 3 * MM)[:2]
    base = 2 * HALF - 3.2 - 10 * (len(pieces) - 1)
    return [item for n, p in enumerate(pieces) for item in line_of(p, x, base + 10 * n, HEAD.paper_pt)]


def _table_row(bolt: Bolt, name: Sequence[Span], columns: Sequence[_Column], x: float, name_wide: float) -> list[Item]:
    base = FIELD_DROP + MIDDLE
    pieces = broken(name, BOX_NUMBER.paper_pt, name_wide - _GAP)[:2]
    items = [
        item
        for n, p in enumerate(pieces)
        for item in line_of(p, x, base - 6 * (len(pieces) - 1) + 12 * n, BOX_NUMBER.paper_pt)
    ]
    for at, column in _placed(columns, x + name_wide):
        value = column.value(bolt.place.id)
        if value:
            items.append(Text(at, base, words(value), VALUE.paper_pt, 700))
            continue
        items += comb(at, FIELD_DROP, column.cells)
        items.append(Text(at + column.cells * CELL + 1 * MM, base, _unit_words(column.unit), SECOND.paper_pt))
    return items
