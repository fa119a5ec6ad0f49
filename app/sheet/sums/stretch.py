"""How far a bolt stretches under a load, the load behind a stretch, and the turn that brings it."""

from collections.abc import Iterator

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.shown import both, both_mm, formula, kn, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.sheet.tighten import CAUTION
from app.trade.quantity import Kind
from app.trade.stretch import (
    STEEL_MPA,
    Bolt,
    elongation_mm,
    force_from_stretch_n,
    free_length_mm,
    sections_of,
    tensile_stress_mpa,
    turn_for_stretch_deg,
)
from app.trade.tables import Known, Strength, find_strength
from app.trade.threads import Thread, proof_load_n, read_thread, stress_area_mm2

ASKS = (
    Ask("thread", "Thread", "M10x1.25 or 3/8-24 UNF"),
    Ask("shank", "Plain shank", "0 mm for a thread all along"),
    Ask("clamped", "Clamped length", "60 mm"),
    Ask("head", "Height of the head", "6.4 mm"),
    Ask("nut", "Height of the nut", "or the thread engaged, 8 mm"),
    Ask("stretch", "Stretch", "give this or the load, 0.12 mm", optional=True),
    Ask("load", "Load", "give this or the stretch, 30 kN", optional=True),
    Ask("doubt", "Doubt of the stretch", "0.005 mm", optional=True, default="0.005 mm"),
    Ask(
        "strength",
        "Strength on the head",
        "8.8, 10.9, Grade 8",
        optional=True,
        listed=lambda shelf: tuple(dict.fromkeys(row.name for row in shelf.tables.strengths)),
    ),
)
_SOURCES = (
    formula(
        "Stretch F ÷ E × the L ÷ A of all pieces",
        "MIL-HDBK-60 note on stepped bolts and a bolt-stretching page",
        Known.READ,
    ),
    formula(
        f"E {STEEL_MPA / 1000:g} GPa for steel; half the head and half the nut stretch too",
        "MIL-HDBK-60 as reproduced on a calculation page",
        Known.READ,
    ),
)


def work(typed: Typed, shelf: Shelf) -> Answer:
    """The load from the stretch or the stretch from the load, with the doubt of the reading, and the turn."""
    thread = typed.of("thread", lambda text: read_thread(text, shelf.tables))
    bolt = _bolt(typed, thread)
    lengths = typed.of("shank", lambda _: sections_of(bolt))
    if bool(typed.text("stretch")) == bool(typed.text("load")):
        raise typed.fault("stretch", "give either this or the load, not both and not neither.")
    if typed.text("stretch"):
        stretch_mm = typed.length_mm("stretch", most=10.0)
        load_n = force_from_stretch_n(stretch_mm, lengths)
    else:
        load_n = typed.quantity("load", Kind.FORCE, "kN", most=5e6).magnitude
        stretch_mm = elongation_mm(load_n, lengths)
    doubt_mm = typed.length_mm("doubt", most=1.0, over=False)
    strength = None
    if typed.text("strength"):
        strength = typed.of("strength", lambda text: find_strength(shelf.tables, text, thread.diameter_mm))
    doubt_n = doubt_mm * load_n / stretch_mm
    turn = turn_for_stretch_deg(stretch_mm, thread.pitch_mm)
    stress = tensile_stress_mpa(load_n, stress_area_mm2(thread))
    free = free_length_mm(bolt)
    sections = (
        *_headline(typed, stretch_mm, load_n, doubt_n),
        *_share(load_n, doubt_n, thread, strength),
        section(
            "Turn for it, from snug",
            f"{turn:.0f}°",
            "for parts that do not give; real ones take more, so the stretch decides",
        ),
        section("What stretches", f"{both(free, 'mm')} as if all of it had the stress area", f"{stress:.0f} MPa in it"),
        section("Before you trust it", CAUTION, "Holds below yield only."),
        sources_section(_SOURCES),
    )
    values = {
        "stretch_mm": stretch_mm,
        "load_n": load_n,
        "doubt_n": doubt_n,
        "turn_deg": turn,
        "free_length_mm": free,
        "stress_mpa": stress,
        "proof_n": proof_load_n(thread, strength) if strength else None,
        "sources": list(_SOURCES),
    }
    return Answer(sections, values)


def _bolt(typed: Typed, thread: Thread) -> Bolt:
    shank, clamped = typed.length_mm("shank", most=2000.0, over=False), typed.length_mm("clamped", most=2000.0)
    head, nut = (typed.length_mm(key, most=200.0, over=False) for key in ("head", "nut"))
    return Bolt(thread, shank, clamped, head, nut)


def _headline(typed: Typed, stretch_mm: float, load_n: float, doubt_n: float) -> Iterator[Section]:
    if typed.text("stretch"):
        yield section("Load", f"{load_n / 1000:.1f} kN", px=FIGURE_PX)
        doubt = f"± {kn(doubt_n)} for the doubt of the stretch" if doubt_n else "for a stretch read without any doubt"
        yield section("", f"{kn(load_n)}", doubt)
    else:
        yield section("Stretch", f"{stretch_mm:.3f} mm", px=FIGURE_PX)
        yield section("", both_mm(stretch_mm))


def _share(load_n: float, doubt_n: float, thread: Thread, strength: Strength | None) -> Iterator[Section]:
    if strength is None:
        return
    proof = proof_load_n(thread, strength)
    low, high = ((load_n - doubt_n) / proof, (load_n + doubt_n) / proof)
    ink: Token = "stop" if load_n > proof else "text"
    yield section("Share of proof load", f"{low:.0%} to {high:.0%}", f"proof load {kn(proof)}", ink=ink)


STRETCH = Sum(
    id="stretch",
    title="Bolt stretch",
    about="From a measured stretch to the load and back, and the turn that brings it.",
    group=Group.BOLTS,
    asks=ASKS,
    work=work,
    example={
        "thread": "M10x1.25",
        "shank": "30 mm",
        "clamped": "60 mm",
        "head": "6.4 mm",
        "nut": "8 mm",
        "stretch": "0.12 mm",
        "strength": "10.9",
    },
)
