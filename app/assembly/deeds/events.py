"""Saying that something befell the build."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, next_key, once
from app.assembly.deeds.reopen import void_by
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.events import EVENT, Event
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey


@decided.register
def _happen(action: a.Happen, survey: Survey) -> Deed:
    build = survey.build
    wanted = action.what.strip().casefold()
    known = {one.id: one for one in build.happenings.values() if wanted in (one.id.casefold(), one.title.casefold())}
    if not known:
        raise Refused(phrase(RefusalKind.NO_EVENT, event=action.what, known=tuple(build.happenings)))
    happening = next(iter(known.values()))
    event = Event(happening.id, action.note.strip(), action.by, action.at)
    entries = [entry(build, EventName.HAPPENED, Subject(EVENT, next_key(build, EVENT, "e")), event)]
    because = phrase(Because.HAPPENED, title=happening.title)
    entries += void_by(build, happening.disturbs, action.by, action.at, because)
    return Deed(Verb.HAPPEN, action.by, action.at, once(entries), action.note.strip())
