"""A line whose time to be followed ran out: the sealant has skinned, the primed oil has drained."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.plan.order import Link, Row
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.waiting import A_DAY, open_time_ends

ID = "open-time-over"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line that had to follow another by a time and did not."""
    for row in survey.build.order.of_kind(Link.NEEDS):
        if row.most is not None:
            line, other = survey.build.by_id[row.end], survey.build.by_id[row.start]
            over = _over(survey, line, row)
            if over is not None and not survey.taken_on(line, ID, over):
                yield LooseEnd(
                    rule=ID,
                    line=line,
                    gate=gate_ahead(survey, line),
                    kind=End.OPEN_TIME_OVER,
                    args={"other": other.number, "within": row.most.text, "because": row.why},
                    since=over,
                    blocks=not survey.done(line) or row.most.length >= A_DAY,
                )


def _over(survey: Survey, line: Line, row: Row) -> datetime | None:
    """When the time to follow ran out before the line was Done, or before now while it is open."""
    ends = open_time_ends(survey.build, row)
    mark = survey.build.facts.lines.get(line.id)
    followed = mark.at if mark is not None and mark.state is State.DONE else survey.now
    if ends is None or survey.state(line) is State.NOT_NEEDED:
        return None
    return ends if followed > ends else None


RULE = Rule(ID, find)
