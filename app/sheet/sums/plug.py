"""Spark plug torque by thread, seat and head from every chart, dry or with anti-seize, and the plug's gap."""

from collections.abc import Iterator

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.shown import both_mm, both_nm, cited, formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.clearances import greased_torque_nm, plug_torques
from app.trade.measuring_tables import PlugTorque
from app.trade.notation import second, write_limits
from app.trade.quantity import Kind, Quantity
from app.trade.tables import Known
from app.trade.verdict import Verdict, judge

DRY, GREASED = "dry", "with anti-seize"
_INK: dict[Verdict, Token] = {Verdict.IN: "text", Verdict.OUT: "stop", Verdict.UNDECIDED: "mind"}


def _threads(shelf: Shelf) -> tuple[str, ...]:
    return tuple(f"{size} mm" for size in sorted({row.thread_mm for row in shelf.measuring.plug_torques}))


def _seats(shelf: Shelf) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.seat for row in shelf.measuring.plug_torques))


def _heads(shelf: Shelf) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.head for row in shelf.measuring.plug_torques))


ASKS = (
    Ask("thread", "Thread", listed=_threads, default="14 mm"),
    Ask("seat", "Seat", listed=_seats, default="gasket"),
    Ask("head", "Head", listed=_heads, default="alloy"),
    Ask("threads", "Threads", choices=(DRY, GREASED), default=DRY),
    Ask("maker", "Maker's torque", "25 N·m; goes before every chart", optional=True),
    Ask("gap", "Gap as measured", "0.80 mm", optional=True),
    Ask("gap_limits", "Maker's gap", "0.7 to 0.8 mm", optional=True),
)
_LESS = formula("Anti-seize: 20 to 30 % less than dry", "a repair site", Known.READ)


def work(typed: Typed, shelf: Shelf) -> Answer:
    """What the maker and each chart say, whether the charts agree, and whether the gap is the maker's."""
    thread, seat, head = int(typed.text("thread").split()[0]), typed.text("seat"), typed.text("head")
    rows = typed.of("thread", lambda _: plug_torques(thread, seat, head, shelf.measuring.plug_torques))
    greased = typed.text("threads") == GREASED
    spans = [_span(row, greased=greased) for row in rows]
    maker = typed.limits("maker", Kind.TORQUE, "N·m") if typed.text("maker") else None
    sources = [cited("Chart", row.origin) for row in rows] + [_LESS] * greased
    notes = shelf.measuring.plug_notes
    sources += [cited(note.id, note.origin) for note in notes]
    apart = max(low for low, _ in spans) > min(high for _, high in spans)
    sections: list[Section] = []
    if maker is not None:
        sections.append(section("Torque, the maker's", write_limits(maker), px=FIGURE_PX))
        said = "It goes first" + ("; less with anti-seize only where the maker says so." if greased else ".")
        sections.append(section("", second(maker), said))
    else:
        low, high = min(one for one, _ in spans), max(one for _, one in spans)
        sections.append(section(f"Torque, {typed.text('threads')}", f"{low:.0f} to {high:.0f} N·m", px=FIGURE_PX))
        sections.append(section("", "From charts for any plug: the maker's own figure goes first.", ink="mind"))
    sections += [
        section(_chart(row), f"{both_nm(low)}, to {both_nm(high)}", f"dry {write_limits(row.torque)}" * greased)
        for row, (low, high) in zip(rows, spans, strict=True)
    ]
    if apart:
        sections.append(section("The charts do not agree", "Their ranges have nothing in common.", ink="stop"))
    values: dict[str, object] = {
        "charts": [
            {"chart": row.chart, "low_nm": low, "high_nm": high, "source": row.origin.source}
            for row, (low, high) in zip(rows, spans, strict=True)
        ],
        "charts_agree": not apart,
        "verdict": None,
        "notes": [note.text for note in notes],
    }
    sections += _gap(typed, values)
    sections += [section("Also read", *(note.text for note in notes)), sources_section(sources)]
    return Answer(tuple(sections), {**values, "sources": sources})


def _span(row: PlugTorque, *, greased: bool) -> tuple[float, float]:
    if greased:
        return greased_torque_nm(row.torque)
    assert row.torque.low is not None  # every chart gives ranges
    assert row.torque.high is not None
    return row.torque.low, row.torque.high


def _gap(typed: Typed, values: dict[str, object]) -> Iterator[Section]:
    if typed.text("gap_limits"):
        limits = typed.limits("gap_limits", Kind.LENGTH, "mm")
        if limits.low is None and limits.high is None:
            raise typed.fault("gap_limits", "one figure alone is no limit; write 0.7 to 0.8 mm.")
    if not typed.text("gap"):
        return
    gap = typed.length_mm("gap", most=10.0)
    if not typed.text("gap_limits"):
        yield section("Gap", both_mm(gap), "No table fits every plug: give the maker's gap to judge it.", ink="mind")
        return
    verdict = judge(Quantity(Kind.LENGTH, gap, "mm", ""), limits)
    values["verdict"] = verdict.value
    yield section("Gap", verdict.value, ink=_INK[verdict], px=FIGURE_PX)
    yield section("", f"{both_mm(gap)}; the maker says {write_limits(limits)}")


PLUG = Sum(
    id="plug",
    title="Spark plugs",
    about="Plug torque by every chart, dry or with anti-seize, and the gap.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={"thread": "14 mm", "seat": "gasket", "head": "iron", "gap": "0.80 mm", "gap_limits": "0.7 to 0.8 mm"},
)


def _chart(row: PlugTorque) -> str:
    """A chart by where it is from: “Plug maker's installation chart”."""
    return row.origin.source[:1].upper() + row.origin.source[1:]
