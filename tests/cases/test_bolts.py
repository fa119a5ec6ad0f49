"""Bolts: wrenches, threads, what a joint stands, and joints left half-way."""

import pytest

from app.assembly.said.marks import State
from app.words.say import say
from tests.cases.story import Told, story
from tests.refused import refused

HEAD = "torque-head-last"
FIRST = "torque-head-first"


def at_the_head(**joint: str) -> Told:
    """The head is on, its nuts not begun; the figures are entered and the joint is described."""
    told = story(before=FIRST, head_nuts="torque")
    told.figure(FIRST, "30 N·m")
    told.figure("torque-head-second", "60 N·m")
    told.figure(HEAD, "80 to 84 N·m")
    if joint:
        told.joint(HEAD, **joint)
    return told


def test_a_wrench_of_the_other_kind_on_one_toolbox_is_asked_about() -> None:
    """B-23: wrenches in lbf·in and lbf·ft lay together; which one set the 31 was never known."""
    told = at_the_head()
    told.tool("TI", "small click wrench", "40 to 200 lbf·in", checked=told.now)
    told.joint(HEAD, wrench="TI")
    told.bolt(FIRST, "1", "22 lbf·ft")
    assert told.end("unit-not-on-wrench", FIRST).places == ("1",)
    assert any("ends at 200 lbf·in" in why for why in told.said("wrench-unfit"))


def test_a_wrench_used_below_a_fifth_of_its_scale_promises_nothing() -> None:
    """A large wrench for the small outer bolts: nothing is promised below 20 % (US Army TM 1-1500-204-23-9, read)."""
    told = at_the_head()
    told.tool("TL", "long wrench", "40 to 340 N·m", checked=told.now)
    told.joint(HEAD, wrench="TL")
    assert told.end("wrench-unfit", FIRST).line.id == FIRST


def test_oil_on_threads_whose_figure_was_for_dry_ones() -> None:
    """B-7: a magazine says lube, a reader says dry, and both have a figure."""
    told = at_the_head(written_for="dry", state="oiled")
    told.work_before("cover-openings")
    told.holds("threads-differ", HEAD, "close-top")


def test_a_stronger_stud_does_not_make_the_head_stronger() -> None:
    """The stud maker's figure is for the stud; what is clamped is an old alloy head without a washer."""
    told = at_the_head(
        thread="M10x1.25",
        strength="12.9",
        state="assembly paste",
        face="16 mm",
        hole="11 mm",
        clamped="sand-cast aluminium-silicon-copper",
    )
    told.holds("pressure-over", HEAD, "close-top")
    told.joint(HEAD, face="30 mm")
    assert told.found("pressure-over") == []


def test_a_figure_that_pulls_the_bolt_past_its_proof_load() -> None:
    """A figure for a larger thread, copied to a smaller one."""
    told = at_the_head(thread="M8x1.25", strength="8.8", state="oiled")
    told.holds("over-proof", HEAD, "close-top")


def test_too_little_thread_in_an_old_block() -> None:
    """A shortened stud in a repaired hole."""
    told = at_the_head(
        thread="M10x1.5",
        strength="10.9",
        state="oiled",
        tapped="sand-cast aluminium-silicon-copper",
        engagement="12 mm",
    )
    told.holds("engagement-short", HEAD, "close-top")


def test_an_adapter_that_nobody_measured() -> None:
    """A crow-foot on a studded head: without its length the setting is a guess."""
    told = at_the_head(adapter_angle="45")
    assert told.end("adapter-unmeasured", HEAD).line.id == HEAD
    told.tool("TW", "click wrench", "20 to 120 N·m", checked=told.now)
    told.joint(HEAD, adapter="50 mm", wrench="TW", lever="420 mm")
    assert told.found("adapter-unmeasured") == []


def test_an_old_crank_bolt_goes_in_a_second_time() -> None:
    """B-9: the crank-nose bolt backed out on its third assembly; it is used once."""
    told = story(before="torque-crank-bolt")
    told.figure("torque-crank-bolt", "200 N·m")
    told.mark("torque-crank-bolt", State.STARTED)
    told.read("torque-crank-bolt", "200 N·m")
    assert told.end("bolt-not-new").line.id == "torque-crank-bolt"
    told.tightened("crank-bolt", 0)
    assert "torque-crank-bolt" not in told.found("bolt-not-new")


def test_a_head_left_half_way_is_remembered_the_next_week() -> None:
    """Stopped in the middle, nobody knows which nut is at which pass."""
    told = at_the_head()
    for number in ("1", "2", "3"):
        told.bolt(FIRST, number)
    assert told.found("pass-open") == [], "bolts that are being tightened are no loose end"
    told.wait(hours=24 * 7)
    end = told.end("pass-open")
    assert end.line.id == HEAD
    assert told.line(FIRST).number in say(end.why)


def test_an_angle_counts_from_its_torque() -> None:
    """D-19: an angle of 90 to 94°, and over it the joint is slackened fully and begun again."""
    told = story(before=FIRST, head_nuts="torque-angle")
    told.figure(FIRST, "25 N·m")
    told.figure("torque-head-second", "40 N·m")
    told.figure("turn-head-nuts", "90 to 94°")
    with refused("waits for"):
        told.bolt("turn-head-nuts", "1", angle="92°")
    told.done(FIRST, "torque-head-second")
    told.bolt("turn-head-nuts", "1", angle="99°")
    assert told.found("reading-out") == ["turn-head-nuts"], "over the window"
    told.slacken("turn-head-nuts")
    assert told.state(FIRST) is State.LOOK_AGAIN
    assert told.found("reading-out") == []


def test_turned_without_its_torque() -> None:
    """The torque was taken on in writing, and the angle counts from nowhere."""
    told = story(before=FIRST, head_nuts="torque-angle")
    told.figure("turn-head-nuts", "90 to 94°")
    told.mark(FIRST, State.STARTED)
    told.concede("torque-head-second", "felt tight enough")
    told.bolt("turn-head-nuts", "1", angle="92°")
    assert told.found("angle-first") == ["turn-head-nuts"]


@pytest.mark.parametrize(("torque", "stretch"), [("70 N·m", "0.62 mm"), ("98 N·m", "0.40 mm")])
def test_a_stud_by_torque_and_stretch(torque: str, stretch: str) -> None:
    """Main studs of a seven-bearing diesel: 0.483 to 0.610 mm at 79 to 94 N·m (US Army manual, read)."""
    told = story(before="torque-mains-last")
    told.figure("torque-mains-last", "79 to 94 N·m")
    told.joint("torque-mains-last", stretch="0.483 to 0.610 mm")
    told.bolt("torque-mains-last", "3 left", torque, stretch=stretch)
    told.holds("stud-refused", "torque-mains-last", "close-bottom")
    with refused("write the value"):
        told.sign("torque-mains-last")


def test_a_head_bolt_that_has_grown_is_not_used_again() -> None:
    """Makers let a bolt be used again while its length is within a limit (five makers' service data, read)."""
    told = at_the_head(longest="117.5 mm")
    told.tightened("head-nuts", 1, length="117.0 mm")
    assert told.found("bolt-worn") == []
    told.tightened("head-nuts", 1, "3", length="117.9 mm")
    end = told.end("bolt-worn")
    assert (end.line.id, end.places, end.blocks) == (FIRST, ("3",), True)
    assert "117.9 mm long, over the 117.5 mm allowed" in say(end.why)
    told.tightened("head-nuts", 0, "3")
    assert told.found("bolt-worn") == []


def test_a_neck_nobody_measured_is_asked_for_once_the_bolts_turn() -> None:
    """Straightedge on the thread: a neck more than the limit thinner than the free thread goes out."""
    told = at_the_head(necked="0.15 mm")
    told.tightened("head-nuts", 1)
    assert told.found("bolt-worn") == []
    told.bolt(FIRST, "1")
    assert told.end("bolt-worn").blocks is False
    told.tightened("head-nuts", 2, free="9.86 mm", neck="9.80 mm")
    assert told.found("bolt-worn") == []
    told.tightened("head-nuts", 2, "5", free="9.86 mm", neck="9.66 mm")
    assert "0.20 mm thinner, over the 0.15 mm allowed" in say(told.end("bolt-worn").why)


def test_one_more_tightening_keeps_what_was_measured() -> None:
    told = at_the_head(longest="117.5 mm")
    told.tightened("head-nuts", 1, length="117.0 mm")
    told.bolt(FIRST, "1")
    assert told.found("bolt-worn") == []


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"length": "-3 mm"}, "more than 0"),
        ({"length": "long"}, "What the bolt measures"),
        ({"free": "9.86 mm"}, "told by two diameters"),
        ({"free": "9.66 mm", "neck": "9.86 mm"}, "cannot be thicker than where it is free"),
    ],
)
def test_a_measure_that_cannot_be_is_refused(typed: dict[str, str], sentence: str) -> None:
    told = at_the_head()
    with refused(sentence):
        told.tightened("head-nuts", 1, **typed)
