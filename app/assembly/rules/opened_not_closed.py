"""Something slackened, opened or removed on the way that nobody has closed again."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.put_in import EXTRA, ExtraKind
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "opened-not-closed"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line made by opening something, until it is Done."""
    extras = survey.build.facts.of(EXTRA)
    for line in survey.build.lines:
        if line.extra is not ExtraKind.OPENED or survey.done(line):
            continue
        extra = extras[line.id, ""]
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.OPENED_NOT_CLOSED,
            args={"place": extra.place, "what": extra.do},
            since=extra.at,
        )


RULE = Rule(ID, find)
