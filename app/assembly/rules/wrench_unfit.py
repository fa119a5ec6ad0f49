"""A wrench chosen for bolts that are still to be tightened: out of its range, or overdue for a check."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines

ID = "wrench-unfit"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each open line whose wrench does not fit its figure."""
    for line, said in described_lines(survey):
        from app.assembly.standing.joints import final_passes  # wanted only where a joint is described
        from app.assembly.standing.wrenches import adapter_of, chosen_wrench
        from app.trade.wrench import faults

        wrench = chosen_wrench(survey, said) if survey.open(line) and said.said("wrench") else None
        target = next((one.target_nm for one in final_passes(survey, line)), None)
        if wrench is None or target is None or not target > 0:
            continue
        try:
            wrong = faults(target + said.run_on_nm, wrench, adapter_of(said))
        except ValueError:
            continue  # lengths that cannot be are told by adapter-unmeasured
        if wrong:
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.WRENCH_UNFIT,
                args={"text": " ".join(wrong)},
                since=said.at,
                blocks=False,
            )


RULE = Rule(ID, find)
