"""A head or nut that presses harder than the part under it stands."""

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

ID = "pressure-over"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each final figure over the limit, with K in the middle of its range."""
    return of_joints(survey, ID, End.PRESSURE_OVER, _over)


def _over(total: "JointSum") -> Mapping[str, Arg] | None:
    pressure, limit = total.pressure_mpa, total.limit_mpa
    if pressure is None or limit is None or pressure[1] <= limit:
        return None
    return {"pressure_mpa": pressure[1], "limit_mpa": limit}


RULE = Rule(ID, find)
