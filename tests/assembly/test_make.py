"""From a plan and its options to numbered lines with their places."""

from itertools import pairwise

import pytest

from app.assembly.make import make_blank
from app.assembly.plan.order import needed
from app.assembly.plan.places import groups_of, ring_names
from app.assembly.plan.steps import Need
from app.exchange.plan_file import parse_plan
from tests.plans import HEAD, SMALL, Bench, build_from, small_plan
from tests.refused import refused

FULL = make_blank(small_plan(), {})
SHORT = make_blank(small_plan(), {"depth": "short"})


def _engine(arrangement: str) -> dict[str, tuple[str, ...]]:
    head, rest = HEAD.split("[arrangement]")
    step = '\n[[stages]]\nid = "all"\ntitle = "All"\n[[stages.steps]]\nid = "look"\ndo = "Look"\n'
    gates = rest[rest.index("[[options]]") : rest.index("[[gates]]")]
    plan = parse_plan(f"{head}\ngates = []\n[arrangement]\n{arrangement}\n{gates}{step}")
    return {name: tuple(place.id for place in places) for name, places in groups_of(plan).items()}


# --- numbers


def test_lines_are_numbered_by_stage_and_row_without_a_gap() -> None:
    assert [line.number for line in FULL.lines[:3]] == ["1.01", "1.02", "1.03"]
    assert [line.position for line in FULL.lines] == list(range(len(FULL.lines)))
    assert FULL.lines[-1].number == "3.03"
    for before, after in pairwise(FULL.lines):
        assert before.number < after.number


def test_the_tenth_line_follows_the_ninth() -> None:
    assert [line.number for line in FULL.lines if line.stage == 1][8:] == ["1.09", "1.10", "1.11", "1.12"]


def test_a_step_the_options_leave_out_takes_no_number() -> None:
    assert "measure-bores" not in {line.id for line in SHORT.lines}
    assert [line.id for line in SHORT.lines if line.number == "1.02"] == ["probe-holes"]


# --- options


def test_what_nobody_answers_takes_the_default() -> None:
    assert dict(FULL.options) == {"depth": "full"}


@pytest.mark.parametrize(
    ("chosen", "said"),
    [({"colour": "red"}, "no option “colour”; it has depth"), ({"depth": "deep"}, "it is one of full, short")],
)
def test_an_answer_the_plan_does_not_know_is_refused_with_those_it_does(chosen: dict[str, str], said: str) -> None:
    with refused(said):
        make_blank(small_plan(), chosen)


def test_what_a_left_out_step_needed_is_needed_instead() -> None:
    probe = next(line for line in SHORT.lines if line.id == "probe-holes")
    assert [need.step for need in needed(probe.step)] == ["clean-block"]


def test_a_need_keeps_its_wait_through_making() -> None:
    (oil,) = [line for line in FULL.lines if line.id == "fill-oil"]
    assert oil.step.needs == (Need("fit-pan", "24 h", because="the sealant cures"),)


def test_no_relation_points_at_a_step_that_is_not_there() -> None:
    known = {line.id for line in SHORT.lines}
    for line in SHORT.lines:
        step = line.step
        named = {need.step for need in needed(step)}
        named |= {*step.before, *step.hides, *step.disturbs, *step.undoing_disturbs, *(w.step for w in step.when)}
        assert named <= known


def test_a_condition_by_option_is_settled_and_one_by_finding_stays() -> None:
    by_id = {line.id: line for line in FULL.lines}
    assert by_id["measure-bores"].step.when == ()
    assert [when.step for when in by_id["seal-studs"].step.when] == ["probe-holes"]


# --- what kind of line it is


def test_a_torque_is_ticked_a_length_is_written_and_a_look_is_ticked() -> None:
    by_id = {line.id: line for line in FULL.lines}
    assert (by_id["torque-mains"].reads, by_id["torque-mains"].many) == (False, True)
    assert (by_id["measure-bores"].reads, by_id["measure-bores"].many) == (True, False)
    assert (by_id["count-inside"].reads, by_id["count-inside"].many) == (False, False)


def test_a_torque_is_written_where_the_plan_says_so() -> None:
    plan = parse_plan(
        SMALL.replace('kind = "torque", unit = "N·m" }', 'kind = "torque", unit = "N·m", record = "value" }')
    )
    assert build_from(make_blank(plan, {})).by_id["torque-mains"].reads


def test_three_of_the_seven_features_make_a_line_easy_to_miss() -> None:
    by_id = {line.id: line for line in FULL.lines}
    assert by_id["seal-studs"].easy_to_miss
    assert not by_id["run-studs-in"].easy_to_miss


def test_a_gates_bar_stands_behind_its_stage() -> None:
    build = Bench().build
    assert build.bars == {"close-bottom": build.by_id["fit-pan"].position, "crank": build.by_id["first-crank"].position}


# --- places


def test_a_four_with_two_valves_each() -> None:
    places = _engine(
        'layout = "inline"\ncylinders = 4\nfiring_order = [1, 3, 4, 2]\nmains = 5\ncrankpins = 4\ncam_journals = 3'
    )
    assert places["cylinders"] == ("1", "2", "3", "4")
    assert places["mains"] == ("1", "2", "3", "4", "5")
    assert places["valves"] == ("in1", "ex1", "in2", "ex2", "in3", "ex3", "in4", "ex4")
    assert places["lifters"] == places["lobes"] == places["valves"]
    assert places["intake-valves"] == ("in1", "in2", "in3", "in4")
    assert places["rings"][:3] == ("1-top", "1-second", "1-oil")
    assert len(places["rings"]) == 12
    assert places["heads"] == ("1",)
    assert places[""] == ("engine",)


def test_a_vee_eight_has_half_as_many_pins_as_rods_and_two_heads() -> None:
    places = _engine(
        'layout = "vee"\ncylinders = 8\nfiring_order = [1, 8, 4, 3, 6, 5, 7, 2]\nmains = 5\ncrankpins = 4\n'
        "cam_journals = 5\nheads = 2"
    )
    assert (len(places["rods"]), len(places["crankpins"]), len(places["heads"])) == (8, 4, 2)
    assert len(places["valves"]) == 16


def test_a_single_with_four_valves() -> None:
    places = _engine(
        'layout = "single"\ncylinders = 1\nfiring_order = [1]\nmains = 2\ncrankpins = 1\ncam_journals = 2\n'
        "intake_per_cylinder = 2\nexhaust_per_cylinder = 2\nrings_per_piston = 2"
    )
    assert places["valves"] == ("in1a", "in1b", "ex1a", "ex1b")
    assert places["rings"] == ("1-top", "1-second")


def test_a_two_stroke_has_no_valves_to_name() -> None:
    places = _engine(
        'layout = "single"\ncylinders = 1\nfiring_order = [1]\nmains = 2\ncrankpins = 1\ncam_journals = 0\n'
        "intake_per_cylinder = 0\nexhaust_per_cylinder = 0"
    )
    assert places["valves"] == places["cam-journals"] == ()


@pytest.mark.parametrize(
    ("rings", "names"),
    [
        (0, ()),
        (1, ("top",)),
        (2, ("top", "second")),
        (3, ("top", "second", "oil")),
        (4, ("top", "second", "third", "oil")),
        (5, ("top", "second", "third", "4th", "oil")),
    ],
)
def test_rings_are_named_from_the_crown_down(rings: int, names: tuple[str, ...]) -> None:
    assert ring_names(rings) == names


def test_a_pattern_of_the_plan_says_what_each_place_is() -> None:
    assert [place.title for place in groups_of(small_plan())["studs"]] == ["Stud 1", "Stud 2", "Stud 3"]
