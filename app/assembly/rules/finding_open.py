"""A nonconformity or symptom that nobody has decided about."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.findings import FINDING, Disposition
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "finding-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each finding without a decision; a symptom is a hold besides."""
    for (key, _), finding in survey.build.facts.of(FINDING).items():
        line = survey.build.by_id.get(finding.line)
        if line is None or finding.decision is not Disposition.OPEN:
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.SYMPTOM_OPEN if finding.symptom else End.FINDING_OPEN,
            args={"key": key, "what": finding.what, "measured": finding.measured},
            since=finding.at,
            places=(finding.place,) if finding.place else (),
        )


RULE = Rule(ID, find)
