"""Displacement and compression ratio with their doubt, and what one cc is worth."""

from app.sheet.sections import FIGURE_PX
from app.sheet.sums.shown import both, both_mm, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.geometry import (
    ClearanceVolumes,
    chamber_for_ratio_cc,
    compression_ratio,
    disc_cc,
    displacement_cc,
    quench_mm,
    ratio_doubt,
    swept_cc,
)
from app.trade.quantity import UNITS

ASKS = (
    Ask("bore", "Bore", "86 mm"),
    Ask("stroke", "Stroke", "86 mm"),
    Ask("cylinders", "Cylinders", "4", default="4"),
    Ask("chamber", "Chamber in the head", "45 cc"),
    Ask("gasket_bore", "Hole in the gasket", "the bore where empty", optional=True),
    Ask("gasket", "Gasket, crushed", "1.2 mm"),
    Ask("deck", "Deck", "0.2 mm; negative: crown above the deck", optional=True, default="0 mm"),
    Ask("piston", "Dish or dome", "5 cc of dish and pockets; a dome negative", optional=True, default="0 cc"),
    Ask("crevice", "Crevice round the top land", "0.8 cc", optional=True, default="0 cc"),
    Ask("doubt", "Doubt of the volume", "of all that is left at TDC, 0.5 cc", optional=True, default="0.5 cc"),
    Ask("wanted", "Ratio wanted", "10.5", optional=True),
)
_SOURCES = (
    "Ratio (swept + left at TDC) ÷ left at TDC; swept π/4 × bore² × stroke (definitions)",
    "One cc is swept ÷ left², the slope of the ratio (computed)",
)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """The ratio with the doubt of the volumes, what makes it up, and the chamber for another ratio."""
    bore, stroke = typed.length_mm("bore", most=1000.0), typed.length_mm("stroke", most=1000.0)
    cylinders = typed.whole("cylinders", least=1, most=24)
    hole = typed.length_mm("gasket_bore", most=1000.0) if typed.text("gasket_bore") else bore
    gasket = typed.length_mm("gasket", most=20.0, over=False)
    deck = typed.length_mm("deck", least=-50.0, most=50.0, over=False)
    volumes = _volumes(typed, disc_cc(hole, gasket), disc_cc(bore, deck) if deck else 0.0)
    swept, left = swept_cc(bore, stroke), volumes.total_cc
    ratio = compression_ratio(swept, left)
    doubt_cc = typed.volume_cc("doubt", most=100.0, over=False)
    doubt, one_cc = ratio_doubt(swept, left, doubt_cc) if doubt_cc else 0.0, ratio_doubt(swept, left, 1.0)
    squish = quench_mm(deck, gasket)
    total = displacement_cc(bore, stroke, cylinders)
    chamber = _chamber_wanted(typed, swept, left - volumes.chamber_cc)
    sections = [
        section("Compression ratio", f"{ratio:.2f} ± {doubt:.2f}", px=FIGURE_PX),
        section("", f"One cc of the volume is {one_cc:.2f} of the ratio: more cc, less ratio."),
        section(
            "Displacement",
            _cc(total, 4),
            f"{_cc(swept, 4)} a cylinder",
        ),
        section("Left at TDC", f"{left:.2f} cc", *_parts(volumes)),
        section(
            "Squish, crown to head",
            both_mm(squish),
            "" if squish > 0 else "Crown and head meet.",
            "Rods stretch and pistons rock at speed: the piston maker says how little may stay.",
            ink="text" if squish > 0 else "stop",
        ),
    ]
    if chamber is not None:
        change = chamber - volumes.chamber_cc
        move = "more than now" if change > 0 else "less than now"
        sections.append(
            section(f"For {typed.text('wanted')}", f"chamber {chamber:.2f} cc, {abs(change):.2f} cc {move}")
        )
    sections.append(sources_section(_SOURCES))
    values = {
        "ratio": ratio,
        "ratio_doubt": doubt,
        "ratio_per_cc": one_cc,
        "displacement_cc": total,
        "swept_cc": swept,
        "left_cc": left,
        "squish_mm": squish,
        "chamber_wanted_cc": chamber,
        "sources": list(_SOURCES),
    }
    return Answer(tuple(sections), values)


def _volumes(typed: Typed, gasket_cc: float, deck_cc: float) -> ClearanceVolumes:
    chamber = typed.volume_cc("chamber", over=False)
    piston = typed.volume_cc("piston", least=-10_000.0, over=False)
    crevice = typed.volume_cc("crevice", most=100.0, over=False)
    return typed.of("chamber", lambda _: ClearanceVolumes(chamber, gasket_cc, deck_cc, piston, crevice))


def _chamber_wanted(typed: Typed, swept: float, others: float) -> float | None:
    if not typed.text("wanted"):
        return None
    wanted = typed.number("wanted", least=1.1, most=40.0)
    return typed.of("wanted", lambda _: chamber_for_ratio_cc(swept, wanted, others))


def _cc(volume_cc: float, digits: int) -> str:
    return both(volume_cc, "mL", digits).replace(UNITS["mL"].sign, "cc")


def _parts(volumes: ClearanceVolumes) -> tuple[str, ...]:
    parts = (
        ("chamber", volumes.chamber_cc),
        ("gasket", volumes.gasket_cc),
        ("deck", volumes.deck_cc),
        ("dish" if volumes.piston_cc >= 0 else "dome", volumes.piston_cc),
        ("crevice", volumes.crevice_cc),
    )
    return (", ".join(f"{name} {size:.2f}" for name, size in parts if size),)


RATIO = Sum(
    id="ratio",
    title="Compression ratio",
    about="Displacement, ratio with its doubt, what one cc is worth, squish.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "bore": "86 mm",
        "stroke": "86 mm",
        "cylinders": "4",
        "chamber": "45 cc",
        "gasket_bore": "87.5 mm",
        "gasket": "1.2 mm",
        "deck": "0.2 mm",
        "piston": "5 cc",
        "wanted": "10.5",
    },
)
