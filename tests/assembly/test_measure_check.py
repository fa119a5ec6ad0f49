"""What a plan may say of how its steps are measured, of figures with parts, and of uneven firing."""

import pytest

from app.exchange.plan_file import PlanError, parse_plan
from tests.plans import SMALL


def _measured(measure: str, spec: str = 'spec = { kind = "length", unit = "mm" }') -> str:
    """The small plan with one more step, that is measured so."""
    head = '[[stages.steps]]\nid = "room"\ndo = "Read the room"\nplaces = "cylinders"'
    step = f"\n{head}\n{spec}\nmeasure = {{ {measure} }}\n"
    return SMALL + step


@pytest.mark.parametrize(
    "measure",
    [
        'points = ["bore", "piston"], result = "clearance", how = "difference"',
        'points = ["swing"], result = "runout", how = "half"',
        'points = ["top along", "top across"], how = "shape"',
        'points = ["room"]',
    ],
)
def test_a_step_measured_at_points_is_a_plan(measure: str) -> None:
    assert parse_plan(_measured(measure))


@pytest.mark.parametrize(
    ("measure", "fault"),
    [
        ('points = ["a", "a"]', "points: a name stands twice"),
        ('points = ["a", " "]', "points: a name is empty"),
        ('points = ["a"], result = "gap", how = "difference"', "points: a difference is worked out from at least 2"),
        ('points = ["a", "b"], result = "runout", how = "half"', "points: half is worked out from one point"),
        ('points = ["a", "b"], how = "sum"', "result: say what is worked out"),
        ('points = ["a", "b"], result = "gap"', "how: a result needs how it is worked out"),
        ('points = ["top", "low"], how = "shape"', "points: for a shape each is a height and a way"),
        ('adjuster = "screw"', "heat, adjuster: belong to lash"),
        (
            'points = ["a", "b"], result = "gap", how = "sum", takes = [{ point = "c", step = "end-float" }]',
            "takes: “c” is none of the points",
        ),
        (
            'points = ["a", "b"], result = "gap", how = "sum", takes = [{ point = "a", step = "gone" }]',
            "takes: there is no step “gone” that reads anything",
        ),
        (
            'points = ["a", "b"], result = "gap", how = "sum", takes = [{ point = "a", step = "torque-mains" }]',
            "takes: “torque-mains” reads torque, this step length",
        ),
    ],
)
def test_a_measure_that_cannot_be_worked_is_told_of(measure: str, fault: str) -> None:
    with pytest.raises(PlanError) as caught:
        parse_plan(_measured(measure))
    assert any(f"step “room”, measure, {fault}" in one for one in caught.value.faults)


def test_nothing_is_worked_out_from_words() -> None:
    with pytest.raises(PlanError, match="only measured quantities can be worked with"):
        parse_plan(_measured('points = ["a", "b"], result = "gap", how = "sum"', 'spec = { kind = "text" }'))


def test_a_sum_at_the_bench_belongs_to_a_quantity() -> None:
    assert parse_plan(_measured('sum = "gap"'))
    with pytest.raises(PlanError, match="sum: belongs to a step that measures a quantity"):
        parse_plan(_measured('sum = "gap"', 'spec = { kind = "text" }'))
    with pytest.raises(PlanError, match="measure, sum"):
        parse_plan(_measured('sum = "sandwich"'))


@pytest.mark.parametrize(
    "limits",
    [
        "in: 0.20 to 0.25 mm; ex: 0.25 to 0.30 mm",
        "86.00 to 86.02 mm; taper: at most 0.02 mm; out of round: at most 0.01 mm",
    ],
)
def test_a_printed_figure_may_say_something_of_its_parts(limits: str) -> None:
    spec = f'spec = {{ kind = "length", unit = "mm", limits = "{limits}", source = "practice" }}'
    assert parse_plan(_measured('points = ["room"]', spec))


def test_a_printed_figure_with_a_part_that_cannot_be_read_is_refused() -> None:
    spec = 'spec = { kind = "length", unit = "mm", limits = "0.2 to 0.3 mm; taper: a hair", source = "practice" }'
    with pytest.raises(PlanError, match="step “room”, spec, limits:"):
        parse_plan(_measured('points = ["room"]', spec))


@pytest.mark.parametrize(
    ("intervals", "fault"),
    [
        ("[360.0, 180.0, 180.0]", "3 are given for 2 cylinders"),
        ("[315.0, 395.0]", "sum to 720°, not 710°"),
        ("[730.0, -10.0]", "each be more than 0°"),
    ],
)
def test_firing_intervals_are_one_for_each_cylinder_and_fill_the_cycle(intervals: str, fault: str) -> None:
    text = SMALL.replace("firing_order = ", f"intervals = {intervals}\nfiring_order = ", 1)
    with pytest.raises(PlanError, match=fault):
        parse_plan(text)
