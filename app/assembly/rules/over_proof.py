"""A torque that pulls its bolts past their proof load."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from app.assembly.rules.each_joint import of_joints
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

if TYPE_CHECKING:
    from app.assembly.standing.joints import JointSum

ID = "over-proof"
HARM = "the bolt is stretched for good, and lets go later"
CLEARS = "Look at the figure, thread and strength of {number} again (P, then D), or decide in writing"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each final figure over proof, with K in the middle of its range."""
    return of_joints(survey, ID, _why, HARM, CLEARS)


def _why(total: "JointSum") -> str:
    if total.proof_n is None or total.middle_n <= total.proof_n:
        return ""
    reached, proof = (f"{one / 1000:.1f} kN" for one in (total.middle_n, total.proof_n))
    return f"{reached} with a middling friction is over the {proof} proof load"


RULE = Rule(
    ID,
    "Over proof load",
    "Past its proof load a bolt does not spring back; turned to yield is its maker's business.",
    find,
)
