"""An adapter on the wrench whose length, or the wrench's own lever, nobody measured."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
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
        missing = "An adapter's angle is written without its length" if not said.said("adapter") else ""
        why = missing or (found.trouble.rstrip(".") if found is not None else "")
        if why:
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=why,
                harm="the bolt gets more or less than the wrench says, by as much as the adapter is long",
                clears=f"Measure adapter and lever and write them at the bolts of {line.number} (T)",
                since=said.at,
                blocks=False,
            )


RULE = Rule(ID, "Adapter without its length", "50 mm on a 420 mm lever is 12 % more at the bolt.", find)
