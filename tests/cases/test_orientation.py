"""Orientation, timing, turning."""

import pytest

from app.assembly.plan.steps import Turn
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.refusal import NotReady
from app.words.say import say
from tests.cases.story import SHIPPED, shipped, story
from tests.refused import refused


@pytest.mark.parametrize(("plan", "cylinder"), [("v8-ohv", "6"), ("four-ohv", "3"), ("four-ohc", "2")])
def test_each_piston_is_seen_for_its_own_bank(plan: str, cylinder: str) -> None:
    """E-1: one bank of pistons was in the wrong way; the valves touched from the first start and a head came off."""
    told = story(plan, before="hang-pistons")
    told.tick_all_but("hang-pistons", cylinder)
    with refused("still has 1 of"):
        told.sign("hang-pistons")
    with refused("Hang each piston"):
        told.sign("seat-pin-clips")
    told.mark("flush-oil-lines", State.STARTED)
    told.holds("gate-line-open", "hang-pistons", "close-top")
    told.tick("hang-pistons", cylinder)
    told.sign("hang-pistons")
    assert "hang-pistons" not in told.held_by("close-top")
    assert "hang-pistons" not in told.found("gate-line-open")


@pytest.mark.parametrize(("plan", "valve"), [("v8-ohv", "ex8"), ("four-ohv", "in4"), ("four-ohc", "ex3b")])
def test_valve_to_piston_is_measured_on_both_banks_at_every_valve(plan: str, valve: str) -> None:
    """E-1: it had been measured on one bank only."""
    told = story(plan, before="valve-to-piston")
    told.figure("valve-to-piston", "at least 1.5 mm")
    told.read_all_but("valve-to-piston", valve, text="2 mm")
    assert told.end("reading-missing").places == (valve,)
    with refused("write the value at"):
        told.sign("valve-to-piston")
    told.read("valve-to-piston", "0.4 mm", valve)
    told.holds("reading-out", "valve-to-piston", "close-top")
    told.read("valve-to-piston", "1.9 mm", valve)
    told.sign("valve-to-piston")
    assert not {"reading-out", "reading-missing"} & {end.rule for end in told.ends()}


@pytest.mark.parametrize("plan", ["v8-ohv", "four-ohv", "four-ohc"])
@pytest.mark.parametrize("noise", ["fading patter", "pushrod noise, I think", "a knock when hot"])
def test_a_noise_written_down_stops_everything_behind_it(plan: str, noise: str) -> None:
    """E-1: the noise was put down to pushrods, it faded, and on the second run the valve head came off."""
    told = story(plan, before="hot-oil-pressure")
    told.find(noise, "start-engine", symptom=True)
    told.holds("finding-open", "start-engine", "drive")
    for step in ("hot-oil-pressure", "change-oil-first", "hand-over"):
        with refused("cannot be signed off yet"):
            told.sign(step)
    with refused("is a symptom"):
        told.settle("f1", Disposition.USE_AS_IS, "it fades")
    told.settle("f1", Disposition.REPAIR, "pistons turned round, valves changed, room measured")
    told.work_line(told.line("hot-oil-pressure"))
    assert told.found("finding-open") == []


@pytest.mark.parametrize("plan", SHIPPED)
def test_the_plan_says_which_way_the_engine_turns_and_which_lines_turn_it(plan: str) -> None:
    """E-3: it ran, then locked: the chain had skipped, and nobody knew that the direction mattered."""
    told = shipped(plan)
    assert told.arrangement.turns
    assert any(step.turns is Turn.HAND for step in told.steps())


@pytest.mark.parametrize("plan", ["four-ohv", "four-ohc"])
def test_nothing_is_turned_with_the_tensioner_pinned(plan: str) -> None:
    """E-3: with the tensioner not armed the chain jumps a tooth, more so when it is turned backwards."""
    told = story(plan, before="arm-tensioner")
    turning = [line.id for line in told.build.lines if line.step.turns and told.survey.open(line)]
    assert "two-turns" in turning
    for step in turning:
        assert any("tensioner" in say(one.said).casefold() for one in told.survey.waits(told.line(step))), step
    with refused("tensioner"):
        told.mark("two-turns", State.STARTED)
    told.done("arm-tensioner", "two-turns")
    assert told.state("two-turns") is State.DONE


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_a_drive_taken_apart_again_wants_its_two_turns_again(plan: str) -> None:
    """E-3: whatever let the chain or belt go slack, two turns by hand come before the starter."""
    told = story(plan, before="temporaries-final")
    told.work_line(told.line("temporaries-final"))
    assert told.gate("close-top").ready
    told.mark("fit-belt" if plan == "four-ohc" else "fit-sprockets", State.TO_DO)
    assert "two-turns" in told.found("look-again")
    with refused("held by", NotReady):
        told.pass_gate("close-top")
    told.mend(*(line.id for line in told.build.lines if line.position >= told.line("two-turns").position))
    assert "two-turns" in told.held_by("close-top")
    told.mend()
    assert told.gate("close-top").ready


@pytest.mark.parametrize(("plan", "gasket"), [("v8-ohv", "set-head-gaskets"), ("four-ohv", "set-head-gasket")])
def test_a_gasket_is_looked_at_on_each_bank_before_the_head_hides_it(plan: str, gasket: str) -> None:
    """E-5: one bank's gasket went in upside down in spite of its front mark; the engine overheated and was lost."""
    told = story(plan, before=gasket)
    lower = "lower-heads" if plan == "v8-ohv" else "lower-head"
    if plan == "v8-ohv":
        told.tick(gasket, "left")
        with refused("still has 1 of 2"):
            told.sign(gasket)
    with refused("Set (each|the) head gasket"):
        told.sign(lower)
    told.done(gasket)
    told.work_with(lower)
    told.mark(gasket, State.LOOK_AGAIN, "the photo shows the mark at the rear")
    told.holds("look-again", gasket, "close-top")
    told.mend()
    assert told.found("look-again") == []


def test_the_head_off_for_the_gasket_takes_its_whole_chain_with_it() -> None:
    """E-5: with the head off again nuts, lash, water and the oil at the rockers are known no more."""
    told = story(before="lower-into-car")
    told.open_up("head off, gasket upside down", "lower-head")
    opened = set(told.found("look-again"))
    assert {"set-head-gasket", "torque-head-last", "lash-reread", "oil-at-rockers", "turn-after-head"} <= opened
    told.mend()
    assert told.found("look-again") == []


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_each_valve_seal_has_its_own_box(plan: str) -> None:
    """E-7: smoke after the rebuild; the seals had been fitted, and it could be shown valve by valve."""
    told = story(plan, before="fit-valve-springs")
    told.tick_all_but("fit-valve-springs", told.line("fit-valve-springs").places[2].id)
    with refused("still has 1 of"):
        told.sign("fit-valve-springs")
    with refused("Fit valve seals"):
        told.sign("tap-keepers")
    told.done("fit-valve-springs")
    ticks = told.build.facts.ticks["fit-valve-springs"]
    assert [tick.by for tick in ticks.values()] == ["AB"] * len(ticks), "who and when, valve by valve"
