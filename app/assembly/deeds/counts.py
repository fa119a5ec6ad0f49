"""Counting tightenings and measuring bolts."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry
from app.assembly.said import actions as a
from app.assembly.said.counts import COUNT, Tightened
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind


@decided.register
def _count(action: a.CountTightenings, survey: Survey) -> Deed:
    build = survey.build
    if action.fasteners not in build.fasteners:
        raise Refused(phrase(RefusalKind.NO_FASTENERS, fasteners=action.fasteners, known=tuple(build.fasteners)))
    if not 0 <= action.times <= 100:
        raise Refused(phrase(RefusalKind.TIGHTENINGS_CANNOT_BE, times=action.times))
    fasteners = build.fasteners[action.fasteners]
    places = build.places_of(fasteners.places)
    chosen = [place for place in places if action.place.strip() in ("", place.id)]
    if not chosen:
        raise Refused(
            phrase(
                RefusalKind.FASTENERS_NO_PLACE,
                fasteners=fasteners.title,
                place=action.place,
                known=tuple(place.id for place in places),
            )
        )
    fact = _measured(action)
    entries = tuple(entry(build, EventName.TIGHTENED, Subject(COUNT, fasteners.id, place.id), fact) for place in chosen)
    return Deed(Verb.COUNT, action.by, action.at, entries, action.why.strip())


_LONGEST_BOLT_MM = 2000.0


def _measured(action: a.CountTightenings) -> Tightened:
    """The count with what was measured; raises Refused for a length that cannot be."""
    length, free, neck = (_bolt_mm(text) for text in (action.length, action.free, action.neck))
    if (free is None) is not (neck is None):
        raise Refused(phrase(RefusalKind.NECK_TWO_DIAMETERS))
    if free is not None and neck is not None and neck > free:
        raise Refused(phrase(RefusalKind.NECK_TOO_THICK, neck=action.neck, free=action.free))
    return Tightened(action.times, action.by, action.at, action.times == 0, length, free, neck)


def _bolt_mm(text: str) -> float | None:
    if not text.strip():
        return None
    try:
        found = read_quantity(text, Kind.LENGTH, unit="mm").magnitude
    except NotationError as error:
        raise Refused(phrase(RefusalKind.BOLT_UNREADABLE, matter=str(error))) from error
    if not 0 < found <= _LONGEST_BOLT_MM:
        raise Refused(phrase(RefusalKind.BOLT_TOO_LONG, most=_LONGEST_BOLT_MM, text=text))
    return found
