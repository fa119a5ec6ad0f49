"""What a plan had better say otherwise: each piece of advice from one small change, and none where all is well."""

import time
from pathlib import Path

import pytest

from app.assembly.plan.advice import advice
from app.exchange.plan_file import parse_plan, read_plan
from tests.plans import SMALL, small_plan

PLANS = sorted((Path(__file__).parents[2] / "resources" / "plans").glob("*.toml"))
# More lines than the small plan has, so that its two holds are few enough.
MORE = "".join(f'\n[[stages.steps]]\nid = "extra-{n}"\ndo = "Look at part {n}"\n' for n in range(24))
SOUND = SMALL + MORE


def _advice(*changes: tuple[str, str]) -> list[str]:
    text = SOUND
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return advice(parse_plan(text))


def test_the_small_plan_wants_nothing_once_it_is_long_enough() -> None:
    assert _advice() == []
    assert advice(small_plan()) == ["holds: 2 in 19 lines are more than 1 in 15, with the usual answers"]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        # steps that cannot be reached
        (
            'when = [{ option = "depth", any_of = ["full"] }]',
            'when = [{ option = "depth", any_of = ["full"] }, { option = "depth", any_of = ["short"] }]',
            "step “measure-bores”, when: no answers to the options ever put it on the sheet",
        ),
        (
            'any_of = ["oil", "unknown"] }',
            'any_of = ["oil"] }, { step = "probe-holes", any_of = ["unknown"] }',
            "step “seal-studs”, when: no answer of “probe-holes” ever asks for it",
        ),
        (
            'wait = "24 h"',
            'wait = "24 h", within = "10 min"',
            "step “fill-oil”, needs “fit-pan”: to wait 24 h and follow within 10 min cannot both be done",
        ),
        # order
        (
            'do = "Wash the block"',
            'do = "Wash the block"\nneeds = ["rag-in"]',
            "step “clean-block”, needs: “rag-in” stands behind it",
        ),
        (
            'do = "Wash the block"',
            'do = "Wash the block"\nhides = ["rag-in"]',
            "step “clean-block”, hides: “rag-in” stands behind it, and would be hidden unchecked",
        ),
        (
            'do = "Count everything out"',
            'do = "Count everything out"\nneeds = ["crank-bolt"]',
            "step “count-inside”, hold: it waits for “crank-bolt”, which stands behind it and waits for it",
        ),
        (
            'do = "Try the pan on"',
            'do = "Try the pan on"\nneeds = ["rag-out"]\nany_time = true',
            None,
        ),
        (
            'do = "Torque the crank-nose bolt"',
            'do = "Torque the crank-nose bolt"\nneeds = ["first-crank"]',
            "step “crank-bolt”, gate: it waits for “first-crank”, which goes through “crank” first",
        ),
        ('before = ["adjust-idle"]', 'before = ["rag-in"]', "step “read-lash”, before: “rag-in” stands in front of it"),
        (
            'before = ["adjust-idle"]',
            'before = ["first-crank"]\nneeds = ["first-crank"]',
            "step “read-lash”, before: it is to come before “first-crank” and waits for it too",
        ),
        (
            'do = "Set the idle"\nany_time = true',
            'do = "Set the idle"\nlatest = ["rag-in"]',
            "step “adjust-idle”, latest: “rag-in” stands in front of it",
        ),
        ('do = "Set the idle"', 'do = "Set the idle"\nlatest = ["rag-in"]', None),
        (
            'do = "Set the idle"',
            'do = "Set the idle"\ntrial_of = "fit-pan"',
            "step “adjust-idle”, trial_of: “fit-pan” stands in front of it",
        ),
        (
            'do = "Set the idle"',
            'do = "Set the idle"\nstands_in_for = "crank-bolt"',
            "step “adjust-idle”, stands_in_for: “crank-bolt” stands in front of it",
        ),
        # turning the engine
        (
            'do = "Torque the mains"',
            'do = "Torque the mains"\nturns = "hand"',
            "step “torque-mains”, turns: “bore-rag” is in, from “rag-in” to “rag-out”",
        ),
        (
            'do = "Torque the mains"',
            'do = "Torque the mains"\nturns = "hand"\nnot_while = [{ after = "run-studs-in", until = "end-float" }]',
            "step “torque-mains”, not_while: it stands between “run-studs-in” and “end-float”",
        ),
        (
            'do = "Crank until the gauge moves"',
            'do = "Crank until the gauge moves"\nturns = "starter"',
            None,
        ),
        # gates and holds
        ('gate = "close-bottom"\nhold = true', "hold = true", "step “count-inside”, hold: a line as grave as that"),
        # temporary things, places
        (
            "count = 3\n",
            'count = 3\n\n[[groups]]\nid = "ports"\ntitle = "Ports"\ncount = 2\n',
            "group “ports”: no line",
        ),
        (
            "count = 3\n",
            'count = 3\nclosing = "run-studs-in"\nhidden_by = "clean-block"\n',
            "group “studs”, hidden_by: “clean-block” hides the holes before “run-studs-in” closes them",
        ),
        ("count = 3\n", 'count = 3\nclosing = "run-studs-in"\nhidden_by = "fit-pan"\n', None),
        (
            "count = 3\n",
            'count = 3\nclosing = "torque-mains"\n\n[[groups]]\nid = "plugs"\ntitle = "Plugs"\n'
            'names = ["a", "b"]\nclosing = "run-studs-in"\n',
            "group “plugs”, closing: “run-studs-in” is for other places, so nobody reads or ticks a, b",
        ),
        (
            "count = 3\n",
            'count = 3\n\n[[fasteners]]\nid = "main-bolts"\ntitle = "Main bolts"\nplaces = "mains"\n',
            "fasteners “main-bolts”: no line tightens them",
        ),
        (
            'do = "Try the pan on"',
            'do = "Try the pan on"\neasy = ["hidden by the next part"]',
            "step “try-pan”, easy: it gets hidden, but no line hides it or needs it",
        ),
        (
            'do = "Wash the block"',
            'do = "Wash the block"\neasy = ["hidden by the next part"]',
            None,
        ),
    ],
)
def test_one_change_brings_one_piece_of_advice(old: str, new: str, said: str | None) -> None:
    found = _advice((old, new))
    if said is None:
        assert found == []
    else:
        assert any(one.startswith(said) for one in found), found


def test_a_thing_left_in_under_some_answers_is_told_with_them() -> None:
    only_full = '\nwhen = [{ option = "depth", any_of = ["full"] }]'
    (said,) = _advice(('do = "Take the rags out"', f'do = "Take the rags out"{only_full}'))
    assert said == "step “rag-in”, puts_in: nothing takes “bore-rag” out, with depth=short"
    both = ('do = "Put a rag in each bore"', f'do = "Put a rag in each bore"{only_full}')
    assert _advice(('do = "Take the rags out"', f'do = "Take the rags out"{only_full}'), both) == []


def test_a_way_out_that_a_finding_may_call_off_is_not_sure() -> None:
    (said,) = _advice(
        (
            'do = "Take the rags out"',
            'do = "Take the rags out"\nplaces = "studs"\nwhen = [{ step = "probe-holes", any_of = ["oil"] }]',
        )
    )
    assert said == "step “rag-in”, puts_in: no line behind it is sure to take “bore-rag” out"


def test_a_gate_nothing_keeps_shut_under_some_answers_is_told_with_them() -> None:
    only_full = 'when = [{ option = "depth", any_of = ["full"] }]\n'
    found = _advice(
        ('do = "Torque the crank-nose bolt"\n', f'do = "Torque the crank-nose bolt"\n{only_full}'),
        ('do = "Prime the oil pump"\n', f'do = "Prime the oil pump"\n{only_full}'),
        ('do = "Crank until the gauge moves"\n', f'do = "Crank until the gauge moves"\n{only_full}'),
    )
    assert found == [
        "gate “crank”: no line is sure to keep it shut, with depth=short",
        "gate “crank”: no line is sure to go through it (act), with depth=short",
    ]


def test_lines_that_never_stand_together_do_not_contradict_each_other() -> None:
    wash = 'do = "Wash the block"'
    assert _advice((wash, f'{wash}\nneeds = ["rag-in"]')) == ["step “clean-block”, needs: “rag-in” stands behind it"]
    short = 'when = [{ option = "depth", any_of = ["short"] }]'
    full = short.replace("short", "full")
    rag, count = 'do = "Put a rag in each bore"', 'do = "Count everything out"'
    assert _advice((wash, f'{wash}\nneeds = ["rag-in"]\n{short}'), (rag, f"{rag}\n{full}")) == []
    assert (
        _advice((count, f'{count}\nneeds = ["extra-1"]\n{short}'), ('id = "extra-1"', f'id = "extra-1"\n{full}')) == []
    )


def test_lines_that_wait_for_each_other_through_a_float_are_a_contradiction() -> None:
    (said,) = _advice(
        (
            'do = "Set the idle"\nany_time = true',
            'do = "Set the idle"\nany_time = true\nlatest = ["extra-3"]\nneeds = ["extra-5"]',
        ),
        ('id = "extra-5"', 'id = "extra-5"\nneeds = ["extra-3"]'),
    )
    assert "adjust-idle" in said
    assert "waits for" in said


def test_a_circle_through_a_float_a_hold_and_a_gate_is_shown_whole() -> None:
    (found,) = _advice(('do = "Set the idle"', 'do = "Set the idle"\nlatest = ["clean-block"]'))
    said, _, circle = found.partition(", with the usual answers: ")
    assert said == "step “clean-block”: it waits for itself"
    steps = circle.split(" > ")
    assert steps[0] == steps[-1] == "clean-block"
    # The float comes after the hold, which needs the oil, which needs the pan behind the gate that the studs keep shut.
    assert steps[1:6] == ["adjust-idle", "prime", "fill-oil", "fit-pan", "seal-studs"]


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_plans_that_come_with_the_program_want_nothing(path: Path) -> None:
    assert advice(read_plan(path)) == []


def test_a_plan_as_large_as_one_may_be_is_looked_over_in_seconds() -> None:
    options = "".join(
        f'\n[[options]]\nid = "o{n}"\nask = "Which?"\ndefault = "a"\n'
        'choices = [{ id = "a", title = "a" }, { id = "b", title = "b" }]\n'
        for n in range(20)
    )
    steps = "".join(
        f'\n[[stages.steps]]\nid = "more-{n}"\ndo = "Look at part {n}"\nneeds = ["clean-block"]\n'
        f'when = [{{ option = "o{n % 20}", any_of = ["a"] }}]\n'
        for n in range(900)
    )
    plan = parse_plan(SMALL.replace("[[sources]]", f"{options}\n[[sources]]") + steps)
    begun = time.monotonic()
    advice(plan)
    assert time.monotonic() - begun < 20
