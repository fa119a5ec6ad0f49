"""A line put off that has missed the line it was to come before."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import Mark, State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.waiting import put_off_to

ID = "later-past"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each Later line whose line to come before has been begun, or whose gate is behind."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state is not State.LATER or not _missed(survey, mark):
            continue
        before = put_off_to(survey.build, mark)
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.LATER_PAST,
            args={"before": before.number, "state": survey.state(before)},
            since=mark.at,
        )


def _missed(survey: Survey, mark: Mark) -> bool:
    before = put_off_to(survey.build, mark)
    if survey.state(before) in (State.STARTED, State.DONE):
        return True
    return any(survey.build.bars[gate] > before.position for gate in survey.build.facts.gates)


RULE = Rule(ID, find)
