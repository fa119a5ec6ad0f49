"""Which bearing shells bring every place into its band of oil clearance, from those to be had."""

import re
from collections.abc import Iterator

from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import figures, split, whole
from app.sheet.sums.shown import both_mm, formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.clearances import (
    Shell,
    ShellChoice,
    ShellPlace,
    bearing_clearances,
    choose_shells,
    out_of_reach,
    shell_sets,
    without_shells,
)
from app.trade.quantity import Kind
from app.trade.tables import Known

SAME, MIXED = "of one size", "may be of neighbouring sizes"
ASKS = (
    Ask("now", "Clearance with shells in", "1 0.062; 2 0.055; 3 0.048 mm", optional=True, long=True),
    Ask("fitted", "Thickness of those shells", "1.494 mm for all, or 1 1.494; 2 1.497", optional=True),
    Ask("housings", "Or: bore with no shells", "1 58.020; 2 58.012 mm", optional=True),
    Ask("journals", "and its journal", "1 54.980; 2 54.985 mm", optional=True),
    Ask("sizes", "Shells to be had", "red 1.491; black 1.494 x2; blue 1.497 mm", long=True),
    Ask("pairs", "The two shells of a place", choices=(SAME, MIXED), default=SAME),
    Ask("band", "Clearance wanted", "0.025 to 0.050 mm"),
)
_CLEARANCE = formula("Clearance: bore − journal − twice the thickness of a shell", "geometry", Known.PRACTICE)
_NEAREST = formula(
    "Nearest: least sum of the squares off the middle of the band", "assignment by linear program", Known.PRACTICE
)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """The shells of each place with the clearance they give, and the places that none brings into the band."""
    low, target, high = typed.band("band", Kind.LENGTH, "mm")
    rooms = _rooms(typed)
    shells = typed.of("sizes", lambda text: _shells(text, typed.decimal))
    sets = typed.of("pairs", lambda _: shell_sets(shells, mixed=typed.text("pairs") == MIXED))
    beyond = typed.of("sizes", lambda _: out_of_reach(rooms, sets, low, high))
    helpless = {one.place for one in beyond}
    rest = [room for room in rooms if room.place not in helpless]
    chosen = typed.of("sizes", lambda _: choose_shells(rest, sets, low, target, high))
    count = f"{len(chosen)} of {len(rooms)}"
    sections = [
        section("Places brought into the band", count, ink="stop" if beyond else "text", px=FIGURE_PX),
        *_chosen(chosen, low, high),
        *_beyond(beyond, low, high),
        section(
            "Before you trust it",
            "Measure the shells at their crown, and the clearance again with the chosen ones in and the caps torqued.",
            "The tables of the engine's maker go first.",
        ),
        sources_section([_CLEARANCE, _NEAREST]),
    ]
    values = {
        "places": [{"place": one.place, "shells": one.shells, "clearance_mm": one.clearance_mm} for one in chosen],
        "out_of_reach": [
            {"place": one.place, "nearest": one.shells, "clearance_mm": one.clearance_mm} for one in beyond
        ],
        "sources": [_CLEARANCE, _NEAREST],
    }
    return Answer(tuple(sections), values)


def _rooms(typed: Typed) -> tuple[ShellPlace, ...]:
    """The room of each place with no shells in it."""
    if typed.text("housings") or typed.text("journals"):
        if typed.text("now"):
            raise typed.fault("housings", "give either this with the journals, or the clearance with shells in.")
        for key in ("housings", "journals"):
            if not typed.text(key):
                raise typed.fault(key, "still to be given: bore and journal belong together.")
        housings, journals = (typed.figures(key, Kind.LENGTH, "mm", most=1000.0) for key in ("housings", "journals"))
        return typed.of("journals", lambda _: bearing_clearances(housings, journals))
    if not typed.text("now"):
        raise typed.fault("now", "give this with the thickness of those shells, or bore and journal.")
    if not typed.text("fitted"):
        raise typed.fault("fitted", "still to be given: what another size changes is counted from these shells.")
    now = typed.figures("now", Kind.LENGTH, "mm", least=-10.0, most=10.0, over=False)
    places = [ShellPlace(place, gap) for place, gap in now.items()]
    return typed.of("fitted", lambda text: without_shells(places, _fitted(text, tuple(now), typed.decimal)))


def _fitted(text: str, places: tuple[str, ...], decimal: str) -> dict[str, float]:
    found = figures(text, Kind.LENGTH, "mm", decimal, most=50.0)
    if len(found) == 1:
        return dict.fromkeys(places, next(iter(found.values())))
    return found


def _shells(text: str, decimal: str) -> tuple[Shell, ...]:
    """Sizes as “red 1.491; black 1.494 x2 mm”, the number of pairs after an x."""
    rows = [re.fullmatch(r"(.*?)(?:\s+[x×]\s*(\d+))?(\s+(?:mm|in))?", one) for one in split(text)]
    found = figures(";".join(f"{row[1]}{row[3] or ''}" for row in rows if row), Kind.LENGTH, "mm", decimal, most=50.0)
    counts = [whole(row[2], 1, 999) if row[2] else None for row in rows if row]
    return tuple(Shell(name, thick, count) for (name, thick), count in zip(found.items(), counts, strict=True))


def _chosen(chosen: tuple[ShellChoice, ...], low: float, high: float) -> Iterator[Section]:
    if chosen:
        rows = (f"{one.place}: {one.shells}, clearance {both_mm(one.clearance_mm)}" for one in chosen)
        yield section(f"Shells, for {low:g} to {high:g} mm", *rows)


def _beyond(beyond: tuple[ShellChoice, ...], low: float, high: float) -> Iterator[Section]:
    rows = []
    for one in beyond:
        off = one.clearance_mm - high if one.clearance_mm > high else low - one.clearance_mm
        way = "loose" if one.clearance_mm > high else "tight"
        rows.append(f"{one.place}: {one.shells} comes nearest, {both_mm(one.clearance_mm)}, {off:.3f} mm too {way}")
    if rows:
        yield section(
            "No shells bring these into the band", *rows, "Find another size, or have the journal ground.", ink="stop"
        )


SHELLS = Sum(
    id="shells",
    title="Bearing shells",
    about="Shells for every place from those to be had, and the clearance each gives.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "now": "1 0.062; 2 0.041; 3 0.022 mm",
        "fitted": "1.494 mm",
        "sizes": "red 1.491; black 1.494; blue 1.500 mm",
        "band": "0.025 to 0.050 mm",
    },
)
