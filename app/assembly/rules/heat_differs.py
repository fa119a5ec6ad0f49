"""A cold figure used on a hot engine, or a hot one on a cold engine."""

import re
from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Heat
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
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
        why = _why(survey, line, heat)
        readings = survey.build.facts.readings.get(line.id, {})
        since = max((one.at for one in readings.values()), default=survey.now)
        if why and not survey.taken_on(line, ID, since):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=why,
                harm=harm_of(line, "valves set by the wrong figure burn, or clatter their faces away"),
                clears=f"Enter the figure for that heat, or let it come to its own and read {line.number} again",
                since=since,
                blocks=False,
            )


def _why(survey: Survey, line: Line, heat: Heat) -> str:
    warm = [one for one in survey.build.facts.readings.get(line.id, {}).values() if one.celsius is not None]
    wrong = [one for one in warm if one.celsius is not None and (one.celsius > COLD_TO_C) is (heat is Heat.COLD)]
    if wrong:
        return f"{line.number} is for a {heat.value} engine, and {wrong[0].text} was read at {wrong[0].celsius:g} °C"
    figure = survey.build.facts.figures.get(line.id)
    other = Heat.HOT if heat is Heat.COLD else Heat.COLD
    said = set(re.findall(r"[a-z]+", f"{figure.text} {figure.source}".casefold())) if figure is not None else set()
    if other.value in said and heat.value not in said:
        return f"The figure speaks of a {other.value} engine, and {line.number} is read {heat.value}"
    return ""


RULE = Rule(ID, "Cold figure, hot engine", "Cold or hot is part of a figure; neither follows from the other.", find)
