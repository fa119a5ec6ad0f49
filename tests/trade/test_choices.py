"""What the lists of threads, strengths and materials offer."""

from collections.abc import Callable

import pytest

from app.trade.choices import (
    OWN_FIGURE,
    Choice,
    Offer,
    clamped_choices,
    strength_choices,
    thread_choices,
)
from app.trade.shipped_tables import shipped_tables
from app.trade.tables import Known, Tables, find_strength
from app.trade.threads import read_thread

TABLES = shipped_tables()


@pytest.mark.parametrize("choices", [thread_choices, strength_choices, clamped_choices])
def test_every_list_ends_with_an_own_figure_and_names_nothing_twice(
    choices: Callable[[Tables], tuple[Choice, ...]],
) -> None:
    found = choices(TABLES)
    assert found[-1] is OWN_FIGURE
    assert len({one.text for one in found}) == len(found) > 1
    assert all(one.source and one.offer is Offer.TABLE for one in found[:-1])


def test_what_is_offered_can_be_read() -> None:
    assert all(read_thread(one.text, TABLES).name == one.text for one in thread_choices(TABLES)[:-1])
    assert all(find_strength(TABLES, one.text, 10).name == one.text for one in strength_choices(TABLES, 10)[:-1])


def test_a_strength_that_is_not_made_in_a_size_is_not_offered() -> None:
    assert "9.8" in {one.text for one in strength_choices(TABLES, 16)}
    assert "9.8" not in {one.text for one in strength_choices(TABLES, 20)}


def test_a_choice_says_how_it_is_known() -> None:
    known = {one.text: one.known for one in strength_choices(TABLES)}
    assert (known["10.9"], known["A2-70"], known[""]) == (Known.READ, Known.MEMORY, Known.OWN)
