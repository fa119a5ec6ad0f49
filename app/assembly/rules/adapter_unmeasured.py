"""An adapter on the wrench whose length, or the wrench's own lever, nobody measured."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines

ID = "adapter-unmeasured"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each open line whose setting cannot be worked out."""
    for line, said in described_lines(survey):
        if not survey.open(line) or not (said.said("adapter") or said.said("adapter_angle")):
            continue
        from app.assembly.standing.joints import final_passes  # wanted only where a joint is described
        from app.assembly.standing.wrenches import wrench_sum

        last = next(final_passes(survey, line), None)
        found = wrench_sum(survey, line, last) if last is not None else None
        angle_only = not said.said("adapter")
        kind = End.ADAPTER_ANGLE_ONLY if angle_only else End.ADAPTER_UNMEASURED
        text = found.trouble if found is not None else ""
        if angle_only or text:
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=kind,
                args={"text": text},
                since=said.at,
                blocks=False,
            )


RULE = Rule(ID, find)
