"""Ring end gap by every set of rules, and what is to be filed from a ring as it is."""

from collections.abc import Iterator

from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.shown import both_mm, cited, formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.ring_gap import Ring, RingGap, per_inch_fault, ring_filing, ring_gaps
from app.trade.tables import Known


def _rings(shelf: Shelf) -> tuple[str, ...]:
    return tuple(dict.fromkeys(rule.ring for rule in shelf.measuring.ring_gaps))


def _uses(shelf: Shelf) -> tuple[str, ...]:
    return tuple(dict.fromkeys(rule.use for rule in shelf.measuring.ring_gaps))


ASKS = (
    Ask("bore", "Bore", "86 mm"),
    Ask("ring", "Ring", listed=_rings, default="top"),
    Ask("use", "Engine is", listed=_uses, default="naturally aspirated"),
    Ask("sheet", "Gap on the ring maker's sheet", "0.35 mm", optional=True),
    Ask("measured", "Gap as measured", "square in its own bore, 0.20 mm", optional=True),
)
_MEASURE = formula("Measured square, at the smallest diameter of the bore", "TM 10-3930-653-14&P p. 4-34", Known.READ)


def work(typed: Typed, shelf: Shelf) -> Answer:
    """What each set of rules asks for, what to file for each, and whether a figure per inch was read as a gap."""
    bore = typed.length_mm("bore", least=10.0, most=1000.0)
    ring, use = typed.text("ring"), typed.text("use")
    found = typed.of("use", lambda _: ring_gaps(bore, ring, use, shelf.measuring.ring_gaps))
    sheet = typed.length_mm("sheet", most=20.0) if typed.text("sheet") else None
    measured = typed.length_mm("measured", most=20.0, over=False) if typed.text("measured") else None
    asked = per_inch_fault(sheet, bore) if sheet is not None else ""
    least = [one.least_mm for one in found]
    sources = [cited(f"Set {one.rule.set}: {one.rule.per_bore:g} of the bore", one.rule.origin) for one in found]
    sources += [_MEASURE] if measured is not None else []
    span = f"{min(least):.2f}" if max(least) - min(least) < 0.005 else f"{min(least):.2f} to {max(least):.2f}"
    sections = [
        section(f"Least end gap, {ring} ring, {use}", f"{span} mm", px=FIGURE_PX),
        *(
            section(f"Set {one.rule.set}", f"{both_mm(one.least_mm)}, {one.rule.per_bore:g} of the bore")
            for one in found
        ),
    ]
    if asked:
        sections.append(section("Is that figure a gap?", asked, ink="stop"))
    if measured is not None:
        sections += _filing(found, measured, sheet)
    sections += [
        section("Before you trust it", "The ring maker's sheet goes first; too little makes the ends meet and break."),
        sources_section(sources),
    ]
    values = {
        "rules": [{"set": one.rule.set, "gap_mm": one.least_mm, "gap_per_bore": one.rule.per_bore} for one in found],
        "gap_low_mm": min(least),
        "gap_high_mm": max(least),
        "file_low_mm": _file(measured, min(least)),
        "file_high_mm": _file(measured, max(least)),
        "file_to_sheet_mm": _file(measured, sheet),
        "asked": asked,
        "sources": sources,
    }
    return Answer(tuple(sections), values)


def _file(measured_mm: float | None, target_mm: float | None) -> float | None:
    if measured_mm is None or target_mm is None:
        return None
    return ring_filing((Ring("", measured_mm, target_mm),))[0].to_file_mm


def _filing(found: tuple[RingGap, ...], measured_mm: float, sheet_mm: float | None) -> Iterator[Section]:
    targets = [(f"set {one.rule.set}", one.least_mm) for one in found]
    targets += [("the maker's sheet", sheet_mm)] if sheet_mm is not None else []
    rows = []
    for name, target in targets:
        off = _file(measured_mm, target)
        rows.append(f"{both_mm(off)} for {name}" if off else f"nothing for {name}: it is that wide already")
    yield section(
        "File off, both ends together", *rows, "A little at a time, square, and measure again: nothing goes back on."
    )


GAP = Sum(
    id="gap",
    title="Ring gap",
    about="What two sets of rules ask for, and what to file.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={"bore": "4 in", "ring": "top", "use": "naturally aspirated", "measured": "0.25 mm"},
)
