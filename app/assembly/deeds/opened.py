"""Saying that something was slackened, opened or removed."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, free_number, next_key, once
from app.assembly.deeds.find import find_line, find_place, find_steps, must_say
from app.assembly.deeds.reopen import opened, void_by
from app.assembly.lines import Line
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.said.phrase import phrase
from app.assembly.said.put_in import EXTRA, Extra, ExtraKind
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey


@decided.register
def _open_up(action: a.OpenUp, survey: Survey) -> Deed:
    what = must_say(action.what, RefusalKind.SAY_WHAT_WAS_OPENED)
    if action.line:
        return _opened_line(action, survey, what)
    after = find_line(survey.build, action.after) if action.after else _last_worked(survey)
    extra = Extra(
        ExtraKind.OPENED,
        free_number(survey.build, after),
        after.id,
        what,
        action.why.strip(),
        "",
        action.place.strip(),
        find_steps(survey.build, action.disturbs),
        action.by,
        action.at,
    )
    key = next_key(survey.build, EXTRA, "x")
    entries = [entry(survey.build, EventName.OPENED_UP, Subject(EXTRA, key), extra)]
    entries += void_by(survey.build, extra.disturbs, action.by, action.at, phrase(Because.THING_OPENED, what=what))
    return Deed(Verb.OPEN, action.by, action.at, once(entries), action.why.strip())


def _opened_line(action: a.OpenUp, survey: Survey, what: str) -> Deed:
    line = find_line(survey.build, action.line)
    place = find_place(survey, line, action.place) if action.place else None
    said = f"{what}, {place.title}" if place else what
    if survey.state(line) is not State.DONE:
        raise Refused(phrase(RefusalKind.NOTHING_TO_OPEN, line=line.number, state=phrase(survey.state(line))))
    entries = list(opened(survey, line, action.by, action.at, phrase(Because.OPENED, what=said)))
    return Deed(Verb.OPEN, action.by, action.at, once(entries), action.why.strip())


def _last_worked(survey: Survey) -> Line:
    """The line marked last before the next gate's bar: what is opened on the way keeps that gate shut."""
    marks, bar = survey.build.facts.lines, survey.build.bars.get(survey.next_gate, len(survey.build.lines))
    worked = [line for line in survey.build.lines[:bar] if line.id in marks]
    return max(worked, key=lambda line: marks[line.id].at, default=survey.build.lines[0])
