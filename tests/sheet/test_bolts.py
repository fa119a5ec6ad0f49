"""The bolts of a joint as the part lies: every one is drawn once, inside its frame, and none over another."""

from itertools import combinations
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.assembly.said.marks import State
from app.sheet.draw.bolts import HEX, BoltMark, bolt_drawing
from app.trade.pattern import spiral

ROWS = [(5, 5), (4, 4), (3, 3), (9, 9), (5,), (5, 4, 5)]


def _bolts(count: int, deep: int = 3) -> tuple[BoltMark, ...]:
    return tuple(BoltMark(str(n), f"Bolt {n}", n, (State.TO_DO,) * deep) for n in range(1, count + 1))


@given(rows=st.sampled_from(ROWS), width=st.floats(560, 1400), height=st.floats(180, 700))
def test_no_bolt_is_drawn_over_another_and_all_are_in_the_frame(
    rows: tuple[int, ...], width: float, height: float
) -> None:
    drawn = bolt_drawing(_bolts(sum(rows)), spiral(rows), width=width, height=height)
    numbers = [label for label in drawn.labels if label.weight == 700]
    assert sorted(int(label.text) for label in numbers) == list(range(1, sum(rows) + 1))
    for label in numbers:
        assert 0 < label.x < width
        assert 0 < label.y < height
    size = numbers[0].size / max(
        label.size for label in bolt_drawing(_bolts(1), spiral((1,)), width=900, height=700).labels
    )
    for one, other in combinations(numbers, 2):
        assert hypot(one.x - other.x, one.y - other.y) >= 2 * HEX * size - 0.01


@pytest.mark.parametrize("rows", ROWS)
def test_every_bolt_can_be_pressed_where_its_number_stands(rows: tuple[int, ...]) -> None:
    drawn = bolt_drawing(_bolts(sum(rows)), spiral(rows), width=720, height=240)
    for label in drawn.labels:
        if label.weight == 700:
            assert drawn.target_at(label.x, label.y) == label.text
