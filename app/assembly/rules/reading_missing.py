"""A reading line begun, doubted or signed off with some of its values not written."""

from collections.abc import Iterator, Mapping

from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.rules.rule import Rule
from app.assembly.said.phrase import Arg
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
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
                gate=gate_ahead(survey, line),
                kind=End.READING_MISSING,
                args=_missing(survey, line, missing),
                since=min((one.reading.at for one in survey.judged(line)), default=survey.now),
                places=tuple(place.id for place in missing),
            )


def _missing(survey: Survey, line: Line, missing: tuple[Place, ...]) -> Mapping[str, Arg]:
    """Apart, what was never read, and what was read before the line was disturbed and tells nothing any more."""
    before = {one.place.id for one in survey.outdated(line)}
    old = tuple(place.title for place in missing if place.id in before)
    return {"old": old, "never": tuple(place.title for place in missing if place.id not in before)}


RULE = Rule(ID, find)
