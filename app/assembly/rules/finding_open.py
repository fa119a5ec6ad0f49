"""A nonconformity or symptom that nobody has decided about."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.findings import FINDING, Disposition
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "finding-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each finding without a decision; a symptom is a hold besides."""
    for (key, _), finding in survey.build.facts.of(FINDING).items():
        line = survey.build.by_id.get(finding.line)
        if line is None or finding.decision is not Disposition.OPEN:
            continue
        what = "Symptom" if finding.symptom else "Found"
        measured = f", measured {finding.measured}" if finding.measured else ""
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=survey.gate_ahead(line),
            why=f"{what} {key}, not decided: {finding.what}{measured}",
            harm=harm_of(line, "what was noticed and passed ruins the engine later"),
            clears=_clears(key, symptom=finding.symptom),
            since=finding.at,
            places=(finding.place,) if finding.place else (),
        )


def _clears(key: str, *, symptom: bool) -> str:
    if symptom:
        return f"Find its cause and decide {key} by that evidence, or go on in a written concession"
    return f"Decide {key}: rework, repair, use as is, concession or scrap, and why"


RULE = Rule(ID, "Found, not decided", "A noise, no resistance, a wrench that felt wrong: noticed, and passed.", find)
