"""Doubt and decisions: against an independent library, and the three verdicts cover every reading once."""

import math
from importlib import import_module
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.trade.measuring_tables import Instrument
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.tables import Known, Origin
from app.trade.uncertainty import (
    Part,
    Shape,
    at_20_mm,
    beyond_risk,
    chain,
    conform_zone,
    expanded,
    gauge_fault,
    growth_mm,
    guard_factor,
    per_kelvin,
    probability_of_conformity,
    rss_guard,
    standard_from_limit,
    standard_of,
    t_cdf,
    uncertainty_ratio,
    warm_clearance_mm,
)
from app.trade.verdict import Verdict, judge, judge_between
from tests.trade.refusals import refuses

# By name, because the library has no types of its own.
stats: Any = import_module("scipy.stats")
figures = st.floats(-50, 50)
# The library itself answers exactly one half for arguments below about 1e-9.
_LIBRARY = 1e-8


def mm(value: float) -> Quantity:
    return Quantity(Kind.LENGTH, value, "mm", f"{value:g} mm")


def band(low: float | None, high: float | None) -> Limits:
    return Limits(Kind.LENGTH, low, high, None, "mm", "")


# --- Against an independent library


@given(st.floats(-30, 30), st.integers(1, 60))
def test_students_t_as_the_library_has_it(x: float, dof: int) -> None:
    assert t_cdf(x, dof) == pytest.approx(stats.t.cdf(x, dof), abs=_LIBRARY)


@given(st.floats(0.001, 0.999), st.integers(1, 40))
def test_t_quantiles_as_the_library_has_them(certainty: float, dof: int) -> None:
    assert guard_factor(certainty, dof) == pytest.approx(stats.t.ppf(certainty, dof), rel=1e-8, abs=1e-8)


@given(st.floats(0.001, 0.999))
def test_normal_quantiles_as_the_library_has_them(certainty: float) -> None:
    assert guard_factor(certainty) == pytest.approx(stats.norm.ppf(certainty), rel=1e-9, abs=1e-9)


@given(figures, st.floats(0.01, 20), figures, figures)
def test_the_chance_of_conformity_as_the_library_has_it(y: float, u: float, a: float, b: float) -> None:
    low, high = min(a, b), max(a, b)
    wanted = stats.norm.cdf(high, y, u) - stats.norm.cdf(low, y, u)
    assert probability_of_conformity(y, u, low, high) == pytest.approx(wanted, abs=1e-12)
    with_t = stats.t.cdf(high, 4, y, u) - stats.t.cdf(low, 4, y, u)
    assert probability_of_conformity(y, u, low, high, dof=4) == pytest.approx(with_t, abs=_LIBRARY)


# --- Laws


@given(figures, st.floats(0.01, 20), figures)
def test_below_inside_and_above_make_one(y: float, u: float, limit: float) -> None:
    under = probability_of_conformity(y, u, high=limit)
    assert under + probability_of_conformity(y, u, low=limit) == pytest.approx(1)


@given(st.integers(-400, 400), st.integers(-100, 100), st.integers(0, 200), st.integers(0, 80))
def test_the_three_verdicts_cover_every_reading_without_overlap(y: int, low: int, width: int, doubt: int) -> None:
    """In micrometres, so that every edge can be hit exactly; the regions are those of ISO 14253-1."""
    high = low + width
    proven_in = low + doubt <= y <= high - doubt
    proven_out = y < low - doubt or y > high + doubt
    verdict = judge(mm(y / 1000), band(low / 1000, high / 1000), doubt / 1000)
    assert not (proven_in and proven_out)
    expected = Verdict.IN if proven_in else Verdict.OUT if proven_out else Verdict.UNDECIDED
    assert verdict is expected


@given(st.integers(-400, 400), st.integers(0, 100), st.integers(-100, 100), st.integers(0, 200))
def test_a_span_is_in_when_all_of_it_is_and_out_when_none_is(start: int, length: int, low: int, width: int) -> None:
    high, end = low + width, start + length
    verdict = judge_between(mm(start), mm(end), band(low, high))
    inside = [low <= y <= high for y in range(start, end + 1)]
    expected = Verdict.IN if all(inside) else Verdict.OUT if not any(inside) else Verdict.UNDECIDED
    assert verdict is expected


@given(st.lists(st.floats(0, 10), min_size=1, max_size=6), st.floats(1, 3))
def test_a_chain_is_no_better_than_its_worst_part_and_no_worse_than_their_sum(doubts: list[float], k: float) -> None:
    total = chain([Part("part", doubt) for doubt in doubts], k)
    assert k * max(doubts) * (1 - 1e-12) <= total <= k * sum(doubts) * (1 + 1e-12) + 1e-12


@given(st.floats(0.5, 0.999), st.integers(1, 40))
def test_few_readings_never_ask_for_less_guard(certainty: float, dof: int) -> None:
    assert guard_factor(certainty, dof) >= guard_factor(certainty) - 1e-9
    assert beyond_risk(guard_factor(certainty, dof), dof) == pytest.approx(1 - certainty, abs=1e-9)


@given(st.floats(1, 200), st.floats(0, 3e-5), st.floats(-40, 80))
def test_a_size_at_20_grows_back_to_what_was_read(size: float, alpha: float, temperature: float) -> None:
    cold = at_20_mm(size, alpha, temperature)
    assert cold + growth_mm(cold, alpha, temperature - 20) == pytest.approx(size)


@given(st.floats(20, 150), st.floats(0, 1), st.floats(0, 3e-5), st.floats(-50, 200))
def test_parts_of_one_material_keep_their_fit_in_proportion(d: float, gap: float, alpha: float, rise: float) -> None:
    assert warm_clearance_mm(d, gap, alpha, alpha, rise) == pytest.approx(gap * (1 + alpha * rise), abs=1e-9)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_no_reading_can_prove_itself_inside_when_the_doubt_fills_half_the_band(
    low: float, width: float, doubt: float
) -> None:
    zone = conform_zone(low, low + width, doubt)
    assert zone >= 0
    assume(abs(doubt - width / 2) > 1e-6)
    assert (zone == 0) is (doubt > width / 2)


# --- Examples


def test_a_limit_of_error_is_spread_evenly() -> None:
    # Micrometer limits are rectangular: u = limit / sqrt 3 (GUM, from memory)
    assert standard_from_limit(5) == pytest.approx(2.8868, abs=1e-4)
    assert standard_of(Part("mic", 5, Shape.LIMIT)) == standard_from_limit(5)
    assert standard_of(Part("certificate", 5, Shape.EXPANDED)) == 2.5
    assert expanded(3, 2) == 6


# JCGM 106 and reference table (from memory and computed): the same bearing read at three places.
@pytest.mark.parametrize(("y", "chance"), [(0.0027, 0.9772), (0.0030, 0.50), (0.0033, 0.0228)])
def test_chances_at_the_edges_of_the_zones(y: float, chance: float) -> None:
    assert probability_of_conformity(y, 0.00015, 0.0020, 0.0030) == pytest.approx(chance, abs=1e-4)


def test_the_gauge_that_cannot_decide_is_said_to_and_a_better_one_named() -> None:
    known = Origin("", "own", Known.PRACTICE)
    caliper = Instrument("c", "a caliper", "outside", 0, 150, 0.03, known)
    micrometer = Instrument("m", "an outside micrometer", "outside", 0, 25, 0.002, known)
    finer = Instrument("f", "a comparator", "outside", 0, 25, 0.0005, known)
    fault = gauge_fault("the journal", 20, 0.02, 0.03, (finer, caliper, micrometer))
    assert fault == (
        "This gauge cannot decide the journal: its doubt of 0.03 mm fills the 0.02 mm band; take an outside micrometer."
    )
    assert "no listed instrument" in gauge_fault("the journal", 60, 0.02, 0.03, (caliper, micrometer))
    assert gauge_fault("the journal", 20, 0.02, 0.005).startswith("This gauge is coarse for the journal")
    assert gauge_fault("the journal", 20, 0.02, 0.002) == ""
    assert uncertainty_ratio(0.02, 0.0025) == pytest.approx(4)


def test_bad_input_is_refused_in_one_sentence() -> None:
    refuses(lambda: chain([]), "at least one part")
    refuses(lambda: chain([Part("mic", -1)]), "The doubt of mic must be 0 or more")
    refuses(lambda: t_cdf(1, 0), "at least 1 degree of freedom")
    refuses(lambda: guard_factor(1), "must lie between 0 and 1, not 1: write 95 % as 0.95")
    refuses(lambda: probability_of_conformity(1, 0.1), "needs at least one limit")
    refuses(lambda: probability_of_conformity(1, 0.1, 3, 2), "swap them")
    refuses(lambda: probability_of_conformity(1, 0, 0, 2), "The standard uncertainty must be more than 0")
    refuses(lambda: rss_guard(0.5), "take a better gauge")
    refuses(lambda: growth_mm(-1, 1e-5, 10), "The length must be more than 0 mm")
    refuses(lambda: per_kelvin(math.nan), "must be a figure")
    refuses(lambda: judge_between(mm(2), mm(1), band(0, 3)), "write the smaller one first")
    assert t_cdf(math.inf, 3) == 1
    assert t_cdf(-math.inf, 3) == 0
