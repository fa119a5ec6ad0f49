"""Leaving the work with a note, and coming back."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, next_key, once
from app.assembly.deeds.find import find_steps
from app.assembly.deeds.reopen import opened
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.leaving import LEFT, RESUMED, Left, Resumed
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.standing.remembered import must_be_remembered
from app.assembly.standing.survey import Survey


@decided.register
def _leave(action: a.Leave, survey: Survey) -> Deed:
    items = tuple(must_be_remembered(survey))
    left = Left(action.note.strip(), action.by, action.at, items)
    made = entry(survey.build, EventName.LEFT, Subject(LEFT, next_key(survey.build, LEFT, "l")), left)
    return Deed(Verb.LEAVE, action.by, action.at, (made,), action.note.strip())


@decided.register
def _resume(action: a.Resume, survey: Survey) -> Deed:
    confirmed, doubts = find_steps(survey.build, action.confirmed), find_steps(survey.build, action.doubted)
    resumed = Resumed(action.by, action.at, confirmed, doubts)
    key = next_key(survey.build, RESUMED, "b")
    entries = [entry(survey.build, EventName.CAME_BACK, Subject(RESUMED, key), resumed)]
    for step in doubts:
        line = survey.build.by_id[step]
        if survey.done(line):
            entries += opened(survey, line, action.by, action.at, phrase(Because.DOUBTED_ON_COMING_BACK))
    return Deed(Verb.RESUME, action.by, action.at, once(entries))
