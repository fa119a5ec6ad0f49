"""Single figures of the trade: never met exactly, and judged only once a width around them is said."""

from msgspec.structs import replace

from app.trade.figure import How, Target, Width
from app.trade.quantity import UNITS, Kind
from app.trade.verdict import check_size
from app.trade.wrench import MOST_TORQUE_NM, iso_tolerance

# Half a step either side: a blade that goes and the next that does not leave the width of one step.
_BLADE_MM = 0.05
_BLADES_IN = (0.001, 0.002)
_BLADE_SOURCE = "steps of common feeler gauge sets (common practice)"
_WRENCH_SOURCE = "ISO 6789:2003 type II class A, quoted in a tool maker's manual (read)"


def widths_offered(target: Target) -> tuple[Width, ...]:
    """The widths the trade gives a single figure, most usual first; empty where it gives none.

    For a length one step between feeler blades, half of it either side: 0.05 mm for a metric figure, 0.001 in and
    0.002 in for one in inches (common practice). For a torque above 0 to 2000 N·m what a setting wrench may be off,
    6 % to 10 N·m and 4 % above (ISO 6789:2003, read). A width that would reach below zero is left out.
    """
    if target.kind is Kind.LENGTH:
        inches = UNITS[target.unit].system == "inch"
        steps = [step * UNITS["in"].factor for step in _BLADES_IN] if inches else [_BLADE_MM]
        widths = [_around(target, step / 2, How.BLADE, _BLADE_SOURCE) for step in steps]
    elif target.kind is Kind.TORQUE and 0 < target.value <= MOST_TORQUE_NM:
        share = iso_tolerance(target.value)
        widths = [_around(target, share * target.value, How.WRENCH, _WRENCH_SOURCE)]
    else:
        widths = []
    return tuple(width for width in widths if width.low >= 0 or target.value < 0)


def with_tool(target: Target, off: float, source: str) -> Target:
    """The target as wide as its tool is said to be off either way (base unit, above 0). Raises ValueError."""
    return replace(target, width=_around(target, check_size("What the tool is off", off, ""), How.TOOL, source))


def with_width(target: Target, low: float, high: float, source: str) -> Target:
    """The target with ends somebody said (base unit). Raises ValueError where it does not lie between them."""
    if not low <= target.value <= high or low == high:
        raise ValueError(f"{target.text} has to lie between the two ends of its width: write the smaller one first.")
    return replace(target, width=Width(low, high, How.SAID, source))


def _around(target: Target, half: float, how: How, source: str) -> Width:
    # Twelve digits: 0.20 - 0.025 is 0.175 and not its neighbour
    low, high = (float(f"{target.value + side * half:.12g}") for side in (-1, 1))
    return Width(low, high, how, source)


# No single figure of the trade is met by what is a third off it (common practice): wrenches are held to 4 %, gauges to
# less, blades step by a tenth. A temperature, an angle or a count may lie anywhere about its figure.
_FAR_SHARE = 1 / 3
_HAVE_A_SHARE = (Kind.LENGTH, Kind.TORQUE, Kind.PRESSURE, Kind.VOLUME, Kind.MASS, Kind.FORCE)


def is_far(size: float, aim: float, kind: Kind) -> bool:
    """Whether a size lies further from a single figure (same unit) than any width would allow."""
    return kind in _HAVE_A_SHARE and aim > 0 and abs(size - aim) > _FAR_SHARE * aim
