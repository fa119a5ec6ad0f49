"""The build record: what is inside this engine, what was read, decided and taken on, by whom and when."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from app.build.build import Line
from app.build.facts import Mark, State
from app.build.gates import GateStanding, gate_standings
from app.build.history import Told
from app.build.plan import Fit
from app.build.rules import loose_ends, temporary_in
from app.build.rules.rule import LooseEnd
from app.build.survey import Survey
from app.paper.items import MM, Item, Rule, Text, cut, right_aligned
from app.paper.letters import Span, broken, fitting_size, shortened, width_pt, words
from app.paper.pen import Pen, write_pages
from app.paper.strips import WIDTH
from app.sheet.pages import Block, Part, page_breaks
from app.sheet.tokens import HEAD, NUMBER, PAPER_HEAD_RULE_PT, PAPER_HEIGHT_MM, PAPER_ROW_RULE_PT, SECOND, TITLE

_SIZE = SECOND.paper_pt
_PITCH = 12.0
_BASE = 9.2
_TOP = 10 * MM
_FOOT = 6 * MM
_PAGE = int((PAPER_HEIGHT_MM * MM - _TOP - _FOOT) // _PITCH)
_GAP = 2 * MM

_DEFERENCE = (
    "The engine maker's manual and each part maker's sheet come first; where they differ from this record, they hold.",
    "This is a record and an aid to memory, not approval for service.",
    "Some vehicles, aircraft, boats, lifting gear and emission parts may be worked on or signed off only by licensed "
    "people; ask before the engine is used there.",
    "A figure from another engine, edition or lubricant is unknown until it is checked.",
    "Stop if what you see does not match what is written here.",
)


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of a table: its heading, its width, and the weight of its words."""

    heading: str
    wide_mm: float
    weight: int = 400


@dataclass(frozen=True, slots=True)
class _Table:
    """A section of the record; `empty` is said where there are no rows."""

    title: str
    columns: tuple[_Column, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str


@dataclass(frozen=True, slots=True)
class _Row:
    """A row as lines of items; `columns` is the repeated head of its table, and `again` that head with its title."""

    lines: tuple[tuple[Item, ...], ...]
    keep: bool = False
    again: tuple[tuple[Item, ...], ...] = ()
    ruled: bool = False

    def block(self) -> Block:
        """How high it is, for the page breaks."""
        repeated = len(self.again)
        return Block((1,) * len(self.lines), self.keep, top=repeated, again=repeated)


def write_record(
    out: Path,
    survey: Survey,
    entries: Sequence[Told],
    *,
    paper: str = "A4",
    invariant: bool = False,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> int:
    """Write the build record to a PDF, and return how many sheets it has; `entries` is the journal, oldest first.

    Raises OSError when the file cannot be written and `PaperError` when the person stopped it; then no file is left.
    """
    ends = loose_ends(survey)
    standings = gate_standings(survey, ends)
    rows = list(_rows(survey, ends, standings, entries))
    parts = page_breaks([row.block() for row in rows], _PAGE)
    pages = [partial(_draw, survey, rows, on_page, (n, len(parts))) for n, on_page in enumerate(parts, 1)]
    title = f"{survey.build.name}, build record"
    return write_pages(
        out, pages, title=title, paper=paper, invariant=invariant, progress=progress, cancelled=cancelled
    )


# --- what stands in it


def _rows(
    survey: Survey, ends: Sequence[LooseEnd], standings: Sequence[GateStanding], entries: Sequence[Told]
) -> Iterator[_Row]:
    yield from _opening(survey)
    for table in (
        _about(survey),
        _gates(standings),
        _inside(survey),
        _figures(survey),
        _readings(survey),
        _concessions(survey),
        _decisions(survey),
        _signed(survey),
        _loose(ends),
        _temporary(ends),
        _timeline(entries),
    ):
        yield from _table_rows(table)


def _opening(survey: Survey) -> Iterator[_Row]:
    """The name, whether the build is finished, and how far this paper is to be trusted."""
    name = words(survey.build.name)
    size = fitting_size(name, TITLE.paper_weight, TITLE.paper_pt, WIDTH)
    size = size if size > NUMBER.paper_pt else NUMBER.paper_pt
    title = Text(0, 21, shortened(name, TITLE.paper_weight, size, WIDTH), size, TITLE.paper_weight)
    yield _Row(((title,), (), ()), keep=True)
    left = sum(survey.open(line) for line in survey.build.lines)
    standing = (
        "Finished: no line is open." if not left else f"Not finished: {left} of {len(survey.build.lines)} lines open."
    )
    yield _plain_row([Span("Build record.", 700), Span(standing, 700), Span(f"Written {_clock(survey.now)}.")])
    if title.text != name:
        yield _plain_row([Span("Name in full:", 700), Span(name)])
    for text in _DEFERENCE:
        yield _plain_row([Span(text)])


def _about(survey: Survey) -> _Table:
    build = survey.build
    rows = [
        ("Plan", f"{build.plan_title} ({build.plan_id})"),
        ("Edition of the plan", build.plan_edition),
        ("Made", _clock(build.made)),
        *((f"Option “{name}”", answer) for name, answer in build.options.items()),
    ]
    return _Table("This build", (_Column("", 45, 700), _Column("", 135)), tuple(rows), "")


def _gates(standings: Sequence[GateStanding]) -> _Table:
    rows = []
    for one in standings:
        if one.passage is None:
            held = f", held by {', '.join(reason.line for reason in one.reasons)}" if one.reasons else ""
            rows.append((one.gate.title, "", "", f"not passed{held}"))
            continue
        conceded = f"in writing without {', '.join(one.conceded)}" if one.conceded else ""
        rows.append((one.gate.title, _clock(one.passage.at), one.passage.by, conceded))
    columns = (_Column("Gate", 44, 700), _Column("Passed", 34), _Column("Who", 12), _Column("", 90))
    return _Table("Gates", columns, tuple(rows), "The plan has no gates.")


def _inside(survey: Survey) -> _Table:
    """Parts fitted for good by a line that is Done."""
    rows = []
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if not survey.done(line) or mark is None:
            continue
        for part in line.step.parts:
            if part.fit is not Fit.TRIAL:
                once = "one-use" if part.one_use else ""
                rows.append((line.number, part.name, str(part.count), once, mark.by, _clock(mark.at)))
    columns = (
        _Column("Line", 14, 700),
        _Column("Part", 88),
        _Column("Count", 14),
        _Column("", 18),
        _Column("Who", 12),
        _Column("When", 34),
    )
    return _Table("What is inside: parts fitted for good", columns, tuple(rows), "No part is fitted for good yet.")


def _figures(survey: Survey) -> _Table:
    rows = []
    for line in survey.build.lines:
        bounds = survey.bounds(line)
        if bounds is not None:
            state = line.step.spec.state if line.step.spec is not None else ""
            figure = f"{bounds.text}, thread {state}" if state else bounds.text
            entered = survey.build.facts.figures.get(line.id)
            by = f"{entered.by}, {_clock(entered.at)}" if entered else "plan"
            rows.append((line.number, line.step.do, figure, bounds.source or "no source given", by))
        elif survey.figure_missing(line):
            rows.append((line.number, line.step.do, "not entered", "", ""))
    columns = (
        _Column("Line", 14, 700),
        _Column("What", 56),
        _Column("Figure", 38, 700),
        _Column("Source", 40),
        _Column("Entered", 32),
    )
    return _Table("Figures in force", columns, tuple(rows), "No line has a figure.")


def _readings(survey: Survey) -> _Table:
    """Every reading that stands; the line's words are said once."""
    rows = []
    for line in survey.build.lines:
        title = line.step.do
        for one in survey.judged(line):
            place = one.place.title if one.round == 1 else f"{one.place.title}, round {one.round}"
            unit = f" {one.reading.unit}" if one.reading.unit and one.reading.text[-1:].isdigit() else ""
            verdict = _verdict(survey, line, one.verdict.value)
            value, when = f"{one.reading.text}{unit}", _clock(one.reading.at)
            rows.append((line.number, title, place, value, verdict, one.reading.by, when))
            title = ""
    columns = (
        _Column("Line", 13, 700),
        _Column("What", 46),
        _Column("Place", 27),
        _Column("Reading", 24, 700),
        _Column("Verdict", 24),
        _Column("Who", 12),
        _Column("When", 34),
    )
    return _Table("Readings", columns, tuple(rows), "Nothing has been read yet.")


def _verdict(survey: Survey, line: Line, verdict: str) -> str:
    """The verdict, or that the reading is not held against anything."""
    spec = line.step.spec
    judged = survey.bounds(line) is not None or (spec is not None and bool(spec.good))
    return verdict if judged else "not judged"


def _concessions(survey: Survey) -> _Table:
    rows = []
    for line in survey.build.lines:
        for gate, one in survey.build.facts.concessions.get(line.id, {}).items():
            at = survey.build.gate(gate).title if gate else ""
            rows.append((line.number, line.step.do, at, one.text, one.by, _clock(one.at)))
    columns = (
        _Column("Line", 14, 700),
        _Column("What", 42),
        _Column("At gate", 24),
        _Column("In writing", 54),
        _Column("Who", 12),
        _Column("When", 34),
    )
    return _Table("Went on in writing", columns, tuple(rows), "Nobody went on in writing.")


_DECIDED = (State.NOT_NEEDED, State.LATER, State.STOPPED, State.LOOK_AGAIN)


def _decisions(survey: Survey) -> _Table:
    rows = []
    for line in survey.build.lines:
        mark, state = survey.build.facts.lines.get(line.id), survey.state(line)
        if state in _DECIDED:
            rows.append((line.number, line.step.do, *_decided(survey, state, mark)))
    columns = (
        _Column("Line", 14, 700),
        _Column("What", 46),
        _Column("State", 30, 700),
        _Column("Why", 44),
        _Column("Who", 12),
        _Column("When", 34),
    )
    empty = "No line is Not needed, Later, Stopped or to be looked at again."
    return _Table("Not needed, Later, Stopped, Look again", columns, tuple(rows), empty)


def _decided(survey: Survey, state: State, mark: Mark | None) -> tuple[str, str, str, str]:
    if mark is None:
        return state.word, "no place asks for it, by the findings", "", ""
    before = f", before {survey.build.by_id[mark.before].number}" if mark.before else ""
    return f"{state.word}{before}", mark.why, mark.by, _clock(mark.at)


def _signed(survey: Survey) -> _Table:
    rows = []
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is not None and survey.done(line):
            rows.append((line.number, line.step.do, mark.by, _clock(mark.at)))
    columns = (_Column("Line", 14, 700), _Column("What", 120), _Column("Who", 12), _Column("When", 34))
    return _Table("Signed off as Done", columns, tuple(rows), "No line is Done yet.")


def _loose(ends: Sequence[LooseEnd]) -> _Table:
    rows = tuple((end.line.number, end.why, end.clears, end.harm, _clock(end.since)) for end in ends)
    columns = (
        _Column("Line", 14, 700),
        _Column("Loose end", 50, 700),
        _Column("Clears it", 42),
        _Column("If nobody does", 40),
        _Column("Since", 34),
    )
    return _Table("Loose ends still open", columns, rows, "There is no loose end.")


def _temporary(ends: Sequence[LooseEnd]) -> _Table:
    rows = tuple(
        (end.why.removeprefix("Still in: "), end.line.number, _clock(end.since))
        for end in ends
        if end.rule == temporary_in.ID
    )
    columns = (_Column("Thing", 120), _Column("Out at", 24, 700), _Column("In since", 36))
    return _Table("Temporary things still in the engine", columns, rows, "Nothing temporary is in the engine.")


def _timeline(entries: Sequence[Told]) -> _Table:
    rows = tuple((_clock(one.at), one.by, one.event, one.line, one.what, _changed(one)) for one in entries)
    columns = (
        _Column("When", 34),
        _Column("Who", 12),
        _Column("Event", 20),
        _Column("Line", 13, 700),
        _Column("What", 54),
        _Column("From what to what, and why", 47),
    )
    return _Table("Timeline", columns, rows, "Nothing has happened yet.")


def _changed(one: Told) -> str:
    change = one.new or (f"{one.old} taken away" if one.old else "")
    if one.old and one.new:
        change = f"{one.old} to {one.new}"
    return f"{change}: {one.why}" if one.why and one.why not in change else change


def _clock(at: datetime) -> str:
    return f"{at.astimezone():%d %b %Y %H:%M}"


# --- how a table becomes rows


def _plain_row(spans: Sequence[Span]) -> _Row:
    return _Row(
        tuple(tuple(Text(p.x, _BASE, p.text, _SIZE, p.weight) for p in line) for line in broken(spans, _SIZE, WIDTH))
    )


def _table_rows(table: _Table) -> Iterator[_Row]:
    """The section's title, its column heads, and its rows; the heads stand again on each page it goes on to."""
    title = Text(0, 8.5, table.title, NUMBER.paper_pt, NUMBER.paper_weight)
    yield _Row(((), (title,)), keep=True)
    if not table.rows:
        yield _plain_row([Span(table.empty)])
        return
    heads = _heads(table)
    if heads:
        yield _Row(heads, keep=True)
    again = ((Text(0, _BASE, f"{table.title}, continued", HEAD.paper_pt, 700),), *heads)
    yield from (_table_row(table, row, again) for row in table.rows)


def _heads(table: _Table) -> tuple[tuple[Item, ...], ...]:
    if not any(column.heading for column in table.columns):
        return ()
    texts = [Text(x, _BASE, column.heading, HEAD.paper_pt) for x, column in _placed(table)]
    return ((*texts, Rule(0, _PITCH - 0.25, WIDTH, _PITCH - 0.25, 1.0)),)


def _placed(table: _Table) -> Iterator[tuple[float, _Column]]:
    x = 0.0
    for column in table.columns:
        yield x, column
        x += column.wide_mm * MM


def _table_row(table: _Table, cells: tuple[str, ...], again: tuple[tuple[Item, ...], ...]) -> _Row:
    """One row: each cell broken in its column, as many lines as the longest needs."""
    lines: list[list[Item]] = []
    for (x, column), cell in zip(_placed(table), cells, strict=True):
        room = column.wide_mm * MM - _GAP
        for index, pieces in enumerate(broken([Span(cell, column.weight)], _SIZE, room)):
            if index == len(lines):
                lines.append([])
            lines[index] += [Text(x + piece.x, _BASE, piece.text, _SIZE, piece.weight) for piece in pieces]
    return _Row(tuple(tuple(line) for line in lines or [[]]), again=again, ruled=True)


# --- how a page is drawn


def _draw(survey: Survey, rows: Sequence[_Row], parts: Sequence[Part], place: tuple[int, int], pen: Pen) -> None:
    pen.draw(_page_head(survey, place))
    y = _TOP
    first = rows[parts[0].block]
    for line in first.again:
        pen.draw(line, 0, y)
        y += _PITCH
    for part in parts:
        row = rows[part.block]
        for line in row.lines[part.first : part.last]:
            pen.draw(line, 0, y)
            y += _PITCH
        if row.ruled and part.last == len(row.lines):
            pen.draw([Rule(0, y, WIDTH, y, PAPER_ROW_RULE_PT)])
    low = PAPER_HEIGHT_MM * MM - 3
    pen.draw([Text(0, low, "A record and an aid to memory, not approval for service.", HEAD.paper_pt)])


def _page_head(survey: Survey, place: tuple[int, int]) -> list[Item]:
    """The build, what this paper is and which sheet of how many."""
    size = HEAD.paper_pt
    sheet = right_aligned(WIDTH, 9, f"Sheet {place[0]} of {place[1]}", size, 700)
    said = f"build record, {_clock(survey.now)}"
    room = WIDTH - width_pt(said, 400, size) - 40 * MM
    name = cut(0, 9, survey.build.name, size, 700, room)
    x = width_pt(name.text, 700, size) + 3 * MM
    rule = Rule(0, 13, WIDTH, 13, PAPER_HEAD_RULE_PT)
    return [name, Text(x, 9, said, size), sheet, rule]
