"""Spec data that contradicts itself or others.

The misprints are from printed manuals, read and re-computed; factors by the definitions of the units (1 in = 25.4 mm
exactly, 1 lbf·ft = 1.3558 N·m, 1 kgf·m = 9.80665 N·m).
"""

import pytest

from app.assembly.plan.steps import Trust
from app.assembly.said.marks import State
from app.assembly.standing.holes import hole_map
from app.trade.notation import read_quantity
from app.trade.quantity import Kind
from app.words.say import say
from tests.cases.story import Told, story
from tests.refused import refused

CONTRADICTING = [
    ("end-float", "0.10–0.25 mm (0.004–0.0010 in)"),  # D-1: upper below lower, and 0.25 mm is 0.0098 in
    ("end-float", "1.0 mm (0.004 in)"),  # D-3: factor ten
    ("torque-crank-bolt", "1.96 N·m (0.2 kgf·cm, 1 lbf·ft)"),  # D-5: kgf·cm for kgf·m, factor a hundred
    ("torque-crank-bolt", "28 N·m (250 lbf·ft)"),  # D-7: inches read for feet, factor twelve
]


@pytest.mark.parametrize(("line", "text"), CONTRADICTING)
def test_a_figure_that_contradicts_itself_is_flagged_and_cannot_be_chosen(line: str, text: str) -> None:
    """D-1, D-3, D-5, D-7: two units in one line that do not say the same."""
    told = story(before="strip-trial")
    told.offer(line, text, "Manual")
    assert "contradicts itself" in say(told.end("figures-disagree", line).why)
    assert told.end("figures-disagree", line).blocks
    with refused():
        told.choose(line, "c1", "it is printed so")
    sound = "0.10 to 0.25 mm" if line == "end-float" else "28 N·m"
    told.wait(hours=1)
    told.offer(line, sound, "Bulletin", Trust.BULLETIN)
    assert line in told.found("figures-disagree")
    told.wait(hours=1)
    told.choose(line, "c2", "the manual's line is a misprint; this one agrees in both units")
    assert told.found("figures-disagree") == []


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("end-float", "0.006 to 0.004 in"),  # D-1: order
        ("torque-crank-bolt", "8–12 N·m (71.4–107.1 in/lb)"),  # no torque at all
    ],
)
def test_a_figure_nobody_could_read_is_not_kept_as_if_it_were_one(line: str, text: str) -> None:
    """D-1, D-3: upper below lower, a unit that is no torque."""
    told = story(before="strip-trial")
    with refused():
        told.figure(line, text)
    with refused():
        told.choose(line, told.offer(line, text, "Manual"), "it is printed so")


def test_a_unit_that_changes_within_one_table_is_twelve_times_wrong_and_flagged() -> None:
    """D-3, D-7: 250 lbf·in after lines in lbf·ft; read as lbf·ft it is twelve times too much."""
    told = story(before="torque-crank-bolt")
    told.offer("torque-crank-bolt", "250 lbf·ft", "Table, last line, as the lines above")
    told.offer("torque-crank-bolt", "250 lbf·in", "Table, last line, as printed")
    told.holds("figures-disagree", "torque-crank-bolt", "crank")
    feet, inches = (read_quantity(text, Kind.TORQUE).magnitude for text in ("250 lbf·ft", "250 lbf·in"))
    assert feet / inches == pytest.approx(12)


def test_three_texts_that_give_three_clearances_are_not_one_figure() -> None:
    """D-9: least valve-to-piston room 0.080, 0.100 and 0.050 in, in three public texts."""
    told = story(before="valve-to-piston")
    for text in ("at least 0.080 in", "at least 0.100 in", "at least 0.050 in"):
        told.offer("valve-to-piston", text, text, Trust.PUBLISHED)
    assert len(told.said("figures-disagree")) == 3
    told.wait(hours=1)
    told.choose("valve-to-piston", "c2", "the most careful of the three")
    assert told.found("figures-disagree") == []
    told.read_all_but("valve-to-piston", text="2.2 mm")
    told.holds("reading-out", "valve-to-piston", "close-top")


@pytest.mark.parametrize(
    ("first", "second", "agree"),
    [
        ("8–12 N·m", "70.8–106.2 lbf·in", True),
        ("8–12 N·m", "71.4–107.1 lbf·in", True),  # a printed rounding
        ("2.03 mm", "0.080 in", True),
        ("690 to 710 lbf·in", "790 to 810 lbf·in", False),
        ("1.96 N·m", "1 lbf·ft", False),  # D-5: rounding lost a third
    ],
)
def test_rounding_agrees_and_another_figure_does_not(first: str, second: str, *, agree: bool) -> None:
    """D-5: 1.96 N·m rounded to 1 lbf·ft."""
    told = story(before="strip-trial")
    line = "end-float" if "mm" in first else "torque-crank-bolt"
    told.offer(line, first, "one")
    told.offer(line, second, "another")
    assert (told.found("figures-disagree") == []) is agree


def test_a_reading_keeps_what_it_was_taken_with() -> None:
    """D-11: two methods; measuring is preferred, the plastic shows no run-out."""
    told = story(before="main-clearance")
    told.figure("main-clearance", "0.03 to 0.06 mm")
    told.tool("bore gauge", "Bore gauge", checked=told.now)
    told.read_with("inside micrometer", "main-clearance", "60.05 mm", "1 bore")
    told.read_with("bore gauge", "main-clearance", "60.04 mm", "2 bore")
    readings = told.build.facts.readings["main-clearance"]
    assert [readings[f"{place} bore", 1].tool for place in "12"] == ["inside micrometer", "bore gauge"]


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
@pytest.mark.parametrize(("minutes", "late"), [(14, False), (16, True), (90, True)])
def test_a_bead_is_closed_before_it_skins_or_laid_anew(plan: str, minutes: int, *, late: bool) -> None:
    """D-13: it skins in 15 to 30 minutes at 25 °C and 50 % humidity."""
    told = story(plan, before="seal-pan-corners")
    told.work_line(told.line("seal-pan-corners"))
    told.wait(hours=(minutes - 1) / 60)
    _set_the_pan(told, late=late)


def _set_the_pan(told: Told, *, late: bool) -> None:
    if not late:
        told.work_line(told.line("fit-pan"))
        assert told.found("open-time-over") == []
        return
    told.holds("open-time-over", "fit-pan", told.survey.next_gate)
    told.work_line(told.line("fit-pan"))
    assert "fit-pan" in told.found("open-time-over"), "closing it on the skin does not mend it"
    told.mark("seal-pan-corners", State.LOOK_AGAIN, "wiped off, new bead")
    told.done("seal-pan-corners")
    told.mark("fit-pan", State.LOOK_AGAIN, "off and on again")
    told.mend()
    assert "fit-pan" not in told.found("open-time-over")


def test_a_retorque_falls_due_by_heat_cycle_and_distance() -> None:
    """D-15: again after the first cycle and at 200 to 500 miles, cold, slackened an eighth first."""
    told = story(before="first-leaks")
    assert told.found("follow-up-due") == []
    told.ran(hours=0.4, cycles=1)
    assert {"retorque-head", "lash-cold", "coolant-level-cold"} <= set(told.found("follow-up-due"))
    told.work_line(told.line("first-leaks"))
    with refused("the engine cools right through"):
        told.sign("retorque-head")
    told.work_before("drive-first-miles")
    assert told.found("follow-up-due") == [], "the rest is due by distance"
    told.work_line(told.line("drive-first-miles"))
    told.ran(km=850)
    assert {"lash-second", "change-oil-second", "baseline-leak-down"} <= set(told.found("follow-up-due"))
    told.holds("follow-up-due", "lash-second", "normal-use")


def test_where_no_retorque_may_be_the_line_is_not_there() -> None:
    """D-15: some gaskets must not be touched again; that is an answer of the plan, not a line to skip."""
    told = story(before="first-leaks", retorque="forbidden")
    assert "retorque-head" not in told.build.by_id


def test_torque_then_angle_has_no_one_number_and_says_that_it_cannot_decide() -> None:
    """D-17: torque after the quarter turn must exceed 122 N·m or the bolt is replaced; one number is not enough."""
    told = story(before="torque-head-last")
    told.figure("torque-head-last", "60 N·m + 90°")
    told.read_all_but("torque-head-last", text="118 N·m")
    told.holds("reading-undecided", "torque-head-last", "close-top")
    told.wait(hours=1)
    told.figure("torque-head-last", "at least 122 N·m", "Manual, after the quarter turn")
    assert told.found("reading-undecided") == []
    told.holds("reading-out", "torque-head-last", "close-top")
    told.read_all_but("torque-head-last", text="131 N·m")
    told.sign("torque-head-last")
    assert told.found("reading-out") == []


@pytest.mark.parametrize(("angle", "good"), [("89 deg", False), ("92 deg", True), ("95 deg", False)])
def test_an_angle_has_its_window(angle: str, *, good: bool) -> None:
    """D-19: 90 to 94°; over that, slacken and start again."""
    told = story(before="turn-head-nuts", head_nuts="torque-angle")
    told.figure("turn-head-nuts", "90 to 94 deg")
    told.read_all_but("turn-head-nuts", "7", text="92 deg")
    told.read("turn-head-nuts", angle, "7")
    if good:
        told.sign("turn-head-nuts")
        return
    assert told.end("reading-out").places == ("7",)
    with refused("out of limits"):
        told.sign("turn-head-nuts")


def test_a_gap_given_per_inch_of_bore_is_not_the_gap() -> None:
    """D-21: 0.003 to 0.005 in stands as a gap in one text and as the factor per inch of bore in another."""
    told = story(before="ring-gaps")
    told.offer("ring-gaps", "0.003 to 0.005 in", "Handbook", Trust.PUBLISHED)
    told.offer(
        "ring-gaps", "0.012 to 0.020 in", "Ring sheet", Trust.PART_MAKER, converted_by="AB, times 4.030 in of bore"
    )
    told.holds("figures-disagree", "ring-gaps", "close-bottom")
    told.wait(hours=1)
    told.choose("ring-gaps", "c2", "per inch of bore, as the ring maker means it")
    told.read_all_but("ring-gaps", text="0.016 in")
    told.sign("ring-gaps")
    assert told.found("figures-disagree") == []


def test_two_lengths_of_one_thread_are_told_apart_hole_by_hole() -> None:
    """D-23: main bolts of one thread in two lengths, the long ones inboard: the length is part of the hole."""
    told = story(before="run-studs-in")
    told.hole("head-studs", "3", length="95 mm")
    told.hole("head-studs", "4", length="110 mm")
    told.tick_all_but("run-studs-in", "4")
    with refused("still has 1 of"):
        told.sign("run-studs-in")
    lengths = [hole.length for hole in hole_map(told.survey, told.build.groups["head-studs"])[2:4]]
    assert lengths == ["95 mm", "110 mm"]
    assert "run-studs-in" in told.held_by("close-top")
    told.tick("run-studs-in", "4")
    told.sign("run-studs-in")
    assert "run-studs-in" not in told.held_by("close-top")
