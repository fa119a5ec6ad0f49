"""Saying what is known of a hole."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.holes import HOLE, Hole
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey

OPENS_TO = ("", "nothing", "oil", "coolant", "air", "unknown")


@decided.register
def _hole(action: a.DescribeHole, survey: Survey) -> Deed:
    build = survey.build
    if action.group not in build.groups:
        raise Refused(phrase(RefusalKind.NO_HOLES, group=action.group, known=tuple(build.groups)))
    places = {place.id.casefold(): place for place in build.places_of(action.group)}
    place = places.get(action.place.strip().casefold())
    if place is None:
        raise Refused(phrase(RefusalKind.NO_HOLE, group=action.group, place=action.place, known=tuple(places)))
    if action.opens_to not in OPENS_TO:
        raise Refused(phrase(RefusalKind.HOLE_OPENS_TO_NOTHING_SUCH, text=action.opens_to, known=OPENS_TO[1:]))
    old = build.facts.of(HOLE).get((action.group, place.id))
    names = ("thread", "depth", "opens_to", "closed_with", "length", "compound", "refits")
    kept = {name: getattr(action, name).strip() or (getattr(old, name) if old else "") for name in names}
    hole = Hole(**kept, by=action.by, at=action.at)
    made = entry(build, EventName.HOLE, Subject(HOLE, action.group, place.id), hole)
    return Deed(Verb.HOLE, action.by, action.at, (made,))
