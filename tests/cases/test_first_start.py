"""First start, break-in."""

import pytest

from app.assembly.said.marks import State
from app.assembly.said.refusal import NotReady
from app.words.say import say
from tests.cases.story import SHIPPED, shipped, story
from tests.refused import refused

PLANS = ["four-ohv", "v8-ohv", "four-ohc"]


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv"])
def test_each_flat_lifter_is_seen_to_spin(plan: str) -> None:
    """G-1: everything was done by the list, and one exhaust lobe went just after break-in."""
    told = story(plan, before="watch-lifters-spin", lifters="flat-solid")
    told.tick_all_but("watch-lifters-spin", "ex2")
    with refused("still has 1 of"):
        told.sign("watch-lifters-spin")
    following = "set-head-gasket" if plan == "four-ohv" else "cover-openings"
    with refused("Watch each lifter spin"):
        told.sign(following)
    told.tick("watch-lifters-spin", "ex2")
    told.sign("watch-lifters-spin")
    assert "watch-lifters-spin" not in told.found("passed-over")


@pytest.mark.parametrize("plan", PLANS)
def test_light_springs_are_on_the_list_until_they_are_out(plan: str) -> None:
    """G-1: checking or inner springs stand in for the real ones; left in, they are run."""
    told = story(plan, before="strip-trial")
    told.holds("temporary-in", "strip-trial", "close-bottom")
    with refused("waits for"):
        told.sign("main-oil-holes")
    told.done("strip-trial")
    assert told.found("temporary-in") == []


@pytest.mark.parametrize(("plan", "line"), [("four-ohv", "ignition-feed"), ("v8-ohv", "prove-controls")])
def test_the_coil_is_fed_in_both_key_positions_before_it_is_started(plan: str, line: str) -> None:
    """G-3: it was cranked for long because the coil had no feed in “run”; now there is fear for the cam."""
    told = story(plan, before=line)
    told.work_before("prove-controls" if line == "ignition-feed" else "test-fuel-joints", skip=[line])
    assert line in told.held_by("start")
    with refused("waits for"):
        told.sign("test-fuel-joints")
    told.done(line)
    assert line not in told.held_by("start")


@pytest.mark.parametrize("plan", PLANS)
def test_a_fuel_fitting_opened_for_a_jet_is_open_until_it_is_closed_and_tested(plan: str) -> None:
    """G-5: one fuel fitting was missed after a jet change; backfire, fire; the extinguisher was near."""
    told = story(plan, before="start-engine")
    assert told.gate("start").ready
    key = told.opened(
        "fuel fitting at the bowl, for another jet", after="tighten-fuel-joints", disturbs=("test-fuel-joints",)
    )
    told.holds("opened-not-closed", key, "start")
    with pytest.raises(NotReady):
        told.pass_gate("start")
    with refused("waits for|cannot be begun"):
        told.mark("start-engine", State.STARTED)
    told.done(key)
    told.holds("look-again", "test-fuel-joints", "start")
    told.mend()
    told.pass_gate("start")


@pytest.mark.parametrize("plan", SHIPPED)
def test_the_line_that_presses_the_damper_names_its_tool(plan: str) -> None:
    """G-7: the owner before had hammered the damper on; another stripped the crank pulling one on with its bolt."""
    pressing = [step for step in shipped(plan).steps() if step.id == "press-damper"]
    assert all("installer" in " ".join(step.tools) for step in pressing)


@pytest.mark.parametrize("plan", PLANS)
def test_the_damper_seated_with_an_old_bolt_is_only_standing_in(plan: str) -> None:
    """G-7: an old bolt seats the damper; the starter is not touched until the new one is at its figure."""
    told = story(plan, before="torque-crank-bolt")
    told.holds("standing-in", "torque-crank-bolt", "crank")
    starter = told.line("starter-pressure")
    assert any("only stands in for it" in say(one.said) for one in told.survey.waits(starter))
    told.work_line(told.line("torque-crank-bolt"))
    assert told.found("standing-in") == []


@pytest.mark.parametrize("plan", SHIPPED)
def test_done_in_its_order_nothing_is_left_over(plan: str) -> None:
    """G-9: fuel system pressurised first, firing order looked at twice, a stuck valve found by compression before."""
    told = story(plan)
    told.work_before(told.build.lines[-1].id)
    told.work_line(told.build.lines[-1])
    assert told.ends() == ()
    assert list(told.build.facts.gates) == [gate.id for gate in told.build.gates]


def test_a_stuck_valve_shows_at_the_compression_test_and_not_at_the_start() -> None:
    """G-9: a compression test before the start once found a stuck valve."""
    told = story(before="cranking-compression")
    told.figure("cranking-compression", "at least 900 kPa")
    told.read_all_but("cranking-compression", "3", text="1100 kPa")
    told.read("cranking-compression", "150 kPa", "3")
    told.holds("reading-out", "cranking-compression", "start")
    with refused("out of limits"):
        told.sign("cranking-compression")
    with refused("waits for"):
        told.sign("fit-plugs-and-leads")
    told.read("cranking-compression", "1080 kPa", "3")
    told.sign("cranking-compression")
    assert "cranking-compression" not in told.held_by("start")
