"""Which sum at the bench goes with a line; apart from the sums themselves, so that asking loads none of them."""

from app.assembly.lines import Line
from app.assembly.plan.steps import Adjuster, BenchSum
from app.assembly.standing.lash_stops import is_lash


def sum_of(line: Line) -> BenchSum | None:
    """The sum that goes with a line, or None: its plan's word, and for lash the shims or the crank stops."""
    measure = line.step.measure
    if measure is None:
        return None
    if measure.sum is None and is_lash(line):
        return BenchSum.SHIM if measure.adjuster is Adjuster.SHIM else BenchSum.VALVES
    return measure.sum
