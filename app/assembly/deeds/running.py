"""Writing down a spell of running."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, next_key
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.running import RUN, Run
from app.assembly.standing.survey import Survey


@decided.register
def _run(action: a.LogRun, survey: Survey) -> Deed:
    amounts = (action.hours, action.distance_km, float(action.heat_cycles))
    if any(amount < 0 for amount in amounts) or not any(amounts):
        raise Refused(phrase(RefusalKind.RUN_OF_NOTHING))
    run = Run(action.hours, action.distance_km, action.heat_cycles, action.note.strip(), action.by, action.at)
    made = entry(survey.build, EventName.RAN, Subject(RUN, next_key(survey.build, RUN, "r")), run)
    return Deed(Verb.RUN, action.by, action.at, (made,), action.note.strip())
