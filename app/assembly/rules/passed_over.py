"""A line still To do or Started although something after it is Done."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "passed-over"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line passed over."""
    for line in survey.build.lines:
        if survey.passed_over(line):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=f"{survey.state(line).word}, while lines after it are Done",
                harm=harm_of(line, "nobody knows whether it was done"),
                clears=f"Do {line.number}, put it off, or write why it is not needed",
                since=survey.since_passed(line),
                places=tuple(place.id for place in survey.unticked(line)),
            )


RULE = Rule(ID, "Passed over", "A line left behind looks the same as a line done once the next part covers it.", find)
