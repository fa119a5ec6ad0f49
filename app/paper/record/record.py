"""The build record: what is inside this engine, what was read, decided and taken on, by whom and when."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

from app.assembly.lines import Line
from app.assembly.plan.steps import Fit
from app.assembly.rules import loose_ends
from app.assembly.said.marks import Mark, State
from app.assembly.standing.entry_places import HIDDEN, hides_first
from app.assembly.standing.gates import GateStanding, gate_standings
from app.assembly.standing.inside import Inside
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Judged, Survey
from app.paper.pdf.items import MM, Item, Rule, Text, cut, right_aligned
from app.paper.pdf.letters import Span, fitting_size, shortened, width_pt, words
from app.paper.pdf.pen import Pen, write_pages
from app.paper.pdf.strips import WIDTH
from app.paper.pdf.table import PITCH, Row, plain_row, table_rows
from app.paper.record.tables import results
from app.sheet.draw.tokens import HEAD, NUMBER, PAPER_HEAD_RULE_PT, PAPER_HEIGHT_MM, PAPER_ROW_RULE_PT, TITLE
from app.sheet.page_breaks import Part, page_breaks
from app.words.journal import Told
from app.words.marks import why
from app.words.say import say
from app.words.table import Column, Table
from app.words.telling import Part as Place
from app.words.telling import record_tables
from app.words.times import clock

_TOP = 10 * MM
_FOOT = 6 * MM
_PAGE = int((PAPER_HEIGHT_MM * MM - _TOP - _FOOT) // PITCH)

_DEFERENCE = (
    "The engine maker's manual and each part maker's sheet come first; where they differ from this record, they hold.",
    "This is a record and an aid to memory, not approval for service.",
    "Some vehicles, aircraft, boats, lifting gear and emission parts may be worked on or signed off only by licensed "
    "people; ask before the engine is used there.",
    "A figure from another engine, edition or lubricant is unknown until it is checked.",
    "Stop if what you see does not match what is written here.",
)


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
) -> Iterator[Row]:
    yield from _opening(survey)
    for table in (
        _about(survey),
        _gates(standings),
        _inside(survey),
        *record_tables(Place.FOUND, survey, entries),
        _figures(survey),
        *record_tables(Place.FIGURES, survey, entries),
        _readings(survey),
        results(survey),
        *record_tables(Place.WORKED, survey, entries),
        _concessions(survey),
        _decisions(survey),
        _signed(survey),
        _loose(ends),
        _temporary(survey),
        *record_tables(Place.KEPT, survey, entries),
        _timeline(entries),
    ):
        yield from table_rows(table)


def _opening(survey: Survey) -> Iterator[Row]:
    """The name, whether the build is finished, and how far this paper is to be trusted."""
    name = words(survey.build.name)
    size = fitting_size(name, TITLE.paper_weight, TITLE.paper_pt, WIDTH)
    size = size if size > NUMBER.paper_pt else NUMBER.paper_pt
    title = Text(0, 21, shortened(name, TITLE.paper_weight, size, WIDTH), size, TITLE.paper_weight)
    yield Row(((title,), (), ()), keep=True)
    left = sum(survey.open(line) for line in survey.build.lines)
    standing = (
        "Finished: no line is open." if not left else f"Not finished: {left} of {len(survey.build.lines)} lines open."
    )
    yield plain_row([Span("Build record.", 700), Span(standing, 700), Span(f"Written {clock(survey.now)}.")])
    if title.text != name:
        yield plain_row([Span("Name in full:", 700), Span(name)])
    for text in _DEFERENCE:
        yield plain_row([Span(text)])


def _about(survey: Survey) -> Table:
    build = survey.build
    rows = [
        ("Plan", f"{build.plan_title} ({build.plan_id})"),
        ("Edition of the plan", build.plan_edition),
        ("Made", clock(build.made)),
        *((f"Option “{name}”", answer) for name, answer in build.options.items()),
    ]
    return Table("This build", (Column("", 45, 700), Column("", 135)), tuple(rows), "")


def _gates(standings: Sequence[GateStanding]) -> Table:
    rows = []
    for one in standings:
        if one.passage is None:
            held = f", held by {', '.join(reason.line for reason in one.reasons)}" if one.reasons else ""
            rows.append((one.gate.title, "", "", f"not passed{held}"))
            continue
        conceded = f"in writing without {', '.join(one.conceded)}" if one.conceded else ""
        rows.append((one.gate.title, clock(one.passage.at), one.passage.by, conceded))
    columns = (Column("Gate", 44, 700), Column("Passed", 34), Column("Who", 12), Column("", 90))
    return Table("Gates", columns, tuple(rows), "The plan has no gates.")


def _inside(survey: Survey) -> Table:
    """Parts fitted for good by a line that is Done."""
    rows = []
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if not survey.done(line) or mark is None:
            continue
        for part in line.step.parts:
            if part.fit is not Fit.TRIAL:
                once = "one-use" if part.one_use else ""
                rows.append((line.number, part.name, str(part.count), once, mark.by, clock(mark.at)))
    columns = (
        Column("Line", 14, 700),
        Column("Part", 88),
        Column("Count", 14),
        Column("", 18),
        Column("Who", 12),
        Column("When", 34),
    )
    return Table("What is inside: parts fitted for good", columns, tuple(rows), "No part is fitted for good yet.")


def _figures(survey: Survey) -> Table:
    rows = []
    for line in survey.build.lines:
        bounds = survey.bounds(line)
        if bounds is not None:
            state = line.step.spec.state if line.step.spec is not None else ""
            figure = f"{bounds.text}, thread {state}" if state else bounds.text
            entered = survey.build.facts.figures.get(line.id)
            by = f"{entered.by}, {clock(entered.at)}" if entered else "plan"
            rows.append((line.number, line.step.do, figure, bounds.source or "no source given", by))
        elif survey.figure_missing(line):
            rows.append((line.number, line.step.do, "not entered", "", ""))
    columns = (
        Column("Line", 14, 700),
        Column("What", 56),
        Column("Figure", 38, 700),
        Column("Source", 40),
        Column("Entered", 32),
    )
    return Table("Figures in force", columns, tuple(rows), "No line has a figure.")


def _readings(survey: Survey) -> Table:
    """Every reading that stands; the line's words are said once."""
    rows = []
    for line in survey.build.lines:
        title = line.step.do
        hidden = hides_first(survey, line)  # a second look is not to know what the first one read
        for one in survey.judged(line):
            place = one.place.title if one.round == 1 else f"{one.place.title}, round {one.round}"
            verdict = "" if hidden else _verdict(survey, line, one)
            warm = f" at {one.reading.celsius:g} °C" if one.reading.celsius is not None else ""
            value, when = HIDDEN if hidden else f"{one.reading.said}{warm}", clock(one.reading.at)
            rows.append((line.number, title, place, value, verdict, one.reading.by, when))
            title = ""
    columns = (
        Column("Line", 13, 700),
        Column("What", 46),
        Column("Place", 27),
        Column("Reading", 24, 700),
        Column("Verdict", 24),
        Column("Who", 12),
        Column("When", 34),
    )
    return Table("Readings", columns, tuple(rows), "Nothing has been read yet.")


def _verdict(survey: Survey, line: Line, one: Judged) -> str:
    """The verdict, or why there is none: nothing to hold it against, or the line was disturbed since."""
    if one in survey.outdated(line):
        return "disturbed since"
    return one.verdict.value if survey.judgeable(line) else "not judged"


def _concessions(survey: Survey) -> Table:
    rows = []
    for line in survey.build.lines:
        for gate, one in survey.build.facts.concessions.get(line.id, {}).items():
            at = survey.build.gate(gate).title if gate else ""
            rows.append((line.number, line.step.do, at, one.text, one.by, clock(one.at)))
    columns = (
        Column("Line", 14, 700),
        Column("What", 42),
        Column("At gate", 24),
        Column("In writing", 54),
        Column("Who", 12),
        Column("When", 34),
    )
    return Table("Went on in writing", columns, tuple(rows), "Nobody went on in writing.")


_DECIDED = (State.NOT_NEEDED, State.LATER, State.STOPPED, State.LOOK_AGAIN)


def _decisions(survey: Survey) -> Table:
    rows = []
    for line in survey.build.lines:
        mark, state = survey.build.facts.lines.get(line.id), survey.state(line)
        if state in _DECIDED:
            rows.append((line.number, line.step.do, *_decided(survey, state, mark)))
    columns = (
        Column("Line", 14, 700),
        Column("What", 46),
        Column("State", 30, 700),
        Column("Why", 44),
        Column("Who", 12),
        Column("When", 34),
    )
    empty = "No line is Not needed, Later, Stopped or to be looked at again."
    return Table("Not needed, Later, Stopped, Look again", columns, tuple(rows), empty)


def _decided(survey: Survey, state: State, mark: Mark | None) -> tuple[str, str, str, str]:
    if mark is None:
        return state.word, "no place asks for it, by the findings", "", ""
    before = f", before {survey.build.by_id[mark.before].number}" if mark.before else ""
    return f"{state.word}{before}", why(mark), mark.by, clock(mark.at)


def _signed(survey: Survey) -> Table:
    rows = []
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is not None and survey.done(line):
            rows.append((line.number, line.step.do, mark.by, clock(mark.at)))
    columns = (Column("Line", 14, 700), Column("What", 120), Column("Who", 12), Column("When", 34))
    return Table("Signed off as Done", columns, tuple(rows), "No line is Done yet.")


def _loose(ends: Sequence[LooseEnd]) -> Table:
    rows = tuple((end.line.number, say(end.why), say(end.clears), say(end.harm), clock(end.since)) for end in ends)
    columns = (
        Column("Line", 14, 700),
        Column("Loose end", 50, 700),
        Column("Clears it", 42),
        Column("If nobody does", 40),
        Column("Since", 34),
    )
    return Table("Loose ends still open", columns, rows, "There is no loose end.")


def _temporary(survey: Survey) -> Table:
    """What is in the engine now, the plan's things and those put in on the way."""
    rows = tuple((_thing(thing), _way_out(survey, thing), clock(thing.since)) for thing in survey.inside)
    columns = (Column("Thing", 120), Column("Out at", 24, 700), Column("In since", 36))
    return Table("Temporary things still in the engine", columns, rows, "Nothing temporary is in the engine.")


def _thing(thing: Inside) -> str:
    since = f", since {thing.line}" if thing.line else f" ({thing.key})"
    return f"{'Lost: ' if thing.lost else ''}{thing.words}{since}"


def _way_out(survey: Survey, thing: Inside) -> str:
    return survey.build.by_id[thing.out_line].number if thing.out_line else ""


def _timeline(entries: Sequence[Told]) -> Table:
    rows = tuple((clock(one.at), one.by, one.event.value, one.line, one.what, _changed(one)) for one in entries)
    columns = (
        Column("When", 34),
        Column("Who", 12),
        Column("Event", 20),
        Column("Line", 13, 700),
        Column("What", 54),
        Column("From what to what, and why", 47),
    )
    return Table("Timeline", columns, rows, "Nothing has happened yet.")


def _changed(one: Told) -> str:
    change = one.new or (f"{one.old} taken away" if one.old else "")
    if one.old and one.new:
        change = f"{one.old} to {one.new}"
    return f"{change}: {one.why}" if one.why and one.why not in change else change


# --- how a page is drawn


def _draw(survey: Survey, rows: Sequence[Row], parts: Sequence[Part], place: tuple[int, int], pen: Pen) -> None:
    pen.draw(_page_head(survey, place))
    y = _TOP
    first = rows[parts[0].block]
    for line in first.again:
        pen.draw(line, 0, y)
        y += PITCH
    for part in parts:
        row = rows[part.block]
        for line in row.lines[part.first : part.last]:
            pen.draw(line, 0, y)
            y += PITCH
        if row.ruled and part.last == len(row.lines):
            pen.draw([Rule(0, y, WIDTH, y, PAPER_ROW_RULE_PT)])
    low = PAPER_HEIGHT_MM * MM - 3
    pen.draw([Text(0, low, "A record and an aid to memory, not approval for service.", HEAD.paper_pt)])


def _page_head(survey: Survey, place: tuple[int, int]) -> list[Item]:
    """The build, what this paper is and which sheet of how many."""
    size = HEAD.paper_pt
    sheet = right_aligned(WIDTH, 9, f"Sheet {place[0]} of {place[1]}", size, 700)
    said = f"build record, {clock(survey.now)}"
    room = WIDTH - width_pt(said, 400, size) - 40 * MM
    name = cut(0, 9, survey.build.name, size, 700, room)
    x = width_pt(name.text, 700, size) + 3 * MM
    rule = Rule(0, 13, WIDTH, 13, PAPER_HEAD_RULE_PT)
    return [name, Text(x, 9, said, size), sheet, rule]
