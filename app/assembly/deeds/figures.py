"""Entering a figure, offering others beside it, and choosing one."""

from dataclasses import replace

from app.assembly.deeds.decide import come_to, decided
from app.assembly.deeds.entries import entry
from app.assembly.deeds.find import find_line, must_say
from app.assembly.deeds.reopen import opened
from app.assembly.plan.figures import read_figure
from app.assembly.plan.steps import Measured
from app.assembly.said import actions as a
from app.assembly.said.actions import EnterFigure
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.figures import CANDIDATE, FIGURE, Candidate, Figure
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.assembly.standing.verdicts import bounds_of
from app.trade.notation import NotationError, read_spec
from app.trade.quantity import Kind


@decided.register
def _figure(action: EnterFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        raise Refused(phrase(RefusalKind.NO_FIGURE_TO_ENTER, line=line.number))
    if not action.source.strip():
        raise Refused(phrase(RefusalKind.SAY_WHERE_FIGURE_IS_FROM, line=line.number))
    text = action.text.strip()
    try:
        read_figure(text, Kind(spec.kind.value), spec.unit, action.decimal)
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_LINE, line=line.number, matter=str(error))) from error
    figure = Figure(text, action.source.strip(), action.by, action.at)
    entries = [entry(survey.build, EventName.FIGURE, Subject(FIGURE, line.id), figure)]
    before = survey.bounds(line)
    after = bounds_of(spec, figure, survey.build.sources)
    changed = before is not None and after is not None and (before.limits, before.parts) != (after.limits, after.parts)
    if survey.state(line) is State.DONE and changed:
        entries += opened(survey, line, action.by, action.at, phrase(Because.FIGURE_IS_NOW, figure=text))
    return Deed(Verb.FIGURE, action.by, action.at, tuple(entries), action.source)


@decided.register
def _offer(action: a.OfferFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        raise Refused(phrase(RefusalKind.NO_FIGURE_TO_OFFER_FOR, line=line.number))
    text = must_say(action.text, RefusalKind.SAY_THE_FIGURE)
    source = must_say(action.source, RefusalKind.SAY_WHERE_IT_IS_FROM)
    try:
        read_spec(text, Kind(spec.kind.value), unit=spec.unit or None)
    except NotationError as error:
        if "(" not in text:  # one that contradicts itself in brackets is kept and flagged; it stands so in print
            raise Refused(phrase(RefusalKind.AT_LINE, line=line.number, matter=str(error))) from error
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
