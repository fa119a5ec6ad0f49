"""A line whose time to be followed ran out: the sealant has skinned, the primed oil has drained."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.plan.check import needed
from app.assembly.plan.steps import Need
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import A_DAY, Survey, lasts

ID = "open-time-over"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line that had to follow another by a time and did not."""
    for line in survey.build.lines:
        for need in needed(line.step):
            over = _over(survey, line, need) if need.within else None
            if over is not None and not survey.taken_on(line, ID, over):
                other = survey.build.by_id[need.step]
                yield LooseEnd(
                    rule=ID,
                    line=line,
                    gate=survey.gate_ahead(line),
                    kind=End.OPEN_TIME_OVER,
                    args={"other": other.number, "within": need.within, "because": need.because},
                    since=over,
                    blocks=not survey.done(line) or lasts(need.within) >= A_DAY,
                )


def _over(survey: Survey, line: Line, need: Need) -> datetime | None:
    """When the time to follow ran out before the line was Done, or before now while it is open."""
    ends = survey.open_time_ends(survey.build.by_id[need.step], need)
    mark = survey.build.facts.lines.get(line.id)
    followed = mark.at if mark is not None and mark.state is State.DONE else survey.now
    if ends is None or survey.state(line) is State.NOT_NEEDED:
        return None
    return ends if followed > ends else None


RULE = Rule(ID, find)
