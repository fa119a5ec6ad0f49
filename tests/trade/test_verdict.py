"""Readings against limits, with and without a doubtful gauge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.notation import read_limits, read_quantity
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.verdict import Verdict, judge, miss


def mm(text: str) -> Quantity:
    return read_quantity(text, Kind.LENGTH)


def within(text: str) -> Limits:
    return read_limits(text, Kind.LENGTH)


@pytest.mark.parametrize(
    ("reading", "limits", "verdict"),
    [
        ("0.05 mm", "0.04 to 0.07 mm", Verdict.IN),
        ("0.04 mm", "0.04 to 0.07 mm", Verdict.IN),
        ("0.07 mm", "0.04 to 0.07 mm", Verdict.IN),
        ("0.08 mm", "0.04 to 0.07 mm", Verdict.OUT),
        ("0.03 mm", "0.04 to 0.07 mm", Verdict.OUT),
        ("0.25 mm", "at most 0.25 mm", Verdict.IN),
        ("0.26 mm", "at most 0.25 mm", Verdict.OUT),
        ("1.4 mm", "at least 1.5 mm", Verdict.OUT),
        ("1.5 mm", "1.5 mm", Verdict.UNDECIDED),
        ("7 thou", "0.007 to 0.009 in", Verdict.IN),
        ("7 thou", "at most 0.007 in", Verdict.IN),
        ("0.1778 mm", "at least 7 thou", Verdict.IN),
        ("1 1/2 in", "at least 38.1 mm", Verdict.IN),
        ("0.12 mm", "0.10 ± 0.02 mm", Verdict.IN),
    ],
)
def test_with_no_doubt_the_limit_itself_is_in(reading: str, limits: str, verdict: Verdict) -> None:
    assert judge(mm(reading), within(limits)) is verdict


# Guard bands as wide as the expanded uncertainty on both sides of each limit: ISO 14253-1, JCGM 106 (8.3), from memory.
@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("0.07 mm", Verdict.OUT),
        ("0.08 mm", Verdict.UNDECIDED),
        ("0.10 mm", Verdict.UNDECIDED),
        ("0.11 mm", Verdict.UNDECIDED),
        ("0.12 mm", Verdict.IN),
        ("0.15 mm", Verdict.IN),
        ("0.18 mm", Verdict.IN),
        ("0.19 mm", Verdict.UNDECIDED),
        ("0.22 mm", Verdict.UNDECIDED),
        ("0.23 mm", Verdict.OUT),
    ],
)
def test_a_doubtful_gauge_cannot_decide_near_a_limit(reading: str, verdict: Verdict) -> None:
    assert judge(mm(reading), within("0.10 to 0.20 mm"), doubt=0.02) is verdict


def test_a_gauge_too_coarse_for_the_band_never_says_in() -> None:
    assert judge(mm("0.055 mm"), within("0.04 to 0.07 mm"), doubt=0.02) is Verdict.UNDECIDED


def test_a_single_torque_is_met_only_by_itself() -> None:
    limits = read_limits("61 N·m", Kind.TORQUE)
    assert judge(read_quantity("61 N·m", Kind.TORQUE), limits) is Verdict.IN
    assert judge(read_quantity("60 N·m", Kind.TORQUE), limits) is Verdict.OUT


def test_kinds_must_agree() -> None:
    with pytest.raises(ValueError, match="cannot be judged"):
        judge(mm("1 mm"), read_limits("at most 5 N·m", Kind.TORQUE))


@pytest.mark.parametrize("doubt", [-0.01, float("nan"), float("inf")])
def test_doubt_is_a_size(doubt: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        judge(mm("1 mm"), within("at most 2 mm"), doubt)


@pytest.mark.parametrize(
    ("reading", "limits", "kind", "sentence"),
    [
        ("0.27 mm", "at most 0.25 mm", Kind.LENGTH, "0.02 mm over the 0.25 mm allowed"),
        ("0.02 mm", "0.04 to 0.07 mm", Kind.LENGTH, "0.02 mm under the 0.04 mm needed"),
        ("12 thou", "0.006 to 0.010 in", Kind.LENGTH, "0.002 in over the 0.010 in allowed"),
        ("100 °C", "at most 194 °F", Kind.TEMPERATURE, "18 °F over the 194 °F allowed"),
        ("0.05 mm", "0.04 to 0.07 mm", Kind.LENGTH, ""),
        ("7 thou", "at most 0.007 in", Kind.LENGTH, ""),
        ("1.4 mm", "1.5 mm", Kind.LENGTH, "1.5 mm is a target without limits, so nothing can be judged by it"),
    ],
)
def test_a_miss_is_said_in_the_unit_of_the_limits(reading: str, limits: str, kind: Kind, sentence: str) -> None:
    assert miss(read_quantity(reading, kind), read_limits(limits, kind)) == sentence


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(0, 1e6), st.floats(0, 1e5))
def test_more_doubt_never_changes_a_verdict_to_its_opposite(
    value: float, low: float, width: float, doubt: float
) -> None:
    limits = Limits(Kind.LENGTH, low, low + width, None, "mm", "")
    reading = Quantity(Kind.LENGTH, value, "mm", "")
    sure, unsure = judge(reading, limits), judge(reading, limits, doubt)
    assert unsure in (sure, Verdict.UNDECIDED)
    assert bool(miss(reading, limits)) is (sure is Verdict.OUT)
