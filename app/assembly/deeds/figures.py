"""Entering a figure, saying how it is meant, offering others beside it, and choosing one."""

from collections.abc import Iterator

from msgspec.structs import replace

from app.assembly.deeds.decide import come_to, decided
from app.assembly.deeds.entries import entry
from app.assembly.deeds.find import find_line, must_say
from app.assembly.deeds.reopen import opened, voided
from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds, read_figure, with_unit
from app.assembly.said import actions as a
from app.assembly.said.actions import Action, EnterFigure, SayUnder, SayWidth
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.figures import CANDIDATE, FIGURE, Candidate, Figure
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, State
from app.assembly.said.meant import UNDER, WIDTH, SaidUnder, SaidWidth
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import figure_unit
from app.assembly.standing.verdicts import bounds_of, judge_by, under_in
from app.assembly.standing.widths import read_width, target_of
from app.trade.notation import NotationError, read_conditions
from app.trade.quantity import Kind
from app.trade.verdict import Verdict


@decided.register
def _figure(action: EnterFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind.in_words:
        raise Refused(phrase(RefusalKind.NO_FIGURE_TO_ENTER, line=line.number))
    if not action.source.strip():
        raise Refused(phrase(RefusalKind.SAY_WHERE_FIGURE_IS_FROM, line=line.number))
    text = _as_meant(survey, line, action.text.strip(), action.decimal)
    figure = Figure(text, action.source.strip(), action.by, action.at)
    entries = [entry(survey.build, EventName.FIGURE, Subject(FIGURE, line.id), figure)]
    width = survey.build.facts.of(WIDTH).get((line.id, ""))
    after = bounds_of(spec, figure, survey.build.sources, width)
    entries += _judged_anew(survey, line, after, under_in(survey.build, line), action, text)
    return Deed(Verb.FIGURE, action.by, action.at, tuple(entries), action.source)


def _as_meant(survey: Survey, line: Line, text: str, decimal: str) -> str:
    """The figure as typed, with its unit where none was typed; refused where it cannot be read."""
    assert line.step.spec is not None
    kind, unit = Kind(line.step.spec.kind.value), figure_unit(survey, line)
    meant = with_unit(text, kind, unit, decimal)
    try:
        read_figure(meant, kind, unit, decimal=decimal)
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_LINE, line=line.number, matter=str(error))) from error
    return meant


def _judged_anew(
    survey: Survey, line: Line, after: Bounds | None, under: SaidUnder | None, action: Action, text: str
) -> Iterator[Entry]:
    """What a figure that asks for something else does to a line that is Done, or to bolts that were tightened.

    Bolts tightened by the one before may have to be loosened, so they are looked at again from the beginning. What was
    measured stays as it was read: it is judged by the new one, and only what is out of it opens the line.
    """
    before = survey.bounds(line)
    if before is None or after is None:
        return
    because = phrase(Because.FIGURE_IS_NOW, figure=text)
    if line.tightening is not None:
        if before.asks != after.asks and survey.done(line):
            yield from opened(survey, line, action.by, action.at, because)
        elif before.asks != after.asks and line.id in survey.build.facts.lines:
            yield from voided(survey.build, line, action.at)
        return
    if survey.state(line) is not State.DONE:
        return
    verdict = judge_by(line.step, after, under)
    if any(verdict(one.reading, one.place.id) is Verdict.OUT for one in survey.judged(line)):
        old = survey.build.facts.lines[line.id]
        mark = replace(old, state=State.LOOK_AGAIN, by=action.by, at=action.at, why="", because=because)
        yield entry(survey.build, EventName.OPENED, Subject(MARK, line.id), mark)


@decided.register
def _width(action: SayWidth, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    target = target_of(survey.build, line)
    if target is None:
        raise Refused(phrase(RefusalKind.NO_SINGLE_FIGURE, line=line.number))
    try:
        width = read_width(survey.build, line, target, action.text.strip(), action.source.strip(), action.decimal)
    except (NotationError, ValueError) as error:
        raise Refused(phrase(RefusalKind.AT_LINE, line=line.number, matter=str(error))) from error
    bounds = survey.bounds(line)
    assert bounds is not None  # a line with a target has a figure
    below, above = (float(f"{end:.12g}") for end in (target.value - width.low, width.high - target.value))
    said = SaidWidth(bounds.text, below, above, width.how.name, width.source, action.by, action.at)
    entries = [entry(survey.build, EventName.WIDTH, Subject(WIDTH, line.id), said)]
    after = bounds_of(line.step.spec, survey.build.facts.figures.get(line.id), survey.build.sources, said)
    if line.tightening is None:
        entries += _judged_anew(survey, line, after, under_in(survey.build, line), action, bounds.text)
    return Deed(Verb.WIDTH, action.by, action.at, tuple(entries), width.source)


@decided.register
def _under(action: SayUnder, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or not line.reads or spec.kind.in_words:
        raise Refused(phrase(RefusalKind.ASKS_NO_READING, line=line.number))
    text = " ".join(action.text.split())
    try:
        if text:
            read_conditions(text, Kind(spec.kind.value), decimal=action.decimal)
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_LINE, line=line.number, matter=str(error))) from error
    said = SaidUnder(text, action.by, action.at)
    entries = [entry(survey.build, EventName.UNDER, Subject(UNDER, line.id), said)]
    entries += _judged_anew(survey, line, survey.bounds(line), said, action, text)
    return Deed(Verb.UNDER, action.by, action.at, tuple(entries))


@decided.register
def _offer(action: a.OfferFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind.in_words:
        raise Refused(phrase(RefusalKind.NO_FIGURE_TO_OFFER_FOR, line=line.number))
    text = must_say(action.text, RefusalKind.SAY_THE_FIGURE)
    source = must_say(action.source, RefusalKind.SAY_WHERE_IT_IS_FROM)
    try:
        text = _as_meant(survey, line, text, ".")
    except Refused:
        if "(" not in text:  # one that contradicts itself in brackets is kept and flagged; it stands so in print
            raise
    shelf = survey.build.facts.of(CANDIDATE)
    key = f"c{1 + sum(step == line.id for step, _ in shelf)}"
    edition, dated, converted = action.edition.strip(), action.dated.strip(), action.converted_by.strip()
    candidate = Candidate(text, action.trust.value, source, edition, dated, converted, action.by, action.at)
    made = entry(survey.build, EventName.OFFERED, Subject(CANDIDATE, line.id, key), candidate)
    return Deed(Verb.SOURCE, action.by, action.at, (made,))


@decided.register
def _choose_figure(action: a.ChooseFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    shelf = {key: one for (step, key), one in survey.build.facts.of(CANDIDATE).items() if step == line.id}
    if action.candidate not in shelf:
        raise Refused(
            phrase(RefusalKind.NO_FIGURE_TO_CHOOSE, line=line.number, candidate=action.candidate, known=tuple(shelf))
        )
    why = must_say(action.why, RefusalKind.SAY_WHY_THIS_ONE)
    one = shelf[action.candidate]
    source = ", ".join(word for word in (one.source, one.edition, one.dated) if word)
    deed = come_to(a.EnterFigure(line.id, one.text, source, action.by, action.at), survey)
    return replace(deed, verb=Verb.SOURCE, why=why)
