"""Passes, angles, run-on, castle nuts, and bolts used again."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.shipped_tables import shipped_tables
from app.trade.threads import read_thread
from app.trade.tightening import (
    NECK_LIMITS_MM,
    AngleAnswer,
    AngleWindow,
    CastleAnswer,
    Move,
    Pass,
    UsedBolt,
    UsePolicy,
    UseRule,
    angle_passes,
    castle_nut,
    equal_passes,
    judge_turn,
    least_kept_run_on_nm,
    listed_passes,
    may_be_used,
    middle_nm,
    passes,
    retorqued_cold,
    run_on_note,
    slackened_between,
    with_run_on_nm,
)
from app.trade.wrench import wrench_setting

TABLES = shipped_tables()
torques = st.floats(1, 500)


# --- Passes


def test_the_first_pass_stands_at_70_per_cent_and_the_last_at_all() -> None:
    # US Army TM 5-3805-248-23-1 (read)
    assert passes(100) == (Pass(1, Move.TIGHTEN, 70.0), Pass(2, Move.TIGHTEN, 100.0))


def test_three_equal_passes() -> None:
    assert [row.torque_nm for row in equal_passes(90, 3)] == pytest.approx([30, 60, 90])


@given(torques, st.integers(1, 20))
def test_passes_rise_and_end_at_the_torque(torque: float, count: int) -> None:
    found = [row.torque_nm or 0 for row in equal_passes(torque, count)]
    assert found == sorted(set(found))
    assert found[-1] == torque
    assert [row.number for row in equal_passes(torque, count)] == list(range(1, count + 1))


def test_a_makers_list_and_angles_are_passes_of_their_own() -> None:
    # Head at 40 N·m + 45 + 45 + 45 + 30: US Army TM 10-3930-669-20 app. E (read); stages are not merged
    rows = angle_passes(40, (45, 45, 45, 30))
    assert [row.turn_deg for row in rows] == [None, 45, 45, 45, 30]
    assert sum(row.turn_deg or 0 for row in rows) == 165
    assert [row.torque_nm for row in listed_passes((20, 40, 61))] == [20, 40, 61]


def test_tighten_slacken_tighten_and_cold_retorque() -> None:
    rows = slackened_between(passes(60), angle_passes(30, (90,)))
    assert [row.move for row in rows] == [Move.TIGHTEN, Move.TIGHTEN, Move.SLACKEN, Move.TIGHTEN, Move.TURN]
    assert [row.number for row in rows] == [1, 2, 3, 4, 5]
    assert retorqued_cold(passes(60), listed_passes((60,)))[2] == Pass(3, Move.COOL)


@pytest.mark.parametrize(
    "call",
    [
        lambda: passes(0),
        lambda: passes(2500),
        lambda: passes(60, ()),
        lambda: passes(60, (0.0, 1.0)),
        lambda: passes(60, (0.7, 0.5, 1.0)),
        lambda: passes(60, (0.5, 0.7)),
        lambda: equal_passes(60, 0),
        lambda: listed_passes(()),
        lambda: listed_passes((40, 40)),
        lambda: angle_passes(40, ()),
        lambda: angle_passes(40, (0,)),
        lambda: angle_passes(40, (900,)),
        lambda: slackened_between((), passes(60)),
        lambda: judge_turn(AngleWindow(94, 90), 92),
        lambda: judge_turn(AngleWindow(0, 90), 50),
        lambda: judge_turn(AngleWindow(90, 721), 92),
        lambda: judge_turn(AngleWindow(90, 94), -1),
        lambda: judge_turn(AngleWindow(90, 94, 60), 92),
        lambda: with_run_on_nm(60, -1),
        lambda: middle_nm(60, 50),
        lambda: castle_nut(60, 50, 55, slot_in_line=True),
        lambda: may_be_used(UseRule(UsePolicy.NECK), UsedBolt()),
        lambda: may_be_used(UseRule(UsePolicy.COUNT, 0), UsedBolt()),
        lambda: may_be_used(UseRule(UsePolicy.LENGTH, math.nan), UsedBolt(length_mm=100)),
        lambda: may_be_used(UseRule(UsePolicy.REUSE), UsedBolt(-1)),
        lambda: may_be_used(UseRule(UsePolicy.NECK, 0.11), UsedBolt(1, 10.0, 0.0)),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError) as refusal:
        call()
    assert str(refusal.value).endswith(".")
    assert ". " not in str(refusal.value)


# --- Angle


@pytest.mark.parametrize(
    ("turned", "answer"),
    [
        (0, AngleAnswer.KEEP_TURNING),
        (89, AngleAnswer.KEEP_TURNING),
        (90, AngleAnswer.WITHIN),
        (94, AngleAnswer.WITHIN),
        (95, AngleAnswer.RESTART),
    ],
)
def test_over_the_window_is_slackened_fully_and_begun_anew(turned: float, answer: AngleAnswer) -> None:
    # A window of 90 to 94° (makers' service data, read)
    assert judge_turn(AngleWindow(90, 94), turned) is answer


def test_a_turn_that_ends_below_the_least_torque_replaces_the_bolt() -> None:
    window = AngleWindow(90, 94, least_end_nm=60)
    assert judge_turn(window, 92, 60) is AngleAnswer.WITHIN
    assert judge_turn(window, 92, 59) is AngleAnswer.REPLACE
    assert judge_turn(window, 50) is AngleAnswer.KEEP_TURNING


# --- Run-on and castle nuts


@given(torques, st.floats(0, 50))
def test_the_run_on_is_added_in_full(torque: float, run_on: float) -> None:
    assert with_run_on_nm(torque, run_on) - torque == pytest.approx(run_on, abs=1e-9)


@given(torques, st.floats(0.1, 50))
def test_the_run_on_goes_in_before_the_adapter(torque: float, run_on: float) -> None:
    right = wrench_setting(with_run_on_nm(torque, run_on), 400, 100)
    assert right < with_run_on_nm(wrench_setting(torque, 400, 100), run_on)


def test_a_used_lock_nut_goes_below_30_per_cent() -> None:
    assert least_kept_run_on_nm(2.0) == pytest.approx(0.6)


def test_the_sources_disagree_on_the_least_run_on() -> None:
    # 7/16-20: 8 lbf·in in one, 14 and 15 in others (read)
    note = run_on_note(read_thread("7/16-20", TABLES), TABLES)
    assert note.startswith("The sources disagree on the least run-on for 7/16-20 UNF: 0.90 N·m (FAA AC 43.13-1B")
    assert "1.69 N·m" in note
    assert note.endswith("so ask for the nut's own standard.")


def test_a_thread_no_source_names_says_so() -> None:
    note = run_on_note(read_thread("M10", TABLES), TABLES)
    assert note == "No least run-on is known for M10: ask for the nut's own standard."


@pytest.mark.parametrize(
    ("torque", "in_line", "answer"),
    [
        (50, False, CastleAnswer.TO_LEAST),
        (50, True, CastleAnswer.TO_LEAST),
        (60, True, CastleAnswer.FIT_PIN),
        (60, False, CastleAnswer.TO_NEXT_SLOT),
        (80, True, CastleAnswer.FIT_PIN),
        (80, False, CastleAnswer.CHANGE),
        (81, True, CastleAnswer.CHANGE),
    ],
)
def test_a_castle_nut_is_lined_up_by_tightening_only(torque: float, in_line: bool, answer: CastleAnswer) -> None:
    # From the least torque upwards, never past the highest: FAA AC 43.13-1B (read)
    assert castle_nut(60, 80, torque, slot_in_line=in_line) is answer


@given(st.floats(1, 200), st.booleans())
def test_a_pin_is_fitted_only_within_the_range(torque: float, in_line: bool) -> None:
    fits = castle_nut(60, 80, torque, slot_in_line=in_line) is CastleAnswer.FIT_PIN
    assert fits is (in_line and 60 <= torque <= 80)


# --- Use again


@pytest.mark.parametrize(
    ("rule", "bolt", "allowed", "said"),
    [
        (UseRule(UsePolicy.REUSE), UsedBolt(7), True, "may be used again"),
        (UseRule(UsePolicy.NEW), UsedBolt(0), True, "is new"),
        (UseRule(UsePolicy.NEW), UsedBolt(1), False, "take a new one"),
        (UseRule(UsePolicy.NECK, 0.11), UsedBolt(1, 9.97, 9.86), True, "0.11 mm thinner, within the 0.11 mm"),
        (UseRule(UsePolicy.NECK, 0.11), UsedBolt(1, 9.97, 9.85), False, "0.12 mm thinner, over the 0.11 mm"),
        (UseRule(UsePolicy.NECK, 0.25), UsedBolt(1, 9.97, 9.85), True, "within the 0.25 mm"),
        (UseRule(UsePolicy.NECK, 0.25), UsedBolt(1, 9.97, 9.71), False, "over the 0.25 mm"),
        (UseRule(UsePolicy.NECK, 0.11), UsedBolt(1, 9.97), None, "Measure the thread where it was free"),
        (UseRule(UsePolicy.LENGTH, 98.5), UsedBolt(1, length_mm=98.5), True, "within the 98.5 mm"),
        (UseRule(UsePolicy.LENGTH, 98.5), UsedBolt(1, length_mm=98.6), False, "over the 98.5 mm"),
        (UseRule(UsePolicy.LENGTH, 98.5), UsedBolt(1), None, "Measure the length"),
        (UseRule(UsePolicy.COUNT, 3), UsedBolt(2), True, "2 of 3 times."),
        (UseRule(UsePolicy.COUNT, 3), UsedBolt(3), False, "3 of 3 times: take a new one."),
    ],
)
def test_each_policy_says_whether_a_bolt_may_be_used(
    rule: UseRule, bolt: UsedBolt, allowed: bool | None, said: str
) -> None:
    # Five policies, read in makers' service data, that differ from one another
    use = may_be_used(rule, bolt)
    assert use.allowed is allowed
    assert said in use.sentence
    assert use.sentence.endswith(".")


@given(st.floats(0, 1))
def test_the_two_neck_limits_disagree_only_between_them(less: float) -> None:
    bolt = UsedBolt(1, 10.0, 10.0 - less)
    tight, loose = (may_be_used(UseRule(UsePolicy.NECK, limit), bolt).allowed for limit in NECK_LIMITS_MM)
    assert loose or not tight
    if tight is not loose:
        assert 0.11 < less <= 0.2500001
