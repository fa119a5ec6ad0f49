"""Saying which units come first."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry
from app.assembly.said.actions import PreferUnits
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.units import UNITS_SAID, WHOLE_BUILD, PreferredUnits
from app.assembly.standing.survey import Survey
from app.trade.quantity import SYSTEMS


@decided.register
def _prefer(action: PreferUnits, survey: Survey) -> Deed:
    if action.system not in ("", *SYSTEMS):
        raise Refused(phrase(RefusalKind.NO_SUCH_UNITS, text=action.system, known=SYSTEMS))
    said = PreferredUnits(action.system, action.by, action.at)
    made = entry(survey.build, EventName.UNITS, Subject(UNITS_SAID, WHOLE_BUILD), said)
    return Deed(Verb.UNITS, action.by, action.at, (made,))
