"""A rag, cap, tape or tool that went in and has not come out, or a tool or nut that is lost."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.remembered import last_marked
from app.assembly.standing.survey import Inside, Survey

ID = "temporary-in"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each temporary thing that is in, on the line that takes it out where the plan has one."""
    for thing in survey.inside:
        out = survey.build.by_id.get(thing.out_line)
        line = out or next(iter(last_marked(survey.build, 1)), survey.build.lines[0])
        since = f", since {thing.line}" if thing.line else f" ({thing.key})"
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=survey.gate_ahead(line) if out else survey.next_gate,
            why=f"{'Lost' if thing.lost else 'Still in'}: {thing.words}{since}",
            harm=(out.step.harm if out else "") or "left in, it blocks oil, or a moving part meets it",
            clears=_clears(thing, out.number if out else ""),
            since=thing.since,
        )


def _clears(thing: Inside, line: str) -> str:
    if thing.lost:
        return f"Find it and say so ({thing.key}); until then nothing is started"
    return f"Take it out, count it, mark {line} Done" if line else f"Take it out, count it, and say so ({thing.key})"


RULE = Rule(ID, "Temporary thing still in", "What was stuffed in to keep dirt out must come out.", find)
