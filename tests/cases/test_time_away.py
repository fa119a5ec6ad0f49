"""Time away, notes, and what people wish for."""

from datetime import timedelta

import pytest

from app.assembly.said.actions import TakeReading
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.assembly.standing.holes import hole_map
from app.assembly.standing.remembered import last_left, must_be_remembered, to_be_asked
from app.assembly.standing.waits import Wants
from app.words.say import say
from tests.cases.story import story
from tests.refused import refused

PLANS = ["four-ohv", "v8-ohv", "four-ohc"]


@pytest.mark.parametrize("plan", PLANS)
def test_after_years_the_list_knows_what_was_begun_and_what_was_final(plan: str) -> None:
    """W-1: thirteen years; bags rot, boxes break, memory fades, although there were notes."""
    told = story(plan, before="torque-mains-first" if plan != "four-ohc" else "torque-mains-last")
    step = "torque-mains-first" if plan != "four-ohc" else "torque-mains-last"
    told.figure(step, "60 to 66 N·m")
    told.mark(step, State.STARTED)
    assert told.found("long-pause") == []
    told.wait(hours=24 * 365 * 13)
    told.holds("long-pause", step, "close-bottom")
    told.mark("bag-outside-parts", State.LOOK_AGAIN, "a box has burst")
    told.done("bag-outside-parts")
    told.holds("long-pause", step, "close-bottom")
    told.do_again(step)
    assert told.found("long-pause") == []


def test_where_each_bolt_sits_is_written_hole_by_hole() -> None:
    """W-3: bolts were pushed through cardboard with notes beside them, because months may pass."""
    told = story(before="fit-front-cover")
    told.hole("cover-bolts", "4", length="55 mm", opens_to="coolant", refits="me")
    told.wait(hours=24 * 200)
    told.hole("cover-bolts", "4", refits="the shop")
    (hole,) = [one for one in hole_map(told.survey, told.build.groups["cover-bolts"]) if one.place.id == "4"]
    assert (hole.length, hole.refits, hole.closed) == ("55 mm", "the shop", False)
    assert hole.opens_to == "nothing", "what was probed counts for more than what was said"
    with refused("has no hole"):
        told.hole("cover-bolts", "12", length="55 mm")
    told.work_line(told.line("fit-front-cover"))
    assert all(one.closed for one in hole_map(told.survey, told.build.groups["cover-bolts"]))


def test_inspect_everything_before_ordering_and_take_one_break() -> None:
    """W-5: every restart costs time; so all is measured before ordering, and a note says where it stopped."""
    told = story(before="measure-journals")
    with refused("Measure each journal"):
        told.sign("judge-each-part")
    told.mark("measure-journals", State.STARTED)
    told.leave("pins 3 and 4 left to do")
    left = last_left(told.build)
    assert left is not None
    assert left.note == "pins 3 and 4 left to do"
    assert any("in hand, not to be trusted" in item for item in map(say, left.items))
    told.wait(hours=24)
    asked = [line.id for line in to_be_asked(told.survey)]
    assert asked[0] == "measure-journals"
    told.resume(confirmed=tuple(asked[:1]), doubted=tuple(asked[1:2]))
    assert to_be_asked(told.survey) == ()
    assert told.state(asked[1]) is State.LOOK_AGAIN


def test_what_was_put_off_for_a_part_says_so_when_the_part_is_there() -> None:
    """W-7: ten years went in small stalls, one part late, one clash; the rest could have gone on meanwhile."""
    told = story(before="fit-front-seal")
    told.part("front-seal", Holding.ON_ORDER)
    told.later("fit-front-seal", before="fit-front-cover", why="the seal is on order", waits_for="front-seal")
    assert told.found("later-possible") == []
    told.holds("put-off", "fit-front-seal", "close-bottom")
    with refused("Drive the front seal in"):
        told.sign("fit-front-cover")
    told.work_line(told.line("seat-pickup"))  # other work goes on meanwhile
    told.part("front-seal", Holding.HERE)
    told.holds("later-possible", "fit-front-seal", "close-bottom")
    told.done("fit-front-seal")
    assert not {"later-possible", "put-off"} & {end.rule for end in told.ends()}


def test_the_moment_it_was_put_off_to_goes_by_and_it_is_still_there() -> None:
    """W-7: it was to wait for the pickup, the pickup went on, and nobody thought of it again."""
    told = story(before="fit-front-seal")
    told.later("fit-front-seal", before="seat-pickup", why="the driver is lent out")
    assert told.found("later-past") == []
    told.work_line(told.line("seat-pickup"))
    told.holds("later-past", "fit-front-seal", "close-bottom")
    told.done("fit-front-seal")
    assert told.found("later-past") == []


@pytest.mark.parametrize("plan", PLANS)
def test_what_is_put_off_cannot_go_past_its_gate(plan: str) -> None:
    """W-7: put off is not put away."""
    told = story(plan, before="pickup-clearance")
    with refused("cannot be put off past it"):
        told.later("pickup-clearance", before="start-engine", why="no clay")
    told.later("pickup-clearance", before="inside-counted", why="no clay")
    assert "pickup-clearance" in told.held_by("close-bottom")
    with refused("Measure pickup to pan floor"):
        told.sign("inside-counted")


def test_an_open_question_is_a_thing_on_the_list_with_its_answer_beside_it() -> None:
    """W-11: notes about notes, and each answer opens more questions."""
    told = story(before="set-thrust-halves")
    key = told.find("which way do the grooves face on this one?", "set-thrust-halves")
    told.holds("finding-open", "set-thrust-halves", "close-bottom")
    told.settle(key, Disposition.EXPLAINED, "to the crank; manual page 41")
    assert told.found("finding-open") == []
    assert "manual page 41" in str(told.build.facts.all())


def test_a_reading_from_paper_keeps_the_day_it_was_taken() -> None:
    """W-13: the paper was lost in the truck; readings are written at the bench and typed weeks later."""
    told = story(before="main-clearance")
    told.figure("main-clearance", "0.03 to 0.06 mm")
    taken = told.now - timedelta(days=9)
    for place in told.line("main-clearance").places:
        size = "60.04 mm" if place.id.endswith("bore") else "60 mm"
        told.act(TakeReading("main-clearance", place.id, size, "AB", taken))
    assert {one.at for one in told.build.facts.readings["main-clearance"].values()} == {taken}
    told.sign("main-clearance")
    told.happen("line-bored")
    told.mend("main-clearance")
    with refused("write the value"):
        told.sign("main-clearance")
    told.act(TakeReading("main-clearance", "1 bore", "60.04 mm", "AB", taken))
    assert "1 bore" in [place.id for place in told.survey.unread(told.line("main-clearance"))], (
        "older than the line bore"
    )


@pytest.mark.parametrize("plan", PLANS)
def test_an_engine_that_stood_is_primed_again_before_it_is_cranked(plan: str) -> None:
    """W-15: it stood six years finished: look in the bores before turning, treat, prime."""
    told = story(plan, before="starter-pressure")
    told.pass_gate("crank")
    told.wait(hours=24 * 22)
    assert Wants.AGAIN in [one.wants for one in told.survey.waits(told.line("starter-pressure"))]
    told.holds("open-time-over", "starter-pressure", "start")
    with refused("to be done again, its 21 days were over"):
        told.mark("starter-pressure", State.STARTED)
    told.happen("stood-months")
    assert {"prime-pressure", "level-in-car"} <= set(told.found("look-again"))
    told.mend()
    assert told.found("open-time-over") == []
    told.work_line(told.line("starter-pressure"))


def test_how_much_to_measure_is_chosen_and_chosen_again_without_loss() -> None:
    """W-17: two to three hundred hours of evenings before one build; how deep to measure is the builder's choice."""
    told = story(before="torque-rod-bolts")
    told.read_all_but("torque-rod-bolts")
    told.sign("torque-rod-bolts")
    told.figure("rod-side-clearance", "0.1 to 0.3 mm")
    told.read("rod-side-clearance", "0.2 mm", "2")
    number = told.line("rod-bolts-recorded").number
    told.option("depth", "essential")
    assert "rod-side-clearance" not in told.build.by_id
    assert told.line("rod-bolts-recorded").number == number
    assert told.found("reading-missing") == []
    told.option("depth", "full")
    assert told.build.facts.readings["rod-side-clearance"]["2", 1].text == "0.2 mm"
    assert told.end("reading-missing").line.id == "rod-side-clearance"


@pytest.mark.parametrize("plan", ["four-ohv", "four-ohc"])
def test_how_a_bolt_felt_coming_off_is_written_bolt_by_bolt(plan: str) -> None:
    """W-19: torque felt on removal, and oddly coloured bearings, are clues that are gone by the evening."""
    told = story(plan, before="slacken-head")
    bolt = told.line("slacken-head").places[5].id
    told.read_all_but("slacken-head", bolt, text="even")
    with refused("write the value at"):
        told.sign("slacken-head")
    told.read("slacken-head", "loose", bolt)
    told.find("loose before it was touched", "slacken-head", bolt)
    told.sign("slacken-head")
    told.holds("finding-open", "slacken-head", "close-bottom")
    assert told.end("finding-open").places == (bolt,)


def test_leaving_says_in_one_breath_what_must_be_remembered() -> None:
    """W-13, wish 7: one list of everything open, loose, temporary or doubted."""
    told = story(before="torque-head-second")
    told.stuff_in("rag", "chest")
    key = told.opened("water drain plug")
    told.figure("torque-head-second", "40 N·m")
    told.tick("torque-head-second", "1")
    remembered = [say(one) for one in must_be_remembered(told.survey)]
    assert any("in hand, not to be trusted, 1 of 10 ticked" in one for one in remembered)
    assert any(told.line(key).number in one for one in remembered)
    assert any(one.startswith("Still in: 1 × rag") for one in remembered)
