"""A thing that only holds the place of another, which is not there yet."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "standing-in"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line that stands in for one not Done."""
    for line in survey.standing_in:
        target = survey.build.by_id[line.step.stands_in_for]
        mark = survey.build.facts.lines[line.id]
        yield LooseEnd(
            rule=ID,
            line=target,
            gate=survey.gate_ahead(target),
            why=f"{line.number} only holds its place: {line.step.do}",
            harm=harm_of(target, "the stand-in is run as the real thing"),
            clears=f"Do {target.number} for good",
            since=mark.at,
        )


RULE = Rule(ID, "Only a stand-in", "Bolts “to hold”, checking springs and caps look finished.", find)
