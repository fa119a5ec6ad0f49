"""Valve lash: shim sums close, cold is not hot, and the fewest shims are bought."""

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
    assert lobe_lash_mm(0.30, 1.5) == pytest.approx(0.20)
    assert eccentric_next_deg(0, 0.40, 20, 0.30, 0.25) == pytest.approx(30)
    assert hydraulic_preload_mm(0.75, 1.0) == 0.75


def test_one_valve_moving_alone_is_told_from_the_wear_of_all() -> None:
    history = {"in1": (0.20, 0.19), "in2": (0.21, 0.20), "in3": (0.20, 0.10), "in4": (0.19, 0.18)}
    (moved,) = moving_alone(history)
    assert (moved.valve, moved.change_mm, moved.others_mm) == ("in3", -0.1, -0.01)
    assert moving_alone({valve: (readings[0], readings[0] - 0.1) for valve, readings in history.items()}) == ()


def test_bad_input_is_refused_in_one_sentence() -> None:
    refuses(lambda: ideal_shim_mm(-2.5, 0.2, 0.2), "The old shim must be more than 0 mm, not -2.5")
    refuses(lambda: ideal_shim_mm(0.1, 0.1, 0.3), "The shim this asks for")
    refuses(lambda: stock_sizes_mm(2.5, 3.3, 0.3), "not a whole number of 0.3 mm steps")
    refuses(lambda: stock_sizes_mm(3.3, 2.5, 0.05), "not a whole number")
    refuses(lambda: stock_shim_mm(2.0, (2.5, 2.6)), "find thinner ones")
    refuses(lambda: screw_turn_deg(0, 0.1), "The pitch must be more than 0 mm")
    refuses(lambda: lobe_lash_mm(0.2, 0), "The rocker ratio must be more than 0")
    refuses(lambda: eccentric_next_deg(0, 0.2, 10, 0.2, 0.3), "did not change")
    refuses(lambda: eccentric_next_deg(0, 0.2, 10, 0.21, 0.5), "go halfway")
    refuses(lambda: LashSpec(0.2, 0.1, 0.3, COLD), "must lie in its band")
    refuses(lambda: BladeReading(0.3, 0.2, COLD), "must be thinner")
    refuses(lambda: moving_alone({"in1": (0.1, 0.2)}), "at least three valves")
    refuses(lambda: choose_shims([ValveShim("ex3", 2.5, 0.9, INTAKE)], [], [2.6]), "brings ex3 into its lash band")
