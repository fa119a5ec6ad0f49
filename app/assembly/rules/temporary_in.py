"""A rag, cap, tape or tool that went in and has not come out, or a tool or nut that is lost."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.inside import Inside
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.remembered import last_marked
from app.assembly.standing.survey import Survey

ID = "temporary-in"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each temporary thing that is in, on the line that takes it out where the plan has one."""
    for thing in survey.inside:
        out = survey.build.by_id.get(thing.out_line)
        line = out or next(iter(last_marked(survey.build, 1)), survey.build.lines[0])
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line) if out else survey.next_gate,
            kind=_kind(thing, out is not None),
            args={"words": thing.words, "since": thing.line, "key": thing.key},
            since=thing.since,
        )


def _kind(thing: Inside, planned: bool) -> End:
    if thing.lost:
        return End.TEMPORARY_LOST
    return End.TEMPORARY_IN if planned else End.TEMPORARY_SAID_IN


RULE = Rule(ID, find)
