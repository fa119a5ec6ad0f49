"""Passes of single bolts."""

from datetime import datetime
from enum import Enum, auto

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Values
from app.assembly.said.older import read_up
from app.assembly.said.phrase import Phrase


class Tried(Enum):
    """What an attempt at a stud came to, judged by torque and stretch. AS_WRITTEN is a word of an older form."""

    AS_WRITTEN = auto()
    AT_PLACE = auto()
    KEEP_GOING = auto()
    REPLACE = auto()
    SLACKENED = auto()
    SLACKEN_GROUP = auto()
    TOO_LONG = auto()
    WITHIN = auto()


class BoltTurn(Struct, frozen=True):
    """One pass of one bolt: what it came to, the wrench and what it was set to, and the state of the thread.

    Where torque and stretch are both judged, `answer` is what to do and `because` says why; a try that failed is kept
    like any other, and `tries` counts them from 1.
    """

    done: bool
    by: str
    at: datetime
    torque: str = ""
    torque_nm: float | None = None
    angle: str = ""
    angle_deg: float | None = None
    stretch: str = ""
    stretch_mm: float | None = None
    wrench: str = ""
    setting: str = ""
    threads: str = ""
    tries: int = 1
    answer: str = ""
    because: Phrase | None = None


# What a pass said of its answer before form 2, in English.
_TORQUE, _STRETCH = r"(?P<torque>[\d.]+) N·m", r"(?P<stretch>[\d.]+) mm"
_REACHED = f"{_TORQUE} came before the stretch and the torque were both within"
_OLD = (
    (f"{_TORQUE} and {_STRETCH} are both within: .*", Tried.WITHIN),
    (f"{_TORQUE} and {_STRETCH} are not there yet: .*", Tried.KEEP_GOING),
    (f"{_STRETCH} is over the (?P<most>[\\d.]+) mm allowed at {_TORQUE}: .*", Tried.TOO_LONG),
    (f"{_REACHED}: .*", Tried.SLACKEN_GROUP),
    (f"{_REACHED} for the second time: .*", Tried.REPLACE),
    ("slackened to try again", Tried.SLACKENED),
)


def _because(values: Values) -> Values:
    text = values.pop("verdict", "")
    return values | {"because": read_up(text, _OLD, Tried.AS_WRITTEN) if text else None}


BOLT = FactKind("bolt", BoltTurn, Key.STEP, form=2, read_up={1: lambda values: _because(dict(values))})
