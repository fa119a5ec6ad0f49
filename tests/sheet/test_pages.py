"""Page breaks: nothing lost, nothing twice, nothing over the edge of a page."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sheet.page_breaks import Block, Part, page_breaks


def test_blocks_that_fit_share_a_page_and_the_next_begins_another() -> None:
    pages = page_breaks([Block((2,)), Block((2,)), Block((3,))], 6)
    assert pages == ((Part(0, 0, 1, 2), Part(1, 0, 1, 2)), (Part(2, 0, 1, 3),))


def test_a_title_stays_with_the_line_under_it() -> None:
    pages = page_breaks([Block((4,)), Block((1,), keep=True), Block((2,))], 6)
    assert [[part.block for part in page] for page in pages] == [[0], [1, 2]]


def test_a_block_that_fits_no_page_runs_over_several_with_room_for_what_is_repeated() -> None:
    pages = page_breaks([Block((1,) * 10, again=2)], 6)
    assert [[(part.first, part.last) for part in page] for page in pages] == [[(0, 6)], [(6, 10)]]
    assert pages[1][0].goes_on


def test_a_long_block_begins_low_on_a_page_rather_than_leave_a_large_gap() -> None:
    """Its first strips stay together; a small gap is left, and so is one its first strips do not fit."""
    long = Block((2, 1, 1, 1, 1), again=1, head=2)
    pages = page_breaks([Block((6,)), long], 10)
    assert [[(part.block, part.first, part.last) for part in page] for page in pages] == [
        [(0, 0, 1), (1, 0, 3)],
        [(1, 3, 5)],
    ]
    assert [len(page) for page in page_breaks([Block((8,)), long], 10)] == [1, 1]
    wide_head = Block((4, 1, 1, 1), head=2)
    assert [len(page) for page in page_breaks([Block((6,)), wide_head], 10)] == [1, 1]
    titled = page_breaks([Block((4,)), Block((2,), keep=True), long], 10)
    assert [[part.block for part in page] for page in titled] == [[0, 1, 2], [2]]


def test_the_first_page_may_have_less_room() -> None:
    assert [len(page) for page in page_breaks([Block((2,))] * 6, 6, first=4)] == [2, 3, 1]


def test_a_repeated_table_head_takes_its_room() -> None:
    rows = [Block((1,), top=2, again=2) for _ in range(9)]
    assert [len(page) for page in page_breaks(rows, 6)] == [4, 4, 1]


def test_parts_take_whole_rows_of_the_grid() -> None:
    assert page_breaks([Block((3,)), Block((1,))], 6, grid=2) == ((Part(0, 0, 1, 4), Part(1, 0, 1, 2)),)


def test_a_strip_higher_than_a_page_is_refused() -> None:
    with pytest.raises(ValueError, match="7 high does not fit a page of 6"):
        page_breaks([Block((7,))], 6)


_BLOCKS = st.builds(
    Block,
    strips=st.lists(st.integers(1, 4), min_size=1, max_size=30).map(tuple),
    keep=st.booleans(),
    top=st.integers(0, 2),
    again=st.integers(0, 2),
    head=st.integers(0, 3),
)


@given(st.lists(_BLOCKS, max_size=20), st.integers(6, 30))
def test_every_strip_stands_once_and_in_order_and_no_page_is_over_full(blocks: list[Block], page: int) -> None:
    pages = page_breaks(blocks, page)
    placed = [(part.block, strip) for parts in pages for part in parts for strip in range(part.first, part.last)]
    assert placed == [(index, strip) for index, block in enumerate(blocks) for strip in range(len(block.strips))]
    for parts in pages:
        first = blocks[parts[0].block]
        repeated = first.again if parts[0].goes_on else first.top
        assert repeated + sum(part.height for part in parts) <= page
