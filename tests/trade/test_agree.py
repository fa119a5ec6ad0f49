"""Facts of one place held against each other."""

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.agree import (
    Fall,
    ReachFault,
    ThreadFault,
    first_fall,
    reach_differs,
    threads_differ,
)
from app.trade.shipped_tables import shipped_tables
from app.trade.threads import thread_of_size

TABLES = shipped_tables()
NAMES = [thread_of_size(row).name for row in TABLES.threads]


@pytest.mark.parametrize(
    ("hole", "bolt"),
    [
        ("M10x1.25-6H", "M10 x 1.25 - 6g"),
        ("7/16-20", "7/16-20 UNF-3A"),
        ("M10", "M10x1.5"),
        ("Rp 1/8", "R 1/8"),
        ("1/4 BSF", "1/4-26 BSF"),
    ],
)
def test_one_thread_in_two_writings_agrees(hole: str, bolt: str) -> None:
    assert threads_differ(hole, bolt, TABLES) is None


@pytest.mark.parametrize(
    ("hole", "bolt", "fault"),
    [
        ("M10x1.25", "M10", ThreadFault.OTHER),
        ("M10x1.25", "M10x1.25 LH", ThreadFault.HAND),
        ("1/4-20 UNC", "1/4 BSW", ThreadFault.GOES_IN),
        ("5/16-18", "M8", ThreadFault.GOES_IN),
        ("1/8-27 NPT", "R 1/8", ThreadFault.OTHER),
        ("G 1/8", "R 1/8", ThreadFault.GOES_IN),
        ("3/8-16", "3/8-24", ThreadFault.OTHER),
        ("M12x1.25", "M10x1.25", ThreadFault.OTHER),
    ],
)
def test_two_threads_differ(hole: str, bolt: str, fault: ThreadFault) -> None:
    found = threads_differ(hole, bolt, TABLES)
    assert found is not None
    assert found.fault is fault


@given(st.sampled_from(NAMES), st.sampled_from(NAMES))
def test_threads_differ_either_way_round(hole: str, bolt: str) -> None:
    there, back = threads_differ(hole, bolt, TABLES), threads_differ(bolt, hole, TABLES)
    assert (there is None) == (back is None) == (hole == bolt)
    assert there is None or back is None or there.fault is back.fault


def test_what_is_no_thread_is_refused() -> None:
    with pytest.raises(ValueError, match="“banana” is not a thread"):
        threads_differ("M10", "banana", TABLES)


@pytest.mark.parametrize(
    ("passes", "fall"),
    [
        ([30, 60, 90], None),
        ([90], None),
        ([], None),
        ([30, 30, 90], Fall(2, 30, 30)),
        ([30, 60, 50, 40], Fall(3, 60, 50)),
    ],
)
def test_passes_have_to_rise(passes: list[float], fall: Fall | None) -> None:
    assert first_fall(passes) == fall


def test_a_pass_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 0, not 0"):
        first_fall([0, 30])


@given(st.lists(st.floats(0.1, 100), min_size=2, max_size=6))
def test_rising_passes_fall_when_turned_round(steps: list[float]) -> None:
    rising = list(accumulate(steps))
    assert first_fall(rising) is None
    assert first_fall(rising[::-1]) == Fall(2, rising[-1], rising[-2])


@pytest.mark.parametrize(
    ("length", "clamped", "depth", "diameter", "fault", "reach"),
    [
        (60, 40, 25, 10, None, 0),
        (60, 40, 20, 10, ReachFault.BOTTOMS, 20),
        (70, 40, 25, None, ReachFault.BOTTOMS, 30),
        (40, 40, 25, 10, ReachFault.DOES_NOT_REACH, 0),
        (47, 40, 25, 10, ReachFault.FEW_THREADS, 7),
        (47, 40, 25, None, None, 0),
    ],
)
def test_a_bolt_has_to_reach_and_not_to_bottom(
    length: float, clamped: float, depth: float, diameter: float | None, fault: ReachFault | None, reach: float
) -> None:
    found = reach_differs(length, clamped, depth, diameter)
    assert (found.fault if found else None) is fault
    assert found is None or found.reach_mm == reach


@pytest.mark.parametrize("sizes", [(0, 1, 1, 1), (1, -1, 1, 1), (1, 1, 0, 1), (1, 1, 1, 0)])
def test_sizes_that_cannot_be_are_refused(sizes: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="more than 0"):
        reach_differs(*sizes)
