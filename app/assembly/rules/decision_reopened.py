"""A decision whose own condition for coming back to it has come true."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.findings import FINDING
from app.assembly.standing.conditions import met
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "decision-reopened"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each decision to be taken again."""
    for (key, _), finding in survey.build.facts.of(FINDING).items():
        line = survey.build.by_id.get(finding.line)
        condition = met(survey, finding) if finding.reopens else ""
        if line is None or not condition or finding.decided_at is None:
            continue
        watch = f" Watch: {finding.watch}." if finding.watch else ""
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=survey.gate_ahead(line),
            why=f"{key} ({finding.decision.value}) was to be decided again at {condition}: {finding.what}.{watch}",
            harm=harm_of(line, "it was right then and is not known to be now"),
            clears=f"Look at it, and decide {key} anew",
            since=finding.decided_at,
        )


RULE = Rule(
    ID, "Decision to be taken again", "It was decided for as long as nothing changed, and that has changed.", find
)
