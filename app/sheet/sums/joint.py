"""What a torque comes to in a bolted joint: preload, pressure under the head, threads, and what gives way first."""

from collections.abc import Iterator
from datetime import UTC, datetime

from app.assembly.said.joints import JointSaid
from app.assembly.standing.joints import JointSum, described, joint_sum
from app.sheet.joint import pressure_items, share_words, window_words
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.shown import STATES, both, both_nm, kn, section, sources_section, words
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.sheet.tighten import CAUTION
from app.trade.joint import rule_findings
from app.trade.tables import HeadSize, Tables, find_head
from app.trade.threads import Thread, read_thread
from app.words.say import say


def _strengths(shelf: Shelf) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.name for row in shelf.tables.strengths))


def _materials(shelf: Shelf) -> tuple[str, ...]:
    return tuple(sorted({row.material for row in shelf.tables.pressure_limits}))


ASKS = (
    Ask("thread", "Thread", "M10x1.25 or 3/8-24 UNF"),
    Ask("strength", "Strength on the head", "8.8, 10.9, Grade 8", listed=_strengths),
    Ask("torque", "Torque", "60 N·m"),
    Ask("state", "On the threads", choices=STATES, default="oiled"),
    Ask("face", "Bearing face", "a plain hexagon's where empty", optional=True),
    Ask("hole", "Hole under it", "a normal hole where empty", optional=True),
    Ask("clamped", "Head bears on", listed=_materials, optional=True),
    Ask("tapped", "Screws into", listed=_materials, optional=True),
    Ask("engagement", "Thread engaged", "20 mm", optional=True),
)
# A joint of the build says who described it and when; a sum at the bench was described by nobody.
_NOBODY, _NEVER = "", datetime(1970, 1, 1, tzinfo=UTC)
_RULED = ("aluminium", "grey iron", "steel")


def work(typed: Typed, shelf: Shelf) -> Answer:
    """Everything that can be worked out from what is known of the joint."""
    thread = typed.of("thread", lambda text: read_thread(text, shelf.tables))
    torque_nm = typed.torque("torque").magnitude
    for key in ("face", "hole", "engagement"):
        if typed.text(key):
            typed.length_mm(key, most=1000.0)
    head = _head(typed, shelf.tables, thread)
    said = _described(typed, shelf, head)
    total = joint_sum(said, torque_nm)
    assert total is not None  # thread and state are always given
    rules = _by_rule(typed, shelf, thread, total)
    sources = [say(one) for one in said.taken_from]
    if head is not None:
        sources.append(f"Head and hole of a plain hexagon ({head.origin.source}; {head.origin.known.value})")
    sections = (*_sections(typed, total, rules), section("Before you trust it", CAUTION), sources_section(sources))
    return Answer(
        sections, {**_values(total), "findings": list(total.findings), "rules": list(rules), "sources": sources}
    )


def _head(typed: Typed, tables: Tables, thread: Thread) -> HeadSize | None:
    """The plain hexagon head of the thread, where the face or the hole was not measured and one is known."""
    if typed.text("face") and typed.text("hole"):
        return None
    name = thread.name.split("x")[0].split("-")[0].strip()
    return find_head(tables, name) if any(row.name == name for row in tables.heads) else None


def _described(typed: Typed, shelf: Shelf, head: HeadSize | None) -> JointSaid:
    said = {key: _mm(typed, key) if key in ("face", "hole", "engagement") else typed.text(key) for key in _SAID}
    if head is not None:
        said["face"] = said["face"] or f"{head.face_mm!r} mm"
        said["hole"] = said["hole"] or f"{head.hole_mm!r} mm"
    try:
        return described(said, shelf.tables, _NOBODY, _NEVER, None)
    except ValueError as error:
        key = "strength" if "strength" in str(error).lower() else "face"
        raise typed.fault(key, str(error)) from error


_SAID = ("thread", "strength", "state", "face", "hole", "clamped", "tapped", "engagement")


def _mm(typed: Typed, key: str) -> str:
    return f"{typed.length_mm(key)!r} mm" if typed.text(key) else ""


def _by_rule(typed: Typed, shelf: Shelf, thread: Thread, total: JointSum) -> tuple[str, ...]:
    """What the rules of diameters say of the thread engaged, for the materials that have one."""
    material = next((one for one in _RULED if one in typed.text("tapped")), None)
    if material is None or total.engagement_mm is None:
        return ()
    return rule_findings(material, thread, total.engagement_mm, shelf.tables)


def _sections(typed: Typed, total: JointSum, rules: tuple[str, ...]) -> Iterator[Section]:
    window = total.window
    heading = f"Preload from {both_nm(total.torque_nm)}, threads {typed.text('state')}"
    yield section(heading, window_words(window), px=FIGURE_PX)
    yield section("", f"{kn(window.low_n)}, to {kn(window.high_n)}")
    if total.proof_n is not None:
        over = total.middle_n > total.proof_n
        share = words(share_words(window, total.proof_n), "stop" if over else "text", bold=True)
        yield Section("Share of proof load", (share, words(f"proof load {kn(total.proof_n)}")))
    if total.pressure_mpa is not None:
        yield Section("Pressure under the head", tuple(pressure_items(total)))
    yield from _threads(total, rules)
    if total.first is not None:
        first = total.first.first.value
        yield section("What gives way first", f"{first[:1].upper()}{first[1:]}, at {kn(total.first.load_n)}")
    if total.findings:
        yield section("What speaks against it", *total.findings, ink="mind")
    missing = [typed.label(key).lower() for key in ("clamped", "tapped", "engagement") if not typed.text(key)]
    if missing:
        yield section(
            "Not worked out", f"Give {', '.join(missing)} too, and it says what gives way first.", ink="quiet"
        )


def _threads(total: JointSum, rules: tuple[str, ...]) -> Iterator[Section]:
    rows = []
    if total.engagement_mm is not None:
        rows.append(f"{both(total.engagement_mm, 'mm')} engaged")
    if total.needed_mm is not None:
        rows.append(f"{both(total.needed_mm, 'mm')} are needed for the bolt to break before the threads strip")
    if total.strip_n is not None:
        rows.append(f"the threads strip at {kn(total.strip_n)}, worst sizes")
    if rows:
        yield section("Threads in the hole", *rows, *rules)


def _values(total: JointSum) -> dict[str, object]:
    pressure = total.pressure_mpa or (None, None, None)
    return {
        "preload_low_n": total.window.low_n,
        "preload_high_n": total.window.high_n,
        "proof_n": total.proof_n,
        "proof_low_share": total.window.low_n / total.proof_n if total.proof_n else None,
        "proof_high_share": total.window.high_n / total.proof_n if total.proof_n else None,
        "pressure_low_mpa": pressure[0],
        "pressure_high_mpa": pressure[2],
        "pressure_limit_mpa": total.limit_mpa,
        "engagement_mm": total.engagement_mm,
        "needed_mm": total.needed_mm,
        "strip_n": total.strip_n,
        "first": total.first.first.value if total.first else None,
        "first_n": total.first.load_n if total.first else None,
    }


JOINT = Sum(
    id="joint",
    title="Bolted joint",
    about="What a torque comes to: preload, share of proof load, pressure under the head, threads.",
    group=Group.BOLTS,
    asks=ASKS,
    work=work,
    example={
        "thread": "M10x1.5",
        "strength": "10.9",
        "torque": "60 N·m",
        "state": "oiled",
        "clamped": "grey iron 250",
        "tapped": "cast aluminium-silicon-magnesium, aged",
        "engagement": "20 mm",
    },
)
