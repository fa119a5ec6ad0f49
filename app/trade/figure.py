"""A figure of the trade: limits, a target or a programme of tightening, and how it is meant."""

from enum import Enum

from msgspec import Struct

from app.trade.conditions import UNSAID, Conditions
from app.trade.programme import Programme
from app.trade.quantity import Kind, Limits, TorqueTurn


class How(Enum):
    """What makes the width of a target."""

    BLADE = "the step between two feeler blades"
    WRENCH = "what a torque wrench may be off"
    TOOL = "what the tool is said to be off"
    SAID = "said beside the figure"


class Width(Struct, frozen=True):
    """The ends a target may be met between, in the base unit, how they came about, and the source."""

    low: float
    high: float
    how: How
    source: str


class Target(Struct, frozen=True):
    """A single figure, in the base unit of its kind: aimed at, and met only within a width that somebody said."""

    kind: Kind
    value: float
    unit: str
    text: str
    width: Width | None = None


class Note(Enum):
    """What a reader of the figure should know of how it was read."""

    READ_AS_RANGE = "The slash was read as a range."
    SETTLED = "What stands in brackets settled which unit or which mark was meant."
    ROUNDED = "The second system is rounded; the first figure was taken."


Meant = Limits | Target | TorqueTurn | Programme


class Figure(Struct, frozen=True):
    """What was read of a figure: what it asks for, its conditions, and the limit of a worn part where it gives two.

    `label` is the word that stood before it ("" for none), `notes` say how it was read, `text` is what was typed.
    """

    meant: Meant
    text: str
    conditions: Conditions = UNSAID
    worn: Limits | None = None
    label: str = ""
    notes: tuple[Note, ...] = ()
