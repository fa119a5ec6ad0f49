"""Lines of the person’s own: to close what was opened, or a step the plan forgot."""

from datetime import datetime
from enum import Enum

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Values


class ExtraKind(Enum):
    """Why a line was put in that the plan does not have."""

    OPENED = "opened"
    FORGOTTEN = "put in"


class Extra(Struct, frozen=True):
    """A line of the person's own: to close what was opened, or a step the plan forgot. It stands after another line.

    `do` is what the person wrote: what is to be done, or what was opened.
    """

    kind: ExtraKind
    number: str
    after: str
    do: str
    why: str
    harm: str
    place: str
    disturbs: tuple[str, ...]
    by: str
    at: datetime


CLOSE_AGAIN = "Close again: "


def _without_words(values: Values) -> Values:
    """Form 1 kept the program's words around what was opened, and its harm."""
    if values["kind"] != ExtraKind.OPENED.value:
        return values
    return values | {"do": values["do"].removeprefix(CLOSE_AGAIN), "harm": ""}


EXTRA = FactKind("extra line", Extra, Key.STEP, form=2, read_up={1: _without_words})
