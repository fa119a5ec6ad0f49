"""The order in which the bolts of a joint are tightened, and where each stands in a drawing of it.

Bolts are numbered from 1: along the rows from the left, the top row first; round a circle clockwise from the top.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

MOST_BOLTS = 200

Point = tuple[float, float]


class Pattern(Struct, frozen=True):
    """An order of bolt numbers, and where each bolt stands: `at[0]` is bolt 1, x to the right and y down, 0 to 1."""

    order: tuple[int, ...]
    at: tuple[Point, ...]


def spiral(counts: Sequence[int]) -> Pattern:
    """Rows of bolts, tightened in a spiral from the middle outwards; `counts` says how many stand in each row.

    Bolts as far from the middle as each other are taken clockwise; a single row goes from the middle to both ends by
    turns. Distances are in bolt pitches, so a long row counts as long. Raises ValueError for rows without bolts or more
    than 200 in all. Source: common practice for cylinder heads.
    """
    return _spiral(tuple(counts))


@lru_cache(maxsize=64)
def _spiral(counts: tuple[int, ...]) -> Pattern:
    if not counts or any(count < 1 for count in counts):
        raise ValueError(
            "Every row of a pattern needs at least 1 bolt: say how many stand in each row, such as 5 and 5."
        )
    _check_count(sum(counts))
    at = tuple(
        ((place + 0.5) / count, (row + 0.5) / len(counts)) for row, count in enumerate(counts) for place in range(count)
    )
    return Pattern(_spiral_order([_from_middle(point, counts) for point in at]), at)


def straight(count: int) -> Pattern:
    """A single row of bolts, tightened from the middle to both ends by turns.

    Raises ValueError for less than 1 or more than 200 bolts. Source: US Army TM 5-3805-248-23-1 (read).
    """
    return spiral((count,))


@lru_cache(maxsize=64)
def circle(count: int) -> Pattern:
    """Bolts on a circle, tightened crosswise.

    An even number goes by opposite pairs, each pair as far as can be from those already done; an odd number goes by a
    star, each bolt next to opposite the last. Raises ValueError for less than 1 or more than 200 bolts.
    Source: US Army TM 5-3805-248-23-1, circular pattern crosswise (read).
    """
    _check_count(count)
    turns = [2 * math.pi * place / count for place in range(count)]
    at = tuple((0.5 + 0.5 * math.sin(turn), 0.5 - 0.5 * math.cos(turn)) for turn in turns)
    places = _pairs(count) if count % 2 == 0 else [place * (count - 1) // 2 % count for place in range(count)]
    return Pattern(tuple(place + 1 for place in places), at)


def from_list(order: Sequence[int], at: Sequence[Point]) -> Pattern:
    """The order a maker's sheet gives, for bolts that stand `at` these places, x and y from 0 to 1.

    Raises ValueError when a bolt is missing, named twice or unknown, or stands outside the drawing.
    """
    _check_count(len(at))
    if any(not 0 <= value <= 1 for point in at for value in point):
        raise ValueError("A bolt stands outside the drawing: both its figures have to be from 0 to 1.")
    for bolt in order:
        if not 1 <= bolt <= len(at):
            raise ValueError(f"Bolt {bolt} is not among the {len(at)} of this pattern: number them from 1.")
    twice = sorted({bolt for bolt in order if order.count(bolt) > 1})
    if twice:
        raise ValueError(f"Bolt {twice[0]} stands in the order more than once: name each bolt once.")
    missing = sorted(set(range(1, len(at) + 1)) - set(order))
    if missing:
        raise ValueError(f"Bolt {missing[0]} is missing from the order: name each bolt once.")
    return Pattern(tuple(order), tuple(at))


def slackening(pattern: Pattern) -> Pattern:
    """The same bolts in reverse: from the ends to the middle, as they are slackened (makers' service data, read)."""
    return Pattern(pattern.order[::-1], pattern.at)


def _check_count(count: int) -> None:
    if not 1 <= count <= MOST_BOLTS:
        raise ValueError(f"A pattern has from 1 to {MOST_BOLTS} bolts, not {count}: count them again.")


def _from_middle(point: Point, counts: Sequence[int]) -> Point:
    """Where a bolt stands from the middle, in bolt pitches."""
    return (point[0] - 0.5) * max(counts), (point[1] - 0.5) * len(counts)


def _spiral_order(offsets: Sequence[Point]) -> tuple[int, ...]:
    left = sorted(range(len(offsets)), key=lambda bolt: (_distance(offsets[bolt]), bolt))
    order = [left.pop(0)]
    while left:
        ring = [bolt for bolt in left if _distance(offsets[bolt]) == _distance(offsets[left[0]])]
        last = offsets[order[-1]]
        following = min(ring, key=lambda bolt: (_clockwise(last, offsets[bolt]), bolt))
        order.append(following)
        left.remove(following)
    return tuple(bolt + 1 for bolt in order)


def _distance(offset: Point) -> float:
    return round(math.hypot(*offset), 9)


def _clockwise(last: Point, point: Point) -> float:
    """The turn from one bolt to another as seen from the middle, more than 0 to a full turn, with y down."""
    turn = (math.atan2(point[1], point[0]) - math.atan2(last[1], last[0])) % (2 * math.pi)
    return round(turn, 9) or 2 * math.pi


def _pairs(count: int) -> list[int]:
    half = count // 2
    firsts = [0]
    while len(firsts) < half:
        left = [place for place in range(half) if place not in firsts]
        firsts.append(max(left, key=lambda place: (min(_gap(place, done, half) for done in firsts), -place)))
    return [place for first in firsts for place in (first, first + half)]


def _gap(one: int, other: int, half: int) -> int:
    apart = abs(one - other) % half
    return min(apart, half - apart)
