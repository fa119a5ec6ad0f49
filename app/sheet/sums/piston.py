"""Where the piston is and how fast at a crank angle, and how near a valve comes to it."""

from collections.abc import Iterator

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import short
from app.sheet.sums.shown import both_mm, cited, formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.cam import Lobe, Nearest, Side, advance_costs_mm, sweep_minimum, valve_to_piston
from app.trade.geometry import (
    mean_piston_speed_m_s,
    peak_piston_speed,
    piston_speed_m_s,
    piston_travel_mm,
    rod_ratio,
)
from app.trade.measuring_tables import ClearanceRow
from app.trade.notation import read_quantity, write_limits
from app.trade.quantity import Kind, Quantity
from app.trade.tables import Known
from app.trade.verdict import Verdict, judge

_MM_S = 39.37007874 / 12
ASKS = (
    Ask("stroke", "Stroke", "86 mm"),
    Ask("rod", "Rod between centres", "143 mm"),
    Ask("at", "Crank after TDC", "90°", optional=True, default="90°"),
    Ask("rpm", "Speed in rpm", "7000", optional=True),
    Ask("side", "Valve", choices=tuple(one.value for one in Side), default=Side.INTAKE.value),
    Ask("sweep", "Gap by clay or sweep", "-10 3.0; 0 2.6; 10 2.2 mm, by degrees after TDC", optional=True, long=True),
    Ask("seated", "Valve shut to piston at TDC", "8.0 mm, to estimate instead", optional=True),
    Ask("duration", "Duration at the seat", "280°", optional=True),
    Ask("centre", "Lobe centre from TDC", "108°", optional=True),
    Ask("lift", "Valve lift at the peak", "10.5 mm", optional=True),
    Ask("wanted", "Least gap wanted", "rule of thumb where empty", optional=True),
)
_MOTION = formula("Travel and speed of a pin on the bore's centre", "geometry", Known.PRACTICE)
_MODEL = formula("Lift as a raised cosine: an estimate, real lobes are fuller", "own computation", Known.PRACTICE)
_SWEEP = formula("Every 1° to 2° from 20° before to 20° after TDC", "a how-to article", Known.READ)
_INK: dict[Verdict, Token] = {Verdict.IN: "text", Verdict.OUT: "stop", Verdict.UNDECIDED: "mind"}
_CARD = ("duration", "centre", "lift")
# How far a cam may be set early or late; the gap is looked at there too (a magazine's advice, read).
_RESET_DEG = 5.0


def work(typed: Typed, shelf: Shelf) -> Answer:
    """Travel and speeds, and the least gap by what was read or, until then, by the model."""
    stroke, rod = typed.length_mm("stroke", most=3000.0), typed.length_mm("rod", most=10_000.0)
    at = typed.angle_deg("at")
    travel = typed.of("rod", lambda _: piston_travel_mm(at, stroke, rod))
    rpm = typed.number("rpm", least=1.0, most=30_000.0) if typed.text("rpm") else None
    values: dict[str, object] = {
        "travel_mm": travel,
        "travel_share": travel / stroke,
        "rod_ratio": rod_ratio(rod, stroke),
        "mean_m_s": None,
        "peak_m_s": None,
        "peak_deg": None,
        "speed_m_s": None,
    }
    sections = [
        section(f"Piston from TDC at {at:g}°", f"{travel:.2f} mm", px=FIGURE_PX),
        section("", both_mm(travel), f"{travel / stroke:.1%} of the stroke; rod ratio {rod_ratio(rod, stroke):.3f}"),
    ]
    if rpm is not None:
        sections.append(_speeds(stroke, rod, at, rpm, values))
    sources = [_MOTION]
    near, estimated = _nearest(typed, stroke, rod)
    if near is not None:
        sections += _gap(typed, shelf, near, estimated=estimated, values=values)
        sources += [_MODEL if estimated else _SWEEP]
        sources += [_rule(typed, shelf)[1]] if not typed.text("wanted") else []
        if estimated:
            sections.append(_reset(typed, stroke, rod, values))
    sections.append(sources_section(sources))
    return Answer(tuple(sections), {**values, "sources": sources})


def _speeds(stroke: float, rod: float, at: float, rpm: float, values: dict[str, object]) -> Section:
    mean, (peak, peak_at) = mean_piston_speed_m_s(stroke, rpm), peak_piston_speed(stroke, rod, rpm)
    here = piston_speed_m_s(at, stroke, rod, rpm)
    values |= {"mean_m_s": mean, "peak_m_s": peak, "peak_deg": peak_at, "speed_m_s": here}
    return section(
        f"Speeds at {rpm:g} rpm",
        f"mean {_speed(mean)}",
        f"greatest {_speed(peak)}, at {peak_at:.1f}° after TDC",
        f"{_speed(abs(here))} {'down' if here >= 0 else 'up'} at {at:g}°",
    )


def _speed(m_s: float) -> str:
    return f"{m_s:.2f} m/s = {m_s * _MM_S * 60:.0f} ft/min"


# --- valve to piston


def _nearest(typed: Typed, stroke: float, rod: float) -> tuple[Nearest | None, bool]:
    """The least gap, and whether it is only estimated; what was read goes before what is estimated."""
    lobe = _lobe(typed)
    seated = typed.length_mm("seated", least=-50.0, most=200.0, over=False) if typed.text("seated") else None
    if typed.text("sweep"):
        return typed.of("sweep", lambda text: sweep_minimum(_sweep(typed, text))), False
    if lobe is None and seated is None:
        return None, False
    if seated is None:
        raise typed.fault("seated", "still to be given, to estimate how near the valve comes.")
    if lobe is None:
        raise typed.fault("duration", "still to be given, to estimate how near the valve comes.")
    return valve_to_piston(Side(typed.text("side")), lobe, seated, stroke, rod), True


def _lobe(typed: Typed) -> Lobe | None:
    if not any(typed.text(key) for key in _CARD):
        return None
    for key in _CARD:
        if not typed.text(key):
            raise typed.fault(key, "still to be given: duration, centre and lift belong together.")
    duration, centre = typed.angle_deg("duration", least=1.0, most=400.0), typed.angle_deg("centre", most=180.0)
    return Lobe(duration, centre, typed.length_mm("lift", most=50.0))


def _sweep(typed: Typed, text: str) -> list[tuple[float, float]]:
    found = typed.figures("sweep", Kind.LENGTH, "mm", least=-50.0, most=200.0, over=False)
    rows = [(_degrees(name, typed.decimal), gap) for name, gap in found.items()]
    if len({at for at, _ in rows}) < len(rows):
        raise ValueError(f"“{short(text)}” has one angle twice; give each angle one gap.")
    return rows


def _degrees(name: str, decimal: str) -> float:
    found = read_quantity(name, Kind.ANGLE, unit="deg", decimal=decimal).magnitude
    if not -90 <= found <= 90:
        raise ValueError(f"{found:g}° is not near TDC; give degrees after TDC from −90 to 90.")
    return found


def _rule(typed: Typed, shelf: Shelf) -> tuple[ClearanceRow, str]:
    item = f"valve-to-piston-{typed.text('side')}"
    row = next(one for one in shelf.measuring.clearances if one.item == item)
    return row, cited(row.title, row.origin)


def _gap(typed: Typed, shelf: Shelf, near: Nearest, *, estimated: bool, values: dict[str, object]) -> Iterator[Section]:
    limits = typed.limits("wanted", Kind.LENGTH, "mm") if typed.text("wanted") else _rule(typed, shelf)[0].new
    assert limits is not None  # the rules of thumb have a least gap
    if limits.low is None and limits.high is None:
        raise typed.fault("wanted", "one figure alone is no limit; write at least 2.0 mm.")
    verdict = judge(Quantity(Kind.LENGTH, near.gap_mm, "mm", ""), limits)
    values |= {"gap_mm": near.gap_mm, "gap_deg": near.theta_deg, "verdict": verdict.value, "estimated": estimated}
    values["findings"] = list(near.findings)
    side = "after" if near.theta_deg >= 0 else "before"
    how = ", estimated" if estimated else ""
    yield section(f"{typed.text('side').capitalize()} valve to piston{how}", both_mm(near.gap_mm), px=FIGURE_PX)
    yield section(
        "", f"{verdict.value}: {write_limits(limits)}; {abs(near.theta_deg):g}° {side} TDC", ink=_INK[verdict]
    )
    if near.gap_mm <= 0:
        yield section("", "They meet.", ink="stop")
    if near.findings:
        yield section("Where it is not sure", *near.findings, ink="mind")
    trust = "An estimate only says where to look: measure it." if estimated else "The gasket goes straight into it."
    yield section("Before you trust it", trust, "Lash taken out, gasket crushed, the cam as it will be set.")


def _reset(typed: Typed, stroke: float, rod: float, values: dict[str, object]) -> Section:
    lobe = _lobe(typed)
    assert lobe is not None  # nothing is estimated without it
    side, seated = Side(typed.text("side")), typed.length_mm("seated", least=-50.0, most=200.0, over=False)
    sign = 1 if side is Side.INTAKE else -1
    costs = typed.of("centre", lambda _: advance_costs_mm(side, lobe, sign * _RESET_DEG, seated, stroke, rod))
    values["reset_costs_mm"] = costs
    way = "early" if side is Side.INTAKE else "late"
    return section(f"Cam set {_RESET_DEG:g}° {way}", f"takes {both_mm(costs)} of it")


PISTON = Sum(
    id="piston",
    title="Piston and valve",
    about="Piston position and speed, and how near a valve comes.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "stroke": "86 mm",
        "rod": "143 mm",
        "at": "30°",
        "rpm": "7000",
        "seated": "8.0 mm",
        "duration": "280°",
        "centre": "108°",
        "lift": "10.5 mm",
    },
)
