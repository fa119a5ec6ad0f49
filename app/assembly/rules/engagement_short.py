"""Too little thread in a hole for its bolt."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.assembly.rules.each_joint import of_joints
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

if TYPE_CHECKING:
    from app.assembly.standing.joints import JointSum

ID = "engagement-short"
HARM = "the thread comes out of the casting, and takes the casting with it"
CLEARS = "Take a longer bolt or an insert at {number} and write its depth, or decide in writing to go on"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each joint whose threads would strip before the bolt breaks."""
    return of_joints(survey, ID, _why, HARM, CLEARS)


def _why(total: "JointSum") -> str:
    have, needed = total.engagement_mm, total.needed_mm
    if have is None or needed is None or have >= needed:
        return ""
    return f"{have:.1f} mm of thread engaged, and the bolt breaks first only from {needed:.1f} mm on"


RULE = Rule(ID, "Thread engaged too short", "A stripped casting costs more than a broken bolt.", find)
