"""How wide a single figure of a line is: what the trade offers, a tool, or what somebody says."""

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.standing.tools import doubt_of, tool_of
from app.assembly.standing.verdicts import bounds_in, bounds_of, is_target
from app.trade.figure import Target, Width
from app.trade.notation import NotationError, read_limits, read_quantity
from app.trade.quantity import Kind, Limits, TorqueTurn
from app.trade.targets import widths_offered, with_tool, with_width


class Offered(Struct, frozen=True):
    """A width that the trade gives a line's single figure, and the name it is taken by."""

    name: str
    width: Width


def target_of(build: Build, line: Line) -> Target | None:
    """The single figure of a line, whatever width was said of it; None where its figure has limits."""
    found = _single(line, bounds_of(line.step.spec, build.facts.figures.get(line.id), build.sources))
    return _target(found) if found is not None else None


def is_open(build: Build, line: Line) -> bool:
    """Whether a line has a single figure that nobody has said a width of."""
    return _single(line, bounds_in(build, line)) is not None


def _single(line: Line, bounds: Bounds | None) -> Limits | None:
    if bounds is None or not line.reads or isinstance(bounds.limits, TorqueTurn):
        return None  # what is not read is not judged, and a torque with turns is only where the turns begin
    return next((one for one in (bounds.own, *bounds.parts.values()) if is_target(one)), None)


def _target(limits: Limits) -> Target:
    assert limits.target is not None  # is_target says so
    return Target(limits.kind, limits.target, limits.unit, limits.text)


def offered(build: Build, line: Line) -> tuple[Offered, ...]:
    """The widths the trade gives a line's single figure, most usual first; empty where there is none."""
    target = target_of(build, line)
    found: list[Offered] = []
    for width in widths_offered(target) if target is not None else ():
        word = width.how.name.lower()
        before = sum(one.width.how is width.how for one in found)
        found.append(Offered(f"{word} {before + 1}" if before else word, width))
    return tuple(found)


def read_width(build: Build, line: Line, target: Target, text: str, source: str, decimal: str) -> Width:
    """The width that a text gives a single figure: an offer or a tool by name, “± 0.5 thou”, “4 %”, “6 to 8 thou”.

    Raises NotationError where it is none of these, ValueError where the figure does not lie in it.
    """
    named = next((one.width for one in offered(build, line) if one.name == text.casefold()), None)
    if named is not None:
        return named
    tool = tool_of(build, text) if text else None
    if tool is not None:
        found = with_tool(target, doubt_of(tool, line.step.spec), source or f"{tool.name}, {tool.doubt}").width
    else:
        low, high = _ends(target, text, decimal)
        found = with_width(target, low, high, source or "said").width
    assert found is not None
    return found


def _ends(target: Target, text: str, decimal: str) -> tuple[float, float]:
    bare = text.removeprefix("+/-").lstrip("±+- ") if text[:1] in "±+-" else text
    try:
        by = target.value * read_quantity(bare, Kind.SHARE, decimal=decimal).magnitude / 100
        return target.value - by, target.value + by
    except NotationError:
        pass  # it is no share, so it is a size or two ends
    if bare != text:
        # A difference of temperatures has no zero of its own; the others have none to begin with
        by = read_quantity(bare, target.kind, unit=target.unit, decimal=decimal).magnitude
        zero = read_quantity(f"0 {target.unit}", target.kind).magnitude if target.kind is Kind.TEMPERATURE else 0.0
        return target.value - (by - zero), target.value + (by - zero)
    limits = read_limits(text, target.kind, unit=target.unit, decimal=decimal)
    if limits.low is None or limits.high is None or limits.low == limits.high:
        raise NotationError(f"“{text}” is no width: write how far off is still right, such as ± 4 %, or both ends.")
    return limits.low, limits.high
