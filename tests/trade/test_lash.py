"""Valve lash: shim sums close, cold is not hot, and the fewest shims are bought."""

import math
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.trade.lash import (
    BUY,
    SPARE,
    BladeReading,
    Condition,
    Lash,
    LashSpec,
    ShimChoice,
    ValveShim,
    choose_shims,
    eccentric_next_deg,
    hydraulic_preload_mm,
    ideal_shim_mm,
    judge_blades,
    judge_lash,
    lobe_lash_mm,
    moving_alone,
    resulting_lash_mm,
    screw_change_mm,
    screw_turn_deg,
    stock_shim_mm,
    stock_sizes_mm,
)
from app.trade.matching import NoMatch
from app.trade.verdict import Verdict
from tests.trade.refusals import refuses

COLD, HOT = Condition.COLD, Condition.HOT
INTAKE = LashSpec(0.15, 0.20, 0.25, COLD)
hundredths = st.integers(200, 350).map(lambda count: count / 100)
gaps = st.integers(0, 80).map(lambda count: count / 100)


# --- Laws


@given(hundredths, gaps, st.integers(5, 40).map(lambda count: count / 100))
def test_the_ideal_shim_gives_the_target(old: float, measured: float, target: float) -> None:
    new = ideal_shim_mm(old, measured, target)
    assert resulting_lash_mm(old, measured, new) == pytest.approx(target)
    assert resulting_lash_mm(new, target, old) == pytest.approx(measured)


@given(st.floats(2.5, 3.3), st.sampled_from([0.02, 0.025, 0.04, 0.05]))
def test_a_shim_from_stock_errs_loose_and_by_less_than_a_step(ideal: float, step: float) -> None:
    shim = stock_shim_mm(ideal, stock_sizes_mm(2.4, 3.4, step))
    assert -1e-6 <= ideal - shim < step + 1e-6


@given(st.floats(0.2, 2), st.floats(-360, 360), st.floats(0.5, 2))
def test_a_turn_of_the_screw_and_back(pitch: float, turn: float, ratio: float) -> None:
    assert screw_turn_deg(pitch, screw_change_mm(pitch, turn, ratio), ratio) == pytest.approx(turn, abs=1e-9)


@given(st.floats(-0.1, 0.5), st.floats(-0.1, 0.5), st.floats(0, 0.1))
def test_blades_and_readings_never_contradict(lash_mm: float, thinner: float, gap: float) -> None:
    """Whatever the true lash, blades round it never say in or out against what an exact reading says."""
    go, no_go = max(0.0, lash_mm - abs(thinner)), lash_mm + gap + 0.001
    if lash_mm < 0 or go >= no_go:
        return
    blades = judge_blades(BladeReading(go, no_go, COLD), INTAKE)
    assert blades in (judge_lash(Lash(lash_mm, COLD), INTAKE), Verdict.UNDECIDED)


@st.composite
def few_valves(draw: st.DrawFn) -> tuple[list[ValveShim], list[float], list[float]]:
    # Sizes close together, so that most cases can be served and many in more than one way
    near = st.integers(0, 8).map(lambda steps: 2.50 + steps * 0.02)
    small = st.integers(5, 16).map(lambda steps: steps * 0.02)
    valves = [ValveShim(f"in{n}", draw(near), draw(small), INTAKE) for n in range(1, draw(st.integers(1, 3)) + 1)]
    sizes = st.lists(near, max_size=3)
    return valves, draw(sizes), draw(sizes)


def every_way(valves: list[ValveShim], own: list[float], stock: list[float]) -> list[tuple[int, float]]:
    """Shims to buy and distance from target (tight counting double) of every allowed choice."""
    parts = [(valve.shim_mm, "own") for valve in valves] + [(s, "own") for s in own] + [(s, BUY) for s in stock]
    ways = []
    for choice in product(range(len(parts)), repeat=len(valves)):
        kept = [column for column in choice if parts[column][1] != BUY]
        lashes = [v.shim_mm + v.measured_mm - parts[c][0] for v, c in zip(valves, choice, strict=True)]
        if len(set(kept)) < len(kept) or not all(0.15 - 1e-9 <= lash <= 0.25 + 1e-9 for lash in lashes):
            continue
        off = sum(lash - 0.20 if lash >= 0.20 else 2 * (0.20 - lash) for lash in lashes)
        ways.append((len(choice) - len(kept), off))
    return ways


@settings(deadline=None, max_examples=200)
@given(few_valves())
def test_shims_are_chosen_as_well_as_by_trying_every_way(
    case: tuple[list[ValveShim], list[float], list[float]],
) -> None:
    valves, own, stock = case
    ways = every_way(valves, own, stock)
    if not ways:
        with pytest.raises(NoMatch):
            choose_shims(valves, own, stock)
        return
    found = choose_shims(valves, own, stock)
    bought, off = min(ways)
    assert sum(choice.source == BUY for choice in found) == bought
    got = sum(c.lash_mm - 0.20 if c.lash_mm >= 0.20 else 2 * (0.20 - c.lash_mm) for c in found)
    assert got == pytest.approx(off, abs=0.002)
    sources = [choice.source for choice in found if choice.source not in (BUY, SPARE)]
    assert len(sources) == len(set(sources))
    for valve, choice in zip(valves, found, strict=True):
        assert resulting_lash_mm(valve.shim_mm, valve.measured_mm, choice.shim_mm) == pytest.approx(choice.lash_mm)


# --- Examples


def test_two_valves_swap_their_shims_and_one_is_bought() -> None:
    valves = [
        ValveShim("in1", 2.50, 0.30, INTAKE),
        ValveShim("in2", 2.60, 0.10, INTAKE),
        ValveShim("in3", 2.70, 0.40, INTAKE),
    ]
    assert choose_shims(valves, (), stock_sizes_mm(2.50, 3.30, 0.05)) == (
        ShimChoice("in1", 2.60, "in2", 0.20),
        ShimChoice("in2", 2.50, "in1", 0.20),
        ShimChoice("in3", 2.90, BUY, 0.20),
    )


def test_no_shim_is_bought_however_much_nearer_it_would_come() -> None:
    valves = [ValveShim(f"in{n}", 2.50, 0.25, INTAKE) for n in range(1, 9)]
    assert all(choice.source == f"in{n}" for n, choice in enumerate(choose_shims(valves, (), (2.55,)), 1))


def test_the_looser_of_two_shims_is_taken_though_it_is_further_from_target() -> None:
    (choice,) = choose_shims([ValveShim("in1", 2.50, 0.60, INTAKE)], (), (2.87, 2.92))
    assert (choice.shim_mm, choice.lash_mm) == (2.87, 0.23)


def test_the_tight_side_counts_twice_as_far_and_no_more() -> None:
    """0.02 mm tight counts as 0.04, so it is still nearer than 0.05 mm loose."""
    (choice,) = choose_shims([ValveShim("in1", 2.50, 0.60, INTAKE)], (), (2.85, 2.92))
    assert (choice.shim_mm, choice.lash_mm) == (2.92, 0.18)


@pytest.mark.parametrize(("off_mm", "source"), [(0.0002, "in1"), (0.0003, SPARE)])
def test_no_shim_is_moved_for_less_than_a_quarter_of_a_micrometre(off_mm: float, source: str) -> None:
    (choice,) = choose_shims([ValveShim("in1", 2.50, 0.20 + off_mm, INTAKE)], [2.50 + off_mm])
    assert choice.source == source


@pytest.mark.parametrize("lash_mm", [INTAKE.low_mm, INTAKE.high_mm])
def test_a_lash_at_the_very_end_of_its_band_is_in_it(lash_mm: float) -> None:
    (choice,) = choose_shims([ValveShim("in1", 2.50, lash_mm, INTAKE)])
    assert (choice.source, choice.lash_mm) == ("in1", lash_mm)


def test_a_stock_holds_both_its_ends_and_no_noise() -> None:
    assert stock_sizes_mm(2.2, 2.5, 0.1) == (2.2, 2.3, 2.4, 2.5)
    assert stock_sizes_mm(2.5, 2.5, 0.05) == (2.5,)


@pytest.mark.parametrize("ideal", [2.55, 2.55 - 1e-12])
def test_a_stock_shim_of_just_the_ideal_size_is_taken(ideal: float) -> None:
    assert stock_shim_mm(ideal, (2.50, 2.55, 2.60)) == 2.55


def test_a_whole_engine_of_24_valves_is_served() -> None:
    valves = [ValveShim(f"in{n}", 2.5 + n * 0.025, 0.12 + n % 7 * 0.03, INTAKE) for n in range(1, 25)]
    found = choose_shims(valves, (), stock_sizes_mm(2.0, 3.5, 0.05))
    assert all(0.15 <= choice.lash_mm <= 0.25 for choice in found)
    assert sum(choice.source == BUY for choice in found) < 12


def test_a_shim_that_is_right_stays_where_it_is() -> None:
    valves = [ValveShim("in1", 2.50, 0.20, INTAKE), ValveShim("in2", 2.50, 0.20, INTAKE)]
    assert [choice.source for choice in choose_shims(valves, [2.50], [2.50])] == ["in1", "in2"]


# TM 5-3820-233-12/1 (read): cold 0.011 in goes and 0.013 does not.
@pytest.mark.parametrize(
    ("go", "no_go", "verdict"),
    [
        (0.18, 0.20, Verdict.IN),
        (0.15, 0.25, Verdict.IN),
        (0.10, 0.15, Verdict.OUT),
        (0.10, 0.20, Verdict.UNDECIDED),
        (0.20, 0.30, Verdict.UNDECIDED),
        (0.26, 0.30, Verdict.OUT),
        (0.20, None, Verdict.UNDECIDED),
        (0.25, None, Verdict.UNDECIDED),
        (0.30, None, Verdict.OUT),
    ],
)
def test_blades_give_a_span_and_the_span_a_verdict(go: float, no_go: float | None, verdict: Verdict) -> None:
    assert judge_blades(BladeReading(go, no_go, COLD), INTAKE) is verdict


def test_a_hot_reading_is_not_judged_by_a_cold_figure() -> None:
    assert judge_lash(Lash(0.2, COLD), INTAKE) is Verdict.IN
    assert judge_lash(Lash(0.16, COLD), INTAKE, 0.02) is Verdict.UNDECIDED
    refuses(lambda: judge_lash(Lash(0.2, HOT), INTAKE), "read hot cannot be judged by a cold figure")
    refuses(lambda: judge_blades(BladeReading(0.1, 0.2, HOT), INTAKE), "read hot cannot be judged by a cold figure")


def test_screws_lobes_eccentrics_and_hydraulic_lifters() -> None:
    assert screw_change_mm(1.0, 30, 1.5) == pytest.approx(0.125)  # over the push rod of a 1.5 rocker, by hand
    assert screw_change_mm(1.0, 36) == pytest.approx(0.1), "over the valve itself where no ratio is given"
    assert screw_turn_deg(1.0, 0.1) == pytest.approx(36)
    assert lobe_lash_mm(0.30, 1.5) == pytest.approx(0.20)
    assert lobe_lash_mm(0, 1.5) == 0
    assert hydraulic_preload_mm(0.75, 1.25) == 0.9375
    assert hydraulic_preload_mm(0, 1.25) == 0


# first and second position in degrees, the target in mm, and where to turn, by hand: 0.75 mm at the first, 0.50 there
@pytest.mark.parametrize(
    ("first", "second", "target", "turn"),
    [
        (0, 20, 0.375, 30),
        (10, 30, 0.375, 40),
        (350, 330, 0.625, 340),
        (-15, 5, 0.75, -15),
        (10, 30, 0.25, 50),
        (10, 30, 1.0, -10),
    ],
)
def test_an_eccentric_is_turned_on_from_wherever_it_stood(
    first: float, second: float, target: float, turn: float
) -> None:
    assert eccentric_next_deg(first, 0.75, second, 0.50, target) == pytest.approx(turn)


@pytest.mark.parametrize("target", [0.20, 1.05])
def test_an_eccentric_is_not_guessed_further_than_its_own_turn_beyond_the_readings(target: float) -> None:
    refuses(lambda: eccentric_next_deg(10, 0.75, 30, 0.50, target), "go halfway")


def test_one_valve_moving_alone_is_told_from_the_wear_of_all() -> None:
    history = {"in1": (0.20, 0.19), "in2": (0.21, 0.20), "in3": (0.20, 0.10), "in4": (0.19, 0.18)}
    (moved,) = moving_alone(history)
    assert (moved.valve, moved.change_mm, moved.others_mm) == ("in3", -0.1, -0.01)
    assert moving_alone({valve: (readings[0], readings[0] - 0.1) for valve, readings in history.items()}) == ()


def test_three_valves_are_enough_and_only_the_first_and_last_round_count() -> None:
    history = {"in1": (0.30, 0.25, 0.20), "in2": (0.20, 0.10, 0.20), "in3": (0.21, 0.21, 0.21)}
    (moved,) = moving_alone(history)
    assert (moved.valve, moved.change_mm, moved.others_mm) == ("in1", -0.1, 0.0)


def test_a_valve_that_moved_by_just_the_least_is_not_told() -> None:
    history = {"in1": (0.20, 0.25), "in2": (0.20, 0.20), "in3": (0.20, 0.20)}
    assert moving_alone(history, 0.05) == ()
    assert [moved.valve for moved in moving_alone(history, 0.049)] == ["in1"]


@pytest.mark.parametrize("spec", [(0.2, 0.2, 0.2), (0.0, 0.0, 0.1), (0.1, 0.2, 0.2)])
def test_a_target_may_lie_at_an_end_of_its_band(spec: tuple[float, float, float]) -> None:
    assert LashSpec(*spec, COLD).target_mm == spec[1]


def test_a_target_of_nothing_is_a_target() -> None:
    assert ideal_shim_mm(2.5, 0.2, 0.0) == pytest.approx(2.7)


def test_bad_input_is_refused_in_one_sentence() -> None:
    refuses(lambda: ideal_shim_mm(-2.5, 0.2, 0.2), "The old shim must be more than 0 mm, not -2.5")
    refuses(lambda: ideal_shim_mm(0.1, 0.1, 0.3), "The shim this asks for")
    refuses(lambda: ideal_shim_mm(2.5, -0.2, 0.2), "The measured lash must be 0 or more mm, not -0.2")
    refuses(lambda: ideal_shim_mm(2.5, 0.2, -0.2), "The target lash must be 0 or more mm, not -0.2")
    refuses(lambda: resulting_lash_mm(0, 0.2, 2.5), "The old shim must be more than 0 mm")
    refuses(lambda: resulting_lash_mm(2.5, 0.2, 0), "The new shim must be more than 0 mm")
    refuses(lambda: stock_sizes_mm(2.5, 3.3, 0), "The step of the stock must be more than 0 mm")
    refuses(lambda: stock_sizes_mm(0, 3.3, 0.1), "The thinnest shim must be more than 0 mm")
    refuses(lambda: stock_sizes_mm(2.5, 3.3, 0.35), "not a whole number of 0.35 mm steps")
    refuses(lambda: stock_sizes_mm(2.5, 3.3, 0.3), "not a whole number of 0.3 mm steps")
    refuses(lambda: stock_sizes_mm(3.3, 2.5, 0.05), "not a whole number")
    refuses(lambda: stock_shim_mm(2.0, (2.5, 2.6)), "find thinner ones")
    refuses(lambda: screw_turn_deg(0, 0.1), "The pitch must be more than 0 mm")
    refuses(lambda: screw_change_mm(1.0, 30, 0), "The rocker ratio must be more than 0")
    refuses(lambda: lobe_lash_mm(0.2, 0), "The rocker ratio must be more than 0")
    refuses(lambda: eccentric_next_deg(0, 0.2, 10, 0.2, 0.3), "did not change")
    refuses(lambda: eccentric_next_deg(0, 0.2, 10, 0.21, 0.5), "go halfway")
    refuses(lambda: LashSpec(0.2, 0.1, 0.3, COLD), "must lie in its band")
    refuses(lambda: LashSpec(-0.1, 0.1, 0.3, COLD), "The lowest lash must be 0 or more mm")
    refuses(lambda: LashSpec(0.1, 0.2, math.inf, COLD), "must lie in its band")
    refuses(lambda: BladeReading(0.3, 0.2, COLD), "must be thinner")
    refuses(lambda: BladeReading(0.2, 0.2, COLD), "must be thinner")
    refuses(lambda: BladeReading(-0.1, 0.2, COLD), "The blade that goes must be 0 or more mm")
    refuses(lambda: moving_alone({"in1": (0.1, 0.2)}), "at least three valves")
    history = dict.fromkeys(("in1", "in2", "in3"), (0.2, 0.2))
    refuses(lambda: moving_alone(history, 0), "The least change worth telling must be more than 0 mm")
    refuses(lambda: choose_shims([ValveShim("ex3", 2.5, 0.9, INTAKE)], [], [2.6]), "brings ex3 into its lash band")
