"""Gates: what keeps one shut, how it is passed, and what a written concession speaks of."""

from datetime import timedelta

import pytest

from app.assembly.rules import loose_ends
from app.assembly.said.gates import CONCESSION, GATE
from app.assembly.said.marks import State
from app.assembly.said.refusal import NotReady
from app.assembly.standing.gates import gate_standings
from app.assembly.standing.survey import Survey
from app.exchange.plan_file import parse_plan
from app.words.ends import shut_why
from app.words.say import say
from tests.plans import SMALL, Bench
from tests.refused import refused


@pytest.fixture
def bench() -> Bench:
    return Bench()


def test_a_new_build_names_every_gate_line_still_open(bench: Bench) -> None:
    assert bench.held_by("close-bottom") == ["seal-studs", "end-float", "rag-out", "count-inside"]
    assert bench.held_by("crank") == ["prime", "crank-bolt"]


def test_a_reason_says_the_line_the_matter_the_harm_and_the_way_out(bench: Bench) -> None:
    reason = next(one for one in bench.gate("close-bottom").reasons if one.step == "end-float")
    assert (reason.line, reason.rules, shut_why(reason)) == ("1.08", ("gate-line",), "To do")
    assert say(reason.harm) == "a thrust washer drops"
    assert say(reason.clears) == "Do 1.08 and mark it Done"
    hold = next(one for one in bench.gate("close-bottom").reasons if one.step == "count-inside")
    assert shut_why(hold) == "Hold, To do"


def test_a_loose_end_of_any_line_before_the_bar_keeps_it_shut(bench: Bench) -> None:
    bench.work("rag-in")
    assert "rag-out" in bench.held_by("close-bottom")
    bench.stop("clean-block", "a crack by the drain plug")
    (reason,) = [one for one in bench.gate("close-bottom").reasons if one.step == "clean-block"]
    assert reason.rules == ("stopped",)
    assert shut_why(reason) == "Stopped: a crack by the drain plug"


def test_a_gate_whose_lines_are_closed_is_ready_and_passed_once(bench: Bench) -> None:
    bench.work("count-inside")
    assert bench.gate("close-bottom").ready
    bench.pass_gate("A")
    standing = bench.gate("close-bottom")
    assert (standing.passed, standing.conceded) == (True, ())
    with refused(r"“Close the bottom” was passed on .* by AB"):
        bench.pass_gate("A")


def test_a_gate_is_not_passed_before_the_one_in_front(bench: Bench) -> None:
    with refused("“Crank” cannot be passed while “Close the bottom” in front of it is shut"):
        bench.pass_gate("crank")


def test_a_shut_gate_names_each_line_and_passes_only_with_a_reason_for_each(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.done("try-pan", "pan-off", "rag-out", "count-inside")
    with refused(r"held by 1\.08: close each one, or write for each why", NotReady) as caught:
        bench.pass_gate("A")
    assert isinstance(caught.value, NotReady)
    assert [reason.step for reason in caught.value.reasons] == ["end-float"]
    with refused("needs a written reason"):
        bench.pass_gate("A", {"1.08": "  "})
    deed = bench.pass_gate("A", {"end-float": "felt by hand, about right"})
    assert [entry.subject.kind for entry in deed.entries] == [CONCESSION, GATE]
    assert bench.gate("close-bottom").conceded == ("1.08",)


def test_going_on_without_a_line_that_is_no_reason_is_refused(bench: Bench) -> None:
    bench.work("count-inside")
    with refused(r"1\.01 does not keep “Close the bottom” shut; there is nothing to concede"):
        bench.pass_gate("A", {"1.01": "just in case"})
    with refused(r"no line “7\.77”"):
        bench.pass_gate("A", {"7.77": "just in case"})


def test_what_was_gone_on_without_stays_in_sight_and_is_not_asked_again(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.done("try-pan", "pan-off", "rag-out", "count-inside")
    bench.pass_gate("A", {"1.08": "felt by hand"})
    assert bench.found("concession-open") == ["end-float"]
    assert "felt by hand" in say(bench.end("concession-open").why)
    assert bench.found("gate-line-open") == []
    bench.done("fit-pan")
    bench.wait(hours=25)
    bench.read("prime", "350 kPa")
    bench.done("fill-oil", "prime", "crank-bolt")
    assert bench.held_by("crank") == []
    assert bench.found("concession-open") == ["end-float"]


def test_a_new_finding_on_a_conceded_line_wants_a_new_concession(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.concede("end-float", "the dial is lent out")
    bench.done("try-pan", "pan-off", "rag-out", "count-inside")
    assert bench.held_by("close-bottom") == []
    bench.read("end-float", "0.60 mm")
    assert bench.held_by("close-bottom") == ["end-float"]
    bench.concede("end-float", "0.60 is what this engine had before")
    assert bench.held_by("close-bottom") == []
    bench.stop("end-float", "a thrust washer is cracked")
    assert bench.held_by("close-bottom") == ["end-float"]
    bench.concede("end-float", "it is only the edge")
    assert bench.held_by("close-bottom") == []


def test_a_line_opened_again_after_its_concession_is_a_new_matter(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.read("end-float", "0.40 mm")
    bench.concede("end-float", "used as it is")
    bench.done("end-float")
    bench.mark("torque-mains", State.LOOK_AGAIN, "cap 2 was off")
    assert set(bench.held_by("close-bottom")) >= {"torque-mains", "end-float"}


def test_a_concession_may_not_be_dated_before_what_it_speaks_of(bench: Bench) -> None:
    bench.stop("rag-in", "no rag")
    bench.now = bench.build.facts.lines["rag-in"].at.replace(hour=3)
    with refused("was marked Stopped on"):
        bench.concede("rag-in", "none is needed")


def test_a_closed_line_has_nothing_to_go_on_without(bench: Bench) -> None:
    bench.done("clean-block")
    with refused(r"1\.01 is Done: there is nothing to go on without"):
        bench.concede("clean-block")
    with refused("needs a written reason"):
        bench.concede("rag-in", " ")
    with refused("cannot be cleared before"):
        bench.concede("rag-in", "soon", before="clean-block")


def test_a_concession_by_itself_never_keeps_a_gate_shut(bench: Bench) -> None:
    bench.work("rag-out")
    bench.concede("count-inside", "counted twice")
    assert bench.gate("close-bottom").ready
    bench.pass_gate("A")


def test_priming_skipped_is_named_as_what_it_is(bench: Bench) -> None:
    bench.work("fill-oil")
    bench.mark("crank-bolt", State.STARTED)
    (reason,) = [one for one in bench.gate("crank").reasons if one.step == "prime"]
    assert "not-primed" in reason.rules
    assert shut_why(reason).startswith("Oil is not primed: 2.03 is To do, and no pressure is written")


@pytest.mark.parametrize("ahead", [True, False], ids=["beforehand", "at the gate"])
def test_going_on_without_priming_is_written_once_and_shown_to_the_end(bench: Bench, ahead: bool) -> None:
    bench.work("fill-oil")
    if ahead:
        bench.concede("prime", "no drill in the house")
        bench.done("crank-bolt")
        bench.pass_gate("crank")
    else:
        bench.concede("crank-bolt", "no socket")
        bench.pass_gate("crank", {"prime": "no drill in the house"})
    bench.mark("first-crank", State.STARTED)
    assert bench.found("not-primed") == ["prime"]
    assert "prime" in bench.found("concession-open")


def test_going_on_without_sealant_is_written_once_and_shown_to_the_end(bench: Bench) -> None:
    bench.work("measure-bores")
    for place in "123":
        bench.read("probe-holes", "oil", place)
    bench.done("probe-holes")
    bench.concede("seal-studs", "the tube has gone hard")
    bench.done("run-studs-in")
    assert bench.found("hole-unsealed") == ["seal-studs"]
    assert "seal-studs" not in bench.held_by("close-bottom")


def test_a_cure_that_still_runs_is_said_in_the_reason() -> None:
    cure = 'gate = "crank"\nharm = "The pulley walks off."'
    assert SMALL.count(cure) == 1
    bench = Bench(parse_plan(SMALL.replace(cure, f'needs = [{{ step = "fit-pan", wait = "24 h" }}]\n{cure}')))
    bench.work("fit-pan")
    until = (bench.build.facts.lines["fit-pan"].at + timedelta(hours=24)).astimezone()
    reason = next(one for one in bench.gate("crank").reasons if one.step == "crank-bolt")
    assert shut_why(reason) == f"To do, waits until {until:%a %d %b %H:%M}"


def test_a_gate_reached_is_seen_by_its_bar_and_its_passage(bench: Bench) -> None:
    bench.work("count-inside")
    bench.pass_gate("A")
    (passage,) = bench.build.facts.gates.values()
    assert passage.by == "AB"
    survey = Survey(bench.build, bench.now)
    assert [one.passed for one in gate_standings(survey, loose_ends(survey))] == [True, False]
    assert survey.next_gate == "crank"
