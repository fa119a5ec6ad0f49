"""Temporary things in and out, counted."""

from msgspec.structs import replace

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, next_key
from app.assembly.deeds.find import must_say
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.temporary import ITEM, Item
from app.assembly.standing.survey import Survey


@decided.register
def _put_temporary(action: a.PutTemporary, survey: Survey) -> Deed:
    name, where = must_say(action.name, RefusalKind.SAY_WHAT_IT_IS), must_say(action.where, RefusalKind.SAY_WHERE_IT_IS)
    if not 1 <= action.count <= 1000:
        raise Refused(phrase(RefusalKind.NO_COUNT_OF_THINGS, name=name, count=action.count))
    item = Item(name, action.count, where, action.turning_ok, action.lost, action.by, action.at)
    key = next_key(survey.build, ITEM, "t")
    made = entry(survey.build, EventName.LOST if action.lost else EventName.WENT_IN, Subject(ITEM, key), item)
    return Deed(Verb.TEMPORARY, action.by, action.at, (made,))


@decided.register
def _take_out(action: a.TakeOut, survey: Survey) -> Deed:
    wanted = action.item.strip().casefold()
    inside = {key: item for (key, _), item in survey.build.facts.of(ITEM).items() if item.out_at is None}
    found = [key for key, item in inside.items() if wanted in (key.casefold(), item.name.casefold())]
    if len(found) != 1:
        known = tuple(f"{key} {item.name}, {item.where}" for key, item in inside.items())
        raise Refused(phrase(RefusalKind.WHICH_COMES_OUT, item=action.item, known=known))
    item = inside[found[0]]
    if action.count != item.count:
        raise Refused(phrase(RefusalKind.NOT_ALL_CAME_OUT, went_in=item.count, name=item.name, came_out=action.count))
    made = entry(
        survey.build,
        EventName.CAME_OUT,
        Subject(ITEM, found[0]),
        replace(item, out_by=action.by, out_at=action.at),
    )
    return Deed(Verb.TEMPORARY, action.by, action.at, (made,))
