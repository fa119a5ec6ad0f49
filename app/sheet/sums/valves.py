"""At which crank positions which valves can be set, how sure that is, and whether a printed table is right."""

from collections.abc import Iterator

from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import numbers, read_lines, reals, valve_name
from app.sheet.sums.shown import formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.quantity import Kind
from app.trade.tables import Known
from app.trade.valves import (
    GENERAL_CAM,
    GENERAL_CAM_SAYS,
    SEAT,
    USUAL_MARGIN_DEG,
    CamEvents,
    Engine,
    Firing,
    PrintedStop,
    Stop,
    check_table,
    exhaust_opening_intake_closing,
    fewest_stops,
    intervals_of,
    mates,
    safe_span,
    seat_events,
    sum_rule_fault,
    sum_rule_margins,
    table_for,
)

FORWARD = ("clockwise", "anticlockwise")
FEW_CYLINDERS = 4
OTHER = "intervals as typed"
ASKS = (
    Ask("order", "Firing order", "1-3-4-2"),
    Ask("layout", "Firing", choices=(*(one.value for one in Firing), OTHER), default=Firing.EVEN.value),
    Ask("intervals", "Intervals", "180, 540: degrees to the next firing", optional=True),
    Ask("v_angle", "Angle of the V", "45°, for a twin on one crank pin", optional=True),
    Ask("cam", "Cam: IVO, IVC, EVO, EVC", "15-50-50-15 as on its card", optional=True),
    Ask("lift", "Lift the cam was read at", "0.050 in; empty: at the seat", optional=True),
    Ask("margin", "Margin to ask for", "20°", optional=True, default=f"{USUAL_MARGIN_DEG:g}°"),
    Ask("runs", "Runs, seen from the front", choices=FORWARD, default=FORWARD[0]),
    Ask("intakes", "Intake valves a cylinder", default="1", optional=True),
    Ask("exhausts", "Exhaust valves a cylinder", default="1", optional=True),
    Ask(
        "printed",
        "Printed table to check",
        "I1 I2 E1 E3 / I3 I4 E2 E4, or 0: I1 I2 E1 E3; 360: …",
        optional=True,
        long=True,
    ),
    Ask("head", "Valves along the head", "EIIEEIIE, for the rule of the sum", optional=True),
)
_METHOD = formula(
    "Each valve rests over one arc of the cycle; worked out from the firing order and the cam",
    "gives the tables of TM 5-3895-383-24 p. 6-60 and 6-61",
    Known.READ,
)
_SUM_RULE = formula(
    "The sum holds on a mirror-image head whose mates add up to the cylinders + 1", "an owners club page", Known.READ
)
_OTHER_VALVE = formula("Exhaust opening, intake closing", "usual among engine builders", Known.PRACTICE)
_SEAT = formula("Events read above 0.2 mm lift are widened by 30° each side", "cam cards", Known.PRACTICE)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """The fewest stops, the valves of each with their margin, the mates, and what a printed table has wrong."""
    engine = _engine(typed)
    cam = _cam(typed)
    margin_deg = typed.angle_deg("margin", most=180.0)
    _check_margin(typed, engine, cam, margin_deg)
    stops = typed.of("margin", lambda _: fewest_stops(engine, cam, margin_deg))
    table = table_for(engine, cam, stops, margin_deg)
    printed = _printed(typed, stops)
    faults = typed.of("printed", lambda _: check_table(engine, cam, printed, margin_deg)) if printed else ()
    worst = min(left for stop in table for _, left in stop.valves)
    pairs = _mates(engine)
    count = f"{len(table)} {'stop' if len(table) == 1 else 'stops'}"
    sections = [
        section("Fewest crank positions", count, px=FIGURE_PX),
        section("", f"Least margin {worst:.0f}° of crank before or after a valve lifts."),
        *(_stop(engine, cam, stop, number, margin_deg) for number, stop in enumerate(table, 1)),
        section(
            "Which way to turn",
            f"Only forward, {typed.text('runs')} seen from the front. Gone past a stop: go round again.",
        ),
        section("Running mates", ", ".join(f"{a} and {b}" for a, b in pairs) or "No two cylinders are one turn apart."),
    ]
    sections += _sum_rule(typed, engine, cam, pairs)
    sections.append(section("Or, by its own other valve", *_by_other_valve(engine, cam)))
    if printed:
        if faults:
            sections.append(section("The printed table", *faults, ink="stop"))
        else:
            sections.append(section("The printed table", "Every valve can be set as it says."))
    if not typed.text("cam"):
        sections.append(section("The cam", GENERAL_CAM_SAYS, ink="mind"))
    sections.append(
        section(
            "Before you trust it",
            "Feel that the rocker or lifter is loose before a valve is set; 0° is No 1 at firing TDC.",
        )
    )
    sources = [_METHOD, *([_SEAT] if cam.lift is not SEAT else []), _SUM_RULE, _OTHER_VALVE]
    sections.append(sources_section(sources))
    return Answer(
        tuple(sections),
        {
            **_values(table, worst, pairs, faults),
            "general_cam": not typed.text("cam"),
            "sum_rule_fault": _sum_rule_fault(typed, engine) if typed.text("head") else None,
            "by_other_valve": [
                {"valve": valve, "at_deg": at, "margin_deg": left}
                for valve, at, left in exhaust_opening_intake_closing(engine, cam)
            ],
            "sources": sources,
        },
    )


def _engine(typed: Typed) -> Engine:
    order = typed.of("order", numbers)
    if len(order) > 16:
        raise typed.fault("order", "that is more than 16 cylinders.")
    intakes, exhausts = (typed.whole(key, least=1, most=3) for key in ("intakes", "exhausts"))
    if typed.text("layout") == OTHER:
        if not typed.text("intervals"):
            raise typed.fault(
                "intervals", "still to be given: the degrees from each firing to the next, such as 180, 540."
            )
        gaps = typed.of("intervals", lambda text: reals(text, typed.decimal))
        return typed.of("intervals", lambda _: Engine(order, gaps, "", intakes, exhausts))
    firing = Firing(typed.text("layout"))
    angle = typed.angle_deg("v_angle", most=180.0) if typed.text("v_angle") else None
    at_fault = "v_angle" if firing is Firing.V_TWIN else "layout"
    gaps = typed.of(at_fault, lambda _: intervals_of(firing, len(order), angle))
    return typed.of("order", lambda _: Engine(order, gaps, "", intakes, exhausts))


def _check_margin(typed: Typed, engine: Engine, cam: CamEvents, margin_deg: float) -> None:
    """Two stops always do up to some margin; trying every set of more takes too long on a large engine."""
    seat = seat_events(cam)
    longest = max(seat.ivo_deg + seat.ivc_deg, seat.evo_deg + seat.evc_deg) + 180
    most = (360 - longest) / 2
    if margin_deg > most and len(engine.order) > FEW_CYLINDERS:
        raise typed.fault("margin", f"on this cam two stops allow at most {max(most, 0):.0f}°; ask for that or less.")


def _cam(typed: Typed) -> CamEvents:
    if not typed.text("cam"):
        return GENERAL_CAM
    ivo, ivc, evo, evc = typed.of("cam", lambda text: reals(text, typed.decimal, 4))
    lift = typed.quantity("lift", Kind.LENGTH, "mm", most=20.0, over=False) if typed.text("lift") else SEAT
    return typed.of("cam", lambda _: CamEvents(ivo, ivc, evo, evc, lift))


def _printed(typed: Typed, stops: tuple[float, ...]) -> tuple[PrintedStop, ...]:
    """The stops of a printed table; where no degrees are written they are those worked out, in their order."""
    rows = read_lines(typed.text("printed").replace("/", "\n"))
    return typed.of("printed", lambda _: _printed_stops(rows, stops, typed.decimal))


def _printed_stops(rows: list[str], stops: tuple[float, ...], decimal: str) -> tuple[PrintedStop, ...]:
    if any(":" in row for row in rows):
        return tuple(_printed_stop(row, decimal) for row in rows)
    if rows and len(rows) != len(stops):
        raise ValueError(
            f"{len(rows)} stops stand there where {len(stops)} are worked out; write the crank degrees too, "
            "such as 0: I1 E1 I2 E3."
        )
    return tuple(PrintedStop(at, _valve_names(row)) for at, row in zip(stops, rows, strict=False))


def _printed_stop(text: str, decimal: str) -> PrintedStop:
    at, colon, names = text.partition(":")
    if not colon:
        raise ValueError("write the crank degrees of every stop or of none, such as 0: I1 E1 I2 E3.")
    return PrintedStop(reals(at, decimal, 1)[0], _valve_names(names))


def _valve_names(text: str) -> tuple[str, ...]:
    found = tuple(valve_name(one) for one in text.replace(",", " ").split())
    if not found:
        raise ValueError("a stop has no valves; write them after it, such as 0: I1 E1 I2 E3.")
    return found


# --- other methods


def _sum_rule_fault(typed: Typed, engine: Engine) -> str:
    return typed.of("head", lambda text: sum_rule_fault(engine, text.replace(" ", "").upper()))


def _sum_rule(typed: Typed, engine: Engine, cam: CamEvents, pairs: tuple[tuple[int, int], ...]) -> Iterator[Section]:
    """Whether the rule “pressed and set valve sum to their number + 1” is safe on this engine."""
    cylinders = len(engine.order)
    heading = f"Rule of the sum: the valves pressed and set add up to {2 * cylinders + 1}"
    if (engine.intake_per_cylinder, engine.exhaust_per_cylinder) != (1, 1) and not typed.text("head"):
        heading, fault = "Rule of the sum", "It counts two valves to a cylinder, and this engine has more."
    elif typed.text("head"):
        fault = _sum_rule_fault(typed, engine)
    elif not pairs:
        fault = "Not safe here: no two cylinders are one turn apart."
    elif any(a + b != cylinders + 1 for a, b in pairs):
        fault = f"Not safe here: running mates do not add up to {cylinders + 1} in this firing order."
    else:
        mirror = "It is safe only where the valves along the head mirror, as EIIEEIIE: give them too."
        yield section(heading, f"Running mates add up to {cylinders + 1}.", mirror, ink="mind")
        return
    if fault:
        yield section(heading, fault, ink="stop")
        return
    margins = typed.of("head", lambda text: sum_rule_margins(engine, cam, text.replace(" ", "").upper()))
    rows = ", ".join(f"{pressed} open: set {other}" for pressed, other, _ in margins)
    yield section(heading, f"Safe here, {min(left for *_, left in margins):.0f}° to spare.", rows)


def _by_other_valve(engine: Engine, cam: CamEvents) -> Iterator[str]:
    """Each intake as its exhaust begins to open, each exhaust as its intake is nearly shut."""
    for valve, at, left in exhaust_opening_intake_closing(engine, cam):
        if not (valve[-1].isdigit() or valve.endswith("a")):
            continue
        kind, number = valve[:2], valve[2:].rstrip("a")
        when = f"ex{number} begins to open" if kind == "in" else f"in{number} is nearly shut"
        yield f"set {kind}{number} when {when}: {at:.0f}°, {left:.0f}° to spare"


def _mates(engine: Engine) -> tuple[tuple[int, int], ...]:
    try:
        return mates(engine)
    except ValueError:  # an odd number of cylinders or uneven firing has none, which is no fault here
        return ()


def _stop(engine: Engine, cam: CamEvents, stop: Stop, number: int, margin_deg: float) -> Section:
    names = [name for name, _ in stop.valves]
    where = f"{stop.theta_deg:.0f}° after No 1 at firing TDC"
    turn = f", turn on by {stop.turn_deg:.0f}°" if stop.turn_deg else ""
    if not names:
        return section(f"Stop {number}: {where}{turn}", "no valve is set here")
    before, past = safe_span(engine, cam, names, stop.theta_deg, margin_deg)
    valves = ", ".join(f"{name} ({left:.0f}°)" for name, left in stop.valves)
    return section(f"Stop {number}: {where}{turn}", valves, f"good from {before:.0f}° before to {past:.0f}° past it")


def _values(
    table: tuple[Stop, ...], worst: float, pairs: tuple[tuple[int, int], ...], faults: tuple[str, ...]
) -> dict[str, object]:
    stops = [{"at_deg": one.theta_deg, "turn_deg": one.turn_deg, "margins_deg": dict(one.valves)} for one in table]
    return {"stops": stops, "least_margin_deg": worst, "mates": [list(pair) for pair in pairs], "faults": list(faults)}


VALVES = Sum(
    id="valves",
    title="Setting valves",
    about="The fewest crank positions, the valves of each, and a printed table checked.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={"order": "1-3-4-2", "cam": "15-50-50-15", "printed": "I1 I2 E1 E3 / I3 I4 E2 E4", "head": "EIIEEIIE"},
)
