"""Which part goes where: the best way to hand out parts to places, and rods and pistons paired by mass."""

import math
from collections.abc import Sequence
from typing import Any

from msgspec import Struct

from app.trade.verdict import check_size


class NoMatch(ValueError):
    """No way to give every place a part; the message is one sentence for the person who asked."""


class Bore(Struct, frozen=True):
    """A bore as measured, in mm."""

    place: str
    diameter_mm: float


class Piston(Struct, frozen=True):
    """A piston as measured across its skirt, in mm."""

    name: str
    diameter_mm: float


class PistonFit(Struct, frozen=True):
    """A piston in the bore it is chosen for, and the clearance that gives, in mm."""

    place: str
    piston: str
    clearance_mm: float


class Weighed(Struct, frozen=True):
    """A part and its mass in grams."""

    name: str
    mass_g: float


class RodPair(Struct, frozen=True):
    """A rod, its piston, their mass together and what is still to come off to match the lightest pair, in grams."""

    rod: str
    piston: str
    mass_g: float
    to_remove_g: float


def assign(costs: Sequence[Sequence[float | None]], copies: Sequence[int | None]) -> tuple[int, ...]:
    """The column for each row that makes the sum of the costs least; None in `costs` is not allowed.

    `copies` says how many rows may share a column, None any number. Costs are solved to about 1e-6 of their unit.
    Raises NoMatch where no such choice exists, ValueError where the table is not rectangular.
    Method: the assignment problem as a linear program, whose corners are whole numbers (HiGHS).
    """
    if any(len(row) != len(copies) for row in costs):
        raise ValueError("Every place needs one cost for each part: some rows are longer than others.")
    if not costs:
        return ()
    pairs = [(row, column) for row, line in enumerate(costs) for column, cost in enumerate(line) if cost is not None]
    if any(not math.isfinite(costs[row][column] or 0.0) for row, column in pairs):
        raise ValueError("A cost that is no figure cannot be weighed: leave it out with None.")
    chosen = _solved(costs, copies, pairs)
    if chosen is None:
        raise NoMatch("These parts cannot be handed out so that every place gets one that is allowed there.")
    return chosen


def _solved(
    costs: Sequence[Sequence[float | None]], copies: Sequence[int | None], pairs: list[tuple[int, int]]
) -> tuple[int, ...] | None:
    import highspy  # slow to load, and only needed here

    highs: Any = highspy  # says it is typed, but its calls are not
    solver = highs.Highs()
    solver.silent()
    use = [solver.addVariable(lb=0.0, ub=1.0, obj=float(costs[row][column] or 0.0)) for row, column in pairs]
    for row in range(len(costs)):
        mine = [one for one, (place, _) in zip(use, pairs, strict=True) if place == row]
        if not mine:
            return None
        solver.addConstr(sum(mine[1:], start=1.0 * mine[0]) == 1)
    for column, most in enumerate(copies):
        takers = [one for one, (_, part) in zip(use, pairs, strict=True) if part == column]
        if most is not None and takers:
            solver.addConstr(sum(takers[1:], start=1.0 * takers[0]) <= most)
    solver.run()
    if solver.getModelStatus() != highs.HighsModelStatus.kOptimal:
        return None
    values = solver.getSolution().col_value
    taken = dict(pair for pair, value in zip(pairs, values, strict=True) if value > 0.5)
    return tuple(taken[row] for row in range(len(costs)))


def match_pistons(
    bores: Sequence[Bore], pistons: Sequence[Piston], target_mm: float, low_mm: float, high_mm: float
) -> tuple[PistonFit, ...]:
    """Which piston goes in which bore so that all clearances are in the band and lie nearest the target.

    Millimetres; nearest is the least sum of squares, so no bore carries the whole error. Spare pistons stay out.
    Raises NoMatch where no choice brings every bore into the band, ValueError for figures that cannot be.
    """
    if not low_mm <= target_mm <= high_mm:
        raise ValueError(f"The target {target_mm:g} mm must lie in its band {low_mm:g} to {high_mm:g} mm.")
    gaps = [
        [
            check_size("A bore", bore.diameter_mm, "mm") - check_size("A piston", piston.diameter_mm, "mm")
            for piston in pistons
        ]
        for bore in bores
    ]
    near = 1e-9
    costs = [
        [((gap - target_mm) * 1000) ** 2 if low_mm - near <= gap <= high_mm + near else None for gap in row]
        for row in gaps
    ]
    try:
        columns = assign(costs, (1,) * len(pistons))
    except NoMatch:
        raise NoMatch(
            f"No choice of these pistons brings every bore to {low_mm:g} to {high_mm:g} mm: "
            "hone the tight bores or get pistons of another size."
        ) from None
    return tuple(
        PistonFit(bore.place, pistons[column].name, round(row[column], 6))
        for bore, row, column in zip(bores, gaps, columns, strict=True)
    )


def nearest_pistons(bores: Sequence[Bore], pistons: Sequence[Piston], target_mm: float) -> tuple[PistonFit, ...]:
    """Which piston goes in which bore so that all clearances (mm) lie nearest the target, whatever they come to.

    For parts that do not all fit: shows what is nearest. Raises ValueError where there are fewer pistons than bores.
    """
    if len(pistons) < len(bores):
        raise ValueError(f"{len(pistons)} pistons are too few for {len(bores)} bores: measure one for each bore.")
    return match_pistons(bores, pistons, target_mm, -math.inf, math.inf)


def match_rods(rods: Sequence[Weighed], pistons: Sequence[Weighed]) -> tuple[RodPair, ...]:
    """Rods and pistons paired so that their masses together differ least, and what is left to take off, in grams.

    The heaviest rod takes the lightest piston and so on: no other pairing has a heavier lightest pair or a lighter
    heaviest one (exchange argument). Raises ValueError where the counts differ or a mass is no size.
    """
    if len(rods) != len(pistons) or not rods:
        raise ValueError(
            f"{len(rods)} rods cannot be paired with {len(pistons)} pistons: weigh one of each per cylinder."
        )
    for part in (*rods, *pistons):
        check_size(f"The mass of {part.name}", part.mass_g, "g")
    heaviest_first = sorted(rods, key=lambda part: -part.mass_g)
    pairs = list(zip(heaviest_first, sorted(pistons, key=lambda part: part.mass_g), strict=True))
    least = min(rod.mass_g + piston.mass_g for rod, piston in pairs)
    found = {
        rod.name: RodPair(rod.name, piston.name, total, round(total - least, 6))
        for rod, piston in pairs
        for total in (rod.mass_g + piston.mass_g,)
    }
    return tuple(found[rod.name] for rod in rods)
