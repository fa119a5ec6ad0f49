"""How sure a verdict is, and whether a gauge will do, in sections of words."""

from collections.abc import Iterator, Sequence

from app.sheet.grid import GridCell
from app.sheet.rows import Run
from app.sheet.sections import Item, Section
from app.trade.measuring_tables import Instrument
from app.trade.uncertainty import gauge_fault, probability_of_conformity


def gauge_section(
    what: str, size_mm: float, tolerance_mm: float, doubt_mm: float, instruments: Sequence[Instrument]
) -> Iterator[Section]:
    """A gauge too coarse for its limits, before anything is read with it, and what would do."""
    fault = gauge_fault(f"“{what}”", size_mm, tolerance_mm, doubt_mm, instruments)
    if fault:
        yield Section("Before you measure", (Item((Run(fault, "stop"),)),))


def chance_section(cell: GridCell) -> Section:
    """The probability that a part is within its limits, from the reading and the gauge's doubt (JCGM 106)."""
    heading = "How sure"
    if cell.band is None or not any(end is not None for end in cell.limits):
        return Section(heading, (Item((Run("Nothing can be said without a value and its limits.", "text"),)),))
    size, doubt = sum(cell.band) / 2, (cell.band[1] - cell.band[0]) / 2
    if not doubt:
        words = "The gauge's doubt is not said (K), so the verdict takes it for perfect."
        return Section(heading, (Item((Run(words, "text"),)),))
    low, high = cell.limits
    chance = probability_of_conformity(size, doubt / 2, low, high)
    words = f"{chance:.1%} that it is within its limits, if the doubt is two standard deviations (JCGM 106)"
    return Section(heading, (Item((Run(words, "text"),)),))
