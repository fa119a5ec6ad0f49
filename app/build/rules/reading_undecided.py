"""A reading that its figure cannot decide: a target without limits, or a doubt that crosses a limit."""

from collections.abc import Iterator

from app.build.rules.rule import LooseEnd, Rule, harm_of
from app.build.survey import Survey
from app.trade.verdict import Verdict

ID = "reading-undecided"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a figure whose readings cannot be judged by it."""
    for line in survey.build.lines:
        bounds = survey.bounds(line)
        doubtful = [
            one for one in survey.with_verdict(line, Verdict.UNDECIDED) if not survey.taken_on(line, ID, one.reading.at)
        ]
        if bounds is None or not doubtful:
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=survey.gate_ahead(line),
            why=f"Cannot decide: “{bounds.text}” gives no limits the reading could be held against",
            harm=harm_of(line, "nobody can say whether it is right"),
            clears=f"Enter the limits of {line.number} with their source",
            since=min(one.reading.at for one in doubtful),
            places=tuple(one.place.id for one in doubtful),
        )


RULE = Rule(ID, "Cannot decide", "A number nobody can judge is not yet a result.", find)
