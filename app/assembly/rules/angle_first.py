"""Bolts turned by an angle whose torque was never set: the angle counts from nowhere."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import joint_lines, turns_of, whole

ID = "angle-first"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line by angle with a bolt that lacks the torque before it."""
    for line in survey.build.lines:
        if line.tightening is None or line.step.spec is None or line.step.spec.kind is not Measured.ANGLE:
            continue
        before = [one for one in joint_lines(survey.build, line) if one.position < line.position]
        places = _turned_first(survey, line, before)
        mark = survey.build.facts.lines.get(line.id)
        if places and mark is not None and not survey.taken_on(line, ID, mark.at):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=f"Turned by angle without the torque of {before[-1].number} first: {', '.join(places)}",
                harm=harm_of(line, "an angle counts from the torque before it; from nowhere it is any load at all"),
                clears=f"Slacken the joint fully and begin again at {before[0].number}",
                since=mark.at,
                places=places,
            )


def _turned_first(survey: Survey, line: Line, before: list[Line]) -> tuple[str, ...]:
    turned = {place for _, place in turns_of(survey.build, line)}
    turned |= {place.id for place in survey.places(line) if whole(survey, line, place)}
    if not before or not turned or survey.state(before[-1]) is State.NOT_NEEDED:
        return ()
    return tuple(
        place.id for place in survey.places(before[-1]) if place.id in turned and not whole(survey, before[-1], place)
    )


RULE = Rule(ID, "Angle without its torque", "Torque first, then angles, each stage on every bolt.", find)
