"""Gauges, rounds, lash and ring gaps: what a reading is worth, and what has to follow from it."""

from app.assembly.said.parts import Fitted
from app.words.say import say
from tests.cases.story import Told, story
from tests.refused import refused


def test_a_calliper_cannot_judge_a_bearing() -> None:
    """Half a thousandth of an inch of clearance, read with what is in every drawer (NHB 5300.4 asks for ten to one)."""
    told = story(before="rod-side-clearance")
    told.figure("rod-side-clearance", "0.17 to 0.20 mm")
    told.gauge("calliper", "Calliper", "± 0.02 mm")
    told.read_with("calliper", "rod-side-clearance", "0.18 mm", "1")
    assert told.end("gauge-coarse").places == ("1",)
    assert told.found("reading-undecided") == ["rod-side-clearance"], "neither in nor out, by that gauge"
    told.gauge("blades", "Feeler blades", "± 0.002 mm")
    told.read_with("blades", "rod-side-clearance", "0.18 mm", "1")
    assert told.found("gauge-coarse") == []


def test_lash_that_does_not_stay_over_two_turns() -> None:
    """Locked, turned over twice and read again: the nut had taken the screw with it."""
    told = story(before="lash-reread", lifters="flat-solid")
    told.figure("lash-reread", "0.20 to 0.25 mm")
    told.read("lash-reread", "0.22 mm", "ex3")
    told.read("lash-reread", "0.30 mm", "ex3", 2)
    assert told.end("rounds-moved").places == ("ex3",)
    told.read("lash-reread", "0.22 mm", "ex3", 2)
    assert told.found("rounds-moved") == []


def test_a_cold_figure_on_a_hot_engine() -> None:
    """The head is still warm from the first run, and the card says cold."""
    told = story(before="lash-cold", lifters="flat-solid")
    told.figure("lash-cold", "0.20 to 0.25 mm", "Cam card, hot")
    assert "speaks of a hot engine" in say(told.end("heat-differs").why)
    told.figure("lash-cold", "0.20 to 0.25 mm", "Cam card, cold")
    told.read_with("", "lash-cold", "0.22 mm", "in1", temperature="70 °C")
    assert "read at 70 °C" in say(told.end("heat-differs").why)


def test_one_valve_sinks_into_its_seat() -> None:
    """Seven valves a little looser, one a good deal tighter: its seat, and it goes on."""
    told = story(before="lash-second", lifters="flat-solid")
    told.figure("lash-second", "0.05 to 0.40 mm")
    first = told.build.facts.readings["lash-cold"]
    for place in told.line("lash-second").places:
        size = first[place.id, 1].magnitude or 0.0
        told.read("lash-second", f"{size - (0.12 if place.id == 'ex2' else 0.01):.3f} mm", place.id)
    end = told.end("lash-alone")
    assert (end.line.id, end.places) == ("lash-second", ("ex2",))


def test_four_thousandths_per_inch_is_no_gap() -> None:
    """D-21: 3 to 4 thou per inch of bore, entered and filed as the gap itself."""
    told = story(before="ring-gaps")
    told.figure("measure-bores", "80 to 90 mm")
    told.read("measure-bores", "86.00 mm", "1 top along")
    told.figure("ring-gaps", "top: at least 0.08 mm; second: at least 0.08 mm; oil: at least 0.08 mm")
    told.holds("gap-per-inch", "ring-gaps", "close-bottom")
    told.figure("ring-gaps", "top: at least 0.34 mm; second: at least 0.34 mm; oil: at least 0.34 mm")
    assert told.found("gap-per-inch") == []
    told.read("ring-gaps", "0.10 mm", "1-top")
    told.holds("gap-per-inch", "ring-gaps", "close-bottom")
    told.read("ring-gaps", "0.36 mm", "1-top")
    assert told.found("gap-per-inch") == []


def test_a_height_measured_with_other_pistons() -> None:
    """Pistons of another height go in after the deck was measured."""
    told = changed_after("deck-height")
    told.holds("result-stale", "deck-height", "close-bottom")


def changed_after(step: str) -> Told:
    """A line signed off, and then one of the parts it was measured with comes off for another."""
    told = story(before=step)
    told.work_line(told.line(step))
    part = told.line(step).step.parts[0].id
    told.fit(part, Fitted.OFF)
    return told


def test_a_clearance_is_worked_out_and_never_typed() -> None:
    """W-17: the sum on the back of a box: bore less journal, at each main."""
    told = story(before="main-clearance")
    told.figure("main-clearance", "0.04 to 0.07 mm")
    told.read("main-clearance", "60.05 mm", "1 bore")
    told.read("main-clearance", "60.00 mm", "1 journal")
    worked = told.survey.worked(told.line("main-clearance"))[0]
    assert worked.words == "60.05 - 60 = 0.05 mm, 0.04 to 0.07 mm wanted"
    told.read("main-clearance", "59.90 mm", "1 journal")
    told.holds("reading-out", "main-clearance", "close-bottom")
    for place in told.line("main-clearance").places[2:]:
        told.read("main-clearance", told.good("main-clearance", place.id), place.id)
    with refused("out of limits .Main 1 clearance 0.15 mm"):
        told.sign("main-clearance")
