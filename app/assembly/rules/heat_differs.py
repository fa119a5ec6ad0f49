"""A cold figure used on a hot engine, or a hot one on a cold engine."""

import re
from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Heat
from app.assembly.rules.rule import Rule
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "heat-differs"
# Above this an engine is no longer cold, whatever the weather (common practice).
COLD_TO_C = 45.0


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line read at another heat than it, or its figure, is for."""
    for line in survey.build.lines:
        heat = line.step.measure.heat if line.step.measure is not None else None
        if heat is None:
            continue
        said = _why(survey, line, heat)
        readings = survey.build.facts.readings.get(line.id, {})
        since = max((one.at for one in readings.values()), default=survey.now)
        if said and not survey.taken_on(line, ID, since):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=said.kind,
                args=said.args,
                since=since,
                blocks=False,
            )


def _why(survey: Survey, line: Line, heat: Heat) -> Phrase | None:
    warm = [one for one in survey.build.facts.readings.get(line.id, {}).values() if one.celsius is not None]
    wrong = [one for one in warm if one.celsius is not None and (one.celsius > COLD_TO_C) is (heat is Heat.COLD)]
    if wrong:
        return phrase(End.HEAT_READ, number=line.number, heat=heat, text=wrong[0].text, celsius=wrong[0].celsius)
    figure = survey.build.facts.figures.get(line.id)
    other = Heat.HOT if heat is Heat.COLD else Heat.COLD
    said = set(re.findall(r"[a-z]+", f"{figure.text} {figure.source}".casefold())) if figure is not None else set()
    if other.value in said and heat.value not in said:
        return phrase(End.HEAT_FIGURE, number=line.number, heat=heat, other=other)
    return None


RULE = Rule(ID, find)
