"""A result signed off whose parts have changed since: another reading it takes, or another part fitted."""

from collections.abc import Iterator
from datetime import datetime

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.said.parts import FIT, PartFit
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "result-stale"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each Done line that rests on something newer than its signature."""
    fits = {part: one for (part, _), one in survey.build.facts.of(FIT).items()}
    for line in survey.build.lines:
        mark = survey.build.facts.lines.get(line.id)
        if mark is None or mark.state is not State.DONE or line.step.measure is None:
            continue
        why, since = _newer(survey, line, mark.at, fits)
        if why and not survey.taken_on(line, ID, since):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=why,
                harm=harm_of(line, "the figure in the record is of an engine that is not this one any more"),
                clears=f"Look at {line.number} again: mark it so, and sign it off with what is true now",
                since=since,
            )


def _newer(survey: Survey, line: Line, signed: datetime, fits: dict[str, PartFit]) -> tuple[str, datetime]:
    """What changed after a line was signed off, and when; "" where nothing did."""
    for one in line.step.measure.takes if line.step.measure else ():
        other = survey.build.by_id.get(one.step)
        later = [r for r in survey.build.facts.readings.get(one.step, {}).values() if r.at > signed]
        if other is not None and later:
            return f"{other.number} was read again ({later[-1].text}), and this was worked out before", later[-1].at
    for part in line.step.parts:
        fit = fits.get(part.id)
        if fit is not None and fit.at > signed:
            return f"{part.name} was changed after this was measured", fit.at
    return "", signed


RULE = Rule(ID, "Worked out before a change", "A ratio or a clearance is of the parts that were there.", find)
