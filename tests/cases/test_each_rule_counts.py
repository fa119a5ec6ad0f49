"""No rule is there for nothing: without it, some story does not end well."""

from collections.abc import Callable
from functools import partial

import pytest

from app.assembly.rules import RULES, loose_ends
from tests.cases import (
    test_bolts,
    test_fasteners,
    test_figures,
    test_first_start,
    test_left_in,
    test_measuring,
    test_oil,
    test_orientation,
    test_parts,
    test_sizes,
    test_time_away,
)
from tests.plans import Bench

# Two rules have no case of their own: every shipped figure has its source, and nobody's clock was told of.
ELSEWHERE = {"source-missing", "clock-ahead"}

STORY: dict[str, Callable[[], None]] = {
    "gauge-coarse": test_measuring.test_a_calliper_cannot_judge_a_bearing,
    "rounds-moved": test_measuring.test_lash_that_does_not_stay_over_two_turns,
    "heat-differs": test_measuring.test_a_cold_figure_on_a_hot_engine,
    "lash-alone": test_measuring.test_one_valve_sinks_into_its_seat,
    "gap-per-inch": test_measuring.test_four_thousandths_per_inch_is_no_gap,
    "result-stale": test_measuring.test_a_height_measured_with_other_pistons,
    "unit-not-on-wrench": test_bolts.test_a_wrench_of_the_other_kind_on_one_toolbox_is_asked_about,
    "wrench-unfit": test_bolts.test_a_wrench_used_below_a_fifth_of_its_scale_promises_nothing,
    "threads-differ": test_bolts.test_oil_on_threads_whose_figure_was_for_dry_ones,
    "pressure-over": test_bolts.test_a_stronger_stud_does_not_make_the_head_stronger,
    "over-proof": test_bolts.test_a_figure_that_pulls_the_bolt_past_its_proof_load,
    "engagement-short": test_bolts.test_too_little_thread_in_an_old_block,
    "adapter-unmeasured": test_bolts.test_an_adapter_that_nobody_measured,
    "bolt-not-new": test_bolts.test_an_old_crank_bolt_goes_in_a_second_time,
    "bolt-worn": test_bolts.test_a_head_bolt_that_has_grown_is_not_used_again,
    "pass-open": test_bolts.test_a_head_left_half_way_is_remembered_the_next_week,
    "stud-refused": partial(test_bolts.test_a_stud_by_torque_and_stretch, "98 N·m", "0.40 mm"),
    "angle-first": test_bolts.test_turned_without_its_torque,
    "not-primed": partial(test_oil.test_nothing_is_cranked_or_started_on_a_pump_nobody_drove, "four-ohv"),
    "hole-differs": test_sizes.test_a_bolt_longer_than_its_hole_is_told_before_it_bottoms,
    "hole-unsealed": partial(
        test_parts.test_a_hole_that_opens_into_something_takes_sealant_or_the_engine_does_not_close, "oil"
    ),
    "finding-open": test_oil.test_a_trial_that_binds_is_written_up_and_the_real_thing_is_still_to_do,
    "hold-open": test_parts.test_nothing_goes_over_a_gallery_nobody_proved_clean,
    "stopped": test_oil.test_another_way_of_priming_comes_into_the_plan_and_the_engine_stays_out_till_it_worked,
    "opened-not-closed": test_fasteners.test_extra_work_gets_its_line_in_one_go_and_keeps_the_gate_until_it_is_closed,
    "hole-open": partial(test_parts.test_a_gasket_is_no_plug, "four-ohv"),
    "reading-out": partial(test_oil.test_low_pressure_is_found_on_the_stand_and_not_in_the_car, "four-ohv"),
    "count-reached": test_fasteners.test_each_rod_bolt_has_its_own_reading_and_its_own_count,
    "temporary-in": partial(test_left_in.test_rags_are_counted_out_before_the_top_closes, "four-ohv"),
    "standing-in": partial(test_first_start.test_the_damper_seated_with_an_old_bolt_is_only_standing_in, "four-ohv"),
    "open-time-over": partial(
        test_figures.test_a_bead_is_closed_before_it_skins_or_laid_anew, "four-ohv", 16, late=True
    ),
    "passed-over": test_oil.test_a_stuck_plug_stays_on_the_list_with_its_dirt,
    "gate-line-open": partial(test_orientation.test_each_piston_is_seen_for_its_own_bank, "v8-ohv", "6"),
    "look-again": partial(test_fasteners.test_a_fuel_joint_touched_after_its_test_is_open_again, "four-ohv"),
    "second-look-missing": partial(test_parts.test_walking_away_and_looking_again_is_another_look, "four-ohv"),
    "decision-reopened": test_left_in.test_a_screw_left_where_it_fell_is_written_with_what_would_bring_it_back,
    "figures-disagree": (
        test_fasteners.test_three_opinions_on_one_torque_are_a_loose_end_until_one_is_chosen_with_a_reason
    ),
    "tool-doubtful": (test_fasteners.test_a_wrench_bought_second_hand_sets_nothing_that_counts_until_it_was_checked),
    "later-past": test_time_away.test_the_moment_it_was_put_off_to_goes_by_and_it_is_still_there,
    "later-possible": test_time_away.test_what_was_put_off_for_a_part_says_so_when_the_part_is_there,
    "reading-missing": partial(test_oil.test_one_pump_bolt_without_its_value_keeps_the_pan_off, "four-ohv"),
    "reading-undecided": test_figures.test_torque_then_angle_has_no_one_number_and_says_that_it_cannot_decide,
    "size-doubtful": test_sizes.test_a_point_in_the_wrong_place_is_asked_about_and_stands_until_it_is_said_to_be_so,
    "trial-only": test_parts.test_a_part_on_for_a_look_stays_on_the_list_until_it_is_off_or_final,
    "spec-empty": test_parts.test_flatness_by_daylight_is_no_reading,
    "follow-up-due": test_figures.test_a_retorque_falls_due_by_heat_cycle_and_distance,
    "long-pause": partial(test_time_away.test_after_years_the_list_knows_what_was_begun_and_what_was_final, "four-ohv"),
    "put-off": test_time_away.test_what_was_put_off_for_a_part_says_so_when_the_part_is_there,
    "concession-open": test_oil.test_the_drive_shaft_and_its_clip_cannot_be_forgotten_under_the_pan,
}


def test_every_rule_has_its_story() -> None:
    assert set(STORY) | ELSEWHERE == {rule.id for rule in RULES}


@pytest.mark.parametrize("rule", sorted(STORY))
def test_without_the_rule_its_story_fails(rule: str, monkeypatch: pytest.MonkeyPatch) -> None:
    STORY[rule]()
    others = (tuple(one for one in RULES if one.id != rule),)
    for looking in (loose_ends, Bench.ends, Bench.found):
        monkeypatch.setattr(looking, "__defaults__", others)
    with pytest.raises((AssertionError, ValueError)):
        STORY[rule]()
