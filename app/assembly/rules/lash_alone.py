"""One valve whose lash moved on its own since it was first set: its seat, its shim or its lobe."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Heat
from app.assembly.rules.rule import Rule
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "lash-alone"
# Less than this is the feel of a blade (common practice).
LEAST_MM = 0.05


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for the last reading of lash, where one valve moved otherwise than the rest."""
    for heat in Heat:
        lines = [line for line in survey.build.lines if _is_lash(line, heat)]
        read = [line for line in lines if survey.build.facts.readings.get(line.id)]
        if len(read) < 2:
            continue
        last, found = read[-1], _alone(survey, read[0], read[-1])
        since = max(one.at for one in survey.build.facts.readings[last.id].values())
        if found and not survey.taken_on(last, ID, since):
            yield LooseEnd(
                rule=ID,
                line=last,
                gate=gate_ahead(survey, last),
                kind=End.LASH_ALONE,
                args={"first": read[0].number, "moved": tuple(found.values()), "last": last.number},
                since=since,
                places=tuple(found),
            )


def _is_lash(line: Line, heat: Heat) -> bool:
    measure = line.step.measure
    return measure is not None and measure.adjuster is not None and measure.heat is heat and line.reads


def _alone(survey: Survey, first: Line, last: Line) -> dict[str, Phrase]:
    """The valves that moved alone, each with how far."""
    from app.trade.lash import moving_alone  # with its solver, wanted only where lash was read twice

    before, after = _by_place(survey, first), _by_place(survey, last)
    history = {place: (before[place], after[place]) for place in before if place in after}
    if len(history) < 3:
        return {}
    return {
        one.valve: phrase(End.MOVED_BY, place=one.valve, change_mm=one.change_mm)
        for one in moving_alone(history, LEAST_MM)
    }


def _by_place(survey: Survey, line: Line) -> dict[str, float]:
    """Each valve's lash as it was left there: the last round read."""
    readings = survey.build.facts.readings[line.id]
    found: dict[str, float] = {}
    for (place, _turn), one in sorted(readings.items(), key=lambda pair: pair[0][1]):
        if one.magnitude is not None:
            found[place] = one.magnitude
    return found


RULE = Rule(ID, find)
