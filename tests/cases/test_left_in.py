"""Things left in."""

import pytest

from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.refusal import NotReady
from app.words.say import say
from tests.cases.story import SHIPPED, story
from tests.refused import refused

PLANS = ["four-ohv", "v8-ohv", "four-ohc"]


@pytest.mark.parametrize("plan", PLANS)
def test_rags_are_counted_out_before_the_top_closes(plan: str) -> None:
    """F-1: a colleague had left rags in the valley, and the engine was shredded."""
    told = story(plan, before="masks-out")
    told.holds("temporary-in", "masks-out", "close-top")
    told.tick_all_but("masks-out", told.line("masks-out").places[0].id)
    with refused("still has 1 of"):
        told.sign("masks-out")
    with refused("is a hold"):
        told.mark("masks-out", State.NOT_NEEDED, "I would have seen them")
    told.holds("temporary-in", "masks-out", "close-top")
    told.done("masks-out")
    assert told.found("temporary-in") == []
    assert "masks-out" in told.found("second-look-missing")


@pytest.mark.parametrize("plan", PLANS)
def test_a_rag_a_colleague_put_in_is_on_the_list_too_and_comes_out_by_its_count(plan: str) -> None:
    """F-1: the rags were not the builder's own, and no line of any plan had put them there."""
    told = story(plan, before="temporaries-final")
    rag = told.stuff_in("rag", "valley", count=2)
    with pytest.raises(NotReady):
        told.pass_gate("close-top")
    told.holds("temporary-in", told.end("temporary-in").line.id, "close-top")
    with refused("2 × rag went in and 1 came out"):
        told.take_out(rag, count=1)
    told.take_out(rag, count=2)
    assert told.found("temporary-in") == []


@pytest.mark.parametrize("plan", SHIPPED)
def test_nothing_is_turned_by_hand_or_starter_with_something_in(plan: str) -> None:
    """F-3: a rag was put before the timing gear to catch scrapings; then the starter turned the engine."""
    told = story(plan)
    turning = [line for line in told.build.lines if line.step.turns]
    told.work_before(turning[-1].id)
    rag = told.stuff_in("rag", "before the timing gear")
    for line in turning:
        if told.survey.open(line):
            assert any("1 × rag" in say(one.said) for one in told.survey.waits(line)), line.id
    with refused("1 × rag, before the timing gear to come out: nothing is turned with it in"):
        told.mark(turning[-1].id, State.STARTED)
    told.take_out(rag)
    told.mark(turning[-1].id, State.STARTED)


def test_clay_may_be_turned_a_rag_may_not() -> None:
    """F-3: what is put in to be turned is on the list, but is in nobody's way."""
    told = story(before="two-turns")
    told.stuff_in("clay", "valve pockets", turning_ok=True)
    assert "temporary-in" in {end.rule for end in told.ends()}
    told.done("two-turns")
    told.stuff_in("rag", "chest")
    with refused("nothing is turned with it in"):
        told.mark("watch-lifters-spin", State.STARTED)


@pytest.mark.parametrize("plan", PLANS)
def test_a_warning_label_on_the_manifold_is_no_hold(plan: str) -> None:
    """F-5: pieces of the old valve lay in the manifold and killed the fresh engine; there was a label on it."""
    told = story(plan, before="intake-seen-through")
    told.work_before("start-engine", skip=["intake-seen-through"])
    assert "intake-seen-through" in told.held_by("start")
    with pytest.raises(NotReady):
        told.pass_gate("start")
    told.mark("intake-seen-through", State.NOT_NEEDED, "there is a label on it")
    told.mark("intake-seen-through", State.TO_DO)
    with refused("held by", NotReady):
        told.pass_gate("start")
    told.done("intake-seen-through")
    told.pass_gate("start")


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("thing", ["bit of the small driver", "rocker nut"])
def test_a_lost_tool_keeps_every_later_gate_shut_and_the_engine_still(plan: str, thing: str) -> None:
    """F-7: a bit lost on the bench came to light years later, in a cylinder."""
    told = story(plan, before="seal-pan-corners")
    told.stuff_in(thing, "not on its board", lost=True)
    assert f"Lost: 1 × {thing}, not on its board (t1)" in told.said("temporary-in")
    with pytest.raises(NotReady):
        told.pass_gate("close-bottom")
    told.pass_gate("close-bottom", {reason.line: "searched an hour" for reason in told.gate("close-bottom").reasons})
    assert told.end("temporary-in").gate == "close-top", "taken on at one gate, and asked for again at the next"
    for line in told.build.lines:
        if line.step.turns and told.survey.open(line):
            assert any(thing in say(one.said) and "come out" in say(one.said) for one in told.survey.waits(line)), (
                line.id
            )
    told.take_out("t1")
    assert told.found("temporary-in") == []


def test_a_screw_left_where_it_fell_is_written_with_what_would_bring_it_back() -> None:
    """F-9: a dropped screw sat too deep to fetch and was left, with a magnet by it."""
    told = story(before="drive-first-miles")
    told.find("M4 screw in the rear web, out of reach", "first-leaks", place="engine")
    told.holds("finding-open", "first-leaks", "drive")
    told.settle(
        "f1", Disposition.CONCESSION, "steel, held by a magnet outside", watch="magnet", reopens=("distance:500 miles",)
    )
    assert told.found("finding-open") == []
    told.work_line(told.line("drive-first-miles"))
    told.ran(hours=8, km=700)
    assert told.found("decision-reopened") == []
    told.ran(km=120)
    told.holds("decision-reopened", "first-leaks", "normal-use")
    assert "Watch: magnet" in say(told.end("decision-reopened").why)
    told.wait(hours=1)
    told.settle("f1", Disposition.REWORK, "fetched with the pan off")
    assert told.found("decision-reopened") == []
