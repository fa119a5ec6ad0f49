"""Figures: what a line's readings must meet, where that comes from, and the verdict on a reading."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from app.assembly.facts import Figure, Reading
from app.assembly.plan import How, Measured, Source, Spec, Step
from app.trade.notation import NotationError, read_quantity, read_spec
from app.trade.quantity import Kind, Limits, Quantity, TorqueTurn
from app.trade.verdict import Verdict, judge


@dataclass(frozen=True, slots=True)
class Bounds:
    """A figure in force: as written, as limits, and the source behind it ("" where none is given)."""

    text: str
    limits: Limits | TorqueTurn
    source: str
    parts: Mapping[str, Limits] = field(default_factory=dict)

    def limits_at(self, place: str) -> Limits | TorqueTurn:
        """The limits at a place: those of its kind (“in”, “top”) where the figure says such, else the figure's own."""
        if not self.parts:
            return self.limits
        return next((limits for label, limits in self.parts.items() if of_kind(place, label)), self.limits)


# What may be said beside a figure of a kind of place, or of what is worked out: in words, a colon, and limits.
_PART = re.compile(r"\s*(?P<label>[A-Za-z][A-Za-z ]*?)\s*:\s*(?P<limits>\S.*)")


def of_kind(place: str, label: str) -> bool:
    """Whether a place is of a kind: “in” for in3 and in2a, “top” for 1-top, “oil” for “2 oil”."""
    start = place.removeprefix(label)
    return place == label or (start != place and start[:1].isdigit()) or place.endswith((f"-{label}", f" {label}"))


def read_figure(text: str, kind: Kind, unit: str, decimal: str = ".") -> tuple[Limits | TorqueTurn, dict[str, Limits]]:
    """A figure and what it says of parts: “in: 0.20 to 0.25 mm; ex: 0.25 to 0.30 mm”, or “…; taper: at most 0.02 mm”.

    The figure's own limits are those without a word before them, else the first. Raises NotationError.
    """
    own: Limits | TorqueTurn | None = None
    parts: dict[str, Limits] = {}
    for piece in text.split(";"):
        match = _PART.fullmatch(piece)
        if match is None:
            if own is not None:
                said = " ".join(text.split())[:60]
                raise NotationError(f"“{said}” holds two figures: put a word before each, such as in: and ex:.")
            own = read_spec(piece, kind, unit=unit or None, decimal=decimal)
            continue
        limits = read_spec(match["limits"], kind, unit=unit or None, decimal=decimal)
        if isinstance(limits, TorqueTurn):
            raise NotationError(f"“{match['limits']}” has turns, so it cannot stand behind “{match['label']}”.")
        parts[match["label"].casefold()] = limits
    return own if own is not None else next(iter(parts.values())), parts


def read_pass(word: str, unit: str) -> Quantity:
    """A pass of tightening: a share of the figure (“70 %”), else a torque (“30 N·m”). Raises NotationError."""
    try:
        return read_quantity(word, Kind.SHARE)
    except NotationError:
        return read_quantity(word, Kind.TORQUE, unit=unit or None)


def bounds_of(spec: Spec | None, figure: Figure | None, sources: Mapping[str, Source]) -> Bounds | None:
    """The figure in force on a line: the person's before the plan's; None where there is none."""
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        return None
    if figure is not None:
        return Bounds(figure.text, *_read(figure.text, spec.kind, spec.unit, figure.source))
    if not spec.limits:
        return None
    source = sources.get(spec.source)
    return Bounds(spec.limits, *_read(spec.limits, spec.kind, spec.unit, source.title if source else ""))


@lru_cache(maxsize=4096)
def _read(text: str, kind: Measured, unit: str, source: str) -> tuple[Limits | TorqueTurn, str, Mapping[str, Limits]]:
    limits, parts = read_figure(text, Kind(kind.value), unit)
    return limits, source, parts


def reading_verdict(reading: Reading, step: Step, bounds: Bounds | None, place: str) -> Verdict:
    """The verdict on a reading: by its figure, or for a finding in words by the plan's good answers."""
    return judge_by(step, bounds)(reading, place)


Judge = Callable[[Reading, str], Verdict]


def judge_by(step: Step, bounds: Bounds | None) -> Judge:
    """How readings of one step are judged at a place, settled once for all of them.

    Where a result is worked out from the readings, that is judged and they themselves are not.
    """
    spec = step.spec
    if spec is None or spec.kind is Measured.TEXT or (spec.kind is Measured.CHOICE and not spec.good):
        return lambda _reading, _place: Verdict.IN
    if spec.kind is Measured.CHOICE:
        good = spec.good
        return lambda reading, _place: Verdict.IN if reading.text in good else Verdict.OUT
    if step.measure is not None and step.measure.how not in (None, How.SHAPE):
        return lambda _reading, _place: Verdict.IN
    if bounds is None or isinstance(bounds.limits, TorqueTurn):
        return lambda _reading, _place: Verdict.UNDECIDED
    kind = Kind(spec.kind.value)
    if not bounds.parts:
        return _within(kind, bounds.limits)
    return lambda reading, place: _at(kind, bounds, reading, place)


def _at(kind: Kind, bounds: Bounds, reading: Reading, place: str) -> Verdict:
    limits = bounds.limits_at(place)
    return Verdict.UNDECIDED if isinstance(limits, TorqueTurn) else _within(kind, limits)(reading, place)


def _within(kind: Kind, limits: Limits) -> Judge:
    low, high, inside, undecided = limits.low, limits.high, Verdict.IN, Verdict.UNDECIDED

    def verdict(reading: Reading, _place: str) -> Verdict:
        magnitude = reading.magnitude if reading.celsius is None else true_size(reading)
        if magnitude is None:
            return undecided
        doubt = reading.doubt
        if low is not None and high is not None and low + doubt <= magnitude <= high - doubt:
            return inside  # most readings: what is not near a limit needs no closer look
        return judge(Quantity(kind, magnitude, reading.unit, reading.text), limits, doubt)

    return verdict


def true_size(reading: Reading) -> float | None:
    """What a reading is at 20 °C, where its temperature and what it is made of are known; else as read (base unit)."""
    if reading.magnitude is None or reading.celsius is None or not reading.alpha_per_k:
        return reading.magnitude
    from app.trade.uncertainty import at_20_mm  # wanted for few readings, and it takes its time to load

    return at_20_mm(reading.magnitude, reading.alpha_per_k, reading.celsius)
