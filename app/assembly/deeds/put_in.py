"""Putting in a step that the plan forgot."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, free_number, next_key
from app.assembly.deeds.find import find_line, find_steps, must_say
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.put_in import EXTRA, Extra, ExtraKind
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey


@decided.register
def _put_in(action: a.PutIn, survey: Survey) -> Deed:
    after = find_line(survey.build, action.after)
    extra = Extra(
        ExtraKind.FORGOTTEN,
        free_number(survey.build, after),
        after.id,
        must_say(action.what, RefusalKind.SAY_WHAT_IS_TO_BE_DONE),
        action.why.strip(),
        "",
        "",
        find_steps(survey.build, action.disturbs),
        action.by,
        action.at,
    )
    subject = Subject(EXTRA, next_key(survey.build, EXTRA, "x"))
    made = entry(survey.build, EventName.PUT_IN, subject, extra)
    return Deed(Verb.PUT_IN, action.by, action.at, (made,), action.why.strip())
