"""A head or nut that presses harder than the part under it stands."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.assembly.rules.each_joint import of_joints
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

if TYPE_CHECKING:
    from app.assembly.standing.joints import JointSum

ID = "pressure-over"
HARM = "the head sinks in, and the bolt is loose after the first heat"
CLEARS = "Put a wide hard washer at {number} and write its face, or decide in writing to go on"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each final figure over the limit, with K in the middle of its range."""
    return of_joints(survey, ID, _why, HARM, CLEARS)


def _why(total: "JointSum") -> str:
    pressure, limit = total.pressure_mpa, total.limit_mpa
    if pressure is None or limit is None or pressure[1] <= limit:
        return ""
    return f"{pressure[1]:.0f} MPa under the head with a middling friction, and {limit:g} MPa is the most"


RULE = Rule(
    ID, "Pressure over the limit", "A stronger stud in a softer head: what is clamped gives way, not the stud.", find
)
