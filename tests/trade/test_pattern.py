"""Orders in which bolts are tightened."""

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.pattern import Pattern, circle, from_list, slackening, spiral, straight

rows = st.lists(st.integers(1, 12), min_size=1, max_size=4)
counts = st.integers(1, 40)


def test_a_head_of_two_rows_of_five() -> None:
    # Top row 1 to 5, bottom row 6 to 10; common practice: the middle pair, then round and round outwards
    assert spiral((5, 5)).order == (3, 8, 7, 2, 4, 9, 6, 1, 5, 10)


def test_a_head_of_three_rows() -> None:
    assert spiral((3, 3, 3)).order[:5] == (5, 8, 4, 2, 6)


def test_rows_of_unequal_counts() -> None:
    assert spiral((4, 6)).order[:4] == (7, 8, 2, 3)


def test_a_single_row_goes_to_both_ends_by_turns() -> None:
    # US Army TM 5-3805-248-23-1, straight pattern numbered from the middle outwards (read)
    assert straight(5).order == (3, 2, 4, 1, 5)
    assert straight(4).order == (2, 3, 1, 4)


@pytest.mark.parametrize(
    ("count", "order"),
    [
        (1, (1,)),
        (2, (1, 2)),
        (4, (1, 3, 2, 4)),
        (5, (1, 3, 5, 2, 4)),
        (6, (1, 4, 2, 5, 3, 6)),
        (8, (1, 5, 3, 7, 2, 6, 4, 8)),
    ],
)
def test_circles_crosswise(count: int, order: tuple[int, ...]) -> None:
    assert circle(count).order == order


def visits_each_once(pattern: Pattern) -> bool:
    return sorted(pattern.order) == list(range(1, len(pattern.at) + 1))


@given(rows)
def test_a_spiral_visits_each_bolt_once_and_starts_nearest_the_middle(counts_of_rows: list[int]) -> None:
    pattern = spiral(counts_of_rows)
    assert visits_each_once(pattern)
    assert len(pattern.at) == sum(counts_of_rows)
    far = [
        round(math.hypot((x - 0.5) * max(counts_of_rows), (y - 0.5) * len(counts_of_rows)), 9) for x, y in pattern.at
    ]
    outward = [far[bolt - 1] for bolt in pattern.order]
    assert outward == sorted(outward)


@given(counts)
def test_bolts_stand_evenly_round_a_circle_clockwise_from_the_top(count: int) -> None:
    at = circle(count).at
    assert at[0] == pytest.approx((0.5, 0.0))
    for place, (x, y) in enumerate(at):
        assert math.hypot(x - 0.5, y - 0.5) == pytest.approx(0.5)
        turn = math.atan2(x - 0.5, 0.5 - y) % (2 * math.pi)
        assert math.cos(turn - 2 * math.pi * place / count) == pytest.approx(1)


@given(counts)
def test_a_circle_visits_each_bolt_once(count: int) -> None:
    assert visits_each_once(circle(count))


@given(counts.filter(lambda count: count > 1))
def test_round_a_circle_the_next_bolt_lies_opposite(count: int) -> None:
    pattern = circle(count)
    steps = [abs(one - other) % count for one, other in pairwise(pattern.order)]
    if count % 2 == 0:
        assert all(step == count // 2 for step in steps[::2])
    else:
        assert all(step in ((count - 1) // 2, (count + 1) // 2) for step in steps)


@given(st.one_of(rows.map(spiral), counts.map(circle), counts.map(straight)))
def test_bolts_stand_in_the_drawing_each_in_its_own_place(pattern: Pattern) -> None:
    assert all(0 <= value <= 1 for point in pattern.at for value in point)
    assert len(set(pattern.at)) == len(pattern.at)


@given(st.one_of(rows.map(spiral), counts.map(circle)))
def test_slackening_is_the_reverse_and_twice_is_no_change(pattern: Pattern) -> None:
    assert slackening(pattern).order == tuple(reversed(pattern.order))
    assert slackening(slackening(pattern)) == pattern


def test_a_makers_list_is_taken_as_it_stands() -> None:
    at = ((0.1, 0.5), (0.5, 0.5), (0.9, 0.5))
    assert from_list((2, 3, 1), at) == Pattern((2, 3, 1), at)


@pytest.mark.parametrize(
    ("order", "said"),
    [((1, 2), "Bolt 3 is missing"), ((1, 2, 2, 3), "Bolt 2 stands in the order more than once"), ((1, 2, 4), "Bolt 4")],
)
def test_a_makers_list_names_each_bolt_once(order: tuple[int, ...], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        from_list(order, ((0.1, 0.5), (0.5, 0.5), (0.9, 0.5)))


def test_a_bolt_outside_the_drawing_is_refused() -> None:
    with pytest.raises(ValueError, match="outside the drawing"):
        from_list((1,), ((1.2, 0.5),))


@pytest.mark.parametrize("make", [lambda: spiral(()), lambda: spiral((3, 0)), lambda: circle(0), lambda: circle(201)])
def test_patterns_need_bolts(make: Callable[[], Pattern]) -> None:
    with pytest.raises(ValueError, match=r"bolt.*\.$"):
        make()
