"""A reading line as a grid shaped like the engine: its numbers across, what is read at each of them down."""

import re
from collections.abc import Iterable

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured
from app.assembly.standing.results import Worked
from app.assembly.standing.survey import Judged, Survey
from app.assembly.standing.units import unit_at
from app.sheet.meant import meant_items
from app.sheet.rows import Run
from app.sheet.sections import WORDS_PX, Item, Section
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

    A `worked` cell is never typed into. `old` was read before the line was disturbed. `band` and `limits` are in the
    base unit, and missing where nothing can be drawn of them.
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


def can_grid(line: Line) -> bool:
    """Whether a line reads quantities, and so can be laid out as a grid."""
    spec = line.step.spec
    return line.reads and spec is not None and spec.kind not in (Measured.CHOICE, Measured.TEXT, Measured.SEE)


def grid_view(survey: Survey, line: Line) -> GridView:
    """The line as it stands."""
    places = survey.places(line)
    columns, rows = _axes(places)
    results = survey.worked(line)
    found = [*_read_rows(survey, line, columns, rows), *_worked_rows(columns, results)]
    return GridView(
        number=line.number,
        title=line.step.do,
        note=line.step.note,
        count=_count(survey, line, results),
        columns=_headings(line, columns, rows),
        rows=tuple(found),
    )


def _count(survey: Survey, line: Line, results: Iterable[Worked]) -> str:
    """“2 Cannot decide, 1 Out, 3 to read”."""
    verdicts = [one.verdict for one in survey.judged(line) if survey.judgeable(line)]
    verdicts += [one.verdict for one in results if one.verdict is not None]
    words = [
        f"{verdicts.count(verdict)} {verdict.value}"
        for verdict in (Verdict.UNDECIDED, Verdict.OUT)
        if verdict in verdicts
    ]
    left = len(survey.places(line)) * len(line.rounds) - len(survey.judged(line))
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
    by_row = word in _KINDS.values() or any(row.startswith(f"{word} ") for row in rows)
    return tuple(column if by_row or not column else f"{word} {column}".strip() for column in columns)


# --- rows


def _read_rows(survey: Survey, line: Line, columns: list[str], rows: dict[str, dict[str, Place]]) -> Iterable[GridRow]:
    spec = line.step.spec
    assert spec is not None  # only reading lines are laid out
    judged = {(one.place.id, one.round): one for one in survey.judged(line)}
    outdated = {(one.place.id, one.round) for one in survey.outdated(line)}
    bounds = survey.bounds(line)
    results = line.step.measure is not None and line.step.measure.how is not None
    for name, found in rows.items():
        for turn in range(1, spec.rounds + 1):
            title = f"{name}, round {turn}".strip(" ,") if spec.rounds > 1 else name
            first = next(iter(found.values()))
            limits = _limits_text(bounds, first.id) if not results else ""
            cells = tuple(
                _cell(survey, line, found[column], turn, judged, outdated) if column in found else None
                for column in columns
            )
            yield GridRow(title, limits, cells)


def _limits_text(bounds: Bounds | None, place: str) -> str:
    if bounds is None:
        return "figure not entered"
    limits = bounds.limits_at(place)
    return write_limits(limits) if isinstance(limits, Limits) else bounds.text


def _cell(
    survey: Survey,
    line: Line,
    place: Place,
    turn: int,
    judged: dict[tuple[str, int], Judged],
    outdated: set[tuple[str, int]],
) -> GridCell:
    one = judged.get((place.id, turn))
    old = (place.id, turn) in outdated
    has_result = line.step.measure is not None and line.step.measure.how is not None
    known = one is not None and not old and survey.judgeable(line) and not has_result
    limits = survey.bounds(line)
    at = limits.limits_at(place.id) if limits is not None else None
    size, doubt = (one.reading.magnitude, one.reading.doubt) if one is not None else (None, 0.0)
    band = (size - doubt, size + doubt) if known and size is not None else None
    return GridCell(
        place=place.id,
        round=turn,
        title=f"{place.title}, round {turn}" if line.step.spec and line.step.spec.rounds > 1 else place.title,
        text=one.reading.text if one else "",
        verdict=one.verdict if one is not None and known else None,
        unit=unit_at(survey, line, place.id),
        worked=False,
        old=old,
        words="",
        band=band,
        limits=_ends(at),
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
    bounds = survey.bounds(line)
    sections = []
    if bounds is None:
        words = "The maker's figure is not entered yet. F writes it with its source; what is read is kept meanwhile."
        sections.append(Section("Figure", (Item((Run(words, "stop"),)),)))
    else:
        limits = bounds.own
        other = second(limits) if not bounds.parts else ""
        rows = [Item((Run(bounds.text, "text", bold=True),))]
        rows += [Item((Run(other, "text"),))] if other else []
        rows.append(Item((Run(bounds.source or "no source given", "quiet" if bounds.source else "stop"),)))
        rows += meant_items(survey, line, bounds)
        sections.append(Section("Figure", tuple(rows)))
    if chosen is not None:
        sections.append(_in_hand(survey, line, chosen))
    sums = tuple(
        Item((Run(f"{one.place.title}: ", "quiet"), Run(one.words, "text"))) for one in survey.worked(line) if one.words
    )
    if sums:
        sections.append(Section("Worked out", sums))
    sections.append(
        Section(
            "", tuple(Item((Run(f"{one.value}: ", "text", bold=True), Run(words, "text"))) for one, words in LEGEND)
        )
    )
    return tuple(sections)


def _in_hand(survey: Survey, line: Line, cell: GridCell) -> Section:
    rows = [Item((Run(cell.text or "no value yet", "text", bold=True),))]
    if cell.worked:
        rows.append(Item((Run(cell.words, "text"),)))
        return Section(cell.title, tuple(rows))
    reading = survey.build.facts.readings.get(line.id, {}).get((cell.place, cell.round))
    if reading is not None:
        unit = reading.unit or cell.unit
        said = [f"read by {reading.by}, {reading.at.astimezone():%a %d %b %H:%M}"]
        said += [f"with {reading.tool}"] if reading.tool else []
        said += [f"± {write_magnitude(reading.doubt, unit)}"] if reading.doubt and unit else []
        said += [f"at {reading.celsius:g} °C"] if reading.celsius is not None else []
        said += ["judged as at 20 °C"] if reading.alpha_per_k and reading.celsius is not None else []
        said += ["read before a disturbance: read it anew"] if cell.old else []
        rows.append(Item((Run(", ".join(said), "quiet"),)))
    return Section(cell.title, tuple(rows), px=WORDS_PX)
