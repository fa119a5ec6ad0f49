"""What a person may do to a line, what each mark demands, and what follows from it."""

from datetime import datetime, timedelta

import pytest

from app.assembly.deeds.decide import MAX_TEXT, decide
from app.assembly.deeds.find import find_gate, find_line, find_place
from app.assembly.rules import rounds_moved
from app.assembly.said.actions import EnterFigure, MarkLine, TakeReading, TickPlace
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.assembly.said.refusal import Refused
from app.assembly.standing.disturb import disturbed
from app.assembly.standing.entry_places import entry_places
from app.exchange.plan_file import parse_plan
from app.trade.verdict import Verdict
from app.words.deeds import label
from app.words.journal import told
from app.words.marks import why
from app.words.say import refusal, say
from tests.plans import EVENING, SMALL, Bench
from tests.refused import refused


@pytest.fixture
def bench() -> Bench:
    return Bench()


# --- words


@pytest.mark.parametrize("by", ["", "   ", "A" * 21, "A\nB", "\x1b[2J"])
def test_who_did_it_is_a_few_letters(bench: Bench, by: str) -> None:
    with refused("initials"):
        decide(bench.build, MarkLine("1.01", State.DONE, by, EVENING))


def test_a_text_too_long_to_keep_is_refused_with_both_lengths(bench: Bench) -> None:
    with refused(f"{MAX_TEXT + 1} letters long; {MAX_TEXT} is the most"):
        bench.stop("clean-block", "x" * (MAX_TEXT + 1))
    bench.stop("clean-block", "x" * MAX_TEXT)


@pytest.mark.parametrize("text", ["half a \udcff letter", "nothing\0more"])
def test_a_text_that_could_not_be_stored_is_refused(bench: Bench, text: str) -> None:
    with refused("type it anew"):
        bench.stop("clean-block", text)
    with refused("type it anew"):
        bench.pass_gate("A", {"1.04": text})


def test_a_time_without_its_zone_is_a_programming_error(bench: Bench) -> None:
    with pytest.raises(ValueError, match="time zone"):
        decide(bench.build, MarkLine("1.01", State.DONE, "AB", datetime(2026, 3, 2)))


# --- finding things


@pytest.mark.parametrize("text", ["1.08", " 1.8 ", "end-float"])
def test_a_line_is_found_by_number_or_id(bench: Bench, text: str) -> None:
    assert find_line(bench.build, text).id == "end-float"


@pytest.mark.parametrize("text", ["", "9.99", "1.", ".8", "1.8.0", "x" * 500])
def test_a_line_that_is_not_there_is_told_with_those_that_are(bench: Bench, text: str) -> None:
    with refused(r"run from 1\.01 to 3\.03"):
        find_line(bench.build, text)


def test_a_place_is_found_by_id_or_title_and_one_alone_by_a_dash(bench: Bench) -> None:
    many, one = bench.line("read-lash"), bench.line("end-float")
    assert find_place(bench.survey, many, "IN2").title == "Intake 2"
    assert find_place(bench.survey, many, "exhaust 1").id == "ex1"
    assert find_place(bench.survey, one, "-").id == "engine"
    with refused("it is for in1, ex1, in2, ex2"):
        find_place(bench.survey, many, "-")


@pytest.mark.parametrize("text", ["B", "b", "crank", "Crank"])
def test_a_gate_is_found_by_letter_id_or_title(bench: Bench, text: str) -> None:
    assert find_gate(bench.build, text) == "crank"
    with refused("there are close-bottom, crank"):
        find_gate(bench.build, "Z")


# --- To do, Started, Done


def test_a_line_goes_from_to_do_over_started_to_done(bench: Bench) -> None:
    assert bench.state("clean-block") is State.TO_DO
    bench.mark("clean-block", State.STARTED)
    deed = bench.mark("clean-block", State.DONE)
    assert label(bench.build, deed) == "1.01 Done"
    mark = bench.build.facts.lines["clean-block"]
    assert (mark.state, mark.by, mark.was_ready) == (State.DONE, "AB", True)


def test_the_same_mark_twice_is_refused(bench: Bench) -> None:
    bench.done("clean-block")
    with refused("is Done already"):
        bench.done("clean-block")


def test_a_line_without_a_mark_has_none_to_take_away(bench: Bench) -> None:
    with refused(r"1\.01 has no mark to take away"):
        bench.mark("clean-block", State.TO_DO)


def test_to_do_takes_the_mark_away_so_that_nothing_is_left(bench: Bench) -> None:
    bench.done("clean-block")
    bench.mark("clean-block", State.TO_DO)
    assert bench.build.facts.all() == {}


def test_a_mark_older_than_the_one_that_stands_is_refused_naming_both(bench: Bench) -> None:
    bench.mark("clean-block", State.STARTED)
    with refused(r"was marked Started on .* older than that"):
        bench.mark("clean-block", State.DONE, at=EVENING - timedelta(hours=1))


def test_a_mark_of_yesterday_on_an_untouched_line_is_taken(bench: Bench) -> None:
    bench.mark("clean-block", State.DONE, at=EVENING - timedelta(days=1))
    assert bench.build.facts.lines["clean-block"].at == EVENING - timedelta(days=1)


def test_a_mark_of_a_wrong_future_can_be_taken_away_and_put_right(bench: Bench) -> None:
    bench.mark("clean-block", State.DONE, at=EVENING + timedelta(days=400))
    bench.now = EVENING
    bench.mark("clean-block", State.TO_DO)
    bench.done("clean-block")
    assert bench.build.facts.lines["clean-block"].at == EVENING + timedelta(minutes=1)


def test_a_line_is_not_begun_before_what_it_needs_is_done(bench: Bench) -> None:
    for state in (State.STARTED, State.DONE):
        with refused(r"waits for 1\.01 Wash the block"):
            bench.mark("measure-bores", state)
    bench.done("clean-block")
    bench.mark("measure-bores", State.STARTED)


def test_a_reading_line_is_not_done_without_each_value(bench: Bench) -> None:
    bench.done("clean-block")
    bench.read("measure-bores", "80.01 mm", "1")
    with refused("without its reading: write the value at Cylinder 2"):
        bench.done("measure-bores")
    bench.read("measure-bores", "80.01 mm", "2")
    bench.done("measure-bores")


def test_a_line_out_of_limits_is_not_done_until_somebody_decides(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.read("end-float", "0.40 mm")
    with refused(r"out of limits \(Engine 0\.40 mm\)"):
        bench.done("end-float")
    bench.concede("end-float", "thrust washers of the next size are not made")
    bench.done("end-float")
    assert bench.state("end-float") is State.DONE
    assert bench.found("concession-open") == ["end-float"]


def test_an_older_decision_does_not_speak_of_a_newer_bad_reading(bench: Bench) -> None:
    bench.work("clean-block")
    bench.read("measure-bores", "80.05 mm", "1")
    bench.concede("measure-bores", "cylinder 1 is used as it is")
    assert bench.found("reading-out") == []
    bench.read("measure-bores", "80.40 mm", "2")
    assert bench.end("reading-out").places == ("2",)
    assert "measure-bores" in bench.held_by("close-bottom")
    with refused(r"out of limits \(Cylinder 2 80\.40 mm\)"):
        bench.done("measure-bores")


def test_a_figure_is_wanted_before_a_torque_is_signed(bench: Bench) -> None:
    bench.done("clean-block")
    bench.mark("torque-mains", State.STARTED)
    with refused("its figure to be entered, with the source"):
        bench.done("torque-mains")
    bench.figure("torque-mains", "61 N·m + 90°")
    bench.done("torque-mains")


def test_a_cure_is_waited_out_by_the_time_of_the_deed_not_of_the_clock(bench: Bench) -> None:
    bench.work("fit-pan")
    fitted = bench.build.facts.lines["fit-pan"].at
    with refused(r"2\.01, the sealant cures, until"):
        bench.mark("fill-oil", State.STARTED, at=fitted + timedelta(hours=23, minutes=59))
    (waiting,) = bench.survey.waits(bench.line("fill-oil"))
    assert waiting.until == fitted + timedelta(hours=24)
    bench.mark("fill-oil", State.DONE, at=fitted + timedelta(hours=24))


def test_a_part_on_order_keeps_a_line_from_done_but_not_from_begun(bench: Bench) -> None:
    bench.work("fit-pan")
    bench.wait(hours=25)
    bench.part("oil", Holding.ON_ORDER)
    assert bench.waits("fill-oil") == ["part"]
    bench.mark("fill-oil", State.STARTED)
    with refused("Oil, on order"):
        bench.done("fill-oil")
    bench.part("oil", Holding.HERE)
    bench.done("fill-oil")


def test_what_hides_a_line_waits_for_it(bench: Bench) -> None:
    bench.work("torque-mains")
    assert "line" in bench.waits("fit-pan")
    assert any("this hides it" in say(waiting.said) for waiting in bench.survey.waits(bench.line("fit-pan")))


# --- holds and gates


def test_a_hold_stops_everything_after_it(bench: Bench) -> None:
    bench.work("rag-out")
    bench.mark("crank-bolt", State.STARTED)
    with refused(r"the hold 1\.12 to be opened: Count everything out"):
        bench.done("crank-bolt")
    with refused("the hold"):
        bench.done("adjust-idle")
    bench.done("count-inside")
    assert bench.waits("crank-bolt") == ["hold"], "the next hold stands in front of it now"
    bench.work("prime")
    bench.done("crank-bolt")


def test_a_hold_opens_by_a_written_decision_and_not_by_not_needed(bench: Bench) -> None:
    bench.work("rag-out")
    with refused("is a hold: it opens by its evidence"):
        bench.mark("count-inside", State.NOT_NEEDED, "I am sure")
    bench.concede("count-inside", "the tray was counted twice by AB and CD")
    assert "hold" not in bench.waits("fit-pan")
    assert bench.found("hold-open") == []
    assert bench.found("concession-open") == ["count-inside"]


def test_a_hold_doubted_after_its_decision_is_shut_again(bench: Bench) -> None:
    bench.work("rag-out")
    bench.concede("count-inside", "counted by eye")
    bench.stop("count-inside", "a nut is missing")
    assert bench.waits("fit-pan")[-1] == "hold"
    assert bench.found("stopped") == ["count-inside"]


def test_the_act_of_a_gate_waits_for_the_gate(bench: Bench) -> None:
    bench.work("count-inside")
    for state in (State.STARTED, State.DONE):
        with refused("the gate “Close the bottom” to be passed"):
            bench.mark("fit-pan", state)
    bench.pass_gate("A")
    bench.done("fit-pan")


# --- Later, Not needed, Stopped, Look again


def test_later_needs_a_why_and_a_line_to_come_before(bench: Bench) -> None:
    with refused("Later needs a why"):
        bench.later("rag-in", before="try-pan", why=" ")
    with refused("needs the line it must come before"):
        bench.later("rag-in", before="")
    with refused("that line comes earlier"):
        bench.later("rag-in", before="clean-block")
    with refused("that line comes earlier"):
        bench.later("rag-in", before="rag-in")
    bench.later("rag-in", before="1.9")
    mark = bench.build.facts.lines["rag-in"]
    assert (mark.before, mark.why) == ("try-pan", "the bolt is on order")


def test_a_gate_line_is_not_put_off_past_its_gate(bench: Bench) -> None:
    with refused(r"cannot be put off past it; choose a line up to 2\.01"):
        bench.later("end-float", before="fill-oil")
    bench.later("end-float", before="2.01")


@pytest.mark.parametrize("thing", ["oil", "OIL", "1.01", "clean-block"])
def test_what_a_line_put_off_waits_for_is_a_part_or_a_line(bench: Bench, thing: str) -> None:
    bench.later("rag-in", before="try-pan", waits_for=thing)
    assert bench.build.facts.lines["rag-in"].waits_for in ("oil", "clean-block")


def test_waiting_for_something_unknown_is_refused(bench: Bench) -> None:
    with refused("better weather"):
        bench.later("rag-in", before="try-pan", waits_for="better weather")


@pytest.mark.parametrize("state", [State.NOT_NEEDED, State.STOPPED])
def test_not_needed_and_stopped_say_why(bench: Bench, state: State) -> None:
    with refused(f"{state.word} needs a why"):
        bench.mark("rag-in", state)
    bench.mark("rag-in", state, "there is a lid")
    assert bench.state("rag-in") is state


def test_only_what_was_begun_can_be_looked_at_again(bench: Bench) -> None:
    with refused("has not been begun"):
        bench.mark("clean-block", State.LOOK_AGAIN)
    bench.done("clean-block")
    bench.mark("clean-block", State.LOOK_AGAIN)
    bench.done("clean-block")


# --- many alike


def test_each_place_is_ticked_or_all_together(bench: Bench) -> None:
    bench.work("measure-bores")
    for place in "123":
        bench.read("probe-holes", "oil", place)
    bench.done("probe-holes")
    bench.tick("seal-studs", "1")
    assert bench.state("seal-studs") is State.STARTED, "the first tick begins the line"
    with refused("still has 2 of 3 boxes open"):
        bench.act(MarkLine("seal-studs", State.DONE, "AB", bench.now))
    bench.done("seal-studs")
    ticks = bench.build.facts.ticks["seal-studs"]
    assert [ticks[place].together for place in "123"] == [False, True, True]


def test_a_tick_taken_away_opens_a_line_that_was_done(bench: Bench) -> None:
    bench.work("run-studs-in")
    bench.tick("run-studs-in", "2", State.TO_DO)
    assert bench.state("run-studs-in") is State.LOOK_AGAIN
    assert "Stud 2 was opened" in why(bench.build.facts.lines["run-studs-in"])


def test_a_place_is_to_do_started_or_done_and_nothing_else(bench: Bench) -> None:
    with refused("for Stopped mark the whole line"):
        bench.tick("run-studs-in", "1", State.STOPPED)
    with refused("has no boxes for places"):
        bench.tick("clean-block", "-")
    with refused("Main 1 is To do already"):
        bench.tick("torque-mains", "1", State.TO_DO)
    with refused("cannot be ticked yet"):
        bench.act(TickPlace("torque-mains", "1", State.DONE, "AB", bench.now))


# --- readings


def test_a_value_is_kept_as_typed_and_judged_in_the_unit_of_its_kind(bench: Bench) -> None:
    bench.read("end-float", "7 thou")
    (judged,) = bench.survey.judged(bench.line("end-float"))
    # 7 thou is 7 x 0.0254 mm exactly (the inch is 25.4 mm since 1959).
    assert judged.reading.text == "7 thou"
    assert judged.reading.magnitude == pytest.approx(7 * 0.0254)
    assert judged.verdict is Verdict.IN
    assert bench.state("end-float") is State.STARTED


def test_a_bare_number_is_in_the_unit_of_the_figure(bench: Bench) -> None:
    plan = parse_plan(SMALL.replace('limits = "0.05 to 0.25 mm"', 'limits = "2 to 10 thou", unit = "thou"'))
    other = Bench(plan)
    other.read("end-float", "7")
    assert other.survey.judged(other.line("end-float"))[0].verdict is Verdict.IN


@pytest.mark.parametrize("text", ["", "  ", "about right", "1.234.567 mm", "12 N·m", "9" * 300])
def test_what_is_no_reading_is_refused_naming_line_and_place(bench: Bench, text: str) -> None:
    bench.in_hand("end-float")
    before = bench.build.facts.all()
    with refused(r"^1\.08 Engine: "):
        bench.read("end-float", text)
    assert bench.build.facts.all() == before


def test_two_readings_of_a_comma_are_asked_not_guessed(bench: Bench) -> None:
    bench.in_hand("end-float")
    with refused("1,234"):
        bench.act(TakeReading("end-float", "-", "1,234 mm", "AB", bench.now, decimal="."))


def test_rounds_are_kept_apart(bench: Bench) -> None:
    bench.read("read-lash", "0.18 mm", "in1", 1)
    bench.read("read-lash", "0.20 mm", "in1", 2)
    assert [one.reading.text for one in bench.survey.judged(bench.line("read-lash"))] == ["0.18 mm", "0.20 mm"]
    with refused("no round 0"):
        bench.read("read-lash", "0.20 mm", "in1", 0)


def test_a_further_round_follows_the_last_and_leaves_no_gap(bench: Bench) -> None:
    bench.read("read-lash", "0.18 mm", "in1", 1)
    with refused(r"in 2 rounds; there is no round 3\. A further one is begun once all before it are read\."):
        bench.read("read-lash", "0.20 mm", "in1", 3)
    bench.read("read-lash", "0.20 mm", "in1", 2)
    bench.read("read-lash", "0.21 mm", "in1", 3)
    with refused("there is no round 5"):
        bench.read("read-lash", "0.20 mm", "in1", 5)
    with refused("there is no round 3"):
        bench.read("read-lash", "0.20 mm", "ex1", 3)
    line = bench.line("read-lash")
    assert [(one.place.id, one.round) for one in bench.survey.judged(line)] == [("in1", 1), ("in1", 2), ("in1", 3)]
    assert bench.survey.rounds(line) == range(1, 4)
    asked = [one.key for one in entry_places(bench.survey, line)]
    assert ("in1", 3) in asked
    assert ("ex1", 3) not in asked, "nobody is asked for a round the plan does not want"
    assert [place.id for place in bench.survey.unread(line)] == [p.id for p in line.places if p.id != "in1"]
    bench.rub_out("read-lash", "in1", 3)
    assert bench.survey.rounds(line) == range(1, 3)


def test_a_further_round_is_held_against_the_one_before(bench: Bench) -> None:
    for turn, text in enumerate(("0.18 mm", "0.18 mm", "0.30 mm"), 1):
        bench.read("read-lash", text, "in1", turn)
    moved = rounds_moved.of_line(bench.survey, bench.line("read-lash"))
    assert moved is not None
    assert (moved.args["early"], moved.args["late"]) == ("0.18 mm", "0.30 mm")


def test_a_finding_is_one_of_its_words_however_typed(bench: Bench) -> None:
    bench.read("probe-holes", "OIL", "1")
    assert bench.build.facts.readings["probe-holes"]["1", 1].text == "oil"
    with refused("“water” is none of nothing, oil, unknown"):
        bench.read("probe-holes", "water", "1")


def test_a_line_that_asks_for_nothing_takes_no_reading(bench: Bench) -> None:
    for step in ("clean-block", "torque-mains", "count-inside"):
        with refused("asks for no reading"):
            bench.read(step, "1 mm", "1")


def test_a_value_out_of_limits_opens_a_line_that_was_done(bench: Bench) -> None:
    bench.work("end-float")
    bench.read("end-float", "0.11 mm")
    assert bench.state("end-float") is State.DONE, "a second good value leaves the sign-off"
    bench.read("end-float", "0.40 mm")
    assert bench.state("end-float") is State.LOOK_AGAIN


def test_rubbing_out_a_value_opens_the_line_and_needs_a_value(bench: Bench) -> None:
    with refused("has no value to rub out"):
        bench.rub_out("end-float")
    bench.work("end-float")
    bench.rub_out("end-float")
    assert bench.state("end-float") is State.LOOK_AGAIN
    assert bench.survey.unread(bench.line("end-float"))


def test_reading_behind_a_gate_that_is_shut_does_not_begin_its_act() -> None:
    plan = parse_plan(
        SMALL.replace('act = "crank"', 'act = "crank"\nspec = { kind = "pressure", limits = "at least 100 kPa" }')
    )
    bench = Bench(plan)
    with refused("the gate “Crank” to be passed"):
        bench.act(TakeReading("first-crank", "-", "200 kPa", "AB", bench.now))


def test_what_cannot_be_begun_cannot_be_written_on_and_both_say_so_alike(bench: Bench) -> None:
    with pytest.raises(Refused) as marked:
        bench.mark("end-float", State.STARTED)
    with pytest.raises(Refused) as written:
        bench.act(TakeReading("end-float", "-", "0.12 mm", "AB", bench.now))
    assert refusal(written.value) == refusal(marked.value)
    assert "1.08 cannot be begun yet: it waits for 1.07 Torque the mains." in refusal(written.value)
    assert bench.build.facts.all() == {}


def test_a_value_on_a_line_put_off_waits_as_its_begin_does(bench: Bench) -> None:
    bench.later("end-float", before="try-pan")
    with refused("1.08 cannot be begun yet"):
        bench.act(TakeReading("end-float", "-", "0.12 mm", "AB", bench.now))


@pytest.mark.parametrize("state", [State.STARTED, State.STOPPED])
def test_a_line_that_is_in_hand_is_written_on_whatever_it_waits_for(bench: Bench, state: State) -> None:
    bench.in_hand("end-float")
    if state is State.STOPPED:
        bench.stop("end-float")
    bench.act(TakeReading("end-float", "-", "0.12 mm", "AB", bench.now))
    assert [one.reading.text for one in bench.survey.judged(bench.line("end-float"))] == ["0.12 mm"]


# --- figures and parts


def test_a_figure_needs_its_source_and_is_read_at_once(bench: Bench) -> None:
    with refused("say where the figure is from"):
        bench.figure("torque-mains", "61 N·m", " ")
    with refused(r"1\.07: "):
        bench.figure("torque-mains", "as tight as it goes")
    with refused("has no figure to enter"):
        bench.figure("probe-holes", "3")
    bench.act(EnterFigure("torque-mains", " 61 N·m ", " Manual ", "AB", bench.now))
    figure = bench.build.facts.figures["torque-mains"]
    assert (figure.text, figure.source) == ("61 N·m", "Manual")


def test_the_persons_figure_goes_before_the_plans(bench: Bench) -> None:
    bench.work("end-float")
    bench.figure("end-float", "0.2 to 0.3 mm")
    assert bench.state("end-float") is State.LOOK_AGAIN, "what was read was read against another figure"
    assert [one.verdict for one in bench.survey.judged(bench.line("end-float"))] == [Verdict.OUT]


def test_the_same_figure_with_a_better_source_opens_nothing(bench: Bench) -> None:
    bench.work("end-float")
    bench.figure("end-float", "0.05 to 0.25 mm", "Manual, 3rd edition")
    assert bench.state("end-float") is State.DONE


def test_a_part_no_line_needs_is_unknown(bench: Bench) -> None:
    with refused("needs a part “flux”"):
        bench.part("flux", Holding.MISSING)


# --- what disturbs what


def test_doing_a_line_again_opens_what_it_disturbs(bench: Bench) -> None:
    bench.work("end-float")
    bench.mark("torque-mains", State.LOOK_AGAIN, "cap 2 was off")
    assert bench.state("end-float") is State.LOOK_AGAIN
    mark = bench.build.facts.lines["end-float"]
    assert mark.disturbed_by == "torque-mains"
    assert why(mark) == "1.07 Torque the mains: was opened (Look again)"


def test_only_undoing_opens_what_undoing_disturbs(bench: Bench) -> None:
    bench.work("fit-pan")
    assert bench.state("count-inside") is State.DONE, "fitting the pan leaves the count as it was"
    bench.mark("fit-pan", State.LOOK_AGAIN, "it weeps")
    assert bench.state("count-inside") is State.LOOK_AGAIN


def test_a_disturbance_goes_on_along_the_chain_and_ends() -> None:
    text = SMALL.replace('hides = ["end-float"]', 'hides = ["end-float"]\ndisturbs = ["rag-out"]')
    text = text.replace('takes_out = ["bore-rag"]', 'takes_out = ["bore-rag"]\nundoing_disturbs = ["torque-mains"]')
    bench = Bench(parse_plan(text.replace('disturbs = ["end-float"]', 'disturbs = ["end-float", "rag-out"]')))
    bench.work("count-inside")
    bench.pass_gate("A")
    assert [line.id for line, _ in disturbed(bench.build, bench.line("fit-pan"), undone=False)] == [
        "torque-mains",
        "end-float",
        "rag-out",
    ]
    bench.done("fit-pan")
    assert bench.state("end-float") is State.LOOK_AGAIN
    assert why(bench.build.facts.lines["end-float"]) == "1.07 Torque the mains: is no longer known"
    assert all(mark.disturbed_by in ("", "fit-pan") for mark in bench.build.facts.lines.values())


def test_what_is_not_done_is_not_disturbed(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.mark("torque-mains", State.LOOK_AGAIN, "doubt")
    assert bench.state("end-float") is State.TO_DO


# --- findings that decide


def test_a_line_is_for_the_places_its_finding_names(bench: Bench) -> None:
    seal = bench.line("seal-studs")
    assert len(bench.survey.places(seal)) == 3, "while nothing is known, every hole may be open"
    bench.work("measure-bores")
    for place, below in (("1", "nothing"), ("2", "oil"), ("3", "unknown")):
        bench.read("probe-holes", below, place)
    assert [place.id for place in bench.survey.places(seal)] == ["2", "3"]


def test_a_line_waits_for_the_finding_that_decides_it(bench: Bench) -> None:
    bench.work("measure-bores")
    assert any("its findings decide" in say(waiting.said) for waiting in bench.survey.waits(bench.line("seal-studs")))


def test_a_line_no_place_asks_for_is_not_needed(bench: Bench) -> None:
    bench.work("probe-holes")
    assert bench.state("seal-studs") is State.NOT_NEEDED
    assert "seal-studs" not in bench.held_by("close-bottom")


def test_a_finding_changed_later_opens_what_was_done_by_the_old_one(bench: Bench) -> None:
    bench.work("measure-bores")
    for place, below in (("1", "oil"), ("2", "nothing"), ("3", "nothing")):
        bench.read("probe-holes", below, place)
    bench.done("probe-holes", "seal-studs", "run-studs-in")
    bench.read("probe-holes", "oil", "2")
    assert bench.state("seal-studs") is State.LOOK_AGAIN
    assert why(bench.build.facts.lines["seal-studs"]) == "1.03 Stud 2 is oil now."
    assert bench.found("hole-unsealed") == ["seal-studs"]


def test_a_finding_rubbed_out_opens_what_was_done_by_it(bench: Bench) -> None:
    bench.work("measure-bores")
    for place, below in (("1", "oil"), ("2", "nothing"), ("3", "nothing")):
        bench.read("probe-holes", below, place)
    bench.done("probe-holes", "seal-studs", "run-studs-in")
    bench.rub_out("probe-holes", "2")
    assert bench.state("seal-studs") is State.LOOK_AGAIN
    assert why(bench.build.facts.lines["seal-studs"]) == "1.03 Stud 2 is not known any more."


def test_a_finding_that_comes_true_later_brings_the_line_back(bench: Bench) -> None:
    bench.work("run-studs-in")
    bench.read("probe-holes", "oil", "3")
    assert bench.state("seal-studs") is State.TO_DO
    assert bench.end("hole-unsealed").places == ("3",)
    assert bench.held_by("close-bottom")[0] == "seal-studs"


# --- the journal in words


def test_a_deed_tells_itself_in_words(bench: Bench) -> None:
    bench.work("end-float")
    deed = bench.mark("torque-mains", State.LOOK_AGAIN, "cap 2 was off")
    first, second = (one for one in told(bench.build, deed) if one.new in ("look-again",))
    assert (first.event.value, first.line, first.old, first.new, first.why) == (
        "mark",
        "1.07",
        "done",
        "look-again",
        "cap 2 was off",
    )
    assert (second.event.value, second.line) == ("disturbed", "1.08")


def test_readings_figures_parts_and_gates_tell_themselves_too(bench: Bench) -> None:
    (told_figure,) = told(bench.build, bench.figure("torque-mains", "61 N·m"))
    assert told_figure.new == "61 N·m (Manual, 2nd edition)"
    (told_read,) = told(bench.build, bench.read("measure-bores", "80.01 mm", "1"))
    assert (told_read.what, told_read.new) == ("Measure each bore, Cylinder 1", "1 80.01 mm")
    (told_part,) = told(bench.build, bench.part("oil", Holding.ON_ORDER))
    assert (told_part.what, told_part.old, told_part.new) == ("Oil", "", "on-order")
    (told_later,) = told(bench.build, bench.later("rag-in", before="try-pan"))
    assert told_later.new == "later before 1.09"
    (told_concession,) = told(bench.build, bench.concede("end-float", "felt by hand"))
    assert told_concession.new == "felt by hand"
