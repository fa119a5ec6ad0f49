"""The sheet of a stage as finished rows: what stands in each column, in words, for screen and paper alike.

Screen and paper only place these rows; what a row says is settled here once.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from enum import Enum

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.lines import Line, StageHead
from app.assembly.plan.order import Link
from app.assembly.rules import hole_unsealed, not_primed
from app.assembly.said.findings import FINDING, Disposition
from app.assembly.said.marks import Mark, State
from app.assembly.standing.entry_places import HIDDEN, EntryPlace, Form, entry_places, hides_first
from app.assembly.standing.gates import GateStanding
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.results import Worked
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import figure_unit
from app.assembly.standing.waiting import open_time_ends
from app.sheet.draw.marks import Frame
from app.sheet.draw.tokens import Token
from app.trade.notation import write_limits, write_programme
from app.trade.quantity import TorqueTurn
from app.trade.verdict import Verdict
from app.words.conditions import conditions_words
from app.words.marks import why

BLOCK_LINES = 9
MOST_IN_A_ROW = 12
# What must be seen on the line itself whatever else stands there.
GRAVE = {not_primed.ID: "Not primed", hole_unsealed.ID: "Not sealed"}


class Run(Struct, frozen=True):
    """A piece of text with its colour token; state words are bold."""

    text: str
    ink: Token = "quiet"
    bold: bool = False


class SpecCell(Struct, frozen=True):
    """The spec column: a small lead (“at most”), the figure, or that the figure is still to be entered."""

    lead: str
    figure: str
    strong: bool
    missing: bool = False


class PlaceBox(Struct, frozen=True):
    """One small box of a many-alike line."""

    place: str
    title: str
    label: str
    state: State


class WriteIn(Struct, frozen=True):
    """One place to write a value: what stands there, its verdict (None where there is none) and unit.

    An `old` value was read before the line was disturbed: it is shown as what was, without a verdict, and is read anew.
    """

    place: str
    title: str
    label: str
    round: int
    value: str
    verdict: Verdict | None
    unit: str
    old: bool
    form: Form = Form.VALUE


class Wait(Struct, frozen=True):
    """A wait that this line stands behind: from when, to when, and how much of it is over (0 to 1)."""

    begun: datetime
    ends: datetime
    over: float


class Fixed(Enum):
    """Where in a run of fixed order a line stands."""

    NONE = "none"
    FIRST = "first"
    MIDDLE = "middle"
    LAST = "last"


class LineRow(Struct, frozen=True):
    """One line of the sheet. One that is `in_grid` has more places than a row holds: a count stands for them."""

    id: str
    number: str
    frame: Frame
    state: State
    hold: bool
    title: str
    second: tuple[Run, ...]
    spec: SpecCell | None
    boxes: tuple[PlaceBox, ...]
    count: str
    write_ins: tuple[WriteIn, ...]
    signed: str
    signed_at: str
    wait: Wait | None
    easy_to_miss: bool
    striped: bool
    fixed: Fixed
    conceded: str
    spoken: str
    in_grid: bool = False


class BlockRow(Struct, frozen=True):
    """The gap before a block, with its title and how many of its lines are open."""

    text: str


class GateRow(Struct, frozen=True):
    """A gate's bar: shut, open, or opened in writing, and what holds it."""

    gate: str
    title: str
    passed: bool
    in_writing: bool
    ready: bool
    text: str
    lines: tuple[str, ...]
    spoken: str


Row = LineRow | BlockRow | GateRow


class StageSheet(Struct, frozen=True):
    """A stage's sheet: its head and its rows."""

    number: int
    title: str
    build: str
    counts: str
    open: int
    rows: tuple[Row, ...]


def stage_sheet(
    survey: Survey,
    ends: Sequence[LooseEnd],
    standings: Sequence[GateStanding],
    stage: StageHead,
    *,
    grids: bool = False,
) -> StageSheet:
    """The sheet of one stage; with `grids` a line with very many places to write stands as a count."""
    lines = [line for line in survey.build.lines if line.stage == stage.number]
    grave = {end.line.id: end for end in ends if end.rule in GRAVE}
    rows: list[Row] = []
    for block in _blocks(lines):
        if rows or block[0].step.block:
            rows.append(_block_row(survey, block))
        rows += [_row(survey, line, grave.get(line.id), _fixed(lines, line), grids=grids) for line in block]
    rows += [gate_row(standing) for standing in standings if standing.gate.after == stage.id]
    return StageSheet(
        stage.number, stage.title, survey.build.name, counts(survey, lines), open_lines(survey, lines), tuple(rows)
    )


def _row(survey: Survey, line: Line, grave: LooseEnd | None, fixed: Fixed, *, grids: bool) -> LineRow:
    row = line_row(survey, line, grave, fixed)
    if not grids or len(row.write_ins) <= MOST_IN_A_ROW:
        return row
    read = sum(bool(one.value) and not one.old for one in row.write_ins)
    out = sum(one.verdict is Verdict.OUT for one in row.write_ins)
    count = f"{read} of {len(row.write_ins)} read{f', {out} Out' if out else ''}"
    return replace(row, write_ins=(), count=count, in_grid=True)


def open_lines(survey: Survey, lines: Iterable[Line]) -> int:
    """How many lines still want something."""
    return sum(survey.open(line) for line in lines)


def counts(survey: Survey, lines: Sequence[Line]) -> str:
    """“7 open, 1 Hold, 1 Stopped”: counts, never a percentage."""
    parts = [f"{open_lines(survey, lines)} open"]
    holds = sum(line.step.hold and not survey.closed(line) for line in lines)
    if holds:
        parts.append(f"{holds} Hold" if holds == 1 else f"{holds} Holds")
    for state in (State.STOPPED, State.LOOK_AGAIN, State.LATER):
        found = sum(survey.state(line) is state for line in lines)
        if found:
            parts.append(f"{found} {state.word}")
    return ", ".join(parts)


def _blocks(lines: Sequence[Line]) -> list[list[Line]]:
    """The stage's lines in blocks of at most nine; a line with a block title begins one."""
    blocks: list[list[Line]] = []
    for line in lines:
        in_run = blocks and line.step.fixed and line.step.fixed == blocks[-1][-1].step.fixed
        if not blocks or line.step.block or (len(blocks[-1]) >= BLOCK_LINES and not in_run):
            blocks.append([])
        blocks[-1].append(line)
    return blocks


def _block_row(survey: Survey, block: list[Line]) -> BlockRow:
    title = block[0].step.block or f"{block[0].number} to {block[-1].number}"
    return BlockRow(f"{title}, {open_lines(survey, block)} of {len(block)} open")


def _fixed(lines: Sequence[Line], line: Line) -> Fixed:
    run = [other for other in lines if line.step.fixed and other.step.fixed == line.step.fixed]
    if len(run) < 2:
        return Fixed.NONE
    if line is run[0]:
        return Fixed.FIRST
    return Fixed.LAST if line is run[-1] else Fixed.MIDDLE


def frame_of(line: Line) -> Frame:
    """The kind of box a line has."""
    if line.step.hold:
        return Frame.HOLD
    if line.reads:
        return Frame.READ
    return Frame.MANY if line.many else Frame.DO


def line_row(survey: Survey, line: Line, grave: LooseEnd | None = None, fixed: Fixed = Fixed.NONE) -> LineRow:
    """One line of the sheet as it stands; `grave` is the loose end that must be seen on the line itself."""
    mark = survey.build.facts.lines.get(line.id)
    state = survey.state(line)
    boxes = _boxes(survey, line)
    ticked = survey.ticked(line)
    by, at = _signed(mark)
    return LineRow(
        id=line.id,
        number=line.number,
        frame=frame_of(line),
        state=state,
        hold=line.step.hold,
        title=line.step.do,
        second=tuple(_second(survey, line, mark, grave)),
        spec=_spec_cell(survey, line),
        boxes=boxes,
        count=f"{ticked} of {len(boxes)}" if boxes else "",
        write_ins=_write_ins(survey, line),
        signed=by,
        signed_at=at,
        wait=_wait(survey, line),
        easy_to_miss=line.easy_to_miss,
        striped=state is State.STOPPED or grave is not None,
        fixed=fixed,
        conceded=_conceded(survey, line),
        spoken=_spoken(survey, line, state),
    )


def _signed(mark: Mark | None) -> tuple[str, str]:
    if mark is None or mark.state not in (State.DONE, State.NOT_NEEDED, State.LATER, State.LOOK_AGAIN):
        return "", ""
    return mark.by, f"{mark.at.astimezone():%a %d %b %H:%M}"


def _second(survey: Survey, line: Line, mark: Mark | None, grave: LooseEnd | None) -> list[Run]:
    runs: list[Run] = []
    state = survey.state(line)
    if grave is not None:
        runs.append(Run(f"{GRAVE[grave.rule]}. ", "stop", bold=True))
    runs += _found(survey, line)
    if survey.conceded(line) and survey.open(line):
        runs.append(Run("Went on in writing. ", "stop", bold=True))
    if state in _STATE_INK:
        runs.append(Run(_state_words(survey, state, mark), _STATE_INK[state], bold=True))
        runs.append(Run(_why(survey, line, mark), _STATE_INK[state] if state is not State.NOT_NEEDED else "quiet"))
        return [run for run in runs if run.text]
    if survey.passed_over(line):
        runs.append(Run("Passed over. ", "mind", bold=True))
    if line.step.second_look and survey.done(line) and not survey.seen_twice(line):
        runs.append(Run("Second look wanted. ", "mind", bold=True))
    follow_by = _follow_by(survey, line)
    if follow_by is not None:
        runs.append(Run(f"By {follow_by.astimezone():%a %d %b %H:%M}. ", "mind", bold=True))
    if line.step.once:
        runs.append(Run("Once only. ", "mind", bold=True))
    runs += _worked(survey, line)
    runs.append(Run(line.step.note))
    return [run for run in runs if run.text]


def _worked(survey: Survey, line: Line) -> list[Run]:
    """What was worked out, in a few words: “Clearance 0.055 to 0.06 mm, In. ”, and where it is not."""
    if hides_first(survey, line):
        return []
    runs = []
    results = [one for one in survey.worked(line) if one.size is not None]
    for name in dict.fromkeys(one.name for one in results):
        same = sorted((one for one in results if one.name == name), key=lambda one: one.size or 0.0)
        span = same[0].text if same[0].text == same[-1].text else f"{_bare(same[0])} to {same[-1].text}"
        bad = [one for one in same if one.verdict in (Verdict.OUT, Verdict.UNDECIDED)]
        judged = all(one.verdict is not None for one in same)
        said = ", ".join(f"{one.place.title} {one.verdict.value}" for one in bad if one.verdict is not None)
        ink: Token = "stop" if any(one.verdict is Verdict.OUT for one in bad) else "mind" if bad else "ink"
        runs.append(Run(f"{name.capitalize()} {span}{f', {said}' if bad else ', In' if judged else ''}. ", ink))
    return runs


def _bare(one: Worked) -> str:
    """A result without its unit."""
    return one.text.removesuffix(f" {one.unit}")


def _found(survey: Survey, line: Line) -> list[Run]:
    """What was found at the line and nobody has decided about."""
    findings = survey.build.facts.of(FINDING).items()
    return [
        Run(f"{'Symptom' if one.symptom else 'Found'} {key}: {one.what}. ", "stop", bold=True)
        for (key, _), one in findings
        if one.line == line.id and one.decision is Disposition.OPEN
    ]


def _follow_by(survey: Survey, line: Line) -> datetime | None:
    """The earliest time by which an open line must follow another: skin on a sealant, oil drained from a gallery."""
    if not survey.open(line):
        return None
    ends = [open_time_ends(survey.build, row) for row in survey.build.order.into(line.id, Link.NEEDS)]
    return min((end for end in ends if end is not None), default=None)


_STATE_INK: dict[State, Token] = {
    State.LATER: "mind",
    State.NOT_NEEDED: "quiet",
    State.STOPPED: "stop",
    State.LOOK_AGAIN: "mind",
}


def _state_words(survey: Survey, state: State, mark: Mark | None) -> str:
    if state is State.LATER and mark is not None:
        return f"Later, before {survey.build.by_id[mark.before].number}. "
    return f"{state.word}. "


def _why(survey: Survey, line: Line, mark: Mark | None) -> str:
    if mark is None:
        return "No place asks for it, by the findings" if survey.called_off(line) else ""
    return why(mark)


def _spec_cell(survey: Survey, line: Line) -> SpecCell | None:
    spec = line.step.spec
    if spec is None:
        return SpecCell("", f"{line.step.people} people", strong=False) if line.step.people > 1 else None
    if spec.kind.in_words:
        return SpecCell("", spec.limits or spec.note, strong=False) if spec.limits or spec.note else None
    bounds = survey.bounds(line)
    if bounds is None:
        return SpecCell("maker's figure", f"? {figure_unit(survey, line)}", strong=True, missing=True)
    meant = ", ".join(conditions_words(bounds.conditions))
    if bounds.programme is not None:
        return SpecCell("", write_programme(bounds.programme), strong=False)  # its steps stand large on the step sheet
    if isinstance(bounds.limits, TorqueTurn):
        turns = " + ".join(f"{turn:g}°" for turn in bounds.limits.turns_deg)
        return SpecCell(meant, f"{write_limits(bounds.limits.torque)} + {turns}", strong=True)
    if bounds.limits in bounds.parts.values():  # each kind of place has its own: the first alone would be taken for all
        each = "; ".join(f"{label} {write_limits(one)}" for label, one in bounds.parts.items())
        return SpecCell(meant, each, strong=False)
    cell = _lead_and_figure(write_limits(bounds.limits))
    return SpecCell(", ".join(word for word in (meant, cell.lead) if word), cell.figure, strong=True)


def _lead_and_figure(text: str) -> SpecCell:
    for lead in ("at most", "at least"):
        if text.startswith(lead):
            return SpecCell(lead, text.removeprefix(lead).strip(), strong=True)
    return SpecCell("", text, strong=True)


def _boxes(survey: Survey, line: Line) -> tuple[PlaceBox, ...]:
    if not line.many:
        return ()
    ticks = survey.build.facts.ticks.get(line.id, {})
    return tuple(
        PlaceBox(place.id, place.title, place.id, ticks[place.id].state if place.id in ticks else State.TO_DO)
        for place in survey.places(line)
    )


def _write_ins(survey: Survey, line: Line) -> tuple[WriteIn, ...]:
    if not line.reads:
        return ()
    judged = {(one.place.id, one.round): one.verdict for one in survey.judged(line)}
    # A part of a sum is not judged: what is worked out from it is.
    judges = survey.judgeable(line) and not line.step.works_out
    asked = entry_places(survey, line)
    found = []
    for one in asked:
        shown = judges and not one.old and not one.hidden
        label = "" if len(asked) == 1 else _label(one.place.id, one.round, one.rounds)
        verdict = judged.get(one.key) if shown else None
        found.append(
            WriteIn(one.place.id, one.place.title, label, one.round, written(one), verdict, one.unit, one.old, one.form)
        )
    return tuple(found)


def written(one: EntryPlace) -> str:
    """What is seen at a place a value is written at, "" where nothing stands."""
    if one.reading is None:
        return ""
    return HIDDEN if one.hidden else one.text


def _label(place: str, turn: int, rounds: int) -> str:
    return f"{place}, {turn}" if rounds > 1 else place


def _wait(survey: Survey, line: Line) -> Wait | None:
    """The longest wait still running in front of an open line."""
    if not survey.open(line):
        return None
    cures = [(one.until, one.row.start) for one in survey.waits(line) if one.until is not None and one.row is not None]
    if not cures:
        return None
    ends, after = max(cures, key=lambda cure: cure[0])
    begun = survey.build.facts.lines[after].at
    return Wait(begun, ends, (survey.now - begun) / (ends - begun))


def _conceded(survey: Survey, line: Line) -> str:
    """What was written to go on without this line, the last of it."""
    written = survey.build.facts.concessions.get(line.id, {})
    if not written:
        return ""
    last = max(written.values(), key=lambda one: one.at)
    return f"{last.text} ({last.by})"


def _spoken(survey: Survey, line: Line, state: State) -> str:
    """The row as a screen reader says it."""
    kind = "Hold, " if line.step.hold else ""
    words = [f"line {line.number}", f"{kind}{state.word}", line.step.do]
    cell = _spec_cell(survey, line)
    if cell is not None:
        words.append(f"{cell.lead} {cell.figure}".strip())
    return ", ".join(words)


def gate_row(standing: GateStanding) -> GateRow:
    """A gate's bar as it stands."""
    lines = tuple(reason.line for reason in standing.reasons)
    text = _gate_text(standing)
    state = "open" if standing.passed else "shut"
    return GateRow(
        gate=standing.gate.id,
        title=standing.gate.title,
        passed=standing.passed,
        in_writing=bool(standing.conceded),
        ready=standing.ready,
        text=text,
        lines=lines,
        spoken=f"gate {standing.gate.title}, {state}. {text}",
    )


def _gate_text(standing: GateStanding) -> str:
    if standing.passage is not None:
        passed = f"Passed {standing.passage.at.astimezone():%a %d %b %H:%M}, {standing.passage.by}"
        return f"{passed}, in writing without {', '.join(standing.conceded)}" if standing.conceded else passed
    if standing.ready:
        return "Nothing holds it. Enter to go through"
    return f"Shut. Held by {_some([reason.line for reason in standing.reasons])}"


def _some(numbers: list[str], most: int = 16) -> str:
    if len(numbers) <= most:
        return ", ".join(numbers)
    return f"{', '.join(numbers[:most])} and {len(numbers) - most} more"
