"""Saying what is known of a hole."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.holes import HOLE, Hole
from app.assembly.said.kinds import Subject
from app.assembly.said.refusal import Refused
from app.assembly.standing.survey import Survey

OPENS_TO = ("", "nothing", "oil", "coolant", "air", "unknown")


@decided.register
def _hole(action: a.DescribeHole, survey: Survey) -> Deed:
    build = survey.build
    if action.group not in build.groups:
        raise Refused(f"There are no holes “{action.group}”; there are {', '.join(build.groups) or 'none'}.")
    places = {place.id.casefold(): place for place in build.places_of(action.group)}
    place = places.get(action.place.strip().casefold())
    if place is None:
        raise Refused(f"“{action.group}” has no hole “{action.place}”; it has {', '.join(places)}.")
    if action.opens_to not in OPENS_TO:
        raise Refused(f"“{action.opens_to}” is nothing a hole opens to; it is one of {', '.join(OPENS_TO[1:])}.")
    old = build.facts.of(HOLE).get((action.group, place.id))
    names = ("thread", "depth", "opens_to", "closed_with", "length", "compound", "refits")
    kept = {name: getattr(action, name).strip() or (getattr(old, name) if old else "") for name in names}
    hole = Hole(**kept, by=action.by, at=action.at)
    made = entry(build, EventName.HOLE, Subject(HOLE, action.group, place.id), hole)
    return Deed(Verb.HOLE, f"{build.groups[action.group].title}, {place.title}", action.by, action.at, (made,))
