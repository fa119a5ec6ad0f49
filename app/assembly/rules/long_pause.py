"""A build that has stood for months: what was not known to be final is not known at all."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.remembered import long_pause, not_known_final
from app.assembly.standing.survey import Survey

ID = "long-pause"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line not known to be final, once the build has stood for months unnoticed."""
    since = long_pause(survey)
    if since is None:
        return
    days = (survey.now - since).days
    for line in not_known_final(survey, since):
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.LONG_PAUSE,
            args={"state": survey.state(line), "days": days},
            since=since,
        )


RULE = Rule(ID, find)
