"""One valve whose lash moved on its own since it was first set: its seat, its shim or its lobe."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Heat
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
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
                gate=survey.gate_ahead(last),
                why=f"Since {read[0].number} {', '.join(found.values())} on its own",
                harm=harm_of(last, "a seat sinks, a lobe wears or a nut turns, and it goes on"),
                clears=f"Look at the valve, its adjuster and its lobe, and read {last.number} again",
                since=since,
                places=tuple(found),
            )


def _is_lash(line: Line, heat: Heat) -> bool:
    measure = line.step.measure
    return measure is not None and measure.adjuster is not None and measure.heat is heat and line.reads


def _alone(survey: Survey, first: Line, last: Line) -> dict[str, str]:
    """The valves that moved alone, and how far, in words."""
    from app.trade.lash import moving_alone  # with its solver, wanted only where lash was read twice

    before, after = _by_place(survey, first), _by_place(survey, last)
    history = {place: (before[place], after[place]) for place in before if place in after}
    if len(history) < 3:
        return {}
    return {one.valve: f"{one.valve} moved {one.change_mm:+.2f} mm" for one in moving_alone(history, LEAST_MM)}


def _by_place(survey: Survey, line: Line) -> dict[str, float]:
    """Each valve's lash as it was left there: the last round read."""
    readings = survey.build.facts.readings[line.id]
    found: dict[str, float] = {}
    for (place, _turn), one in sorted(readings.items(), key=lambda pair: pair[0][1]):
        if one.magnitude is not None:
            found[place] = one.magnitude
    return found


RULE = Rule(ID, "One valve moves alone", "Wear moves all valves alike; one alone has its own reason.", find)
