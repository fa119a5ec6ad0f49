"""A decision whose own condition for coming back to it has come true."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.findings import FINDING
from app.assembly.standing.conditions import met
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "decision-reopened"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each decision to be taken again."""
    for (key, _), finding in survey.build.facts.of(FINDING).items():
        line = survey.build.by_id.get(finding.line)
        condition = met(survey, finding) if finding.reopens else ""
        if line is None or not condition or finding.decided_at is None:
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.DECISION_REOPENED,
            args={
                "key": key,
                "decision": finding.decision,
                "condition": condition,
                "what": finding.what,
                "watch": finding.watch,
            },
            since=finding.decided_at,
        )


RULE = Rule(ID, find)
