"""Too little thread in a hole for its bolt."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from app.assembly.rules.each_joint import of_joints
from app.assembly.rules.rule import Rule
from app.assembly.said.phrase import Arg
from app.assembly.standing.ends import End
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

if TYPE_CHECKING:
    from app.assembly.standing.joints import JointSum

ID = "engagement-short"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each joint whose threads would strip before the bolt breaks."""
    return of_joints(survey, ID, End.ENGAGEMENT_SHORT, _over)


def _over(total: "JointSum") -> Mapping[str, Arg] | None:
    have, needed = total.engagement_mm, total.needed_mm
    if have is None or needed is None or have >= needed:
        return None
    return {"have_mm": have, "needed_mm": needed}


RULE = Rule(ID, find)
