"""Any value in every unit of its kind, both systems."""

from collections.abc import Mapping

from app.sheet.sections import FIGURE_PX
from app.sheet.sums.reading import in_range
from app.sheet.sums.shown import section, sources_section
from app.sheet.sums.sum import MOST, Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.conversion import convert
from app.trade.notation import NotationError, read_quantity, second, write_figure, write_quantity
from app.trade.quantity import UNITS, Kind, Quantity

_KINDS = tuple(kind for kind in Kind if kind not in (Kind.NUMBER, Kind.SHARE))
ASKS = (
    Ask("value", "Value", "18 lb-ft, 7 thou, 2.5 bar"),
    Ask("kind", "Kind", choices=tuple(kind.value for kind in _KINDS), optional=True),
)
_SOURCES = ("Factors of the units (NIST SP 811, from memory, and checked against an independent library in the tests)",)


def work(typed: Typed, shelf: Shelf) -> Answer:
    """The value in every unit of its kind."""
    found = typed.of("value", lambda text: _read(text, typed.text("kind"), shelf.decimal))
    same = {unit.id: convert(found, unit.id) for unit in UNITS.values() if unit.kind is found.kind}
    metric, inch, both = (_rows(same, system) for system in ("metric", "inch", "both"))
    other = second(found)
    headline = other or write_quantity(found)
    sections = [section(f"{write_quantity(found)} is", headline, px=FIGURE_PX)]
    if metric and inch:
        sections += [section("Metric", *metric), section("Inch", *inch)]
    else:
        sections.append(section("The same", *both, *metric, *inch))
    sections.append(sources_section(_SOURCES))
    values: dict[str, object] = {"kind": found.kind.value, "base_magnitude": found.magnitude}
    values |= {"same": same, "sources": list(_SOURCES)}
    return Answer(tuple(sections), values)


def _read(text: str, kind: str, decimal: str) -> Quantity:
    """The value read as the one kind its unit is of; a bare number has none and is asked about."""
    read: list[Quantity] = []
    fault: NotationError | None = None
    for one in (Kind(kind),) if kind else _KINDS:
        try:
            read.append(read_quantity(text, one, decimal=decimal))
        except NotationError as error:
            fault = fault or error if not kind else error
    if len(read) == 1:
        in_range(read[0].magnitude, read[0].unit, -MOST * 1000, MOST * 1000, over=False)
        return read[0]
    if read:
        kinds = " and ".join(one.kind.value for one in read)
        raise ValueError(f"that can be {kinds}: say which kind is meant.")
    if kind and fault is not None:
        raise fault
    raise ValueError("write a number with its unit, such as 18 lb-ft, 7 thou or 2.5 bar, or say which kind is meant.")


def _rows(same: Mapping[str, float], system: str) -> list[str]:
    return [write_figure(figure, unit_id) for unit_id, figure in same.items() if UNITS[unit_id].system == system]


UNIT = Sum(
    id="unit",
    title="Units",
    about="Any value in all units of its kind.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={"value": "18 lb-ft"},
)
