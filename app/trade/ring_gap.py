"""Ring gaps: what they should be, what to file, and a factor per inch read as a gap. Lengths in mm."""

import math
from collections.abc import Sequence

from msgspec import Struct

from app.trade.measuring_tables import RingGapRule
from app.trade.verdict import check_figure, check_size

# No maker asks for a gap under 0.0015 of the bore; a factor per inch of bore, read as a gap, lies below it.
_LEAST_GAP_PER_BORE = 0.0015


class RingGap(Struct, frozen=True):
    """The least end gap one set of rules asks for, in mm."""

    rule: RingGapRule
    least_mm: float


def gap_mm(bore_mm: float, per_bore: float) -> float:
    """A ring's end gap from its share of the bore (0.004 is 0.004 in per inch), in mm."""
    return check_size("The bore", bore_mm, "mm") * check_size("The gap per bore", per_bore, "")


def gap_per_bore(end_gap_mm: float, bore_mm: float) -> float:
    """An end gap as a share of its bore."""
    return check_size("The ring gap", end_gap_mm, "mm", zero=True) / check_size("The bore", bore_mm, "mm")


def ring_gaps(bore_mm: float, ring: str, use: str, rules: Sequence[RingGapRule]) -> tuple[RingGap, ...]:
    """What each set of rules asks for at one ring and use, side by side.

    Raises ValueError, naming what there is, where no rule fits.
    """
    found = tuple(
        RingGap(rule, gap_mm(bore_mm, rule.per_bore)) for rule in rules if (rule.ring, rule.use) == (ring, use)
    )
    if not found:
        uses = ", ".join(sorted({rule.use for rule in rules if rule.ring == ring})) or "no use at all"
        raise ValueError(f"No rule gives a {ring} ring gap for “{use}”; there is one for {uses}.")
    return found


class Ring(Struct, frozen=True):
    """A ring at its place (1-top), the gap measured square in its own bore and the gap it should have, in mm."""

    place: str
    measured_mm: float
    target_mm: float


class RingFiling(Struct, frozen=True):
    """How much to file off a ring's ends together, in mm; `wide_mm` is by how much it is already beyond its target."""

    place: str
    to_file_mm: float
    wide_mm: float


def ring_filing(rings: Sequence[Ring]) -> tuple[RingFiling, ...]:
    """What to file from each ring to reach its target gap; measured square, at the smallest diameter of the bore.

    Source for where to measure: TM 10-3930-653-14&P p. 4-34 (read).
    """
    rows = []
    for ring in rings:
        check_size(f"The gap of {ring.place}", ring.measured_mm, "mm", zero=True)
        check_size(f"The target gap of {ring.place}", ring.target_mm, "mm")
        short = ring.target_mm - ring.measured_mm
        rows.append(RingFiling(ring.place, round(max(0.0, short), 6), round(max(0.0, -short), 6)))
    return tuple(rows)


def per_inch_fault(end_gap_mm: float, bore_mm: float) -> str:
    """A sentence where a gap is so small that a figure per inch of bore was likely read as the gap; else empty."""
    share = gap_per_bore(end_gap_mm, bore_mm)
    if share >= _LEAST_GAP_PER_BORE:
        return ""
    return (
        f"A gap of {end_gap_mm:.3f} mm is only {share:.4f} of the bore: if the figure is meant per inch of bore, "
        "multiply it by the bore in inches first, or the ring ends will meet."
    )


def gap_growth_mm(bore_growth_mm: float) -> float:
    """How much a ring's end gap opens when the bore's diameter grows: pi x growth, in mm.

    Source: TM 5-3805-261-34 and TM 5-6115-593-34 p. 1-9, printed as 0.003 in per 0.001 in (read).
    """
    return math.pi * check_figure("The growth of the bore", bore_growth_mm, "mm")
