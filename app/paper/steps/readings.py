"""Step sheets for measuring: a block for each open line that reads many places, points or lash."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.steps import How, Measure, Measured
from app.assembly.said.marks import State
from app.assembly.standing.entry_places import entry_places
from app.assembly.standing.lash_stops import is_lash
from app.assembly.standing.results import ROUND, TAPER, Part, Worked
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.assembly.standing.verdicts import WHOLE_UNIT
from app.paper.pdf.items import MM, Item, Text, cut, line_of
from app.paper.pdf.letters import Span, broken, sentence, shortened, width_pt, words
from app.paper.pdf.strips import BASE, MIDDLE, WIDTH, Group, Strip, text_strips
from app.paper.steps.bolts import step_lines
from app.paper.steps.lash import lash_stop_strips, said_of_stops
from app.paper.steps.parts import as_one, note_strips, title_strips, together
from app.paper.steps.write_grid import Slot, WriteRow, cells_wanted, grid_rows, listed, paired, slot_of, unit_words
from app.paper.traveller.fields import CELL, FIELD_DROP, comb, field, verdict_mark
from app.sheet.draw.tokens import NUMBER, SECOND
from app.sheet.grid import GridRow, GridView, grid_view, reads_sizes
from app.sheet.rows import MOST_IN_A_ROW, written
from app.trade.notation import second, write_limits, write_magnitude

_CLOSED = (State.DONE, State.NOT_NEEDED)
_WORD_CELLS = 6
_GAP = 1.5 * MM
_WORD_MOST = 55 * MM
_NUMBER_WIDE = 20 * MM
_SHAPE_WIDE = 17 * MM
_TOOL_WIDE = 62 * MM
_WARMTH_CELLS = 3
_SHAPE_SAID = (
    "Taper: greatest less least the same way round. Out of round: greatest less least at one height. "
    "The worst of each counts."
)


def measure_lines(survey: Survey, stage: int) -> frozenset[str]:
    """The lines of a stage that have a step sheet for measuring, by id."""
    return frozenset(line.id for line in _lines(survey, stage))


def measure_groups(survey: Survey, stage: int) -> tuple[Group, ...]:
    """The step sheets for measuring of a stage: a group for each open line that reads points, lash or many places."""
    return tuple(_group(survey, line) for line in _lines(survey, stage))


def _lines(survey: Survey, stage: int) -> Iterator[Line]:
    bolted = step_lines(survey, stage)
    for line in survey.build.lines:
        if line.stage != stage or not line.reads or line.id in bolted or survey.state(line) in _CLOSED:
            continue
        measure = line.step.measure
        read = len(survey.places(line)) * len(line.rounds)
        points = measure is not None and bool(measure.points)
        if read and (points or read > MOST_IN_A_ROW or is_lash(line)):
            yield line


def _group(survey: Survey, line: Line) -> Group:
    said, stops = _stops(survey, line)
    top = together(
        [*title_strips(line.number, line.step.do), *_figure(survey, line), *_remarks(line, said), *_read_with(line)]
    )
    body = [*(stops or write_in_strips(survey, line)), *_sums(survey, line)]
    # The notes never stand alone on a page.
    strips = [*top, *body[:-1], as_one([body[-1], *note_strips()])]
    return Group(tuple(strips), number=line.number, head=len(top) + 1)


def _stops(survey: Survey, line: Line) -> tuple[str, list[Strip]]:
    """What the crank's stops are worked out from and the stops, or why there are none."""
    if not is_lash(line):
        return "", []
    try:
        return said_of_stops(survey), lash_stop_strips(survey, line)
    except ValueError as error:
        return f"{sentence(str(error))} Set each valve with its lifter on the base circle of the cam.", []


# --- what it is held against


def _figure(survey: Survey, line: Line) -> list[Strip]:
    """The figure so large that nobody misreads it, with its other unit, source and how often is read."""
    spec = line.step.spec
    assert spec is not None  # only reading lines have a step sheet
    bounds = survey.bounds(line)
    if bounds is None:
        spans = [*_missing(survey, line), Span(_how_read(survey, line))]
        return text_strips(spans, SECOND.paper_pt, x=0) if any(span.text for span in spans) else []
    large = broken([Span(_with_heat(line, bounds.text), NUMBER.paper_weight)], NUMBER.paper_pt, WIDTH)
    strips = [Strip(2, tuple(line_of(pieces, 0, 17.0, NUMBER.paper_pt))) for pieces in large]
    limits = bounds.own
    other = second(limits) if not bounds.parts else ""
    source = f"Figure: {bounds.source}." if bounds.source else "Figure without a source."
    spans = [*([Span(f"{other}.", 500)] if other else []), Span(source), Span(_how_read(survey, line))]
    return [*strips, *text_strips(spans, SECOND.paper_pt, x=0)]


def _with_heat(line: Line, text: str) -> str:
    measure = line.step.measure
    return f"{text} {measure.heat.value}" if measure is not None and measure.heat is not None else text


def _missing(survey: Survey, line: Line) -> list[Span]:
    if not survey.figure_missing(line):
        return []
    heat = _with_heat(line, "").strip()
    of = f" for a {heat} engine" if heat else ""
    said = f"The figure{of} is not entered yet: it is written, with its source, at the line itself."
    return [Span(said, 700)]


def _how_read(survey: Survey, line: Line) -> str:
    spec = line.step.spec
    assert spec is not None  # only reading lines have a step sheet
    said = unit_at(survey, line)
    unit = f"in {unit_words(said)}" if said else ""
    rounds = f"in {spec.rounds} rounds" if spec.rounds > 1 else ""
    heat = _with_heat(line, "").strip()
    engine = f"on a {heat} engine" if heat else ""
    said = " ".join(word for word in (unit, rounds, engine) if word)
    choices = f"Write {', '.join(spec.choices[:-1])} or {spec.choices[-1]}." if len(spec.choices) > 1 else ""
    return " ".join(word for word in (f"Read {said}." if said else "", choices) if word)


def _remarks(line: Line, said: str) -> list[Strip]:
    caution = line.step.caution
    spans = [Span(sentence(text)) for text in (line.step.note, said) if text]
    strips = text_strips(spans, SECOND.paper_pt, x=0) if spans else []
    if caution is None:
        return strips
    warned = [Span(caution.level.value.upper(), 700), Span(sentence(caution.text), 500)]
    return [*strips, *text_strips(warned, SECOND.paper_pt, x=0)]


def _read_with(line: Line) -> list[Strip]:
    """With what is read, and how warm a length is: both go into what a reading is worth."""
    spec = line.step.spec
    if not reads_sizes(line) or spec is None:
        return []
    warmth = [_word("at"), _letters(_WARMTH_CELLS), _word("°C")] if spec.kind is Measured.LENGTH else []
    return [Strip(3, tuple(_flow([_word("Read with"), _open(_TOOL_WIDE), *warmth], 0.0)))]


# --- the places


def write_in_strips(survey: Survey, line: Line) -> list[Strip]:
    """Fields for all that is read: as the engine lies, else one below the other."""
    spec = line.step.spec
    assert spec is not None  # only reading lines have a step sheet
    if not reads_sizes(line):
        return listed(_entries(survey, line), _WORD_CELLS, ticks=False)
    view = grid_view(survey, line)
    rows = [row for row in view.rows if not _worked(row)]
    cells = _cells(survey, line, view)
    if view.columns == ("",):
        entries = [(row.title, slot) for row in rows if (slot := slot_of(row.cells[0], survey.state(line)))]
        return listed(entries, cells, ticks=True)
    unit = unit_at(survey, line)
    corner = f"in {unit_words(unit)}" if unit else ""
    return grid_rows(view.columns, write_rows(survey, line, rows), cells, corner)


def write_rows(survey: Survey, line: Line, rows: Sequence[GridRow]) -> list[WriteRow]:
    """The rows of the screen's grid with their own limits where these differ from row to row."""
    differ = len({row.limits for row in rows}) > 1
    state = survey.state(line)
    return [
        WriteRow(row.title, row.limits if differ else "", tuple(slot_of(cell, state) for cell in row.cells))
        for row in rows
    ]


def _worked(row: GridRow) -> bool:
    return any(cell is not None and cell.worked for cell in row.cells)


def _cells(survey: Survey, line: Line, view: GridView) -> int:
    bounds, measure = survey.bounds(line), line.step.measure
    read = [cell.text for row in view.rows for cell in row.cells if cell is not None and not cell.worked]
    whole = measure is not None and measure.how in (How.DIFFERENCE, How.SHAPE)
    unit = unit_at(survey, line)
    return cells_wanted(bounds.text if bounds else "", unit, read, whole_size=whole)


def _entries(survey: Survey, line: Line) -> list[tuple[str, Slot]]:
    """The places of a line that is answered in words, round by round."""
    anew = survey.state(line) in (State.LOOK_AGAIN, State.STOPPED)
    return [(one.title, Slot(written(one), None, one.open or anew)) for one in entry_places(survey, line)]


# --- the sums


class _Piece(Struct, frozen=True):
    """A word or a field in a sum, and its width."""

    items: tuple[Item, ...]
    wide: float


def _word(text: str, weight: int = 400) -> _Piece:
    shown = shortened(words(text), weight, SECOND.paper_pt, _WORD_MOST)
    item = Text(0, FIELD_DROP + MIDDLE - 1, shown, SECOND.paper_pt, weight)
    return _Piece((item,), width_pt(shown, weight, SECOND.paper_pt))


def _open(wide: float) -> _Piece:
    return _Piece(tuple(field(0, FIELD_DROP, wide)), wide)


def _letters(cells: int) -> _Piece:
    return _Piece(tuple(comb(0, FIELD_DROP, cells)), cells * CELL)


def _flow(pieces: Sequence[_Piece], x: float) -> list[Item]:
    """Words and fields one after the other from x on."""
    items: list[Item] = []
    for piece in pieces:
        items += [item.moved(x, 0) for item in piece.items]
        x += piece.wide + _GAP
    return items


def _sums(survey: Survey, line: Line) -> list[Strip]:
    """A row for each place to work its result by hand, printed where it is known already."""
    measure = line.step.measure
    results = survey.worked(line) if reads_sizes(line) else ()
    if measure is None or measure.how is None:
        return _known([one for one in results if one.words])
    if measure.how is How.SHAPE:
        return _shape_sums([one for one in results if one.name in (TAPER, ROUND)])
    own = [one for one in results if one.name == measure.result]
    strips = _known([one for one in own if one.words])
    cells = cells_wanted(_limits_words(own), own[0].unit if own else "mm", [], whole_size=False)
    rows = [row for one in own if not one.words for row in _wrapped(_sum_pieces(measure, one, cells))]
    strips += paired([(row, False) for row in rows])
    strips += _known([one for one in results if one not in own and one.words])
    return [as_one([_sum_head(f"Sum for each place, {measure.result}"), strips[0]]), *strips[1:]] if strips else []


def _sum_head(text: str) -> Strip:
    return Strip(2, (Text(0, MIDDLE, words(text), SECOND.paper_pt, 700),))


def _known(results: Sequence[Worked]) -> list[Strip]:
    """Sums that are known, in words with their verdict."""
    found = []
    for one in results:
        mark = one.verdict
        said = f", {one.verdict.value}" if one.verdict is not None else ""
        x = 20.0 if mark else 0.0
        spans = [Span(f"{one.place.title}:", 700), Span(f"{one.words}{said}.")]
        first, *more = text_strips(spans, SECOND.paper_pt, x=x)
        found += [Strip(1, (*(verdict_mark(mark, 0, BASE) if mark else ()), *first.items)), *more]
    return found


def _sum_pieces(measure: Measure, one: Worked, cells: int) -> list[_Piece]:
    """“Main 1: bore ____ - journal ____ = clearance ____, 0.04 to 0.07 mm”."""
    unit = WHOLE_UNIT.get(one.unit, one.unit)
    known = {part.name: part for part in one.parts}
    title = _bare(one)
    found = [_word(f"{title}:", 700)] if title else []
    sign = {How.DIFFERENCE: "-"}.get(measure.how or How.SUM, "+")
    if measure.how is How.MEAN:
        found.append(_word("("))
    for n, point in enumerate(measure.points):
        found += [*([_word(sign)] if n else []), _word(point), _number(known.get(point), unit)]
    if measure.how is How.MEAN:
        found.append(_word(f") ÷ {len(measure.points)}"))
    if measure.how is How.HALF:
        found.append(_word("÷ 2"))
    wanted = f", {write_limits(one.limits)}" if one.limits is not None else ""
    return [*found, _word(f"= {one.name}".rstrip()), _letters(cells), _word(f"{one.unit}{wanted}")]


def _number(part: Part | None, unit: str) -> _Piece:
    return _open(_NUMBER_WIDE) if part is None else _word(write_magnitude(part.size, unit), 700)


def _wrapped(pieces: Sequence[_Piece]) -> list[list[Item]]:
    """Pieces in as many rows as the width needs; what does not fit the first goes on indented."""
    rows: list[list[_Piece]] = [[]]
    for piece in pieces:
        used = sum(one.wide + _GAP for one in rows[-1]) + (_GAP if len(rows) > 1 else 0.0)
        if rows[-1] and used + piece.wide > WIDTH:
            rows.append([])
        rows[-1].append(piece)
    return [_flow(row, _GAP if n else 0.0) for n, row in enumerate(rows)]


def _shape_sums(results: Sequence[Worked]) -> list[Strip]:
    """Taper and out-of-round of each place side by side."""
    by_place: dict[str, list[Worked]] = {}
    for one in results:
        by_place.setdefault(one.place.id, []).append(one)
    limits = [f"{one.name} {write_limits(one.limits)}" for one in results[:2] if one.limits is not None]
    spans = [Span("Sum for each place.", 700), Span(_SHAPE_SAID), Span(sentence(", ".join(limits).capitalize()))]
    head = [Strip(1, ()), *text_strips(spans, SECOND.paper_pt, x=0)]
    strips: list[Strip] = []
    open_rows: list[tuple[list[Item], bool]] = []
    widest = max((_word(f"{_bare(both[0])}:", 700).wide for both in by_place.values()), default=0.0)
    for both in by_place.values():
        if all(one.words for one in both):
            strips += _known(both)
        else:
            open_rows.append((_shape_row(both, min(widest, 26 * MM)), False))
    strips += paired(open_rows)
    return [as_one([*head, strips[0]]), *strips[1:]] if strips else []


def _bare(one: Worked) -> str:
    """The place alone: “Main 1” of “main 1 clearance”."""
    title = one.place.title.removesuffix(one.name).strip()
    return title[:1].upper() + title[1:]


def _shape_row(both: Sequence[Worked], label: float) -> list[Item]:
    items = [cut(0, FIELD_DROP + MIDDLE - 1, f"{_bare(both[0])}:", SECOND.paper_pt, 700, label)]
    pieces = []
    for one in both:
        numbers = [_open(_SHAPE_WIDE), _word("-"), _open(_SHAPE_WIDE), _word("="), _open(_SHAPE_WIDE)]
        pieces += [_word(one.name), *numbers]
    return [*items, *_flow(pieces, label + _GAP)]


def _limits_words(results: Sequence[Worked]) -> str:
    return next((write_limits(one.limits) for one in results if one.limits is not None), "")
