"""A reading line as a grid shaped like the engine: its numbers across, what is read at each of them down."""

import re
from collections.abc import Iterable, Mapping

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.standing.entry_places import EntryPlace, Form, entry_places, form_of, hides_first
from app.assembly.standing.results import Worked
from app.assembly.standing.survey import Survey
from app.sheet.meant import meant_items
from app.sheet.rows import Run, written
from app.sheet.sections import WORDS_PX, Item, Section, plain
from app.trade.notation import second, write_limits, write_magnitude
from app.trade.quantity import Limits, TorqueTurn
from app.trade.verdict import Verdict

_NUMBER = re.compile(r"\d+")
_KINDS = {"in": "Intake", "ex": "Exhaust"}
LEGEND = (
    (Verdict.IN, "the whole band lies between the limits"),
    (Verdict.OUT, "the whole band lies beyond one limit"),
    (Verdict.UNDECIDED, "the band crosses a limit: a finer gauge, or read again"),
)


class GridCell(Struct, frozen=True):
    """One cell: where it is, what is written or worked out there, its verdict, and the band against the limits.

    A `worked` cell is never typed into, and has no `entry`. `old` was read before the line was disturbed. `band` and
    `limits` are in the base unit, and missing where nothing can be drawn of them.
    """

    place: str
    round: int
    title: str
    text: str
    verdict: Verdict | None
    unit: str
    worked: bool
    old: bool
    words: str
    band: tuple[float, float] | None
    limits: tuple[float | None, float | None]
    entry: EntryPlace | None = None

    @property
    def spoken(self) -> str:
        """The cell as a screen reader says it."""
        verdict = self.verdict.value if self.verdict else ""
        return ", ".join(word for word in (self.title, self.text or "no value", verdict) if word)


class GridRow(Struct, frozen=True):
    """One row of cells and what it is called; a column the row has no place in is None."""

    title: str
    limits: str
    cells: tuple[GridCell | None, ...]


class GridView(Struct, frozen=True):
    """A reading line as a grid."""

    number: str
    title: str
    note: str
    count: str
    columns: tuple[str, ...]
    rows: tuple[GridRow, ...]


def reads_sizes(line: Line) -> bool:
    """Whether a line reads quantities, and not words."""
    return form_of(line) is Form.VALUE


def grid_view(survey: Survey, line: Line, *, further: int | None = None) -> GridView:
    """The line as it stands; `further` shows so many rounds beyond those there are, to be read at every place."""
    places = survey.places(line)
    columns, rows = _axes(places)
    results = _results(survey, line)
    found = [*_read_rows(survey, line, columns, rows, further), *_worked_rows(columns, results)]
    return GridView(
        number=line.number,
        title=line.step.do,
        note=line.step.note,
        count=_count(survey, line, results),
        columns=_headings(line, columns, rows),
        rows=tuple(found),
    )


def _results(survey: Survey, line: Line) -> tuple[Worked, ...]:
    """What is worked out, as far as it may be seen."""
    return () if hides_first(survey, line) else survey.worked(line)


def _count(survey: Survey, line: Line, results: Iterable[Worked]) -> str:
    """“2 Cannot decide, 1 Out, 3 to read”."""
    seen = survey.judgeable(line) and not hides_first(survey, line)
    verdicts = [one.verdict for one in survey.judged(line) if seen]
    verdicts += [one.verdict for one in results if one.verdict is not None]
    words = [
        f"{verdicts.count(verdict)} {verdict.value}"
        for verdict in (Verdict.UNDECIDED, Verdict.OUT)
        if verdict in verdicts
    ]
    left = sum(one.reading is None for one in entry_places(survey, line))
    words += [f"{left} to read"] if left > 0 else []
    return ", ".join(words) or "all read"


# --- axes


def _axes(places: Iterable[Place]) -> tuple[list[str], dict[str, dict[str, Place]]]:
    """The numbers across and the rows down; places without a number, or two in one cell, stand one below the other."""
    listed = list(places)
    columns: list[str] = []
    rows: dict[str, dict[str, Place]] = {}
    for place in listed:
        match = _NUMBER.search(place.id)
        column = match.group() if match else ""
        row = _row_name(place.id, match)
        if column in rows.get(row, {}) or not column:
            return [""], {place.title: {"": place} for place in listed}
        rows.setdefault(row, {})[column] = place
        if column not in columns:
            columns.append(column)
    return sorted(columns, key=int), rows


def _row_name(place: str, match: re.Match[str] | None) -> str:
    rest = f"{place[: match.start()]} {place[match.end() :]}" if match else place
    words = rest.replace("-", " ").split()
    return " ".join(_KINDS.get(word, word) for word in words).capitalize()


def _headings(line: Line, columns: Iterable[str], rows: Iterable[str]) -> tuple[str, ...]:
    """What stands over the columns: “Cylinder 1”, “Main 3”; the number alone where the rows say what is counted."""
    first = next((place for place in line.places if _NUMBER.search(place.id)), None)
    word = re.split(r"[\s\d]", first.title, maxsplit=1)[0].capitalize() if first is not None else ""
    by_row = word in _KINDS.values() or any(row == word or row.startswith(f"{word} ") for row in rows)
    return tuple(column if by_row or not column else f"{word} {column}".strip() for column in columns)


# --- rows


def _read_rows(
    survey: Survey, line: Line, columns: list[str], rows: dict[str, dict[str, Place]], further: int | None
) -> Iterable[GridRow]:
    asked = {one.key: one for one in entry_places(survey, line, further=further)}
    verdicts = _verdicts(survey, line)
    turns = sorted({turn for _, turn in asked})
    for name, found in rows.items():
        for turn in turns:
            title = (f"{name}, round {turn}" if name else f"Round {turn}") if len(turns) > 1 else name
            first = next(iter(found.values()))
            here = [asked.get((found[column].id, turn)) if column in found else None for column in columns]
            if any(here):
                cells = tuple(_cell(survey, line, one, verdicts) if one is not None else None for one in here)
                yield GridRow(title, _limits_text(survey, line, first.id), cells)


def _verdicts(survey: Survey, line: Line) -> dict[tuple[str, int], Verdict]:
    """The verdicts on what is read; none where what is worked out from it is judged instead."""
    if _has_result(line) or not survey.judgeable(line):
        return {}
    return {(one.place.id, one.round): one.verdict for one in survey.judged(line)}


def _has_result(line: Line) -> bool:
    return line.step.measure is not None and line.step.measure.how is not None


def _limits_text(survey: Survey, line: Line, place: str) -> str:
    spec = line.step.spec
    if spec is None or _has_result(line):
        return ""
    if not reads_sizes(line):
        return f"good: {', '.join(spec.good)}" if spec.good else ""
    bounds = survey.bounds(line)
    if bounds is None:
        return "figure not entered"
    limits = bounds.limits_at(place)
    return write_limits(limits) if isinstance(limits, Limits) else bounds.text


def _cell(survey: Survey, line: Line, one: EntryPlace, verdicts: Mapping[tuple[str, int], Verdict]) -> GridCell:
    verdict = verdicts.get(one.key) if not one.old and not one.hidden else None
    limits = survey.bounds(line)
    at = limits.limits_at(one.place.id) if limits is not None else None
    size, doubt = (one.reading.magnitude, one.reading.doubt) if one.reading is not None else (None, 0.0)
    band = (size - doubt, size + doubt) if verdict is not None and size is not None else None
    return GridCell(
        place=one.place.id,
        round=one.round,
        title=one.title,
        text=written(one),
        verdict=verdict,
        unit=one.unit,
        worked=False,
        old=one.old,
        words="",
        band=band,
        limits=_ends(at),
        entry=one,
    )


def _ends(limits: Limits | TorqueTurn | None) -> tuple[float | None, float | None]:
    return (limits.low, limits.high) if isinstance(limits, Limits) else (None, None)


def _worked_rows(columns: list[str], results: Iterable[Worked]) -> Iterable[GridRow]:
    """A row for each kind of result; one over all places stands in the first column."""
    by_name: dict[str, dict[str, Worked]] = {}
    limits: dict[str, str] = {}
    for one in results:
        match = _NUMBER.search(one.place.id)
        column = match.group() if match and match.group() in columns else columns[0]
        row = f"{_row_name(one.place.id, match)} {one.name or 'result'}".strip() if match else one.name
        by_name.setdefault(row, {})[column] = one
        limits.setdefault(row, write_limits(one.limits) if one.limits is not None else "")
    for name, found in by_name.items():
        cells = tuple(_worked_cell(found[column]) if column in found else None for column in columns)
        yield GridRow(name.capitalize(), limits[name], cells)


def _worked_cell(one: Worked) -> GridCell:
    band = (one.size - one.doubt, one.size + one.doubt) if one.size is not None and one.verdict is not None else None
    return GridCell(
        place=one.place.id,
        round=1,
        title=one.place.title,
        text=one.text,
        verdict=one.verdict,
        unit=one.unit,
        worked=True,
        old=False,
        words=one.words or f"waits for {', '.join(one.missing)}",
        band=band,
        limits=_ends(one.limits),
    )


# --- what stands beside the grid


def grid_sections(survey: Survey, line: Line, chosen: GridCell | None) -> tuple[Section, ...]:
    """The figure, the sum of the cell in hand, and how the verdicts are meant."""
    sections = [_wanted(survey, line)]
    if chosen is not None:
        sections.append(_in_hand(chosen))
    sums = tuple(
        Item((Run(f"{one.place.title}: ", "quiet"), Run(one.words, "text")))
        for one in _results(survey, line)
        if one.words
    )
    if sums:
        sections.append(Section("Worked out", sums))
    if not reads_sizes(line):
        return tuple(sections)
    sections.append(
        Section(
            "", tuple(Item((Run(f"{one.value}: ", "text", bold=True), Run(words, "text"))) for one, words in LEGEND)
        )
    )
    return tuple(sections)


def _wanted(survey: Survey, line: Line) -> Section:
    """What is held against: the figure and its source, or the words to choose from."""
    spec, bounds = line.step.spec, survey.bounds(line)
    if spec is not None and not reads_sizes(line):
        rows = [
            Item((Run(word, "text", bold=word in spec.good), Run(", good" if word in spec.good else "")))
            for word in spec.choices
        ]
        return Section("One of", tuple(rows)) if rows else Section("In words", (plain(spec.note or spec.limits),))
    if bounds is None:
        words = "The maker's figure is not entered yet. F writes it with its source; what is read is kept meanwhile."
        return Section("Figure", (Item((Run(words, "stop"),)),))
    limits = bounds.own
    other = second(limits) if not bounds.parts else ""
    rows = [Item((Run(bounds.text, "text", bold=True),))]
    rows += [Item((Run(other, "text"),))] if other else []
    rows.append(Item((Run(bounds.source or "no source given", "quiet" if bounds.source else "stop"),)))
    return Section("Figure", (*rows, *meant_items(survey, line, bounds)))


def _in_hand(cell: GridCell) -> Section:
    rows = [Item((Run(cell.text or "no value yet", "text", bold=True),))]
    if cell.worked:
        rows.append(Item((Run(cell.words, "text"),)))
        return Section(cell.title, tuple(rows))
    reading = cell.entry.reading if cell.entry is not None else None
    if cell.entry is not None and cell.entry.hidden:
        rows = [plain("hidden until the second look has read it anew")]
    elif reading is not None:
        unit = reading.unit or cell.unit
        said = [f"read by {reading.by}, {reading.at.astimezone():%a %d %b %H:%M}"]
        said += [f"with {reading.tool}"] if reading.tool else []
        said += [f"± {write_magnitude(reading.doubt, unit)}"] if reading.doubt and unit else []
        said += [f"at {reading.celsius:g} °C"] if reading.celsius is not None else []
        said += ["judged as at 20 °C"] if reading.alpha_per_k and reading.celsius is not None else []
        said += ["read before a disturbance: read it anew"] if cell.old else []
        rows.append(Item((Run(", ".join(said), "quiet"),)))
    return Section(cell.title, tuple(rows), px=WORDS_PX)
