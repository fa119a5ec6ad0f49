"""A result signed off whose parts have changed since: another reading it takes, or another part fitted."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.said.parts import FIT, PartFit
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "result-stale"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each Done line that rests on something newer than its signature."""
    fits = {part: one for (part, _), one in survey.build.facts.of(FIT).items()}
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state is not State.DONE or line.step.measure is None:
            continue
        said, since = _newer(survey, line, mark.at, fits)
        if said and not survey.taken_on(line, ID, since):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=said.kind,
                args=said.args,
                since=since,
            )


def _newer(survey: Survey, line: Line, signed: datetime, fits: dict[str, PartFit]) -> tuple[Phrase | None, datetime]:
    """What changed after a line was signed off, and when; None where nothing did."""
    for one in line.step.measure.takes if line.step.measure else ():
        other = survey.build.by_id.get(one.step)
        later = [r for r in survey.build.facts.readings.get(one.step, {}).values() if r.at > signed]
        if other is not None and later:
            return phrase(End.RESULT_READ_AGAIN, other=other.number, text=later[-1].text), later[-1].at
    for part in line.step.parts:
        fit = fits.get(part.id)
        if fit is not None and fit.at > signed:
            return phrase(End.RESULT_PART_CHANGED, part=part.name), fit.at
    return None, signed


RULE = Rule(ID, find)
