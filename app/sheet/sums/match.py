"""Which piston goes in which bore, or on which rod, so that the engine comes out most alike."""

from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.shown import both_mm, formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.matching import (
    Bore,
    NoMatch,
    Piston,
    PistonFit,
    RodPair,
    Weighed,
    match_pistons,
    match_rods,
    nearest_pistons,
)
from app.trade.quantity import Kind
from app.trade.tables import Known

BORES, MASSES = "pistons to bores", "rods and pistons by mass"
MOST_BORES = 24
_NOISE_MM = 1e-9
ASKS = (
    Ask("what", "Match", choices=(BORES, MASSES), default=BORES),
    Ask("bores", "Bores", "1 86.010; 2 86.022 mm", optional=True, long=True),
    Ask("pistons", "Pistons across the skirt", "A 85.965; B 85.978 mm", optional=True, long=True),
    Ask("band", "Piston to wall wanted", "0.030 to 0.055 mm", optional=True),
    Ask("rods", "Rods by mass", "1 612.4; 2 610.9 g", optional=True, long=True),
    Ask("masses", "Pistons by mass", "A 402.1; B 403.0 g, with pin, rings and clips", optional=True, long=True),
)
_SQUARES = formula(
    "Nearest: least sum of the squares off the middle of the band", "assignment by linear program", Known.PRACTICE
)
_RODS = formula("The heaviest rod takes the lightest piston, and so on", "exchange argument", Known.PRACTICE)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """Each bore's piston and its clearance, or each rod's piston and what is left to take off."""
    return _by_size(typed) if typed.text("what") == BORES else _by_mass(typed)


def _given(typed: Typed, *keys: str) -> None:
    for key in keys:
        if not typed.text(key):
            raise typed.fault(key, f"still to be given to match {typed.text('what')}.")


# --- pistons to bores


def _by_size(typed: Typed) -> Answer:
    _given(typed, "bores", "pistons", "band")
    low, target, high = typed.band("band", Kind.LENGTH, "mm")
    bores = [Bore(*each) for each in typed.figures("bores", Kind.LENGTH, "mm", most=1000.0).items()]
    pistons = [Piston(*each) for each in typed.figures("pistons", Kind.LENGTH, "mm", most=1000.0).items()]
    for key, parts in (("bores", bores), ("pistons", pistons)):
        if len(parts) > MOST_BORES:
            raise typed.fault(key, f"that is over {MOST_BORES}.")
    try:
        fits, trouble = match_pistons(bores, pistons, target, low, high), ""
    except NoMatch as error:  # the nearest there is says which bores are to be honed
        fits, trouble = typed.of("pistons", lambda _: nearest_pistons(bores, pistons, target)), str(error)
    out = [fit for fit in fits if not low - _NOISE_MM <= fit.clearance_mm <= high + _NOISE_MM]
    worst = max(abs(fit.clearance_mm - target) for fit in fits)
    spare = [piston.name for piston in pistons if piston.name not in {fit.piston for fit in fits}]
    sections = [
        section(
            "Bores in the band",
            f"{len(fits) - len(out)} of {len(fits)}",
            ink="stop" if out else "text",
            px=FIGURE_PX,
        ),
        section(f"Pistons, for {low:g} to {high:g} mm", *(_fit(fit) for fit in fits if fit not in out)),
        *_misfits(out, trouble, low, high),
        section("", f"Furthest off the {target:g} mm aimed at: {worst:.3f} mm."),
        section("Left over", ", ".join(spare)),
        section("Before you trust it", "Measure bore and skirt at one temperature, where the piston's maker says."),
        sources_section([_SQUARES]),
    ]
    values = {
        "pistons": [{"bore": fit.place, "piston": fit.piston, "clearance_mm": fit.clearance_mm} for fit in fits],
        "out_of_band": [fit.place for fit in out],
        "furthest_off_mm": worst,
        "sources": [_SQUARES],
    }
    return Answer(tuple(one for one in sections if one.items), values)


def _fit(fit: PistonFit) -> str:
    return f"{fit.place}: piston {fit.piston}, clearance {both_mm(fit.clearance_mm)}"


def _misfits(out: list[PistonFit], trouble: str, low: float, high: float) -> list[Section]:
    if not out:
        return []
    rows = []
    for fit in out:
        loose = fit.clearance_mm > high
        off = fit.clearance_mm - high if loose else low - fit.clearance_mm
        rows.append(f"{_fit(fit)}, {off:.3f} mm too {'loose' if loose else 'tight'}")
    return [section("Not in the band, nearest there is", *rows, trouble, ink="stop")]


# --- rods and pistons by mass


def _by_mass(typed: Typed) -> Answer:
    _given(typed, "rods", "masses")
    rods, pistons = (
        [Weighed(*each) for each in typed.figures(key, Kind.MASS, "g", most=100_000.0).items()]
        for key in ("rods", "masses")
    )
    pairs = typed.of("masses", lambda _: match_rods(rods, pistons))
    left = max(pair.to_remove_g for pair in pairs)
    unmatched = _as_they_lie(rods, pistons)
    sections = (
        section("Heaviest less lightest", f"{left:.1f} g", px=FIGURE_PX),
        section("", f"{unmatched:.1f} g in the order they were given"),
        section("Pairs", *(_pair(pair) for pair in pairs)),
        section(
            "Before you trust it",
            "Weigh rods end for end too: a rod whose ends are out of balance is not mended by its piston.",
            "Take metal only where the maker of the part says; on one crank pin of a V both pairs count.",
        ),
        sources_section([_RODS]),
    )
    values = {
        "pairs": [
            {"rod": one.rod, "piston": one.piston, "mass_g": one.mass_g, "to_remove_g": one.to_remove_g}
            for one in pairs
        ],
        "left_g": left,
        "unmatched_g": unmatched,
        "sources": [_RODS],
    }
    return Answer(sections, values)


def _as_they_lie(rods: list[Weighed], pistons: list[Weighed]) -> float:
    together = [rod.mass_g + piston.mass_g for rod, piston in zip(rods, pistons, strict=True)]
    return max(together) - min(together)


def _pair(pair: RodPair) -> str:
    to_do = f"{pair.to_remove_g:.1f} g to come off" if pair.to_remove_g else "the lightest: leave it"
    return f"rod {pair.rod} with piston {pair.piston}: {pair.mass_g:.1f} g, {to_do}"


MATCH = Sum(
    id="match",
    title="Matching parts",
    about="Pistons to bores by clearance, or rods and pistons by mass.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "bores": "1 86.010; 2 86.022; 3 86.015; 4 86.018 mm",
        "pistons": "A 85.978; B 85.965; C 85.972; D 85.974 mm",
        "band": "0.030 to 0.055 mm",
    },
)
