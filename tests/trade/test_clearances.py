"""Clearances: rules side by side with their sources, shells chosen for all bearings at once, shapes and wear."""

import math
from collections import Counter
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exchange.measuring_tables import measuring_tables
from app.trade.clearances import (
    Shell,
    ShellChoice,
    ShellPlace,
    ShellSet,
    bearing_clearances,
    bearing_rule_mm,
    choose_shells,
    clearance_mm,
    clearance_span_mm,
    end_float_mm,
    greased_torque_nm,
    out_of_reach,
    out_of_round_mm,
    plug_torques,
    protrusion_step_mm,
    rim_arc_mm,
    run_out_mm,
    shell_sets,
    straightness_mm,
    strip_clearance_mm,
    taper_mm,
    wear_limit_mm,
    without_shells,
)
from app.trade.matching import NoMatch
from app.trade.measuring_tables import ClearanceRow, LimitKind
from app.trade.quantity import UNITS, Kind, Limits
from app.trade.ring_gap import (
    Ring,
    RingFiling,
    gap_growth_mm,
    gap_mm,
    gap_per_bore,
    per_inch_fault,
    ring_filing,
    ring_gaps,
)
from app.trade.tables import Known, Origin
from tests.trade.refusals import refuses

IN = UNITS["in"].to_base
LB_FT = UNITS["lbf·ft"]
TABLES = measuring_tables()
MANUAL = Origin("TM 5-6115-585-34", "TM 5-6115-585-34 table 1-2 p. 1-5", Known.READ)


# --- Laws


@given(st.floats(50, 150), st.floats(0.002, 0.01))
def test_a_gap_from_its_share_and_back(bore: float, share: float) -> None:
    assert gap_per_bore(gap_mm(bore, share), bore) == pytest.approx(share)
    assert per_inch_fault(gap_mm(bore, share), bore) == ""


@given(st.floats(50, 150), st.floats(0, 0.5), st.floats(0.1, 1))
def test_a_ring_in_a_larger_bore_opens_by_the_growth_of_the_circle(bore: float, growth: float, gap: float) -> None:
    body = math.pi * bore - gap
    assert math.pi * (bore + growth) - body == pytest.approx(gap + gap_growth_mm(growth))


@given(st.floats(0.1, 0.3), st.floats(1.05, 20))
def test_a_pressed_strip_keeps_its_area(strip: float, times: float) -> None:
    width = strip * times
    assert strip_clearance_mm(strip, width) * width == pytest.approx(math.pi / 4 * strip**2)


@given(st.lists(st.floats(49.9, 50.1), min_size=2, max_size=6), st.floats(-1, 1))
def test_taper_and_out_of_round_do_not_depend_on_where_the_gauge_was_zeroed(readings: list[float], zero: float) -> None:
    moved = [reading + zero for reading in readings]
    assert taper_mm(moved) == pytest.approx(taper_mm(readings), abs=1e-9)
    assert out_of_round_mm(moved) == pytest.approx(out_of_round_mm(readings), abs=1e-9)
    assert 0 <= protrusion_step_mm(readings) <= taper_mm(readings) + 1e-12


@settings(deadline=None)
@given(
    st.lists(st.integers(10, 80), min_size=1, max_size=4),
    st.lists(st.tuples(st.integers(-30, 30), st.sampled_from([None, 0, 1, 2])), min_size=1, max_size=4),
)
def test_shells_are_chosen_as_well_as_by_trying_every_way(
    now_um: list[int], sets_um: list[tuple[int, int | None]]
) -> None:
    places = [ShellPlace(str(n), um / 1000) for n, um in enumerate(now_um)]
    sets = [ShellSet(str(n), um / 1000, pairs) for n, (um, pairs) in enumerate(sets_um)]
    ways = []
    for choice in product(range(len(sets)), repeat=len(places)):
        gaps = [now + sets_um[column][0] for now, column in zip(now_um, choice, strict=True)]
        counts = Counter(choice)
        enough = all(sets[c].pairs is None or counts[c] <= (sets[c].pairs or 0) for c in counts)
        if enough and all(25 <= gap <= 60 for gap in gaps):
            ways.append(sum((gap - 40) ** 2 for gap in gaps))
    if not ways:
        with pytest.raises(NoMatch):
            choose_shells(places, sets, 0.025, 0.040, 0.060)
        return
    found = choose_shells(places, sets, 0.025, 0.040, 0.060)
    assert sum(((one.clearance_mm - 0.040) * 1000) ** 2 for one in found) == pytest.approx(min(ways), abs=1e-3)
    assert all(0.025 - 1e-9 <= one.clearance_mm <= 0.060 + 1e-9 for one in found)


@given(st.tuples(st.floats(50, 51), st.floats(50, 51)), st.tuples(st.floats(49, 51), st.floats(49, 51)), st.data())
def test_any_pair_made_to_its_limits_has_a_clearance_within_the_span(
    hole: tuple[float, float], shaft: tuple[float, float], data: st.DataObject
) -> None:
    hole, shaft = (min(hole), max(hole)), (min(shaft), max(shaft))
    low, high = clearance_span_mm(hole, shaft)
    one = clearance_mm(data.draw(st.floats(*hole)), data.draw(st.floats(*shaft)))
    assert low - 1e-9 <= one <= high + 1e-9


@given(st.floats(-0.05, 0.2), st.floats(1, 3), st.floats(-0.05, 0.05))
def test_shells_of_another_size_take_twice_what_they_are_thicker(now: float, fitted: float, thicker: float) -> None:
    (room,) = without_shells([ShellPlace("1", now)], {"1": fitted})
    (new,) = shell_sets([Shell("new", fitted + thicker)])
    assert room.clearance_mm + new.change_mm == pytest.approx(now - 2 * thicker, abs=1e-9)


# --- Examples


def test_mixed_shells_are_pairs_of_neighbouring_sizes() -> None:
    sets = shell_sets([Shell("C", 1.5), Shell("A", 1.4), Shell("B", 1.45)], mixed=True)
    assert {one.name for one in sets} == {"A", "B", "C", "A with B", "B with C"}
    assert sets[3].change_mm == pytest.approx(-2.85)


def test_a_bearing_no_shells_bring_in_is_told_with_the_nearest() -> None:
    sets = [ShellSet("thin", 0.01), ShellSet("thick", -0.01), ShellSet("thickest", -0.05, 0)]
    places = [ShellPlace("1", 0.09), ShellPlace("2", 0.04)]
    assert out_of_reach(places, sets, 0.03, 0.05) == (ShellChoice("1", "thick", 0.08),)


def test_ring_gap_sets_stand_side_by_side_with_their_sources() -> None:
    found = ring_gaps(IN(4), "top", "naturally aspirated", TABLES.ring_gaps)
    # 0.0040 and 0.0045 per inch of a 4 in bore (read): 0.016 and 0.018 in
    assert [(gap.rule.set, round(gap.least_mm / IN(1), 4)) for gap in found] == [("A", 0.016), ("B", 0.018)]
    assert len({gap.rule.origin.source for gap in found}) == 2
    assert len(ring_gaps(IN(4), "top", "blower", TABLES.ring_gaps)) == 1


@pytest.mark.parametrize("use", ["naturally aspirated", "mild boost or nitrous", "turbo or nitrous race"])
def test_the_second_ring_of_set_b_is_1_25_times_its_top_gap(use: str) -> None:
    top, second = (
        next(gap for gap in ring_gaps(IN(4), ring, use, TABLES.ring_gaps) if gap.rule.set == "B")
        for ring in ("top", "second")
    )
    assert second.least_mm == pytest.approx(1.25 * top.least_mm)


def test_each_ring_is_filed_by_what_it_lacks_in_its_own_bore() -> None:
    rings = [Ring("1-top", 0.30, 0.41), Ring("2-top", 0.41, 0.41), Ring("3-top", 0.45, 0.41)]
    assert ring_filing(rings) == (
        RingFiling("1-top", 0.11, 0),
        RingFiling("2-top", 0, 0),
        RingFiling("3-top", 0, 0.04),
    )


def test_a_figure_per_inch_read_as_a_gap_is_caught() -> None:
    assert "multiply it by the bore in inches" in per_inch_fault(IN(0.0045), IN(4))
    assert per_inch_fault(IN(0.016), IN(4)) == ""


def test_a_wear_limit_is_read_by_what_it_means() -> None:
    # TM 5-6115-585-34 table 1-2 (read): one column, two meanings
    rows = {row.title: row for row in TABLES.clearances if row.engine == "small generator set"}
    in_inches = {
        title: round(wear_limit_mm(row) / IN(1), 4) for title, row in rows.items() if row.wear_kind is not None
    }
    assert in_inches["Rod side clearance"] == 0.0160
    assert in_inches["Pin bush bore"] == 0.9916
    assert in_inches["Front cam journal"] == 2.2480
    bare = ClearanceRow("bore", "Bore", "one", None, 0.2, LimitKind.ADDED, MANUAL)
    refuses(lambda: wear_limit_mm(bare), "find the size when new")
    refuses(lambda: wear_limit_mm(ClearanceRow("bore", "Bore", "one", None, None, None, MANUAL)), "has no wear limit")


def test_every_shipped_wear_limit_lies_beyond_the_band_when_new() -> None:
    for row in TABLES.clearances:
        if row.wear_mm is None or row.new is None:
            continue
        limit = wear_limit_mm(row)
        if row.wear_kind is LimitKind.SUBTRACTED:
            assert row.new.low is not None
            assert limit < row.new.low, row.title
        else:
            assert row.new.high is not None
            assert limit >= row.new.high - 1e-9, row.title


def test_oil_clearance_is_told_per_bearing() -> None:
    rows = bearing_clearances({"1": 63.000, "2": 63.004}, {"2": 62.950, "1": 62.955})
    assert [(row.place, round(row.clearance_mm, 4)) for row in rows] == [("1", 0.045), ("2", 0.054)]
    refuses(lambda: bearing_clearances({"1": 63.0}, {"1": 62.95, "2": 62.95}), "not both measured at 2")
    refuses(lambda: bearing_clearances({"3": 62.95}, {"3": 62.95}), "not smaller than its bore at 3")


def test_shapes() -> None:
    assert run_out_mm(0.04) == 0.02  # TM 10-3930-653-14&P p. 4-37 (read): bend is half the dial's swing
    assert end_float_mm(0.02, 0.17) == pytest.approx(0.15)
    assert end_float_mm(0.17, -0.02) == pytest.approx(0.19)
    assert straightness_mm((0.03, 0.05, 0.04)) == 0.05
    assert protrusion_step_mm((0.05, 0.08, 0.07)) == pytest.approx(0.03)
    assert bearing_rule_mm(50) == pytest.approx(0.05)
    assert rim_arc_mm(203, 360) == pytest.approx(math.pi * 203)


def test_both_plug_charts_are_given_even_where_they_do_not_overlap() -> None:
    maker, extension = plug_torques(14, "gasket", "iron", TABLES.plug_torques)
    assert maker.torque.high is not None
    assert extension.torque.low is not None
    assert maker.torque.high < extension.torque.low
    assert [round(LB_FT.from_base(end), 1) for end in (maker.torque.high, extension.torque.low)] == [25.3, 26]


def test_anti_seize_lowers_a_plug_torque_to_a_range() -> None:
    dry = Limits(Kind.TORQUE, 20.0, 30.0, None, "N·m", "20 to 30 N·m")
    assert greased_torque_nm(dry) == pytest.approx((14, 24))
    low, high = greased_torque_nm(dry, 0.25, 0.25)
    assert (low, high) == pytest.approx((15, 22.5))


def test_bad_input_is_refused_in_one_sentence() -> None:
    dry = Limits(Kind.TORQUE, 20.0, None, None, "N·m", "at least 20 N·m")
    refuses(lambda: gap_mm(-100, 0.004), "The bore must be more than 0 mm")
    refuses(lambda: ring_gaps(100, "top", "boat", TABLES.ring_gaps), "there is one for blower, mild boost")
    refuses(lambda: ring_gaps(100, "fifth", "race", TABLES.ring_gaps), "no use at all")
    refuses(lambda: ring_filing([Ring("1-top", -0.1, 0.4)]), "The gap of 1-top must be 0 or more mm")
    refuses(lambda: clearance_span_mm((2, 1), (0.5, 0.6)), "limits of the hole stand the wrong way round")
    refuses(lambda: strip_clearance_mm(0.2, 0.15), "was not touched")
    refuses(lambda: choose_shells([ShellPlace("main 3", 0.2)], [ShellSet("std", 0)], 0.02, 0.03, 0.05), "bring main 3")
    refuses(lambda: out_of_reach([ShellPlace("1", 0.1)], [ShellSet("red", 0, 0)], 0.02, 0.05), "no shells to choose")
    refuses(lambda: without_shells([ShellPlace("1", 0.1)], {"2": 1.5}), "The shells in 1 were not measured")
    refuses(lambda: shell_sets([Shell("red", 1.5, 2)], mixed=True), "cannot be counted in pairs")
    refuses(lambda: choose_shells([], [], 0.02, 0.06, 0.05), "must lie in its band")
    refuses(lambda: taper_mm((50.0,)), "at least two readings")
    refuses(lambda: straightness_mm(()), "at least one reading")
    refuses(lambda: run_out_mm(-0.1), "The dial’s swing must be 0 or more mm")
    refuses(lambda: plug_torques(9, "gasket", "iron", TABLES.plug_torques), "No chart has a 9 mm plug")
    refuses(lambda: greased_torque_nm(dry), "needs both ends")
    refuses(lambda: greased_torque_nm(dry, 20, 30), "needs both ends")
    full = Limits(Kind.TORQUE, 20.0, 30.0, None, "N·m", "")
    refuses(lambda: greased_torque_nm(full, 20, 30), "must lie between 0 and 1")
    refuses(lambda: greased_torque_nm(full, 0.3, 0.2), "swap them")
