"""What must hold of how a plan's steps are measured: their points, the results worked out from them, and lash."""

from collections.abc import Iterator

from app.assembly.plan.figures import read_figure
from app.assembly.plan.steps import How, Measure, Plan, Step
from app.trade.notation import NotationError
from app.trade.quantity import Kind

MAX_POINTS = 40
# The result of a lone reading is half of it (runout, thrust both ways); the others need at least two.
_FEWEST = {How.DIFFERENCE: 2, How.SUM: 2, How.MEAN: 2, How.HALF: 1, How.SHAPE: 2}


def measure_faults(plan: Plan, step: Step, measure: Measure) -> Iterator[str]:
    """Every fault of how a step is measured, as sentences that name the field."""
    yield from _points(measure)
    yield from _result(step, measure)
    yield from _takes(plan, step, measure)
    if measure.sum is not None and (step.spec is None or step.spec.kind.in_words):
        yield "sum: belongs to a step that measures a quantity"
    if (measure.adjuster or measure.heat) and step.places != "valves":
        yield "heat, adjuster: belong to lash, so the step's places must be valves"


def figure_faults(field: str, text: str, kind: Kind, unit: str) -> Iterator[str]:
    """Whether a figure can be read, with what it says of parts, as a sentence."""
    try:
        read_figure(text, kind, unit)
    except NotationError as error:
        yield f"{field}: {error}"


def _points(measure: Measure) -> Iterator[str]:
    if len(measure.points) > MAX_POINTS:
        yield f"points: {len(measure.points)} are more than the {MAX_POINTS} a place may have"
    if not all(point.strip() for point in measure.points):
        yield "points: a name is empty"
    if len(set(measure.points)) != len(measure.points):
        yield "points: a name stands twice"


def _result(step: Step, measure: Measure) -> Iterator[str]:
    if measure.how is None:
        if measure.result:
            yield "how: a result needs how it is worked out (difference, sum, mean, half or shape)"
        return
    if step.spec is None or step.spec.kind.in_words:
        yield "how: only measured quantities can be worked with, and the step's spec is none"
    if measure.how is not How.SHAPE and not measure.result:
        yield "result: say what is worked out, such as clearance"
    fewest = _FEWEST[measure.how]
    if measure.how is How.HALF and len(measure.points) != 1:
        yield "points: half is worked out from one point"
    elif len(measure.points) < fewest:
        yield f"points: a {measure.how.value} is worked out from at least {fewest}"
    if measure.how is How.SHAPE and not all(len(point.split()) == 2 for point in measure.points):
        yield "points: for a shape each is a height and a way, such as top along"


def _takes(plan: Plan, step: Step, measure: Measure) -> Iterator[str]:
    reading = {other.id: other for other in plan.steps() if other.spec is not None}
    for taken in measure.takes:
        if taken.point not in measure.points:
            yield f"takes: “{taken.point}” is none of the points"
        other = reading.get(taken.step)
        if other is None or other.spec is None:
            yield f"takes: there is no step “{taken.step}” that reads anything"
        elif step.spec is not None and other.spec.kind is not step.spec.kind:
            yield f"takes: “{taken.step}” reads {other.spec.kind.value}, this step {step.spec.kind.value}"
