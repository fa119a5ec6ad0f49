"""What the rules about a joint's figures share: what its last figure comes to, and until somebody takes that on."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines

if TYPE_CHECKING:
    from app.assembly.standing.joints import JointSum


def of_joints(
    survey: Survey, rule: str, why_of: Callable[["JointSum"], str], harm: str, clears: str
) -> Iterator[LooseEnd]:
    """One loose end for each described joint that `why_of` says something of; {number} in `clears` is its line."""
    if next(described_lines(survey), None) is None:
        return
    from app.assembly.standing.joints import final_sums  # wanted only where a joint is described

    for line, said, total in final_sums(survey):
        why = why_of(total)
        if why and not survey.taken_on(line, rule, said.at):
            yield LooseEnd(
                rule=rule,
                line=line,
                gate=survey.gate_ahead(line),
                why=why,
                harm=harm_of(line, harm),
                clears=clears.format(number=line.number),
                since=said.at,
            )
