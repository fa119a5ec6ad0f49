"""What is asked about a doubtful size, as a kind and its arguments."""

from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.sizes import Doubtful
from app.trade.envelope import Meant, Outside
from app.trade.notation import write_magnitude
from app.trade.odd import Against
from app.trade.quantity import UNITS


def said_of(one: Doubtful) -> Phrase:
    """Why a size is worth asking about; its sentence stands in app/words."""
    where = one.place.title if one.place is not None else ""
    if isinstance(one.why, Outside):
        slips = tuple(meant.slip for meant in one.why.meant)
        sizes = tuple(_meant(meant, one.unit) for meant in one.why.meant)
        low, high = (write_magnitude(end, one.unit) for end in (one.why.low, one.why.high))
        return phrase(End.SIZE_OUTSIDE, place=where, text=one.text, low=low, high=high, slips=slips, sizes=sizes)
    middle = write_magnitude(one.why.middle, one.unit if one.unit in UNITS else "1")
    kind = End.SIZE_OF_PART if one.why.against is Against.PART else End.SIZE_UNLIKE
    return phrase(kind, place=where, text=one.text, middle=middle, times=one.why.times)


def _meant(meant: Meant, unit: str) -> str:
    return write_magnitude(meant.size, meant.unit or unit)
