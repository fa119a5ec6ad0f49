"""Whether a reading is inside its limits, given how far the gauge can be trusted."""

import math
from collections.abc import Callable, Iterator

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import reals
from app.sheet.sums.shown import formula, section, sources_section
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.measuring_tables import Instrument
from app.trade.notation import second, write_limits, write_quantity
from app.trade.quantity import UNITS, Kind, Limits, Quantity
from app.trade.tables import Known
from app.trade.uncertainty import USUAL_K, conform_zone, gauge_fault, probability_of_conformity, uncertainty_ratio
from app.trade.verdict import Verdict, judge, miss

_UNITS = {
    Kind.LENGTH: "mm",
    Kind.TORQUE: "N·m",
    Kind.PRESSURE: "kPa",
    Kind.VOLUME: "mL",
    Kind.MASS: "g",
    Kind.ANGLE: "deg",
    Kind.TEMPERATURE: "°C",
    Kind.FORCE: "N",
}
ASKS = (
    Ask("value", "Reading", "0.062 mm"),
    Ask("limits", "Limits", "0.04 to 0.07 mm, at most 0.25 mm"),
    Ask("kind", "Kind", choices=tuple(kind.value for kind in _UNITS), default=Kind.LENGTH.value),
    Ask("doubt", "Doubt of the reading", "± 0.01 mm, for 95 of 100 readings", optional=True),
    Ask(
        "instrument",
        "Read with",
        "where the doubt is not known",
        optional=True,
        listed=lambda shelf: tuple(one.name for one in shelf.measuring.instruments),
    ),
)
_RULE = formula("In or Out only beyond a guard band as wide as the doubt", "ISO 14253-1, JCGM 106", Known.MEMORY)
_RATIO = formula("A gauge four times finer than the band", "ANSI/NCSL Z540-1-1994 10.2.b, quoted", Known.READ)
# A gauge is fine enough when the band is so many times its doubt, ANSI/NCSL Z540-1-1994 10.2.b (quoted, read).
ENOUGH_RATIO = 4.0
_INK: dict[Verdict, Token] = {Verdict.IN: "text", Verdict.OUT: "stop", Verdict.UNDECIDED: "mind"}


def work(typed: Typed, shelf: Shelf) -> Answer:
    """The verdict, the chance that the true value is inside, the zone that proves it, and whether the gauge will do."""
    kind = Kind(typed.text("kind"))
    unit = _UNITS[kind]
    reading = typed.quantity("value", kind, unit, least=-1e6, over=False)
    limits = typed.limits("limits", kind, unit)
    if limits.low is None and limits.high is None:
        raise typed.fault("limits", "one figure alone is no limit; write 0.04 to 0.07 mm, or at most 0.25 mm.")
    instrument = _instrument(typed, shelf, kind)
    doubt, source = _doubt(typed, kind, reading.unit, instrument)
    verdict = judge(reading, limits, doubt)
    chance = _chance(reading, limits, doubt)
    gauge = _gauge(reading, limits, doubt, instrument, shelf) if kind is Kind.LENGTH else ""
    zone = conform_zone(limits.low, limits.high, doubt) if limits.low is not None and limits.high is not None else None
    sources = [_RULE, *([source] if source else []), *([_RATIO] if gauge else [])]
    other = second(limits)
    sections = [
        section(
            f"{write_quantity(reading)} against {write_limits(limits)}", verdict.value, ink=_INK[verdict], px=FIGURE_PX
        ),
        section("", miss(reading, limits), f"limits {other}" if other else ""),
        *_chance_section(chance),
        *_zone(limits, doubt),
    ]
    if gauge:
        sections.append(section("The gauge", gauge, ink="mind"))
    sections.append(sources_section(sources))
    values = {
        "verdict": verdict.value,
        "inside_share": chance,
        f"doubt_{_name(kind)}": doubt,
        f"zone_{_name(kind)}": zone,
        "gauge": gauge,
        "sources": sources,
    }
    return Answer(tuple(sections), values)


_NAMES = {"N·m": "nm", "°C": "c", "mL": "cc"}


def _name(kind: Kind) -> str:
    return _NAMES.get(_UNITS[kind], _UNITS[kind].lower())


def _instrument(typed: Typed, shelf: Shelf, kind: Kind) -> Instrument | None:
    if not typed.text("instrument"):
        return None
    if kind is not Kind.LENGTH:
        raise typed.fault("instrument", "those listed read lengths; give the doubt of the reading instead.")
    return next(one for one in shelf.measuring.instruments if one.name == typed.text("instrument"))


def _doubt(typed: Typed, kind: Kind, unit: str, instrument: Instrument | None) -> tuple[float, str]:
    """The expanded doubt in the base unit and where it is from; what was typed goes before the instrument's."""
    if typed.text("doubt"):
        if kind is Kind.TEMPERATURE:
            return typed.of("doubt", lambda text: _warmer(text, unit, typed.decimal)), ""
        return typed.of("doubt", lambda _: _size(typed, kind, unit)), ""
    if instrument is None:
        return 0.0, ""
    said = f"{instrument.name} ± {instrument.doubt_mm:.4g} mm"
    return instrument.doubt_mm, f"{said} ({instrument.origin.source}; {instrument.origin.known.value})"


def _size(typed: Typed, kind: Kind, unit: str) -> float:
    return typed.quantity("doubt", kind, unit, over=False).magnitude


def _warmer(text: str, unit: str, decimal: str) -> float:
    """A difference of temperature in K: a bare number in the degrees of the reading."""
    return abs(reals(text.replace("C", "").replace("F", ""), decimal, 1)[0]) * (5 / 9 if unit == "°F" else 1.0)


def _chance(reading: Quantity, limits: Limits, doubt: float) -> float | None:
    if not doubt:
        return None
    return probability_of_conformity(reading.magnitude, doubt / USUAL_K, limits.low, limits.high)


def _chance_section(chance: float | None) -> Iterator[Section]:
    if chance is None:
        words = "No doubt was given, so the verdict is that of a gauge without any fault. Give one, or say the gauge."
        yield section("How sure", words, ink="mind")
        return
    said = f"{chance:.0%}" if 0.01 <= chance <= 0.99 else "over 99%" if chance > 0.5 else "under 1%"
    yield section("How sure", f"{said} that the true value is inside")


def _zone(limits: Limits, doubt: float) -> Iterator[Section]:
    """Where a reading has to be to prove itself inside, rounded inward to two figures of the doubt."""
    if not doubt:
        return
    heading = "What a reading has to be to prove it"
    low = limits.low + doubt if limits.low is not None else None
    high = limits.high - doubt if limits.high is not None else None
    if low is not None and high is not None and low > high:
        yield section(heading, "Nothing proves it: the doubt is wider than the band.", ink="stop")
        return
    unit = UNITS[limits.unit]
    places = 1 - math.floor(math.log10(doubt * abs(unit.from_base(1.0) - unit.from_base(0.0))))
    ends = [
        f"{_inward(unit.from_base(one), places, toward):.{max(places, 0)}f}"
        for one, toward in ((low, math.ceil), (high, math.floor))
        if one is not None
    ]
    word = "" if len(ends) == 2 else "at least " if low is not None else "at most "
    yield section(heading, f"{word}{' to '.join(ends)} {unit.sign}")


def _inward(value: float, places: int, toward: Callable[[float], int]) -> float:
    return toward(round(value * 10.0**places, 6)) / 10.0**places


def _gauge(reading: Quantity, limits: Limits, doubt: float, instrument: Instrument | None, shelf: Shelf) -> str:
    """What is wrong with the gauge for this band, and which would do."""
    if not doubt or limits.low is None or limits.high is None or limits.high <= limits.low:
        return ""
    band = limits.high - limits.low
    if instrument is not None:
        alike = [one for one in shelf.measuring.instruments if one.job == instrument.job]
        return gauge_fault("this", abs(reading.magnitude), band, doubt, alike)
    ratio = uncertainty_ratio(band, doubt)
    if ratio >= ENOUGH_RATIO:
        return ""
    return f"The band is only {ratio:.1f} times the doubt, not {ENOUGH_RATIO:g}: read it with a finer gauge."


VERDICT = Sum(
    id="verdict",
    title="Reading and limits",
    about="In, Out or Cannot decide, with the gauge's doubt.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={"value": "0.062 mm", "limits": "0.04 to 0.07 mm", "instrument": "plastic strip"},
)
