"""What the rules about a joint's figures share: what its last figure comes to, and until somebody takes that on."""

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from app.assembly.said.phrase import Arg
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines

if TYPE_CHECKING:
    from app.assembly.standing.joints import JointSum


def of_joints(
    survey: Survey, rule: str, kind: End, what_of: Callable[["JointSum"], Mapping[str, Arg] | None]
) -> Iterator[LooseEnd]:
    """One loose end for each described joint that `what_of` finds something to say of: the arguments of its kind."""
    if not described_lines(survey):
        return
    from app.assembly.standing.joints import final_sums  # wanted only where a joint is described

    for line, said, total in final_sums(survey):
        args = what_of(total)
        if args is not None and not survey.taken_on(line, rule, said.at):
            yield LooseEnd(
                rule=rule,
                line=line,
                gate=gate_ahead(survey, line),
                kind=kind,
                since=said.at,
                args=args,
            )
