"""A gate line still open although work has gone on behind the gate's bar, or the gate was passed."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "gate-line-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each gate line that work has overtaken."""
    for line in survey.build.lines:
        gate = line.step.gate
        if not gate or survey.closed(line) or survey.state(line) is State.LATER:
            continue
        passage = survey.build.facts.gates.get(gate)
        if passage is not None or survey.begun_from >= survey.build.bars[gate]:
            title = survey.build.gate(gate).title
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.GATE_LINE_OPEN,
                args={"state": survey.state(line), "gate": title},
                since=passage.at if passage else survey.since_passed(line),
            )


RULE = Rule(ID, find)
