"""What must hold between the parts of a plan: each fault names its step and field, and all of them come at once."""

import time

import pytest

from app.exchange.plan_file import PlanError, parse_plan
from tests.plans import HEAD, SMALL

STAGE = '\n[[stages]]\nid = "inside"\ntitle = "Inside"\n[[stages]]\nid = "oil"\ntitle = "Oil"\n'


def _faults(text: str) -> tuple[str, ...]:
    with pytest.raises(PlanError) as caught:
        parse_plan(text, "mine.toml")
    assert str(caught.value).splitlines() == [f"mine.toml: {fault}." for fault in caught.value.faults]
    return caught.value.faults


def _with(old: str, new: str) -> tuple[str, ...]:
    assert SMALL.count(old) >= 1
    return _faults(SMALL.replace(old, new, 1))


def test_the_small_plan_has_no_fault() -> None:
    assert len(list(parse_plan(SMALL).steps())) == 19


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('needs = ["clean-block"]', 'needs = ["no-such"]', "step “measure-bores”, needs: there is no step “no-such”"),
        ('hides = ["end-float"]', 'hides = ["no-such"]', "step “fit-pan”, hides: there is no step “no-such”"),
        ('disturbs = ["end-float"]', 'disturbs = ["gone"]', "step “torque-mains”, disturbs: there is no step “gone”"),
        ('before = ["adjust-idle"]', 'before = ["gone"]', "step “read-lash”, before: there is no step “gone”"),
        ('before = ["adjust-idle"]', 'before = ["read-lash"]', "step “read-lash”, before: a step cannot name itself"),
        ('places = "cylinders"', 'places = "lids"', "step “measure-bores”, places: there is no place group “lids”"),
        (
            'source = "practice" }',
            'source = "hearsay" }',
            "step “measure-bores”, spec, source: there is no source “hearsay”",
        ),
        ('gate = "close-bottom"', 'gate = "closing"', "step “seal-studs”, gate: there is no gate “closing”"),
        ('act = "crank"', 'act = "cranky"', "step “first-crank”, act: there is no gate “cranky”"),
        (
            'harm = "Oil creeps up the thread."\n',
            "",
            "step “seal-studs”, harm: a gate line or hold says what happens if it is skipped",
        ),
        ('takes_out = ["bore-rag"]', 'takes_out = ["cap"]', "step “rag-out”, takes_out: nothing puts “cap” in"),
        ('takes_out = ["bore-rag"]', "", "step “rag-in”, puts_in: nothing takes “bore-rag” out"),
        ('takes_off = ["pan"]', 'takes_off = ["lid"]', "step “pan-off”, takes_off: no step fits a part “lid”"),
        (
            'any_of = ["oil", "unknown"]',
            'any_of = ["beer"]',
            "step “seal-studs”, when, any_of: “beer” is never an answer",
        ),
        (
            'step = "probe-holes", any',
            'step = "end-float", any',
            "step “seal-studs”, when: “end-float” is not a finding with choices",
        ),
        (
            'option = "depth", any_of',
            'option = "colour", any_of',
            "step “measure-bores”, when: there is no option “colour”",
        ),
        ('wait = "24 h"', 'wait = "a day or so"', "needs “fit-pan”, wait"),
        (
            'wait = "24 h"',
            'wait = "99999 weeks"',
            "step “fill-oil”, needs “fit-pan”, wait: “99999 weeks” is longer than ten years",
        ),
        ('limits = "0.05 to 0.25 mm"', 'limits = "a smidgen"', "step “end-float”, spec, limits:"),
        (
            'kind = "torque", unit = "N·m"',
            'kind = "torque"',
            "step “torque-mains”, spec, unit: a figure left for the person",
        ),
        ('unit = "N·m"', 'unit = "mm"', "step “torque-mains”, spec, unit:"),
        ("rounds = 2", "rounds = 20", "step “read-lash”, spec, rounds: must be 1 to 9"),
        (
            'choices = ["nothing", "oil", "unknown"] }',
            'choices = ["nothing", "oil", "unknown"], good = ["dry"] }',
            "step “probe-holes”, spec, good: “dry” is none of the choices",
        ),
        ('default = "full"', 'default = "deep"', "option “depth”, default: “deep” is none of full, short"),
        ('after = "oil"', 'after = "soil"', "gate “crank”, after: there is no stage “soil”"),
        ('act = "close-bottom"\n', "", "gate “close-bottom”: no step is the going through it (act)"),
        ('letter = "B"', 'letter = "A"', "gate letter “A”: this id stands 2 times"),
        ('letter = "B"', 'letter = "BB"', "gate “crank”, letter: one letter is wanted"),
        ('id = "rag-out"', 'id = "rag-in"', "step “rag-in”: this id stands 2 times"),
        ('id = "rag-in"', 'id = "Rag in"', "step “Rag in”: an id is small letters, digits and hyphens"),
        ("count = 3\n", "", "group “studs”: give either names or a count"),
        ("count = 3\n", 'names = ["1", "1"]\n', "group “studs”, names: a name stands twice"),
        ("count = 3\n", 'names = ["1", ""]\n', "group “studs”, names: a name is empty"),
        ("count = 3\n", "count = 1000000000\n", "group “studs”: a group has 1 to 200 places"),
        ("firing_order = [1, 2]", "firing_order = [1, 1]", "arrangement, firing_order: must name each cylinder once"),
        ("cylinders = 2", "cylinders = 99", "arrangement, cylinders: 99 is not between 1 and 16"),
        ("mains = 3", "mains = -1", "arrangement, mains: -1 is not between 0 and 40"),
        (
            "mains = 3",
            "mains = 3\nintake_per_cylinder = 7",
            "arrangement, intake_per_cylinder: 7 is not between 0 and 6",
        ),
        ("format = 1", "format = 2", "format: this program reads format 1, the file says 2"),
    ],
)
def test_a_fault_names_its_step_and_field(old: str, new: str, fault: str) -> None:
    assert any(fault in found for found in _with(old, new))


def test_a_place_group_without_places_on_this_engine_is_a_fault() -> None:
    text = SMALL.replace("mains = 3", "mains = 0")
    assert _faults(text) == ("step “torque-mains”, places: the group “mains” has no places on this engine",)


def test_needs_that_go_round_are_shown_as_a_circle() -> None:
    faults = _with('do = "Wash the block"', 'do = "Wash the block"\nneeds = ["probe-holes"]')
    (fault,) = faults
    assert fault.startswith("step “")
    assert "needs: goes round in a circle: " in fault
    circle = fault.rpartition(": ")[2].split(" > ")
    assert circle[0] == circle[-1]
    assert set(circle) == {"clean-block", "measure-bores", "probe-holes"}


def test_a_finding_that_waits_for_the_line_it_decides_is_a_circle_too() -> None:
    (fault,) = _with(
        'role = "hole-finding"\nneeds = ["measure-bores"]', 'role = "hole-finding"\nneeds = ["seal-studs"]'
    )
    assert "probe-holes > seal-studs" in fault or "seal-studs > probe-holes" in fault


def test_what_is_hidden_must_not_need_what_hides_it() -> None:
    (fault,) = _with('needs = ["torque-mains"]', 'needs = ["torque-mains", "fit-pan"]')
    assert "circle" in fault


def test_a_gates_own_lines_stand_before_its_bar_and_its_act_behind() -> None:
    assert _with('act = "crank"', 'act = "crank"\ngate = "crank"\nharm = "x"') == (
        "step “first-crank”, gate: the line stands behind the bar of “crank”",
    )
    assert "step “rag-in”, act: the line stands before the bar of “crank”" in _with(
        'do = "Put a rag in each bore"', 'do = "Put a rag in"\nact = "crank"'
    )


def test_gates_stand_in_the_order_of_their_stages() -> None:
    swapped = SMALL.replace('after = "inside"', 'after = "X"').replace('after = "oil"', 'after = "inside"')
    faults = _faults(swapped.replace('after = "X"', 'after = "oil"'))
    assert "gate “crank”, after: stands before the gate in front of it" in faults


def test_all_faults_come_at_once_those_of_order_too() -> None:
    text = SMALL.replace('places = "cylinders"', 'places = "lids"').replace('default = "full"', 'default = "deep"')
    text = text.replace('do = "Wash the block"', 'do = "Wash the block"\nneeds = ["probe-holes"]')
    faults = " / ".join(_faults(text))
    assert "lids" in faults
    assert "deep" in faults
    assert "circle" in faults


def test_a_plan_without_a_step_is_none() -> None:
    assert _faults(HEAD + STAGE.replace("[[stages]]", "[[stages]]\nsteps = []")) == (
        "stages: a plan needs at least one stage with a step",
    )


def test_more_steps_than_anybody_could_work_are_refused_before_anything_slow() -> None:
    steps = "".join(f'[[stages.steps]]\nid = "s{n}"\ndo = "Do {n}"\n' for n in range(40_000))
    text = HEAD + '\n[[stages]]\nid = "inside"\ntitle = "Inside"\n' + steps
    began = time.monotonic()
    assert _faults(text)[0] == "stages: 40000 steps are more than the 1000 a plan may have"
    assert time.monotonic() - began < 20


def test_more_groups_than_anybody_could_name_are_refused() -> None:
    groups = "".join(f'[[groups]]\nid = "g{n}"\ntitle = "G"\ncount = 1\n' for n in range(300))
    assert "groups: 301 are more than the 200 a plan may have" in _faults(HEAD + groups + SMALL[len(HEAD) :])
