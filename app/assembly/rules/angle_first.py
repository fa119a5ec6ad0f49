"""Bolts turned by an angle whose torque was never set: the angle counts from nowhere."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
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
                gate=gate_ahead(survey, line),
                kind=End.ANGLE_FIRST,
                args={"last": before[-1].number, "first": before[0].number, "places": places},
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


RULE = Rule(ID, find)
