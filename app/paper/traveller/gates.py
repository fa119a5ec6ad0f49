"""A gate's bar on paper, and under it what keeps it shut or was taken on in writing."""

from collections.abc import Iterable, Iterator

from app.assembly.rules import concession_open
from app.assembly.said.refusal import Shut
from app.assembly.standing.entry_places import without_first
from app.assembly.standing.gates import GATE_LINE, GateStanding
from app.assembly.standing.inside import Inside
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.paper.pdf.items import MM, Drawing, Item, Text, line_of
from app.paper.pdf.letters import Span, broken, fitting_size, sentence, shortened, width_pt, words
from app.paper.pdf.strips import BASE, HALF, MIDDLE, WIDTH, Ground, Group, Strip, note_group
from app.sheet.draw.marks import BOX, gate_glyph
from app.sheet.draw.tokens import GATE_NAME, OPEN_LINE
from app.sheet.rows import GateRow
from app.words.ends import shut_why
from app.words.say import say

_NAME_X = 15 * MM
_TEXT_X = 77 * MM
STRIPED_END = 3.7 * MM
_TWO_LINES = (9.4, 20.6)
_GLYPH = 16.0


def gate_groups(survey: Survey, row: GateRow, standing: GateStanding) -> Iterator[Group]:
    """The bar, then a row for each loose end that holds it, or for each line it was passed without."""
    loose = [reason for reason in standing.reasons if reason.rules != (GATE_LINE,)]
    conceded = list(_concessions(survey, row.gate)) if row.passed else []
    yield _bar(row, keep=bool(loose or conceded))
    yield from (_reason(reason) for reason in loose)
    yield from conceded


def _bar(row: GateRow, *, keep: bool) -> Group:
    """The bar over the full width: glyph, name, and what it stands at."""
    ground = Ground.SOLID_STRIPED if row.in_writing else Ground.RULES if row.passed else Ground.SOLID
    light = ground is not Ground.RULES
    weight = GATE_NAME.paper_weight if light else 500
    room = WIDTH - _NAME_X - 30 * MM
    name = words(row.title)
    size = fitting_size(name, weight, GATE_NAME.paper_pt, room)
    title = Text(_NAME_X, 17.5, shortened(name, weight, size, room), size, weight, light)
    x = max(_TEXT_X, _NAME_X + width_pt(title.text, weight, size) + 5 * MM)
    lines = broken([Span(_state_words(row), 500)], OPEN_LINE.paper_pt, WIDTH - x - 2 * MM)
    glyph = gate_glyph(shut=not row.passed, ink="on_gate" if light else "text")
    items: list[Item] = [Drawing(5 * MM, (2 * HALF - _GLYPH) / 2 - 0.5, glyph, _GLYPH / BOX), title]
    bases = (MIDDLE,) if len(lines) == 1 else _TWO_LINES
    for base, pieces in zip(bases, lines[:2], strict=False):
        items += line_of(pieces, x, base, OPEN_LINE.paper_pt, light=light)
    below = [Strip(1, tuple(line_of(p, x, BASE, OPEN_LINE.paper_pt, light=light))) for p in lines[2:]]
    return Group((Strip(2, tuple(items)), *below), ground=ground, keep=keep)


def _state_words(row: GateRow) -> str:
    """What the gate stands at; a shut one names every line that holds it."""
    if row.passed:
        return row.text
    if row.ready:
        return "Nothing holds it any more"
    return f"Shut. Held by {', '.join(row.lines)}"


def _reason(reason: Shut) -> Group:
    return note_group(
        reason.line,
        _in_words(shut_why(reason), say(reason.clears), say(reason.harm)),
    )


def _in_words(why: str, clears: str, harm: str) -> list[Span]:
    """A loose end: what is the matter, what clears it, and what happens if nobody does."""
    rest = f"Clears it: {sentence(clears)} If nobody does: {sentence(harm)}"
    return [Span(sentence(why), 700), Span(rest)]


def _concessions(survey: Survey, gate: str) -> Iterator[Group]:
    for key, by_gate in survey.build.facts.concessions.items():
        if gate in by_gate:
            one = by_gate[gate]
            when = f"{one.at.astimezone():%a %d %b %H:%M}"
            yield note_group(
                survey.build.by_id[key].number,
                [Span("Went on in writing.", 700), Span(f"{one.text} ({one.by}, {when})")],
            )


def after_the_last_gate(survey: Survey, ends: Iterable[LooseEnd]) -> Iterator[Group]:
    """The loose ends no gate is left to catch; what was taken on in writing stands on its own line."""
    for end in ends:
        if not end.gate and end.rule != concession_open.ID:
            why = say(without_first(survey, end.line, end.why))
            yield note_group(end.line.number, _in_words(why, say(end.clears), say(end.harm)))


def still_in(survey: Survey) -> Iterator[Group]:
    """One row that names everything temporary still in the engine, the plan's and one's own, and its way out."""
    if survey.inside:
        things = "; ".join(_thing(survey, thing) for thing in survey.inside)
        yield note_group("", [Span("Still in the engine", 700), Span(sentence(things))])


def _thing(survey: Survey, thing: Inside) -> str:
    """“1 × rag, oil feed, since 1.05, out 2.01”, or the key by which one says that it is out."""
    lost = "lost, " if thing.lost else ""
    since = thing.line or f"{thing.since.astimezone():%a %d %b}"
    way = "to be found" if thing.lost else "no line takes it out"
    out = f"out {survey.build.by_id[thing.out_line].number}" if thing.out_line else f"{way} ({thing.key})"
    turning = "" if thing.turning_ok else ", nothing is turned before"
    return f"{lost}{thing.words}, since {since}, {out}{turning}"
