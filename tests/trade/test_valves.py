"""Crank stops for setting valves: every valve reached, none set on its lobe, published tables checked."""

from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.assembly.plan.places import derived_places
from app.assembly.plan.steps import Arrangement, Layout
from app.trade.notation import read_quantity
from app.trade.quantity import Kind
from app.trade.valves import (
    GENERAL_CAM,
    GENERAL_CAM_SAYS,
    CamEvents,
    Engine,
    Firing,
    PrintedStop,
    best_pair,
    check_table,
    exhaust_opening_intake_closing,
    fewest_stops,
    intervals_of,
    lift_arc,
    margin,
    mates,
    phases,
    safe_span,
    settable,
    sum_rule_fault,
    sum_rule_margins,
    table_for,
    tdc_stops,
    valves_of,
    worst_margin,
)
from tests.trade.refusals import refuses

# Mild and long cams of the reference checks (common practice).
MILD = CamEvents(15, 50, 50, 15)


def even(*order: int) -> Engine:
    return Engine(order, intervals_of(Firing.EVEN, len(order)))


FOUR = even(1, 3, 4, 2)
SIX = even(1, 5, 3, 6, 2, 4)
EIGHT = even(1, 8, 4, 3, 6, 5, 7, 2)
FIVE = even(1, 2, 4, 5, 3)
VEE_45 = Engine((1, 2), intervals_of(Firing.V_TWIN, v_angle_deg=45))


@st.composite
def engines(draw: st.DrawFn) -> Engine:
    """Any engine of 1 to 8 cylinders, in any order, however uneven."""
    count = draw(st.integers(1, 8))
    order = tuple(draw(st.permutations(range(1, count + 1))))
    cuts = sorted(draw(st.lists(st.integers(0, 719), min_size=count - 1, max_size=count - 1)))
    ends = [0, *cuts, 720]
    return Engine(order, tuple(float(b - a) for a, b in pairwise(ends)))


@st.composite
def cams(draw: st.DrawFn) -> CamEvents:
    """Cams short enough to leave 20 degrees with two stops a turn apart: duration + 2 x 20 <= 360."""
    ivo, evc = draw(st.integers(-20, 60)), draw(st.integers(-20, 60))
    return CamEvents(ivo, draw(st.integers(20, 140 - ivo)), draw(st.integers(20, 140 - evc)), evc)


angles = st.floats(0, 720, allow_nan=False)


# --- Laws


@settings(deadline=None)
@given(engines(), cams(), angles)
def test_two_stops_a_turn_apart_reach_every_valve_of_any_engine(engine: Engine, cam: CamEvents, theta: float) -> None:
    stops = (theta, theta + 360)
    table = table_for(engine, cam, stops)
    listed = [valve for stop in table for valve, _ in stop.valves]
    assert sorted(listed) == sorted(valves_of(engine))
    assert all(settable(engine, cam, valve, stop.theta_deg) for stop in table for valve, _ in stop.valves)
    assert check_table(engine, cam, [PrintedStop(s.theta_deg, tuple(v for v, _ in s.valves)) for s in table]) == ()


@settings(max_examples=30, deadline=None)
@given(engines(), cams())
def test_the_fewest_stops_reach_every_valve_and_no_fewer_do(engine: Engine, cam: CamEvents) -> None:
    stops = fewest_stops(engine, cam)
    assert len(stops) <= 2
    assert worst_margin(engine, cam, stops) >= 20 - 1e-6
    if len(stops) == 2:
        assert all(worst_margin(engine, cam, (theta,)) < 20 for theta in range(720))


@settings(deadline=None)
@given(engines(), cams(), angles)
def test_the_best_pair_beats_any_other_pair_but_for_the_few_degrees_tdc_is_worth(
    engine: Engine, cam: CamEvents, theta: float
) -> None:
    assert worst_margin(engine, cam, best_pair(engine, cam)) > worst_margin(engine, cam, (theta, theta + 360)) - 5.001


@settings(deadline=None)
@given(engines(), cams(), angles, st.data())
def test_anywhere_in_the_safe_span_every_valve_can_be_set(
    engine: Engine, cam: CamEvents, theta: float, data: st.DataObject
) -> None:
    here = [valve for valve in valves_of(engine) if settable(engine, cam, valve, theta)]
    if not here:
        return
    back, forward = safe_span(engine, cam, here, theta)
    at = data.draw(st.floats(theta - back, theta + forward))
    assert all(settable(engine, cam, valve, at) for valve in here)
    assert not all(settable(engine, cam, valve, theta + forward + 1) for valve in here)
    assert not all(settable(engine, cam, valve, theta - back - 1) for valve in here)


@settings(deadline=None)
@given(engines(), cams(), angles)
def test_a_margin_is_negative_exactly_on_the_lobe(engine: Engine, cam: CamEvents, theta: float) -> None:
    for valve in valves_of(engine):
        opens, lasts = lift_arc(engine, cam, valve)
        lifted = 1e-9 < (theta - opens) % 720 < lasts - 1e-9
        assert (margin(engine, cam, valve, theta) < 0) is lifted or abs(margin(engine, cam, valve, theta)) < 1e-6


@settings(deadline=None)
@given(engines(), cams(), angles)
def test_a_cycle_later_nothing_has_changed(engine: Engine, cam: CamEvents, theta: float) -> None:
    for valve in valves_of(engine):
        assert margin(engine, cam, valve, theta) == pytest.approx(margin(engine, cam, valve, theta + 720), abs=1e-6)


@settings(deadline=None)
@given(engines(), cams())
def test_exhaust_opening_intake_closing_reaches_every_valve(engine: Engine, cam: CamEvents) -> None:
    rows = exhaust_opening_intake_closing(engine, cam)
    assert [valve for valve, _, _ in rows] == list(valves_of(engine))
    assert all(left >= 20 for _, _, left in rows)


# --- Examples


def test_the_general_cam_is_safer_than_a_mild_one_and_says_that_it_is_general() -> None:
    assert all(
        margin(FOUR, GENERAL_CAM, valve, theta) <= margin(FOUR, MILD, valve, theta)
        for valve in valves_of(FOUR)
        for theta in range(0, 720, 5)
        if margin(FOUR, MILD, valve, theta) > 0
    )
    assert "IVO 45°, IVC 75°, EVO 80°, EVC 45°" in GENERAL_CAM_SAYS


def test_valves_are_named_as_the_places_are() -> None:
    order = (1, 3, 4, 2)
    arrangement = Arrangement(Layout.INLINE, 4, order, mains=5, crankpins=4, cam_journals=5, intake_per_cylinder=2)
    named = Engine(order, (180.0,) * 4, intake_per_cylinder=2)
    assert valves_of(named) == tuple(place.id for place in derived_places(arrangement)["valves"])
    assert valves_of(named)[:3] == ("in1a", "in1b", "ex1")


# Worst margins with the long cam at No 1 TDC and one turn later, and at the best pair (computed in the reference).
@pytest.mark.parametrize(
    ("engine", "at_tdc", "best"),
    [(FOUR, 100, 100), (SIX, 75, 75), (EIGHT, 45, 57.5), (FIVE, 28, 63), (VEE_45, 55, 112.5)],
)
def test_margins_left_by_two_stops(engine: Engine, at_tdc: float, best: float) -> None:
    assert worst_margin(engine, GENERAL_CAM, (0, 360)) == pytest.approx(at_tdc)
    assert worst_margin(engine, GENERAL_CAM, best_pair(engine, GENERAL_CAM)) == pytest.approx(best)


def test_turns_between_stops_go_forward_only() -> None:
    table = table_for(FOUR, MILD, (540, 180))
    assert [(stop.theta_deg, stop.turn_deg) for stop in table] == [(540, 0), (180, 360)]
    assert table_for(EIGHT, MILD, (0, 450, 90))[2].turn_deg == 360


def test_an_engine_set_past_tdc_moves_its_stops_on() -> None:
    late = Engine((1,), (720.0,), set_at_deg=25)
    assert tdc_stops(late) == (25.0, 385.0)
    assert fewest_stops(late, MILD, tdc_only=True) == (25.0,)


def test_a_twin_with_a_180_crank_needs_one_stop_off_tdc_or_two_at_tdc() -> None:
    twin = Engine((1, 2), intervals_of(Firing.INLINE_TWIN_180))
    (stop,) = fewest_stops(twin, MILD)
    assert 70 <= stop <= 110
    assert len(fewest_stops(twin, MILD, tdc_only=True)) == 2


def test_events_at_1_mm_lift_are_widened_because_the_lift_goes_on_beyond() -> None:
    at_lift = CamEvents(15, 50, 50, 15, read_quantity("0.050 in", Kind.LENGTH))
    assert lift_arc(FOUR, at_lift, "in1") == (315, 305)
    assert margin(FOUR, at_lift, "in1", 0) == margin(FOUR, MILD, "in1", 0) - 30


def test_a_table_for_the_other_firing_order_is_caught() -> None:
    # An article's table for 1-3-4-2 that belongs to 1-2-4-3 (read); intake 3 and exhaust 2 are being lifted.
    printed = [PrintedStop(0, ("in1", "in3", "ex1", "ex2")), PrintedStop(360, ("in2", "in4", "ex3", "ex4"))]
    found = check_table(FOUR, MILD, printed)
    assert "Valve in3 is being lifted at 0° (50° inside its lift): set it at another stop." in found
    assert len(found) == 4
    assert check_table(even(1, 2, 4, 3), MILD, printed) == ()


def test_a_table_with_a_valve_twice_one_never_and_a_stranger_is_caught() -> None:
    printed = [PrintedStop(0, ("in1", "in2", "ex1", "ex3")), PrintedStop(360, ("in2", "in3", "in4", "ex2", "ex9"))]
    assert check_table(FOUR, MILD, printed) == (
        "The table lists ex9, a valve this engine has not.",
        "Valve in2 is being lifted at 360° (50° inside its lift): set it at another stop.",
        "Valve in2 is listed 2 times; once is enough.",
        "Valve ex4 is never listed.",
    )


@pytest.mark.parametrize(
    ("order", "pairs"),
    [
        ((1, 3, 4, 2), {(1, 4), (3, 2)}),
        ((1, 8, 7, 2, 6, 5, 4, 3), {(1, 6), (8, 5), (7, 4), (2, 3)}),
        ((1, 6, 2, 4, 3, 5), {(1, 4), (6, 3), (2, 5)}),
    ],
)
def test_running_mates_fire_one_turn_apart(order: tuple[int, ...], pairs: set[tuple[int, int]]) -> None:
    assert set(mates(even(*order))) == pairs
    at = phases(even(*order))
    assert all(at[b] - at[a] == pytest.approx(360) for a, b in pairs)


@pytest.mark.parametrize("engine", [even(1, 3, 2), FIVE, VEE_45, even(1)])
def test_odd_and_uneven_engines_have_no_mates(engine: Engine) -> None:
    with pytest.raises(ValueError, match="no running mates"):
        mates(engine)


def test_the_sum_rule_is_safe_only_on_a_mirror_image_head_with_the_right_mates() -> None:
    assert sum_rule_fault(FOUR, "EIIEEIIE") == ""
    assert "pairs an exhaust with an intake" in sum_rule_fault(FOUR, "EIEIEIEI")
    assert sum_rule_fault(SIX, "EIIEEIIEEIIE") == ""
    assert "not running mates" in sum_rule_fault(even(1, 4, 2, 5, 3, 6), "EIIEEIIEEIIE")
    assert "no running mates" in sum_rule_fault(VEE_45, "EIIE")
    assert all(left > 200 for _, _, left in sum_rule_margins(FOUR, GENERAL_CAM, "EIIEEIIE"))


# --- Bad input: one sentence each


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Engine((1, 2), (305.0, 405.0)), "sum to 710° and must sum to 720°"),
        (lambda: Engine((1, 3), (360.0, 360.0)), "each cylinder from 1 up exactly once"),
        (lambda: Engine((), ()), r"\(none\)"),
        (lambda: Engine((1, 2), (720.0,)), "needs 2 intervals"),
        (lambda: Engine((1, 2), (-10.0, 730.0)), "0 or more crank degrees"),
        (lambda: Engine((1,), (720.0,), intake_per_cylinder=0), "1 to 6 valves"),
        (lambda: CamEvents(120, 50, 50, 120), "overlap by 240"),
        (lambda: CamEvents(-100, -90, 50, 15), "keep the intake valve open for -10"),
        (lambda: CamEvents(15, 50, 180, 60), "keep the exhaust valve open for 420"),
        (lambda: CamEvents(float("nan"), 50, 50, 15), "which no cam does"),
        (lambda: CamEvents(15, 50, 50, 15, read_quantity("1 N·m", Kind.TORQUE)), "read at a valve lift"),
        (lambda: intervals_of(Firing.V_TWIN), "needs the angle"),
        (lambda: intervals_of(Firing.EVEN, 0), "at least 1 cylinder"),
        (lambda: margin(FOUR, MILD, "in5", 0), "no valve “in5”"),
        (lambda: margin(FOUR, MILD, "intake 1", 0), "named in1 to ex4"),
        (lambda: margin(FOUR, MILD, "in1", float("inf")), "must be a figure"),
        (lambda: table_for(FOUR, MILD, (0,)), "No stop of this list reaches valve"),
        (lambda: table_for(FOUR, MILD, ()), "No stop of this list reaches valve"),
        (lambda: safe_span(FOUR, MILD, ("in3",), 0), "being lifted"),
        (lambda: safe_span(FOUR, MILD, (), 0), "at least one valve"),
        (lambda: fewest_stops(FOUR, MILD, 300), "No crank stops reach every valve"),
        (lambda: fewest_stops(FOUR, MILD, -1), "The margin must be 0 or more"),
        (lambda: sum_rule_margins(FOUR, MILD, "EIIE"), "not the valves along a head of 4"),
        (lambda: sum_rule_fault(Engine((1,), (720.0,), intake_per_cylinder=2), "EI"), "two valves to a cylinder"),
    ],
)
def test_bad_input_is_refused_in_one_sentence(make: Callable[[], object], words: str) -> None:
    refuses(make, words)
