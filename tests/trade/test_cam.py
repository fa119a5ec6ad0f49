"""Cam timing: sums that must hold, cards read at another lift refused, and where the valve comes nearest."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.cam import (
    Lobe,
    Side,
    advance_costs_mm,
    advanced,
    asymmetry_deg,
    centre_from_readings_deg,
    degree,
    duration_deg,
    lift_mm,
    lobe_centre_deg,
    separation_of_equal_lobes_deg,
    sweep_minimum,
    timing,
    valve_to_piston,
)
from app.trade.notation import read_quantity
from app.trade.quantity import Kind
from app.trade.valves import CamEvents
from app.trade.verdict import Verdict
from tests.trade.refusals import refuses

near, far = st.floats(-20, 60), st.floats(10, 90)
FIFTY = read_quantity("0.050 in", Kind.LENGTH)


@given(near, far, far, near, st.floats(-10, 10))
def test_advancing_moves_both_lobes_and_nothing_else(
    ivo: float, ivc: float, evo: float, evc: float, move: float
) -> None:
    before, after = timing(CamEvents(ivo, ivc, evo, evc)), timing(advanced(CamEvents(ivo, ivc, evo, evc), move))
    assert after.intake_centre_deg == pytest.approx(before.intake_centre_deg - move)
    assert after.exhaust_centre_deg == pytest.approx(before.exhaust_centre_deg + move)
    assert after.advance_deg == pytest.approx(before.advance_deg + move)
    for same in ("intake_duration_deg", "exhaust_duration_deg", "separation_deg", "overlap_deg"):
        assert getattr(after, same) == pytest.approx(getattr(before, same), abs=1e-9)


@given(st.floats(200, 320), st.floats(0, 100))
def test_equal_lobes_separate_by_half_of_what_duration_leaves_of_overlap(duration: float, overlap: float) -> None:
    half = overlap / 2
    cam = CamEvents(half, duration - 180 - half, duration - 180 - half, half)
    assert timing(cam).separation_deg == pytest.approx(separation_of_equal_lobes_deg(duration, overlap))


@given(near, far)
def test_the_centre_by_events_is_the_middle_of_opening_and_closing(ivo: float, ivc: float) -> None:
    assert lobe_centre_deg(ivo, ivc) == pytest.approx(centre_from_readings_deg(-ivo, 180 + ivc), abs=1e-9)


@given(st.floats(200, 320), st.floats(95, 120), st.floats(5, 15), st.floats(0, 10))
def test_in_the_model_exhaust_mirrors_intake(duration: float, centre: float, peak: float, seated: float) -> None:
    lobe = Lobe(duration, centre, peak)
    intake = valve_to_piston(Side.INTAKE, lobe, seated, 86, 143)
    exhaust = valve_to_piston(Side.EXHAUST, lobe, seated, 86, 143)
    assert intake.gap_mm == pytest.approx(exhaust.gap_mm)
    assert intake.theta_deg == -exhaust.theta_deg


@given(st.floats(240, 320), st.floats(95, 115), st.floats(7, 15), st.floats(0.5, 8))
def test_advance_costs_the_intake_and_favours_the_exhaust(
    duration: float, centre: float, peak: float, advance: float
) -> None:
    lobe = Lobe(duration, centre, peak)
    assert advance_costs_mm(Side.INTAKE, lobe, advance, 8, 86, 143) >= 0
    assert advance_costs_mm(Side.EXHAUST, lobe, advance, 8, 86, 143) <= 0


# Own model of the reference (common practice): 4 degrees of advance on an 86 x 143 crank.
@pytest.mark.parametrize(("duration", "peak", "cost"), [(250, 9, 0.20), (280, 10.5, 0.36), (300, 14, 0.53)])
def test_what_four_degrees_of_advance_cost(duration: float, peak: float, cost: float) -> None:
    lobe = Lobe(duration, 108, peak)
    assert advance_costs_mm(Side.INTAKE, lobe, 4, 8, 86, 143) == pytest.approx(cost, abs=0.1)


def test_the_tightest_place_is_a_few_degrees_off_tdc() -> None:
    nearest = valve_to_piston(Side.INTAKE, Lobe(280, 108, 10.5), 6.0, 86, 143)
    assert 2 <= nearest.theta_deg <= 10
    at_tdc = 6.0 - lift_mm(Lobe(280, 108, 10.5), -108)
    assert 0.05 <= at_tdc - nearest.gap_mm <= 0.5


def test_a_lobe_lifts_to_its_peak_and_not_beyond_its_ends() -> None:
    lobe = Lobe(280, 108, 10)
    assert [lift_mm(lobe, at) for at in (0, 70, 140, 200)] == pytest.approx([10, 5, 0, 0])


def test_degreeing_says_how_late_the_cam_stands() -> None:
    card = CamEvents(20, 60, 60, 20, FIFTY)
    found = degree(card, advanced(card, -5), tolerance_deg=1)
    assert found.verdict is Verdict.OUT
    assert found.late_deg == 5
    assert found.events == (("IVO", -5), ("IVC", 5), ("EVO", -5), ("EVC", 5))
    assert found.sentence == "The intake lobe stands 5.0° late, by events at 0.050 in lift."
    assert degree(card, advanced(card, 0.5), tolerance_deg=1).verdict is Verdict.IN
    assert degree(card, advanced(card, 0.5), tolerance_deg=1, doubt_deg=1).verdict is Verdict.UNDECIDED
    assert "early" in degree(card, advanced(card, 3), tolerance_deg=1).sentence


def test_events_at_different_lifts_are_not_compared() -> None:
    card, seat = CamEvents(5, 42, 47, 5, FIFTY), CamEvents(30, 70, 75, 30)
    refuses(lambda: degree(card, seat, 1), "0.050 in lift cannot be compared with events at seat to seat")
    same = CamEvents(5, 42, 47, 5, read_quantity("1.27 mm", Kind.LENGTH))
    assert degree(card, same, 1).verdict is Verdict.IN


def test_a_lobe_that_is_not_symmetrical_shows_at_two_heights() -> None:
    assert asymmetry_deg((60, 156), (80, 136)) == 0
    assert asymmetry_deg((60, 156), (84, 136)) == 2


def test_a_sweep_gives_its_least_gap_and_says_where_it_is_not_to_be_trusted() -> None:
    full = [(at, 3.0 + (at - 8) ** 2 / 100) for at in range(-20, 21, 2)]
    assert sweep_minimum(full).gap_mm == 3.0
    assert sweep_minimum(full).theta_deg == 8
    assert sweep_minimum(full).findings == ()
    short = sweep_minimum([(-10, 4.0), (0, 3.5), (10, 3.2)])
    assert len(short.findings) == 3
    assert sweep_minimum(list(reversed(full))) == sweep_minimum(full)


def test_bad_input_is_refused_in_one_sentence() -> None:
    refuses(lambda: duration_deg(-100, -90), "The duration must be more than 0 degrees")
    refuses(lambda: Lobe(0, 108, 10), "The duration must be more than 0")
    refuses(lambda: Lobe(280, 108, -1), "The peak lift must be more than 0 mm")
    refuses(lambda: degree(CamEvents(20, 60, 60, 20), CamEvents(20, 60, 60, 20), -1), "The tolerance must be 0 or more")
    refuses(lambda: sweep_minimum([(0, 2.0), (2, 2.1)]), "at least three readings")
    refuses(lambda: valve_to_piston(Side.INTAKE, Lobe(280, 108, 10), 5, 86, 40), "too short for a stroke")
