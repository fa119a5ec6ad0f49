"""Saying where a part is, and how it is on."""

from collections.abc import Iterator

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, once
from app.assembly.deeds.reopen import opened
from app.assembly.lines import Line
from app.assembly.plan.steps import Fit
from app.assembly.said import actions as a
from app.assembly.said.actions import SayPart
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.parts import FIT, PART, Fitted, PartFit, PartSaid
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey


@decided.register
def _part(action: SayPart, survey: Survey) -> Deed:
    names = {part.id: part.name for line in survey.build.lines for part in line.step.parts}
    if action.part not in names:
        raise Refused(phrase(RefusalKind.NO_PART, part=action.part))
    said = PartSaid(action.holding, action.by, action.at, action.why)
    made = entry(survey.build, EventName.PART, Subject(PART, action.part), said)
    return Deed(Verb.PART, action.by, action.at, (made,), action.why)


@decided.register
def _fit(action: a.FitPart, survey: Survey) -> Deed:
    names = {part.id: part.name for line in survey.build.lines for part in line.step.parts}
    if action.part not in names:
        raise Refused(phrase(RefusalKind.NO_PART, part=action.part))
    fit = PartFit(action.fit, action.by, action.at, action.why.strip())
    entries = [entry(survey.build, EventName.FIT, Subject(FIT, action.part), fit)]
    if action.fit is not Fitted.FINAL:
        again = phrase(Because.PART_AGAIN, part=names[action.part], fit=phrase(action.fit))
        for line in _fitting(survey, action.part):
            entries += opened(survey, line, action.by, action.at, again)
    return Deed(Verb.FIT, action.by, action.at, once(entries), action.why.strip())


def _fitting(survey: Survey, part: str) -> Iterator[Line]:
    """The Done lines that put a part on for good: taking it off, or having it on for a look, undoes them."""
    for line in survey.build.lines:
        if survey.done(line) and any(one.id == part and one.fit is Fit.FINAL for one in line.step.parts):
            yield line
