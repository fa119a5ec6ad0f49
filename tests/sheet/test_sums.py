"""The sums at the bench: each meets a published figure, names the field at fault, and never fails in any other way."""

import json
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange.measuring_tables import measuring_tables
from app.sheet.sums import SUMS
from app.sheet.sums.sum import Ask, Missing, Shelf, Sum, SumError
from app.trade.shipped_tables import shipped_tables

SHELF = Shelf(shipped_tables(), measuring_tables())
BY_ID = {one.id: one for one in SUMS}
UNITS = "nm|n|mm|deg|mpa|cc|g|l|m_s|share|ratio|per_cc|per_bore"
# Words, lists and bare ratios; they have no unit.
NAMES = frozenset(
    (
        "given",
        "sources",
        "remarks",
        "findings",
        "rules",
        "first",
        "order",
        "slackening",
        "stops",
        "mates",
        "faults",
        "general_cam",
        "valves",
        "asked",
        "gauge",
        "verdict",
        "kind",
        "same",
        "base_magnitude",
        "ratio",
        "ratio_doubt",
        "places",
        "out_of_reach",
        "pistons",
        "pairs",
        "out_of_band",
        "compression",
        "leak",
        "leaks",
        "cylinders",
        "points_to",
        "maker",
        "falling",
        "charts",
        "charts_agree",
        "notes",
        "estimated",
        "sum_rule_fault",
        "by_other_valve",
    )
)
JUNK = "☹ 1/0 %"
ASKED = [(one, ask) for one in SUMS for ask in one.asks]


def _id(each: Sum | Ask) -> str:
    return each.id if isinstance(each, Sum) else each.key


def values(id_: str, **typed: str) -> dict[str, Any]:
    """What a sum comes to."""
    return dict(BY_ID[id_].answer(typed, SHELF).values)


# --- every sum


@pytest.mark.parametrize("one", SUMS, ids=lambda one: one.id)
def test_the_example_works_and_says_its_sources(one: Sum) -> None:
    answer = one.answer(one.example, SHELF)
    assert answer.values["sources"]
    assert answer.sections[0].items or answer.sections[0].drawing
    assert json.loads(json.dumps(answer.values))["given"].items() >= dict(one.example).items()


@pytest.mark.parametrize("one", SUMS, ids=lambda one: one.id)
def test_every_value_says_its_unit_in_its_name(one: Sum) -> None:
    keys = set(one.answer(one.example, SHELF).values)
    assert [key for key in keys - NAMES if not re.search(rf"_({UNITS})$", key)] == []


@pytest.mark.parametrize(("one", "ask"), ASKED, ids=_id)
def test_what_cannot_be_read_is_refused_in_one_sentence_that_names_its_field(one: Sum, ask: Ask) -> None:
    typed = {**WHOLE.get(one.id, {}), **one.example, ask.key: JUNK}
    for key in OTHERS.get((one.id, ask.key), ()):
        typed[key] = ""
    typed |= WITH.get((one.id, ask.key), {})
    with pytest.raises(SumError) as refused:
        one.answer(typed, SHELF)
    said = str(refused.value)
    assert refused.value.key == ask.key
    assert said.startswith(f"{ask.label}: ")
    assert "\n" not in said
    assert said.endswith(".")


# What has to be given, or left out, for a field to be looked at.
WHOLE = {"valves": {"layout": "even intervals"}}
OTHERS = {
    ("stretch", "load"): ("stretch",),
    ("pattern", "order"): ("passes",),
    ("shells", "housings"): ("now", "fitted"),
    ("shells", "journals"): ("now", "fitted"),
}
WITH = {
    ("pattern", "order"): {"stand": "own order"},
    ("valves", "intervals"): {"layout": "intervals as typed"},
    ("degree", "lift"): {"measured": "20-60-60-20"},
    ("match", "rods"): {"what": "rods and pistons by mass", "masses": "A 400 g"},
    ("match", "masses"): {"what": "rods and pistons by mass", "rods": "1 600 g"},
    ("shells", "housings"): {"journals": "1 54.98 mm"},
    ("shells", "journals"): {"housings": "1 58.02 mm"},
}


@pytest.mark.parametrize(
    ("one", "ask"), [(one, ask) for one, ask in ASKED if not ask.optional and not ask.default], ids=_id
)
def test_what_is_needed_is_asked_for_by_its_name(one: Sum, ask: Ask) -> None:
    with pytest.raises(Missing, match=re.escape(f"{ask.label}: still to be given")):
        one.answer({**one.example, ask.key: " "}, SHELF)


def test_a_field_nobody_asks_for_is_refused() -> None:
    with pytest.raises(SumError, match="Nothing called “levr” is asked here"):
        values("wrench", torque="60", levr="400")


TYPED = st.one_of(
    st.text(max_size=12),
    st.text("0123456789.,-+ mincft·N%°;:xM/IE", max_size=12),
    st.sampled_from(
        ["0", "-5 mm", "1e400", "9" * 120, "1-3-4-2", "M10x1.5", "0,5", "1/2 in", "60 N·m", "5, 5", "100 %"]
    ),
)


@pytest.mark.parametrize("id_", [one.id for one in SUMS])
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_no_typed_text_raises_anything_but_a_sentence(id_: str, data: st.DataObject) -> None:
    one = BY_ID[id_]
    changed = data.draw(st.dictionaries(st.sampled_from([ask.key for ask in one.asks]), TYPED, min_size=1, max_size=3))
    try:
        found = one.answer({**one.example, **changed}, SHELF).values
    except ValueError as error:
        sentence, found = str(error), {}
    else:
        sentence = ""
    json.dumps(found, allow_nan=False)
    assert bool(found) != bool(sentence.strip())
    assert "\n" not in sentence


# --- each sum against a figure from outside


def test_wrench_set_with_an_adapter() -> None:  # US Army TM 1-1500-204-23-9, para 8-5: 214 lbf·in
    found = values("wrench", torque="300 lbf·in", lever="10 in", adapter="4 in")
    assert found["setting_nm"] / 0.1129848 == pytest.approx(214, abs=0.5)


def test_wrench_run_on_is_added_before_the_adapter_is_allowed_for() -> None:  # FAA AC 43.13-1B para 7-40
    found = values("wrench", torque="300 lbf·in", run_on="50 lbf·in", lever="10 in", adapter="4 in")
    assert found["setting_nm"] / 0.1129848 == pytest.approx(350 * 10 / 14, abs=0.01)


def test_wrench_too_large_for_the_torque_is_said() -> None:  # TM 1-1500-204-23-9: not below 20 % of full scale
    found = values("wrench", torque="10 N·m", range="0 to 200 N·m", graduation="1 N·m")
    assert any("not sure below" in sentence for sentence in found["remarks"])


def test_threads_in_another_state_give_a_range_and_never_one_figure() -> None:  # T K_low / K_high, by hand
    found = values("threads", thread="M10x1.5", torque="60 N·m", written_for="dry", used="oiled")
    assert found["torque_low_nm"] == pytest.approx(60 * 0.10 / 0.30)
    assert found["torque_high_nm"] == pytest.approx(60 * 0.26 / 0.18)


def test_joint_share_of_proof_load() -> None:  # ISO 898-1: M10 coarse 10.9 has a proof load of 48 100 N
    found = values("joint", **BY_ID["joint"].example)
    assert found["proof_n"] == pytest.approx(48_100, rel=0.006)
    assert found["preload_high_n"] == pytest.approx(60 / (0.10 * 10) * 1000)


def test_stretch_and_load_lead_back_to_each_other() -> None:  # inverse of F/E times the sum of L/A
    shape = {"thread": "M10x1.25", "shank": "30", "clamped": "60", "head": "6.4", "nut": "8"}
    load = values("stretch", **shape, stretch="0.12 mm")["load_n"]
    assert values("stretch", **shape, load=f"{load} N")["stretch_mm"] == pytest.approx(0.12)


def test_stretch_turn_is_the_share_of_the_lead() -> None:  # 360 delta / P, MIL-HDBK-60: 0.125 mm of 1.25 mm is 36°
    shape = {"thread": "M10x1.25", "shank": "30", "clamped": "60", "head": "6.4", "nut": "8"}
    assert values("stretch", **shape, stretch="0.125 mm")["turn_deg"] == pytest.approx(36)


def test_pattern_crosswise_on_a_circle() -> None:  # US Army TM 5-3805-248-23-1: opposite pairs
    order = values("pattern", stand="circle", bolts="8")["order"]
    assert all((second - first) % 8 == 4 for first, second in zip(order[::2], order[1::2], strict=True))


def test_pattern_first_pass_is_at_70_percent() -> None:  # US Army TM 5-3805-248-23-1
    assert values("pattern", bolts="5, 5", torque="100 N·m")["passes_nm"] == pytest.approx([70, 100])


def test_pattern_own_order_is_reversed_to_slacken() -> None:
    found = values("pattern", stand="own order", bolts="2, 2", order="4-1-3-2")
    assert (found["order"], found["slackening"]) == ([4, 1, 3, 2], [2, 3, 1, 4])


def test_unit_of_a_torque() -> None:  # NIST SP 811: 1 lbf·ft is 1.355 818 N·m
    assert values("unit", value="18 lb-ft")["same"]["N·m"] == pytest.approx(18 * 1.355818, rel=1e-6)


def test_unit_asks_when_a_value_has_none() -> None:
    with pytest.raises(SumError, match="say which kind is meant"):
        values("unit", value="18")


def test_valves_of_a_four_in_two_stops() -> None:  # TM 5-3895-383-24 p. 6-60
    found = values("valves", order="1-3-4-2", cam="15-50-50-15")
    stops = [set(stop["margins_deg"]) for stop in found["stops"]]
    assert stops == [{"in1", "in2", "ex1", "ex3"}, {"in3", "in4", "ex2", "ex4"}]


def test_valves_says_which_entry_of_a_printed_table_is_wrong() -> None:  # in3 is being lifted at No 1's firing TDC
    found = values("valves", order="1-3-4-2", cam="15-50-50-15", printed="0: I1 I3 E1 E3; 360: I2 I4 E2 E4")
    assert any("in3" in fault for fault in found["faults"])


def test_valves_with_no_cam_given_says_that_a_general_one_stands_in() -> None:
    assert values("valves", order="1-3-4-2")["general_cam"]


def test_valves_of_a_large_engine_with_more_margin_than_two_stops_have_is_refused_at_once() -> None:
    with pytest.raises(SumError, match="two stops allow at most 28°"):
        values("valves", order="1-2-3-4-5-6-7-8-9-10-11-12-13-14-15-16", margin="60", intakes="3")


def test_ratio_by_hand() -> None:  # 86 x 86: 499.56 cc; 45 + 7.2158 + 1.1618 + 5 = 58.378 cc left
    found = values("ratio", **BY_ID["ratio"].example)
    assert found["ratio"] == pytest.approx((499.557 + 58.3776) / 58.3776, abs=1e-4)
    assert found["ratio_per_cc"] == pytest.approx(499.557 / 58.3776**2, abs=1e-5)


def test_ratio_with_the_chamber_it_asks_for_is_the_ratio_wanted() -> None:
    typed = dict(BY_ID["ratio"].example)
    chamber = values("ratio", **typed)["chamber_wanted_cc"]
    assert values("ratio", **{**typed, "chamber": f"{chamber} cc"})["ratio"] == pytest.approx(10.5)


def test_verdict_near_a_limit_cannot_be_decided() -> None:  # ISO 14253-1; the chance by JCGM 106: Φ(1) = 0.8413
    found = values("verdict", value="0.065 mm", limits="at most 0.07 mm", doubt="0.01 mm")
    assert found["verdict"] == "Cannot decide"
    assert found["inside_share"] == pytest.approx(0.8413, abs=1e-4)


def test_verdict_says_a_gauge_is_too_coarse_and_what_would_do() -> None:
    found = values("verdict", value="60.05", limits="60.02 to 60.08 mm", instrument="a caliper of the 0.02 mm class")
    assert "take an outside micrometer" in found["gauge"]


def test_shim_by_the_shim_chart() -> None:  # 2.425 replaced by 2.50 at 0.25 gives 0.175, shim chart (read)
    found = values("shim", valves="E1 2.425 0.25", intake="0.1 to 0.2", exhaust="0.15 to 0.18", stock="2.50; 2.60")
    assert found["valves"] == [{"valve": "ex1", "shim_mm": 2.5, "source": "buy", "lash_mm": 0.175}]
    assert found["buy_mm"] == [2.5]


def test_gap_of_both_sets_and_what_to_file() -> None:  # set A 0.004 in and set B 0.0045 in per inch of bore
    found = values("gap", bore="4 in", measured="0.25 mm")
    assert (found["gap_low_mm"], found["gap_high_mm"]) == pytest.approx((0.016 * 25.4, 0.018 * 25.4))
    assert found["file_low_mm"] == pytest.approx(0.016 * 25.4 - 0.25)


def test_gap_asks_about_a_figure_per_inch_read_as_a_gap() -> None:
    assert "per inch of bore" in values("gap", bore="4 in", sheet="0.0045 in")["asked"]


def test_degree_centre_from_equal_lift() -> None:  # degree wheel page: 60 and 145.5 give 102.75
    found = values("degree", readings="60, 145.5", card="20-60-60-20")
    assert (found["intake_centre_deg"], found["late_deg"]) == (102.75, -7.25)


def test_degree_timing_of_a_cam() -> None:  # 20-60-60-20: duration 260, centres 110, separation 110, overlap 40
    found = values("degree", measured="20-60-60-20")
    figures = [found[key] for key in ("intake_duration_deg", "intake_centre_deg", "separation_deg", "overlap_deg")]
    assert figures == [260, 110, 110, 40]


def test_valves_of_a_printed_table_without_degrees() -> None:  # TM 5-3895-383-24 p. 6-60; in3 and in2 swapped after it
    right = values("valves", order="1-3-4-2", cam="15-50-50-15", printed="I1 I2 E1 E3 / I3 I4 E2 E4")
    wrong = values("valves", order="1-3-4-2", cam="15-50-50-15", printed="I1 I3 E1 E3 / I2 E2 E4 E4")
    assert right["faults"] == []
    for named in ("Valve in3 is being lifted", "Valve in2 is being lifted", "ex4 is listed 2 times", "in4 is never"):
        assert any(named in fault for fault in wrong["faults"]), named


def test_valves_of_a_printed_table_with_other_stops_wants_its_degrees() -> None:
    with pytest.raises(SumError, match="Printed table to check: 3 stops stand there where 2 are worked out"):
        values("valves", order="1-3-4-2", printed="I1 / I2 / I3")


def test_valves_rule_of_nine_is_safe_only_on_a_head_that_mirrors() -> None:  # pairs of the rule on an owners club page
    assert values("valves", order="1-3-4-2", head="EIIEEIIE")["sum_rule_fault"] == ""
    assert "pairs an exhaust with an intake" in values("valves", order="1-3-4-2", head="EIEIEIEI")["sum_rule_fault"]
    assert "not running mates" in values("valves", order="1-8-4-3-6-5-7-2", head="EIIEEIIEEIIEEIIE")["sum_rule_fault"]


def test_valves_by_exhaust_opening_and_intake_closing() -> None:  # by hand: EVO 50 before BDC is 130 after firing TDC
    rows = {
        one["valve"]: one["at_deg"] for one in values("valves", order="1-3-4-2", cam="15-50-50-15")["by_other_valve"]
    }
    assert (rows["in1"], rows["ex1"], rows["in3"]) == (130, 590, 310)


def test_shells_by_hand() -> None:  # shells 0.006 thicker take 0.012 off; 0.003 thinner give 0.006
    found = values("shells", **BY_ID["shells"].example)
    assert [(one["shells"], one["clearance_mm"]) for one in found["places"]] == [
        ("blue", 0.05),
        ("black", 0.041),
        ("red", 0.028),
    ]


def test_shells_from_bore_and_journal_are_the_same() -> None:  # 58.020 - 54.980 - 2 x 1.497 = 0.046
    found = values("shells", housings="1 58.020", journals="1 54.980", sizes="blue 1.497 mm", band="0.03 to 0.06 mm")
    assert found["places"] == [{"place": "1", "shells": "blue", "clearance_mm": 0.046}]


def test_shells_tell_a_place_none_brings_in_and_serve_the_others() -> None:  # 0.100 - 2 x 0.006 = 0.088 at most
    typed = dict(BY_ID["shells"].example) | {"now": "1 0.100; 2 0.041 mm"}
    found = values("shells", **typed)
    assert found["out_of_reach"] == [{"place": "1", "nearest": "blue", "clearance_mm": 0.088}]
    assert [one["place"] for one in found["places"]] == ["2"]


def test_shells_of_neighbouring_sizes_may_be_mixed() -> None:  # one 1.491 and one 1.494: 0.003 off, not 0 or 0.006
    typed = {"now": "1 0.041", "fitted": "1.494", "sizes": "red 1.491; black 1.494", "band": "0.043 to 0.045 mm"}
    assert values("shells", **typed)["places"] == []
    mixed = values("shells", **typed, pairs="may be of neighbouring sizes")
    assert mixed["places"] == [{"place": "1", "shells": "red with black", "clearance_mm": 0.044}]


def test_shells_run_out_when_there_are_too_few_pairs() -> None:
    with pytest.raises(SumError, match="Shells to be had: These parts cannot be handed out"):
        values("shells", now="1 0.04; 2 0.04", fitted="1.5", sizes="red 1.5 x1", band="0.03 to 0.05 mm")


def test_match_pistons_shuffled_into_the_band() -> None:  # TM 10-3930-653-14&P: 0.025 to 0.045 mm; 87.210 - 87.175
    found = values("match", bores="1 87.210; 2 87.240", pistons="A 87.205; B 87.175", band="0.025 to 0.045 mm")
    assert [(one["piston"], one["clearance_mm"]) for one in found["pistons"]] == [("B", 0.035), ("A", 0.035)]
    assert found["out_of_band"] == []


def test_match_tells_the_bore_that_stays_out() -> None:  # 87.300 - 87.205 = 0.095
    found = values("match", bores="1 87.210; 2 87.300", pistons="A 87.205; B 87.175", band="0.025 to 0.045 mm")
    assert found["out_of_band"] == ["2"]


def test_match_rods_and_pistons_by_hand() -> None:  # 612 + 402 and 610 + 405 are 1 g apart; 1017 and 1012 as they lie
    found = values("match", what="rods and pistons by mass", rods="1 612; 2 610 g", masses="A 405; B 402 g")
    assert [(one["rod"], one["piston"], one["to_remove_g"]) for one in found["pairs"]] == [("1", "B", 0), ("2", "A", 1)]
    assert (found["left_g"], found["unmatched_g"]) == (1, 5)


def test_pressures_rules_stand_side_by_side() -> None:  # 110 of 150 psi is 73 %: over 70 %, under 75 %
    found = values("pressures", cranking="1 150; 2 110; 3 148; 4 145 psi")
    verdicts = {one["rule"]: one["verdict"] for one in found["compression"]}
    assert verdicts["lowest at least 70 % of highest"] == "In"
    assert verdicts["lowest at least 75 % of highest"] == "Out"
    assert all(one["source"] for one in found["compression"])
    low = {one["cylinder"]: one["low_by"] for one in found["cylinders"]}
    assert [cylinder for cylinder, rules in low.items() if rules] == [2]


def test_pressures_dry_and_oiled_point_to_rings_valves_or_gasket() -> None:  # factory repair pages (read)
    dry = "1 150; 2 80; 3 82; 4 100 psi"
    found = values("pressures", cranking=dry, oiled="2 81; 3 82; 4 130 psi", beside="1-2-3-4")
    assert found["points_to"] == [
        "Cylinder 4 rose with oil: look at its rings and bore.",
        "Neighbours 2 and 3 are both low and stayed so: look at the gasket between them.",
    ]


def test_pressures_low_on_all_alike_point_to_what_they_share() -> None:
    (said,) = values("pressures", cranking="1 80; 2 82; 3 81 psi")["points_to"]
    assert said.startswith("All cylinders are low and alike")


def test_pressures_held_of_a_supply() -> None:  # AC 43.13-1B par. 8-14: 60 of 80 psi is 25 %
    found = values("pressures", leak="1 60; 2 72 psi", supply="80 psi")
    assert [one["leak_percent"] for one in found["leaks"]] == pytest.approx([25, 10])
    assert {one["rule"]: one["verdict"] for one in found["leak"]}["aircraft, 60 of 80 psi"] == "In"


def test_oil_by_rules_of_thumb() -> None:  # 10 psi and 7 psi per 1000 rpm, hot (read): 25 psi at 3000 lies between
    found = values("oil", hot="1000 12; 3000 25 psi")
    assert [one["verdict"] for one in found["rules"]] == ["Out", "In"]


def test_oil_by_the_maker_goes_first_and_an_unread_speed_is_asked_for() -> None:
    found = values("oil", hot="1000 6 psi", maker="1000 6; 3000 40 psi")
    assert [(one["rpm"], one["verdict"]) for one in found["maker"]] == [(1000, "In")]
    answer = BY_ID["oil"].answer({"hot": "1000 6 psi", "maker": "1000 6; 3000 40 psi"}, SHELF)
    assert any("not read at this speed yet" in run.text for one in answer.sections for i in one.items for run in i.runs)


def test_oil_that_falls_with_speed_is_said() -> None:
    assert "look at the pickup" in values("oil", hot="1000 30; 2000 50; 3000 30 psi")["falling"]


def test_oil_filled_at_an_angle() -> None:  # by hand: 150 tan 5° = 13.1 mm; over 600 cm² that is 0.79 L
    found = values("oil", angle="5°", middle="150 mm", surface="600")
    assert (found["dip_change_mm"], found["underfill_l"]) == pytest.approx((13.12, 0.787), abs=0.005)


def test_piston_travel_and_speeds() -> None:  # 86 x 143 computed: 7.3864 mm at 30°; 19.91, 32.92 at 74.5°, 20.07 m/s
    found = values("piston", stroke="86 mm", rod="143 mm", at="30°", rpm="7000")
    assert found["travel_mm"] == pytest.approx(7.3864, abs=1e-4)
    speeds = [found[key] for key in ("speed_m_s", "peak_m_s", "mean_m_s")]
    assert speeds == pytest.approx([19.91, 32.92, 20.07], abs=0.005)
    assert found["peak_deg"] == pytest.approx(74.5, abs=0.05)


def test_piston_meets_the_valve_soonest_a_few_degrees_after_tdc() -> None:  # own model: 2.5° to 7.5° after, intake
    typed = dict(BY_ID["piston"].example)
    intake, exhaust = values("piston", **typed), values("piston", **typed, side="exhaust")
    assert 2.5 <= intake["gap_deg"] <= 7.5
    assert exhaust["gap_deg"] == -intake["gap_deg"]
    assert intake["estimated"]


def test_piston_gap_as_read_goes_before_the_estimate() -> None:  # at least 0.080 in is 2.032 mm, a how-to article
    typed = dict(BY_ID["piston"].example) | {"sweep": "-10 3.0; 0 2.4; 10 2.0 mm"}
    found = values("piston", **typed)
    assert (found["gap_mm"], found["gap_deg"], found["verdict"]) == (2.0, 10, "Out")
    assert not found["estimated"]
    assert len(found["findings"]) == 3


def test_plug_charts_that_have_nothing_in_common() -> None:  # 14 mm gasket in iron: 18.0 to 25.3 and 26 to 29 lb-ft
    found = values("plug", thread="14 mm", seat="gasket", head="iron")
    spans = [(one["low_nm"] / 1.355818, one["high_nm"] / 1.355818) for one in found["charts"]]
    assert spans == [pytest.approx((18.0, 25.3), abs=0.01), pytest.approx((26, 29), abs=0.01)]
    assert not found["charts_agree"]


def test_plug_with_anti_seize_gets_20_to_30_percent_less() -> None:  # a repair site (read): 18.0 x 0.7, 21.6 x 0.8
    chart = values("plug", threads="with anti-seize")["charts"][0]
    assert (chart["low_nm"] / 1.355818, chart["high_nm"] / 1.355818) == pytest.approx((12.6, 17.28), abs=0.01)


def test_plug_gap_is_judged_by_the_maker_s_only() -> None:
    assert values("plug", gap="0.9 mm")["verdict"] is None
    assert values("plug", gap="0.9 mm", gap_limits="0.7 to 0.8 mm")["verdict"] == "Out"


def test_plug_no_chart_has_is_refused_with_those_there_are() -> None:
    with pytest.raises(SumError, match="Thread: No chart has a 8 mm plug with gasket seat in iron"):
        values("plug", thread="8 mm", head="iron")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1 150; 2 145", "has no unit"),
        ("1 150; 1 145 psi", "“1” stands there more than once"),
        ("a 150; b 145 psi", "“a” is not a whole number"),
        ("1 150 psi", "at least two readings"),
        ("99 150; 1 145 psi", "99 cannot be; give 1 to 24"),
    ],
)
def test_figures_by_name_that_cannot_be_told_apart_are_refused(typed: str, said: str) -> None:
    with pytest.raises(SumError, match=said):
        values("pressures", cranking=typed)


def test_figures_without_a_name_are_counted_and_share_the_last_unit() -> None:
    found = values("pressures", cranking="150, 145, 148 psi")
    named = values("pressures", cranking="1 150; 2 145; 3 148 psi")
    assert found["cylinders"] == named["cylinders"]
