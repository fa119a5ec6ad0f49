"""Bolts one by one: passes, order, what is kept of each, and beginning again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.assembly.build import Build
from app.assembly.plan.steps import Order
from app.assembly.said import actions as a
from app.assembly.said.counts import COUNT
from app.assembly.said.deeds import Verb
from app.assembly.said.marks import State
from app.assembly.standing.joints import described, joint_sum
from app.assembly.standing.tightening import (
    bolts,
    count_words,
    in_order,
    joint_of,
    next_bolt,
    passes,
    pattern_of,
    row_counts,
    split_passes,
    turns_of,
)
from app.assembly.standing.wrenches import wrench_sum
from app.exchange.plan_file import PlanError, parse_plan
from app.trade.shipped_tables import shipped_tables
from app.words.say import say
from tests.cases.story import Told, story
from tests.plans import SMALL
from tests.refused import refused

FIRST, SECOND, LAST = "torque-head-first", "torque-head-second", "torque-head-last"
STUDS = [str(n) for n in range(1, 11)]


@pytest.fixture
def head() -> Told:
    """A four-cylinder head on its studs, its three passes figured and nothing tightened yet."""
    told = story(before=FIRST, head_nuts="torque")
    for line, figure in ((FIRST, "30 N·m"), (SECOND, "60 N·m"), (LAST, "80 to 84 N·m")):
        told.figure(line, figure)
    return told


# --- one bolt after the other


def test_the_next_bolt_follows_the_order_of_the_pattern(head: Told) -> None:
    line = head.line(FIRST)
    assert [place.id for place in in_order(head.survey, line)] == STUDS
    for number in STUDS[:4]:
        coming = next_bolt(head.survey, line)
        assert coming is not None
        assert coming.place.id == number
        head.bolt(FIRST, number)
    assert count_words(head.survey, line) == "4 of 10"
    assert head.state(FIRST) is State.STARTED


def test_a_line_is_not_done_with_a_bolt_missing(head: Told) -> None:
    for number in STUDS[:9]:
        head.bolt(FIRST, number)
    with refused("still has 1 of 10 boxes open"):
        head.act(a.MarkLine(FIRST, State.DONE, "AB", head.now))
    head.bolt(FIRST, "10")
    head.done(FIRST)


def test_a_bolt_that_had_its_last_pass_is_not_tightened_again(head: Told) -> None:
    head.bolt(FIRST, "1")
    with refused("has had its last pass; slacken it first"):
        head.bolt(FIRST, "1")


def test_the_line_before_comes_first(head: Told) -> None:
    with refused("waits for"):
        head.bolt(SECOND, "1")


def test_a_line_that_writes_values_wants_one_for_each_bolt(head: Told) -> None:
    head.done(FIRST, SECOND)
    with refused("write the torque it came to"):
        head.bolt(LAST, "1")
    head.bolt(LAST, "1", "82")
    reading = head.build.facts.readings[LAST]["1", 1]
    assert (reading.text, reading.magnitude, reading.unit) == ("82", 82.0, "N·m")
    with refused("no torque for a bolt of an engine"):
        head.bolt(LAST, "2", "8200 N·m")
    with refused("no torque for a bolt of an engine"):
        head.bolt(LAST, "2", "0 N·m")


def test_each_bolt_keeps_wrench_threads_and_values(head: Told) -> None:
    head.tool("TW", "click wrench", "20 to 120 N·m", checked=head.now)
    head.joint(FIRST, wrench="TW", state="oiled")
    head.bolt(FIRST, "3", "30 N·m", stretch="0.12 mm")
    turn = turns_of(head.build, head.line(FIRST))[1, "3"]
    assert (turn.torque_nm, turn.stretch_mm, turn.wrench, turn.threads) == (30.0, 0.12, "TW", "oiled")
    assert head.deeds[-1].verb is Verb.TIGHTEN


def test_every_pass_of_the_joint_is_shown_at_each_bolt(head: Told) -> None:
    head.done(FIRST)
    head.bolt(SECOND, "1")
    first, second = bolts(head.survey, head.line(SECOND))[:2]
    assert [one.done for one in first.passes] == [True, True, False]
    assert [one.done for one in second.passes] == [True, False, False]


def test_the_last_pass_counts_as_one_tightening(head: Told) -> None:
    head.done(FIRST, SECOND)
    for number in STUDS:
        head.bolt(LAST, number, "82 N·m")
    head.done(LAST)
    counts = head.build.facts.of(COUNT)
    assert {counts["head-nuts", number].times for number in STUDS} == {1}


def test_what_was_done_to_a_bolt_is_undone_like_anything(head: Told) -> None:
    before = head.build.facts.all()
    deed = head.bolt(FIRST, "1", "30 N·m")
    assert head.build.facts.all() != before
    head.undo(deed)
    assert head.build.facts.all() == before


# --- passes within one line


def test_passes_by_share_of_the_figure(head: Told) -> None:
    """The first round at 70 % of the figure (US Army TM 5-3805-248-23-1, read)."""
    told = story(before="torque-rocker-posts")
    told.figure("torque-rocker-posts", "26 N·m")
    told.joint("torque-rocker-posts", passes="70 %, 100 %")
    line = told.line("torque-rocker-posts")
    assert [one.text for one in passes(told.survey, line)] == ["18.2 N·m", "26 N·m"]
    for number in "1234":
        told.bolt(line.id, number)
    assert count_words(told.survey, line) == "0 of 4, pass 2"
    assert told.build.facts.ticks[line.id]["1"].state is State.STARTED
    for number in "1234":
        told.bolt(line.id, number)
    assert told.survey.ticked(line) == 4


def test_a_torque_and_its_turns_are_passes_of_their_own() -> None:
    told = story(before="torque-rod-bolts", rod_bolts="torque")
    told.figure("torque-rod-bolts", "25 N·m + 60° + 30°")
    line = told.line("torque-rod-bolts")
    assert [one.text for one in passes(told.survey, line)] == ["25 N·m", "60°", "30°"]
    places = [place.id for place in line.places]
    for place in places:
        told.bolt(line.id, place, "25 N·m")
    coming = next_bolt(told.survey, line)
    assert coming is not None
    assert (coming.the_pass.title, coming.the_pass.turn_deg) == ("turn 2 of 3", 60.0)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("70 %, 100 %", ("70 %", "100 %")),
        ("30 N·m; 60 N·m; 82 N·m", ("30 N·m", "60 N·m", "82 N·m")),
        ("", ()),
    ],
)
def test_passes_are_cut_from_a_list(text: str, found: tuple[str, ...]) -> None:
    assert split_passes(text) == found


@pytest.mark.parametrize(
    ("text", "found"), [("5, 5", (5, 5)), ("2 x 5", (5, 5)), ("2 × 5", (5, 5)), ("5 and 5", ()), ("", ())]
)
def test_rows_are_counted_from_what_is_typed(text: str, found: tuple[int, ...]) -> None:
    assert row_counts(text) == found


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"pattern": "rows", "rows": "4, 4"}, "has 10 bolts; say how many stand in each row"),
        ({"order": "1, 2, 3"}, "must name every bolt once"),
        ({"passes": "100 %, 70 %"}, "shares rise and end at the whole figure"),
        ({"passes": "a bit, all"}, "cannot be read as a torque"),
        ({"stretch": "long"}, "cannot be read as a length"),
    ],
)
def test_an_order_or_pass_that_cannot_be_is_refused(head: Told, said: dict[str, str], sentence: str) -> None:
    with refused(sentence):
        head.joint(FIRST, **said)


def test_the_persons_order_goes_before_the_plans(head: Told) -> None:
    order = ["2", "1", *STUDS[2:]]
    head.joint(FIRST, pattern="listed", order=", ".join(order))
    assert [place.id for place in in_order(head.survey, head.line(FIRST))] == order


@pytest.mark.parametrize("name", ["four-ohv", "four-ohc", "v8-ohv", "single-air"])
def test_every_pattern_of_a_shipped_plan_reaches_each_bolt_once(name: str) -> None:
    told = story(name)
    for line in told.build.lines:
        if line.tightening is not None:
            pattern, places = pattern_of(told.survey, line)
            assert sorted(pattern.order) == list(range(1, len(places) + 1)), line.id
            assert sorted(place.id for place in places) == sorted(place.id for place in line.places)


def test_a_shipped_head_is_tightened_from_the_middle_outward() -> None:
    told = story("four-ohc")
    line = told.line("torque-head-first")
    pattern, _ = pattern_of(told.survey, line)
    outward = [round(abs(pattern.at[number - 1][0] - 0.5), 9) for number in pattern.order]
    assert outward == sorted(outward)


# --- beginning again


def test_slackening_takes_back_every_pass_of_the_joint(head: Told) -> None:
    head.done(FIRST)
    for number in STUDS[:3]:
        head.bolt(SECOND, number)
    head.slacken(SECOND, "a washer was missing")
    assert head.state(FIRST) is State.LOOK_AGAIN
    coming = next_bolt(head.survey, head.line(FIRST))
    assert coming is not None
    assert coming.place.id == "1"
    assert next_bolt(head.survey, head.line(SECOND)) is not None
    assert count_words(head.survey, head.line(SECOND)) == "0 of 10"


def test_there_is_nothing_to_slacken_before_anything_is_tight(head: Told) -> None:
    with refused("nothing to slacken"):
        head.slacken(FIRST)
    with refused("say why"):
        head.slacken(FIRST, " ")


def test_a_disturbed_line_forgets_its_bolts(head: Told) -> None:
    for number in STUDS:
        head.bolt(FIRST, number)
    head.done(FIRST)
    head.mark(FIRST, State.LOOK_AGAIN, "the head was lifted")
    assert turns_of(head.build, head.line(FIRST)) == {}


def test_torque_before_stretch_means_all_of_the_group_once_more_and_then_a_new_stud() -> None:
    """Main studs, US Army manual (read): the most torque before the least stretch, slacken all, try once more."""
    told = story(before="torque-mains-last")
    told.figure("torque-mains-last", "79 to 94 N·m")
    told.joint("torque-mains-last", stretch="0.483 to 0.610 mm")
    with refused("judged by torque and stretch"):
        told.bolt("torque-mains-last", "3 left", "85 N·m")
    told.bolt("torque-mains-last", "3 left", "94 N·m", stretch="0.40 mm")
    assert "try once more" in _verdict(told)
    told.slacken("torque-mains-last", "stretch too small")
    told.done("torque-mains-first")
    told.bolt("torque-mains-last", "3 left", "94 N·m", stretch="0.42 mm")
    assert "second time: replace the stud" in _verdict(told)
    told.holds("stud-refused", "torque-mains-last", "close-bottom")


def _verdict(told: Told) -> str:
    because = turns_of(told.build, told.line("torque-mains-last"))[1, "3 left"].because
    assert because is not None
    return say(because)


# --- what to set, and what a joint stands


def test_the_setting_with_an_adapter(head: Told) -> None:
    """60 × 420 ÷ (420 + 50) = 53.6 (US Army TM 9-254, formula read)."""
    head.act(a.KeepTool("TW", "click wrench", "AB", head.now, "20 to 120 N·m", "0.1 N·m", head.now, "click", "420 mm"))
    head.joint(SECOND, wrench="TW", adapter="50 mm")
    found = wrench_sum(head.survey, head.line(SECOND), passes(head.survey, head.line(SECOND))[0])
    assert found is not None
    assert (found.set_text, found.sum_text) == ("53.6 N·m", "60 × 420 ÷ (420 + 50) = 53.62 N·m")


def test_an_adapter_folded_back_past_the_hand_is_told_of(head: Told) -> None:
    head.joint(SECOND, lever="40 mm", adapter="50 mm", adapter_angle="180°")
    found = wrench_sum(head.survey, head.line(SECOND), passes(head.survey, head.line(SECOND))[0])
    assert found is not None
    assert "reaches past the hand" in found.trouble


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"thread": "M10x7"}, "M10"),
        ({"thread": "M10x1.25", "strength": "11.9"}, "is not a strength known here"),
        ({"face": "10 mm", "hole": "11 mm"}, "measure both again"),
        ({"lever": "0 mm"}, "has to be longer than 0 mm"),
        ({"adapter": "-50 mm"}, "has to be longer than 0 mm"),
        ({"run_on": "5000 N·m"}, "more than any engine bolt takes"),
        ({"clamped": "cheese"}, "has no limiting pressure here"),
    ],
)
def test_a_joint_that_cannot_be_is_told_in_a_sentence(head: Told, typed: dict[str, str], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        described(typed, shipped_tables(), "AB", head.now, None)


@pytest.mark.parametrize("thread", ["3/8 BSF", "2 BA", "own 10.4x1.1 55°"])
def test_a_thread_of_unknown_limits_has_its_preload_but_no_worst_case(head: Told, thread: str) -> None:
    typed = {"thread": thread, "strength": "130 ksi", "state": "oiled", "clamped": "grey iron 250", "face": "15 mm"}
    typed |= {"hole": "11 mm", "tapped": "grey iron 250", "engagement": "15 mm"}
    total = joint_sum(described(typed, shipped_tables(), "AB", head.now, None), 30)
    assert total is not None
    assert total.window.low_n > 0
    assert (total.strip_n, total.needed_mm, total.first) == (None, None, None)


def test_a_pipe_thread_is_no_bolt(head: Told) -> None:
    with pytest.raises(ValueError, match="G 1/4 is a pipe thread"):
        described({"thread": "G 1/4"}, shipped_tables(), "AB", head.now, None)


def test_what_is_said_of_a_joint_adds_to_what_was_said(head: Told) -> None:
    head.joint(FIRST, thread="M10x1.25", strength="10.9")
    head.joint(LAST, state="oiled")
    said = joint_of(head.build, head.line(SECOND))
    assert said is not None
    assert (said.said("thread"), said.said("state")) == ("M10x1.25", "oiled"), "one joint, whichever of its lines"
    head.joint(LAST, state="")
    said = joint_of(head.build, head.line(SECOND))
    assert said is not None
    assert said.said("state") == ""


def test_a_preload_is_a_window_and_never_one_number(head: Told) -> None:
    """K of oiled threads runs from 0.10 to 0.26 (nut factor lists, read): 60 N·m on M10 is 23 to 60 kN."""
    head.joint(FIRST, thread="M10x1.25", strength="10.9", state="oiled")
    said = joint_of(head.build, head.line(FIRST))
    assert said is not None
    total = joint_sum(said, 60.0)
    assert total is not None
    assert total.window.low_n == pytest.approx(60_000 / (0.26 * 10), rel=1e-9)
    assert total.window.high_n == pytest.approx(60_000 / (0.10 * 10), rel=1e-9)
    # proof load of M10x1.25 10.9: 50.8 kN (ISO 898-1, from memory)
    assert total.proof_n == pytest.approx(50_800, rel=0.006)
    assert any("table" in words or "K 0.1" in words for words in map(say, said.taken_from))


@given(torque=st.floats(1, 500), more=st.floats(1.01, 3))
def test_more_torque_never_means_less_preload(torque: float, more: float) -> None:
    said = described(
        {"thread": "M10x1.5", "strength": "8.8", "state": "oiled"}, shipped_tables(), "AB", story().now, None
    )
    less, greater = joint_sum(said, torque), joint_sum(said, torque * more)
    assert less is not None
    assert greater is not None
    assert less.window.low_n < greater.window.low_n
    assert less.window.low_n < less.middle_n < less.window.high_n


# --- in plan files

BOLTED = SMALL.replace(
    'spec = { kind = "torque", unit = "N·m" }', 'spec = { kind = "torque", unit = "N·m", state = "oiled" }\n{}'
)


@pytest.mark.parametrize(
    ("tightening", "fault"),
    [
        ('{ pattern = "rows" }', "rows: say how many bolts stand in each row"),
        ('{ pattern = "rows", rows = [2, 2] }', "rows: 4 bolts stand in them, and the step has 3 places"),
        ('{ order = ["1", "2"] }', "order: must name each of the step's places once"),
        ('{ lie = ["1", "2", "2"] }', "lie: must name each of the step's places once"),
        ('{ passes = ["some"] }', "neither a share such as 70 % nor a torque"),
        ('{ stretch = "much" }', "stretch: "),
    ],
)
def test_a_tightening_that_does_not_fit_its_step_is_a_fault_of_the_plan(tightening: str, fault: str) -> None:
    with pytest.raises(PlanError, match=fault):
        parse_plan(BOLTED.replace("{}", f"tightening = {tightening}", 1))


def test_a_plans_own_tightening_is_read() -> None:
    plan = parse_plan(BOLTED.replace("{}", 'tightening = { pattern = "circle", passes = ["70 %", "100 %"] }', 1))
    (step,) = [one for one in plan.steps() if one.id == "torque-mains"]
    assert step.tightening is not None
    assert step.tightening.pattern is Order.CIRCLE


def test_a_turning_torque_tightens_nothing() -> None:
    told = story()
    build: Build = told.build
    assert build.by_id["turn-after-caps"].tightening is None
    with refused("tightens no bolts"):
        told.bolt("turn-after-caps", "-")
