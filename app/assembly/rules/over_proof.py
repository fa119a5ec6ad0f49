"""A torque that pulls its bolts past their proof load."""

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

ID = "over-proof"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each final figure over proof, with K in the middle of its range."""
    return of_joints(survey, ID, End.OVER_PROOF, _over)


def _over(total: "JointSum") -> Mapping[str, Arg] | None:
    if total.proof_n is None or total.middle_n <= total.proof_n:
        return None
    return {"reached_kn": total.middle_n / 1000, "proof_kn": total.proof_n / 1000}


RULE = Rule(ID, find)
