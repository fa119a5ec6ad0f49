"""Torque and preload, and what a printed torque is worth."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.trade.preload import (
    Coefficients,
    FactorRange,
    Friction,
    Generation,
    ThreadState,
    TorqueFigure,
    Window,
    alpha_from_scatter,
    arms,
    factor_range,
    figure_faults,
    implied_factor,
    least_preload_n,
    mean_bearing_mm,
    method_scatter,
    nut_factor,
    preload_at_yield_n,
    preload_from,
    preload_window,
    preload_window_by_class,
    preload_with_friction,
    proof_shares,
    same_preload,
    scatter_from_alpha,
    shares,
    state_note,
    torque_for,
    torque_window,
    torque_with_friction,
)
from app.trade.quantity import UNITS
from app.trade.shipped_tables import shipped_tables
from app.trade.tables import FrictionClass, Method, find_strength
from app.trade.threads import proof_load_n, read_thread

TABLES = shipped_tables()
M10 = read_thread("M10", TABLES)
CLASS_8_8 = find_strength(TABLES, "8.8", 10)

forces = st.floats(500, 100_000)
diameters = st.floats(4, 20)
factors = st.floats(0.08, 0.5)
torques = st.floats(1, 300)
frictions = st.floats(0.04, 0.4)
states = st.sampled_from(ThreadState)


# --- Short form


@given(forces, diameters, factors)
def test_torque_and_preload_undo_each_other(force: float, diameter: float, factor: float) -> None:
    assert preload_from(torque_for(force, diameter, factor), diameter, factor) == pytest.approx(force)


@given(torques, diameters, factors, st.floats(1.01, 3))
def test_more_friction_gives_less_preload(torque: float, diameter: float, factor: float, more: float) -> None:
    assert preload_from(torque, diameter, factor * more) < preload_from(torque, diameter, factor)


@given(forces, diameters, factors)
def test_pounds_and_inches_in_give_pound_inches_out(force: float, diameter: float, factor: float) -> None:
    in_pounds = factor * UNITS["in"].from_base(diameter) * UNITS["lbf"].from_base(force)
    assert UNITS["lbf·in"].to_base(in_pounds) == pytest.approx(torque_for(force, diameter, factor), rel=1e-9)


@pytest.mark.parametrize(
    ("force", "diameter", "factor", "said"),
    [(0, 10, 0.2, "preload"), (1000, -10, 0.2, "diameter"), (1000, 10, 0, "K"), (math.nan, 10, 0.2, "preload")],
)
def test_figures_that_cannot_be_are_refused(force: float, diameter: float, factor: float, said: str) -> None:
    with pytest.raises(ValueError, match=rf"The {said} has to be more than 0.*\.$"):
        torque_for(force, diameter, factor)


def test_an_absurd_torque_is_refused() -> None:
    with pytest.raises(ValueError, match="check the unit"):
        preload_from(20_000, 10, 0.2)


# --- Long form


@given(frictions, frictions, st.sampled_from(Coefficients))
def test_the_shares_of_a_torque_are_the_whole(thread: float, head: float, coefficients: Coefficients) -> None:
    parts = shares(arms(M10, Friction(thread, head), 12.8, coefficients))
    assert parts.pitch + parts.thread + parts.head == pytest.approx(1)


def test_the_shares_of_an_m10() -> None:
    # 14.6, 38 and 47 % at 0.12 on a plain head: computed from the long form, read in a lubricant maker's guide
    parts = shares(arms(M10, Friction(0.12, 0.12), mean_bearing_mm(14.63, 11)))
    assert (parts.pitch, parts.thread, parts.head) == pytest.approx((0.146, 0.383, 0.471), abs=0.001)


def test_without_friction_only_the_pitch_is_left() -> None:
    bare = arms(M10, Friction(0, 0), 12.8)
    assert torque_with_friction(1000, bare) == pytest.approx(1.5 / (2 * math.pi))


@given(forces, frictions, frictions)
def test_the_long_form_is_the_short_form_with_its_own_factor(force: float, thread: float, head: float) -> None:
    of_torque = arms(M10, Friction(thread, head), 12.8)
    torque = torque_with_friction(force, of_torque)
    assert torque == pytest.approx(torque_for(force, 10, nut_factor(M10, of_torque)))
    assert preload_with_friction(torque, of_torque) == pytest.approx(force)


@given(frictions, frictions)
def test_rounded_coefficients_are_less_than_one_per_cent_high(thread: float, head: float) -> None:
    exact, rounded = (arms(M10, Friction(thread, head), 12.8, way).total_mm for way in Coefficients)
    assert 1 < rounded / exact < 1.01


def test_a_friction_or_a_face_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="friction coefficient is 0 or more"):
        arms(M10, Friction(-0.1, 0.1), 12.8)
    with pytest.raises(ValueError, match="does not reach over a hole"):
        mean_bearing_mm(11, 11)
    with pytest.raises(ValueError, match="does not reach over a hole"):
        mean_bearing_mm(math.inf, 11)
    assert mean_bearing_mm(11, 0) == 5.5


# --- Preload at yield


def test_the_two_generations_differ_by_about_eight_per_cent() -> None:
    # M10 8.8 at 0.14: 53.9 N·m on the newer one, 49 to 50 on the older (both read in printed tables)
    new, old = (preload_at_yield_n(M10, 640, 0.14, generation) for generation in Generation)
    assert new / old == pytest.approx(1.08, abs=0.02)
    bearing = arms(M10, Friction(0.14, 0.14), mean_bearing_mm(14.63, 11), Coefficients.ROUNDED)
    assert torque_with_friction(new, bearing) == pytest.approx(53.9, rel=0.01)


@given(frictions, st.floats(1.01, 2), st.sampled_from(Generation))
def test_more_thread_friction_leaves_less_preload_at_yield(
    friction: float, more: float, generation: Generation
) -> None:
    slippery = preload_at_yield_n(M10, 640, friction, generation)
    assert preload_at_yield_n(M10, 640, friction * more, generation) < slippery < 0.9 * 640 * 58


@given(st.floats(100, 1500), st.floats(0.1, 1))
def test_preload_at_yield_follows_the_stress_and_the_share(stress: float, share: float) -> None:
    whole = preload_at_yield_n(M10, stress, 0.12, Generation.PLASTIC, 1)
    assert preload_at_yield_n(M10, stress, 0.12, Generation.PLASTIC, share) == pytest.approx(whole * share)


@pytest.mark.parametrize(
    ("stress", "friction", "share", "said"),
    [(0, 0.1, 0.9, "yield stress"), (640, -0.1, 0.9, "friction"), (640, 0.1, 0, "share"), (640, 0.1, 90, "share")],
)
def test_a_yield_that_cannot_be_is_refused(stress: float, friction: float, share: float, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        preload_at_yield_n(M10, stress, friction, Generation.PLASTIC, share)


# --- Scatter


@given(st.floats(0, 0.9))
def test_scatter_and_factor_undo_each_other(scatter: float) -> None:
    assert scatter_from_alpha(alpha_from_scatter(scatter)) == pytest.approx(scatter, abs=1e-12)


@given(forces, st.floats(1, 4))
def test_the_least_preload_is_the_greatest_over_the_factor(force: float, alpha: float) -> None:
    assert least_preload_n(force, alpha) == pytest.approx(force / alpha)


def test_scatter_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="1 or more"):
        scatter_from_alpha(0.9)
    with pytest.raises(ValueError, match=r"35 % is 0\.35"):
        alpha_from_scatter(35)


def test_the_lists_disagree_and_the_widest_counts() -> None:
    assert method_scatter(Method.TORQUE_DRY, TABLES) == (0.23, 0.35)
    assert method_scatter(Method.STRETCH, TABLES) == (0.03, 0.05)
    with pytest.raises(ValueError, match="by feel"):
        method_scatter(Method.FEEL, replace(TABLES, scatters=()))


# --- Ranges


@pytest.mark.parametrize("state", ThreadState)
def test_every_state_has_a_range_of_some_width(state: ThreadState) -> None:
    found = factor_range(state, TABLES)
    assert found.low < found.high


def test_unknown_threads_may_be_any_of_the_others() -> None:
    unknown = factor_range(ThreadState.UNKNOWN, TABLES)
    others = [factor_range(state, TABLES) for state in ThreadState]
    assert unknown == FactorRange(min(o.low for o in others), max(o.high for o in others))


@pytest.mark.parametrize("state", [ThreadState.THREAD_SEALANT, ThreadState.THREADLOCKER])
def test_sealant_and_threadlocker_are_wide_and_say_why(state: ThreadState) -> None:
    (row,) = [row for row in TABLES.nut_factors if row.state is state]
    assert row.high > 2.9 * row.low
    assert "no measured source" in row.origin.source
    assert state_note(state, TABLES) == (
        f"The K of threads with {state.value} may be 0.10 to 0.30 (common practice): no measured source was read."
    )


def test_a_measured_state_says_its_range_only() -> None:
    assert state_note(ThreadState.DRY, TABLES) == "The K of threads that are dry may be 0.18 to 0.30."


def test_a_state_without_a_row_is_refused() -> None:
    with pytest.raises(ValueError, match="No K is known"):
        factor_range(ThreadState.DRY, replace(TABLES, nut_factors=()))


@given(torques, diameters, states, st.floats(0, 0.9))
def test_a_preload_window_holds_its_mean_and_widens_with_scatter(
    torque: float, diameter: float, state: ThreadState, scatter: float
) -> None:
    found = factor_range(state, TABLES)
    plain, wide = (preload_window(torque, diameter, found, share) for share in (0.0, scatter))
    middle = preload_from(torque, diameter, (found.low + found.high) / 2)
    assert wide.low_n <= plain.low_n < middle < plain.high_n <= wide.high_n


def test_a_preload_window_by_hand() -> None:
    # 60 N·m on 10 mm, K 0.15 to 0.20, scatter 25 %: 0.75 x 30 kN to 1.25 x 40 kN
    window = preload_window(60, 10, FactorRange(0.15, 0.20), 0.25)
    assert (window.low_n, window.high_n) == pytest.approx((22_500, 50_000))


@given(forces, diameters, states)
def test_the_torque_for_a_preload_is_a_range_that_gives_it_back(
    force: float, diameter: float, state: ThreadState
) -> None:
    found = factor_range(state, TABLES)
    torque = torque_window(force, diameter, found)
    assert torque.low_nm < torque.high_nm
    assert torque.low_nm * 1000 / (found.low * diameter) == pytest.approx(force)
    assert torque.high_nm * 1000 / (found.high * diameter) == pytest.approx(force)


@given(torques, st.sampled_from(TABLES.friction_classes))
def test_a_friction_class_gives_a_window_that_holds_its_middle(torque: float, row: FrictionClass) -> None:
    window = preload_window_by_class(torque, M10, 12.8, row)
    middle = (row.low + row.high) / 2
    assert window.low_n < preload_with_friction(torque, arms(M10, Friction(middle, middle), 12.8)) < window.high_n


def test_factors_in_the_wrong_order_are_refused() -> None:
    with pytest.raises(ValueError, match="the low one goes first"):
        torque_window(1000, 10, FactorRange(0.3, 0.2))


@given(torques, states, states)
def test_the_same_preload_in_another_state_is_never_one_figure(
    torque: float, had: ThreadState, has: ThreadState
) -> None:
    found = same_preload(torque, had, has, TABLES)
    if had is has:
        assert (found.low_nm, found.high_nm) == (torque, torque)
    else:
        assert found.low_nm < found.high_nm
        there = same_preload(found.high_nm, has, had, TABLES) if found.high_nm < 2000 else None
        assert there is None or there.low_nm == pytest.approx(torque)


def test_oil_in_place_of_dry_spans_every_printed_reduction() -> None:
    # Printed: -10 % (Army, engine oil), -25 % (K 0.20 to 0.15), -30 % (Army helicopter manual), -50 % (a chart): read
    found = same_preload(100, ThreadState.DRY, ThreadState.OILED, TABLES)
    assert all(found.low_nm < torque < found.high_nm for torque in (90, 75, 70, 50))


def test_shares_of_proof_load() -> None:
    proof = proof_load_n(M10, CLASS_8_8)
    assert proof_shares(Window(proof / 2, proof * 0.9), M10, CLASS_8_8) == pytest.approx((0.5, 0.9))


# --- Printed torques

GOOD = TorqueFigure(50.0, M10, CLASS_8_8, ThreadState.OILED, edition="VDI 2230:2001", friction=0.12, head_face_mm=14.63)


def test_a_torque_with_edition_friction_and_head_is_a_reference() -> None:
    assert figure_faults(GOOD, TABLES) == ()


@pytest.mark.parametrize(
    ("figure", "said"),
    [
        (replace(GOOD, edition=" "), "does not say its edition."),
        (replace(GOOD, friction=None), "does not say its friction value."),
        (replace(GOOD, head_face_mm=None), "does not say its head size."),
        (replace(GOOD, edition="", friction=None, head_face_mm=None), "its edition, friction value and head size."),
    ],
)
def test_a_torque_without_one_of_them_is_not_a_reference(figure: TorqueFigure, said: str) -> None:
    (fault,) = figure_faults(figure, TABLES)
    assert fault.startswith("This torque is not a reference")
    assert fault.endswith(said)


def test_a_correction_for_oil_is_never_silent() -> None:
    (fault,) = figure_faults(replace(GOOD, corrected_from=ThreadState.DRY), TABLES)
    assert "worked out for oiled threads from one for dry threads" in fault
    assert "-67% to +44%" in fault  # 0.10 / 0.30 and 0.26 / 0.18, the ends of both ranges
    assert figure_faults(replace(GOOD, corrected_from=ThreadState.OILED), TABLES) == ()


def test_a_clamp_that_is_not_its_own_share_of_proof_is_said() -> None:
    proof = proof_load_n(M10, CLASS_8_8)
    fine = replace(GOOD, preload_n=0.75 * proof, proof_share=0.75)
    assert figure_faults(fine, TABLES) == ()
    (fault,) = figure_faults(replace(fine, preload_n=0.75 * proof * 0.98), TABLES)
    assert "its own rule gives" in fault


def test_a_torque_under_the_wrong_heading_is_said() -> None:
    clamp = 0.75 * proof_load_n(M10, CLASS_8_8)
    dry = replace(GOOD, state=ThreadState.DRY, preload_n=clamp, torque_nm=torque_for(clamp, 10, 0.15))
    (fault,) = figure_faults(dry, TABLES)
    assert "K = 0.150" in fault
    assert "wrong heading" in fault
    assert figure_faults(replace(dry, torque_nm=torque_for(clamp, 10, 0.20)), TABLES) == ()


def test_a_torque_that_is_not_its_own_clamp_times_its_own_factor_is_said() -> None:
    clamp = 0.75 * proof_load_n(M10, CLASS_8_8)
    own = replace(GOOD, preload_n=clamp, torque_nm=torque_for(clamp, 10, 0.15), nut_factor=0.15)
    assert figure_faults(own, TABLES) == ()
    (fault,) = figure_faults(replace(own, torque_nm=own.torque_nm * 1.03), TABLES)
    assert "its own clamp and K give" in fault


@given(forces, factors)
def test_the_implied_factor_is_the_one_that_went_in(force: float, factor: float) -> None:
    torque = torque_for(force, 10, factor)
    assert implied_factor(torque, M10, force) == pytest.approx(factor)
