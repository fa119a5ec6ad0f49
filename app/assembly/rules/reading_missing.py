"""A reading line begun, doubted or signed off with some of its values not written."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "reading-missing"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line that has some of its values, or is Done, while places are empty."""
    for line in survey.build.lines:
        missing = survey.unread(line)
        if not missing or survey.conceded(line):
            continue
        begun = bool(survey.judged(line))
        if begun or survey.done(line):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=_why(survey, line, missing),
                harm=harm_of(line, "the place nobody read is the one that was wrong"),
                clears=f"Read {line.number} at each place",
                since=min((one.reading.at for one in survey.judged(line)), default=survey.now),
                places=tuple(place.id for place in missing),
            )


def _why(survey: Survey, line: Line, missing: tuple[Place, ...]) -> str:
    """Apart, what was never read, and what was read before the line was disturbed and tells nothing any more."""
    before = {one.place.id for one in survey.outdated(line)}
    old = ", ".join(place.title for place in missing if place.id in before)
    never = ", ".join(place.title for place in missing if place.id not in before)
    words = [f"Read before it was disturbed: {old}"] if old else []
    return "; ".join([*words, f"No value yet at {never}"] if never else words)


RULE = Rule(ID, "Reading missing", "Measured at most places is not measured.", find)
