"""Threads in another state than the figure was written for: oil on a dry figure, paste on an oiled one."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines

ID = "threads-differ"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line tightened with something else on its threads than its figure speaks of."""
    for line, said in described_lines(survey):
        from app.assembly.standing.joints import states_differ  # wanted only where a joint is described

        states = states_differ(survey, line)
        if states is None or survey.taken_on(line, ID, said.at):
            continue
        written, used = states
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.THREADS_DIFFER,
            args={"written": written, "used": used},
            since=said.at,
        )


RULE = Rule(ID, find)
