"""The map of holes: each by name, what it opens to, what closes it, and whether it is closed."""

from msgspec import Struct

from app.assembly.plan.places import Place
from app.assembly.plan.steps import Group
from app.assembly.said.holes import HOLE, Hole
from app.assembly.said.marks import State
from app.assembly.standing.survey import UNKNOWN, Survey

OPEN_TO_NOTHING = "nothing"


class HoleStanding(Struct, frozen=True):
    """One hole as it stands; unknown counts as open."""

    place: Place
    thread: str
    depth: str
    opens_to: str
    closed_with: str
    length: str
    compound: str
    refits: str
    closed: bool
    hidden_by: str

    @property
    def wet(self) -> bool:
        """Whether a fluid may come along its thread."""
        return self.opens_to != OPEN_TO_NOTHING


def hole_map(survey: Survey, group: Group) -> tuple[HoleStanding, ...]:
    """Every hole of a pattern."""
    return tuple(_standing(survey, group, place) for place in survey.build.places_of(group.id))


def is_holes(group: Group) -> bool:
    """Whether a pattern of places is one of holes."""
    return bool(group.finding or group.closing or group.closed_with or group.thread)


def _standing(survey: Survey, group: Group, place: Place) -> HoleStanding:
    said = survey.build.facts.of(HOLE).get((group.id, place.id))
    hiding = survey.build.by_id.get(group.hidden_by)
    return HoleStanding(
        place=place,
        thread=(said.thread if said else "") or group.thread,
        depth=said.depth if said else "",
        opens_to=_opens_to(survey, group, place, said),
        closed_with=(said.closed_with if said else "") or group.closed_with,
        length=said.length if said else "",
        compound=said.compound if said else "",
        refits=said.refits if said else "",
        closed=_closed(survey, group, place),
        hidden_by=hiding.number if hiding else "",
    )


def _opens_to(survey: Survey, group: Group, place: Place, said: Hole | None) -> str:
    """What was written at the finding line; else what was said on the map; else unknown."""
    readings = survey.build.facts.readings.get(group.finding, {})
    rounds = [one.text for (where, _), one in sorted(readings.items()) if where == place.id]
    if rounds:
        return rounds[-1]
    return (said.opens_to if said else "") or UNKNOWN


def _closed(survey: Survey, group: Group, place: Place) -> bool:
    closing = survey.build.by_id.get(group.closing)
    if closing is None:
        return False
    ticks = survey.build.facts.ticks.get(closing.id, {})
    if closing.many:
        return place.id in ticks and ticks[place.id].state is State.DONE
    return survey.done(closing)
