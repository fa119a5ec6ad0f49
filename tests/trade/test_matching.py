"""Handing out parts: as good as trying every way, on cases small enough to try them all."""

import math
from collections import Counter
from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.trade.matching import (
    Bore,
    NoMatch,
    Piston,
    Weighed,
    assign,
    match_pistons,
    match_rods,
    nearest_pistons,
)
from tests.trade.refusals import refuses

costs_1 = st.one_of(st.none(), st.integers(0, 60).map(float))


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[list[float | None]], list[int | None]]:
    rows, columns = draw(st.integers(1, 4)), draw(st.integers(1, 5))
    costs = [draw(st.lists(costs_1, min_size=columns, max_size=columns)) for _ in range(rows)]
    copies = draw(st.lists(st.one_of(st.none(), st.integers(0, 3)), min_size=columns, max_size=columns))
    return costs, copies


def every_way(costs: list[list[float | None]], copies: list[int | None]) -> float:
    """The least sum over every choice there is; infinite where none is allowed."""
    best = math.inf
    for choice in product(range(len(copies)), repeat=len(costs)):
        taken = Counter(choice)
        if any(most is not None and taken[column] > most for column, most in enumerate(copies)):
            continue
        figures = [costs[row][column] for row, column in enumerate(choice)]
        if None not in figures:
            best = min(best, sum(figure for figure in figures if figure is not None))
    return best


@settings(deadline=None)
@given(tables())
def test_the_choice_is_as_good_as_trying_every_way(table: tuple[list[list[float | None]], list[int | None]]) -> None:
    costs, copies = table
    best = every_way(costs, copies)
    if math.isinf(best):
        with pytest.raises(NoMatch):
            assign(costs, copies)
        return
    chosen = assign(costs, copies)
    figures = [costs[row][column] for row, column in enumerate(chosen)]
    assert None not in figures
    assert sum(figure for figure in figures if figure is not None) == pytest.approx(best)
    taken = Counter(chosen)
    assert all(most is None or taken[column] <= most for column, most in enumerate(copies))


@settings(deadline=None)
@given(st.lists(st.integers(0, 60), min_size=1, max_size=4), st.data())
def test_pistons_go_where_the_squares_of_the_errors_are_least(bores_um: list[int], data: st.DataObject) -> None:
    extra = data.draw(st.integers(0, 1))
    pistons_um = data.draw(st.lists(st.integers(0, 60), min_size=len(bores_um) + extra, max_size=len(bores_um) + extra))
    bores = [Bore(str(n), 87.05 + um / 1000) for n, um in enumerate(bores_um)]
    pistons = [Piston(str(n), 87.0 + um / 1000) for n, um in enumerate(pistons_um)]
    fits = match_pistons(bores, pistons, 0.05, -1.0, 1.0)
    found = sum(((fit.clearance_mm - 0.05) * 1000) ** 2 for fit in fits)
    best = min(
        sum((bore - piston) ** 2 for bore, piston in zip(bores_um, order, strict=True))
        for order in permutations(pistons_um, len(bores_um))
    )
    assert found == pytest.approx(best, abs=1e-3)
    assert len({fit.piston for fit in fits}) == len(bores)


def test_pistons_that_fit_only_when_shuffled_are_shuffled() -> None:
    bores = [Bore("1", 87.210), Bore("2", 87.240)]
    pistons = [Piston("A", 87.205), Piston("B", 87.175)]
    fits = match_pistons(bores, pistons, 0.035, 0.025, 0.045)
    assert [(fit.place, fit.piston, fit.clearance_mm) for fit in fits] == [("1", "B", 0.035), ("2", "A", 0.035)]


def test_pistons_that_do_not_all_fit_are_put_where_they_are_nearest() -> None:
    bores = [Bore("1", 87.210), Bore("2", 87.300)]
    fits = nearest_pistons(bores, [Piston("A", 87.205), Piston("B", 87.175)], 0.035)
    assert [(fit.piston, fit.clearance_mm) for fit in fits] == [("B", 0.035), ("A", 0.095)]


masses = st.integers(500, 700).map(lambda tenths: tenths / 10)


@given(st.lists(st.tuples(masses, masses), min_size=1, max_size=5))
def test_no_other_pairing_of_rods_and_pistons_differs_less(pairs: list[tuple[float, float]]) -> None:
    rods = [Weighed(f"R{n}", rod) for n, (rod, _) in enumerate(pairs)]
    pistons = [Weighed(f"P{n}", piston) for n, (_, piston) in enumerate(pairs)]
    found = match_rods(rods, pistons)
    spread = max(pair.mass_g for pair in found) - min(pair.mass_g for pair in found)
    others = (
        [rod.mass_g + piston.mass_g for rod, piston in zip(rods, order, strict=True)] for order in permutations(pistons)
    )
    assert spread == pytest.approx(min(max(totals) - min(totals) for totals in others))
    assert min(pair.to_remove_g for pair in found) == 0
    lightest = min(pair.mass_g for pair in found)
    assert all(pair.mass_g - pair.to_remove_g == pytest.approx(lightest) for pair in found)
    assert [pair.rod for pair in found] == [rod.name for rod in rods]
    assert sorted(pair.piston for pair in found) == sorted(piston.name for piston in pistons)


def test_bad_input_is_refused_in_one_sentence() -> None:
    refuses(lambda: assign([[1.0], [1.0, 2.0]], [1]), "some rows are longer")
    refuses(lambda: assign([[math.inf]], [1]), "no figure cannot be weighed")
    refuses(lambda: assign([[1.0], [1.0]], [1]), "cannot be handed out")
    refuses(lambda: assign([[None]], [1]), "cannot be handed out")
    refuses(lambda: match_pistons([Bore("1", 87.2)], [Piston("A", 87.2)], 0.03, 0.02, 0.04), "hone the tight bores")
    refuses(lambda: match_pistons([Bore("1", 87.2)], [], 0.03, 0.02, 0.04), "hone the tight bores")
    refuses(lambda: match_pistons([], [], 0.05, 0.02, 0.04), "must lie in its band")
    refuses(lambda: match_pistons([Bore("1", -87)], [Piston("A", 87)], 0.03, 0.02, 0.04), "A bore must be more than 0")
    refuses(lambda: nearest_pistons([Bore("1", 87.2)], [], 0.03), "0 pistons are too few for 1 bores")
    refuses(lambda: match_rods([Weighed("R1", 600)], []), "1 rods cannot be paired with 0 pistons")
    refuses(lambda: match_rods([Weighed("R1", 0)], [Weighed("P1", 300)]), "The mass of R1 must be more than 0 g")
    assert assign([], []) == ()
