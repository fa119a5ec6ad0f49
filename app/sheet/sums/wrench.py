"""What a torque wrench has to be set to, with an adapter on it or a nut that runs on hard."""

from app.sheet.draw.bolts import wrench_drawing
from app.sheet.draw.drawing import Drawing
from app.sheet.sections import SETTING_PX, Section
from app.sheet.sums.shown import both, formula, number, section, shown, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.sheet.tighten import CAUTION
from app.trade.notation import write_magnitude
from app.trade.quantity import UNITS, Kind
from app.trade.tables import Known
from app.trade.tightening import with_run_on_nm
from app.trade.wrench import (
    Adapter,
    Doubt,
    Setting,
    Wrench,
    WrenchKind,
    choose,
    doubt_at_bolt,
    rounded_setting,
    wrench_setting,
)

ASKS = (
    Ask("torque", "Torque at the bolt", "60 N·m"),
    Ask("lever", "Lever", "drive to where it is held, 420 mm", optional=True),
    Ask("adapter", "Adapter", "centre to centre, 50 mm", optional=True),
    Ask("angle", "Angle of the adapter", "0° ahead, 90° square, 180° folded back", optional=True, default="0°"),
    Ask("run_on", "Run-on torque", "what the nut takes before it seats", optional=True),
    Ask("range", "Range of the wrench", "20 to 100 N·m", optional=True),
    Ask("graduation", "Graduation", "1 N·m", optional=True),
    Ask("doubt", "Doubt of each length", "1 mm", optional=True, default="1 mm"),
)
_SETTING = formula("Setting T L ÷ (L + E cos a)", "US Army TM 9-254 para 4-1", Known.READ)
_TOLERANCE = formula(
    "Wrench ± 4 %, ± 6 % to 10 N·m", "ISO 6789:2003 type II class A, quoted by a tool maker", Known.READ
)
_RUN_ON = formula("Run-on is added to the torque", "FAA AC 43.13-1B para 7-40", Known.READ)


def work(typed: Typed, _shelf: Shelf) -> Answer:
    """The setting, the sum behind it, and how far the torque at the bolt may be off."""
    torque = typed.torque("torque")
    run_on = typed.torque("run_on", over=False).magnitude if typed.text("run_on") else 0.0
    wanted = typed.of("run_on", lambda _: with_run_on_nm(torque.magnitude, run_on)) if run_on else torque.magnitude
    lever, length_unit = None, "mm"
    if typed.text("lever"):
        measured = typed.quantity("lever", Kind.LENGTH, "mm", most=3000.0)
        lever, length_unit = measured.magnitude, measured.unit
    adapter = _adapter(typed, lever)
    wrench = _wrench(typed, lever)
    setting = _setting(wanted, wrench, adapter, lever)
    unit = wrench.unit if wrench is not None else torque.unit
    doubt = _doubt(typed, setting, wrench, adapter)
    set_text = write_magnitude(setting.set_nm, unit) if wrench is not None else shown(setting.set_nm, unit, 4)
    remarks = choose([wrench], wanted, torque.unit, adapter)[0] if wrench is not None else None
    sections = [
        section("Set the wrench to", set_text, px=SETTING_PX),
        Section("", section("", both(setting.set_nm, unit, 4)).items, drawing=_drawing(lever, adapter, length_unit)),
        section(
            "How that comes about", _sum(torque.magnitude, run_on, _lengths(lever, adapter, length_unit), setting, unit)
        ),
        section(
            "At the bolt",
            f"gives {both(setting.at_bolt_nm - run_on, torque.unit, 4)}{' past the run-on' if run_on else ''}",
        ),
        _doubt_section(doubt, unit),
    ]
    if remarks is not None and remarks.sentences:
        sections.append(section("Wrench", *_begun(remarks.sentences), ink="text" if remarks.usable else "stop"))
    sources = [_SETTING] * (adapter is not None) + [_TOLERANCE] * (doubt is not None) + [_RUN_ON] * (run_on > 0)
    sections += [section("Before you trust it", CAUTION), *([sources_section(sources)] if sources else [])]
    values = {
        "at_bolt_nm": setting.at_bolt_nm - run_on,
        "setting_nm": setting.set_nm,
        "exact_setting_nm": setting.exact_nm,
        "likely_doubt_nm": doubt.likely_nm if doubt else None,
        "worst_doubt_nm": doubt.worst_nm if doubt else None,
        "remarks": list(_begun(remarks.sentences)) if remarks else [],
        "sources": sources,
    }
    return Answer(tuple(sections), values)


def _begun(sentences: tuple[str, ...]) -> tuple[str, ...]:
    """Sentences that may begin with “the wrench”, each with its first letter large."""
    return tuple(f"{one[:1].upper()}{one[1:]}" for one in sentences)


def _adapter(typed: Typed, lever: float | None) -> Adapter | None:
    if not typed.text("adapter"):
        return None
    length = typed.length_mm("adapter", most=3000.0, over=False)
    if length and lever is None:
        raise typed.fault("lever", "an adapter needs it; measure from the drive to where the wrench is held.")
    found = Adapter(length, typed.angle_deg("angle", most=180.0), typed.length_mm("doubt", most=100.0, over=False))
    if lever is not None:
        typed.of("adapter", lambda _: wrench_setting(1.0, lever, found.length_mm, found.angle_deg))
    return found


def _wrench(typed: Typed, lever: float | None) -> Wrench | None:
    if not typed.text("range") and not typed.text("graduation"):
        return None
    for key in ("range", "graduation"):
        if not typed.text(key):
            raise typed.fault(key, "range and graduation go together; give both or neither.")
    span = typed.limits("range", Kind.TORQUE, "N·m")
    if span.low is None or span.high is None or not 0 <= span.low < span.high:
        raise typed.fault("range", "give where its scale begins and ends, such as 20 to 100 N·m.")
    graduation = typed.torque("graduation").magnitude
    if graduation > span.high:
        raise typed.fault("graduation", "it cannot be more than the whole range.")
    return Wrench("the wrench", span.low, span.high, graduation, span.unit, 0, 0, lever, WrenchKind.CLICK)


def _setting(wanted_nm: float, wrench: Wrench | None, adapter: Adapter | None, lever: float | None) -> Setting:
    if wrench is not None:
        return rounded_setting(wanted_nm, wrench, adapter)
    if adapter is None or lever is None:
        return Setting(wanted_nm, wanted_nm, wanted_nm)
    exact = wrench_setting(wanted_nm, lever, adapter.length_mm, adapter.angle_deg)
    return Setting(exact, exact, wanted_nm)


def _doubt(typed: Typed, setting: Setting, wrench: Wrench | None, adapter: Adapter | None) -> Doubt | None:
    if wrench is None or setting.set_nm <= 0:
        return None
    lever_doubt = typed.length_mm("doubt", most=100.0, over=False) if wrench.lever_mm is not None else 0.0
    return doubt_at_bolt(setting, wrench, adapter, lever_doubt)


def _doubt_section(doubt: Doubt | None, unit: str) -> Section:
    if doubt is None:
        return section("Doubt at the bolt", "Give the wrench's range and graduation, and it can be worked out.")
    return section(
        "Doubt at the bolt, before friction",
        f"± {both(doubt.likely_nm, unit, 2)} is likely",
        f"± {both(doubt.worst_nm, unit, 2)} with the wrench, its steps and the lengths all off the same way",
    )


def _sum(torque_nm: float, run_on_nm: float, lengths: str, setting: Setting, unit: str) -> str:
    def said(value_nm: float) -> str:
        return number(UNITS[unit].from_base(value_nm), 4)

    result = f"{said(setting.exact_nm)} {UNITS[unit].sign}"
    wanted = f"({said(torque_nm)} + {said(run_on_nm)} run-on)" if run_on_nm else said(torque_nm)
    return f"{wanted}{lengths} = {result}"


def _lengths(lever_mm: float | None, adapter: Adapter | None, unit: str) -> str:
    """What the lengths do to the torque, in the unit they were measured in: “ × 420 ÷ (420 + 50)”."""
    if adapter is None or lever_mm is None:
        return ""
    lever, length = (f"{UNITS[unit].from_base(one):.6g}" for one in (lever_mm, adapter.length_mm))
    turned = "" if adapter.angle_deg == 0 else f" × cos {adapter.angle_deg:g}°"
    return f" × {lever} ÷ ({lever} + {length}{turned})"


def _drawing(lever_mm: float | None, adapter: Adapter | None, unit: str) -> Drawing | None:
    if lever_mm is None:
        return None
    length = write_magnitude(adapter.length_mm, unit) if adapter is not None and adapter.length_mm else ""
    return wrench_drawing(write_magnitude(lever_mm, unit), length, adapter.angle_deg if adapter else 0.0)


WRENCH = Sum(
    id="wrench",
    title="Torque wrench",
    about="What to set, with an adapter on the drive or a nut that runs on hard.",
    group=Group.BOLTS,
    asks=ASKS,
    work=work,
    example={
        "torque": "300 lbf·in",
        "lever": "10 in",
        "adapter": "4 in",
        "range": "40 to 250 lbf·in",
        "graduation": "1 lbf·in",
    },
)
