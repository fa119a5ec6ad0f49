"""A line put off that could be done now: what it waited for is here."""

from collections.abc import Iterator
from datetime import date

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import Mark, State
from app.assembly.said.parts import Holding
from app.assembly.said.tools import TOOL
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_put_off_to
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.waiting import put_off_to

ID = "later-possible"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each Later line that nothing stands in the way of any more."""
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is not None and mark.state is State.LATER and _possible(survey, line, mark):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_put_off_to(survey, line, put_off_to(survey.build, mark)),
                kind=End.LATER_POSSIBLE,
                args={"why": mark.why},
                since=mark.at,
            )


def _possible(survey: Survey, line: Line, mark: Mark) -> bool:
    if survey.waits(line):
        return False
    if mark.waits_for:
        return _arrived(survey, mark.waits_for)
    # Put off although nothing stood in its way: only the person knows what it waits for.
    return not mark.was_ready


def _arrived(survey: Survey, waited_for: str) -> bool:
    kind, _, value = waited_for.partition(":")
    if kind == "date":
        return survey.now.astimezone().date() >= date.fromisoformat(value)
    if kind == "tool":
        return any(key == value for key, _ in survey.build.facts.of(TOOL))
    if kind == "person":  # whether somebody is here only a person can say
        return False
    other = survey.build.by_id.get(waited_for)
    if other is not None:
        return survey.closed(other)
    said = survey.build.facts.parts.get(waited_for)
    return said is not None and said.holding is Holding.HERE


RULE = Rule(ID, find)
