"""What a torque printed for threads in one state is worth with the threads in another."""

from app.sheet.joint import STATE_FIRST
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.shown import (
    STATES,
    both,
    factor_source,
    formula,
    kn,
    number_in,
    other_unit,
    section,
    shown,
    sources_section,
)
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.sheet.tighten import CAUTION
from app.trade.preload import Window, factor_range, preload_window, proof_shares, same_preload
from app.trade.tables import Known, Strength, ThreadState, find_strength
from app.trade.threads import Thread, read_thread

ASKS = (
    Ask("thread", "Thread", "M10x1.25 or 3/8-24 UNF"),
    Ask("torque", "Torque as printed", "60 N·m"),
    Ask("written_for", "Written for threads", choices=STATES, default="dry"),
    Ask("used", "Threads as they are", choices=STATES, default="oiled"),
    Ask(
        "strength",
        "Strength on the head",
        "8.8, 10.9, Grade 8",
        optional=True,
        listed=lambda shelf: tuple(dict.fromkeys(row.name for row in shelf.tables.strengths)),
    ),
)
_FORM = formula("Preload T ÷ (K d), from the highest K to the lowest", "many torque pages", Known.READ)


def work(typed: Typed, shelf: Shelf) -> Answer:
    """The preload window in both states, and the torques that may give the same preload: always a range."""
    thread = typed.of("thread", lambda text: read_thread(text, shelf.tables))
    torque = typed.torque("torque")
    torque_nm = torque.magnitude
    written, used = ThreadState(typed.text("written_for")), ThreadState(typed.text("used"))
    strength = None
    if typed.text("strength"):
        strength = typed.of("strength", lambda text: find_strength(shelf.tables, text, thread.diameter_mm))
    had = preload_window(torque_nm, thread.diameter_mm, factor_range(written, shelf.tables))
    has = preload_window(torque_nm, thread.diameter_mm, factor_range(used, shelf.tables))
    same = same_preload(torque_nm, written, used, shelf.tables)
    sources = list(dict.fromkeys([_FORM, factor_source(written, shelf.tables), factor_source(used, shelf.tables)]))
    heading = f"The same preload may take, threads {used.value}"
    sections = (
        Section(
            heading,
            section("", _span(same.low_nm, same.high_nm, torque.unit)).items,
            px=FIGURE_PX,
        ),
        section("", _span(same.low_nm, same.high_nm, other_unit(torque.unit))),
        section("", "A range, not a figure to set: the spread of friction is that wide.", STATE_FIRST, ink="mind"),
        _window_section(f"Preload from {both(torque_nm, torque.unit)}, threads {written.value}", had, thread, strength),
        _window_section(f"Preload from {both(torque_nm, torque.unit)}, threads {used.value}", has, thread, strength),
        section("Before you trust it", CAUTION),
        sources_section(sources),
    )
    values = {
        "torque_low_nm": same.low_nm,
        "torque_high_nm": same.high_nm,
        "written_for_low_n": had.low_n,
        "written_for_high_n": had.high_n,
        "used_low_n": has.low_n,
        "used_high_n": has.high_n,
        "sources": sources,
    }
    return Answer(sections, values)


def _span(low_nm: float, high_nm: float, unit: str) -> str:
    return shown(low_nm, unit) if low_nm == high_nm else f"{number_in(low_nm, unit)} to {shown(high_nm, unit)}"


def _window_section(heading: str, window: Window, thread: Thread, strength: Strength | None) -> Section:
    shares = ""
    if strength is not None:
        low, high = proof_shares(window, thread, strength)
        shares = f"{low:.0%} to {high:.0%} of proof load"
    return section(heading, f"{kn(window.low_n)}", f"to {kn(window.high_n)}", shares)


THREADS = Sum(
    id="threads",
    title="Oil on the threads",
    about="A torque for dry threads with oil, paste or sealant on them, or the other way round.",
    group=Group.BOLTS,
    asks=ASKS,
    work=work,
    example={"thread": "M10x1.5", "torque": "60 N·m", "written_for": "dry", "used": "oiled", "strength": "10.9"},
)
