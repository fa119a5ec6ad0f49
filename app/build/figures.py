"""Figures: what a line's readings must meet, where that comes from, and the verdict on a reading."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from app.build.facts import Figure, Reading
from app.build.plan import Measured, Source, Spec
from app.trade.notation import read_spec
from app.trade.quantity import Kind, Limits, Quantity, TorqueTurn
from app.trade.verdict import Verdict, judge


@dataclass(frozen=True, slots=True)
class Bounds:
    """A figure in force: as written, as limits, and the source behind it ("" where none is given)."""

    text: str
    limits: Limits | TorqueTurn
    source: str


def bounds_of(spec: Spec | None, figure: Figure | None, sources: Mapping[str, Source]) -> Bounds | None:
    """The figure in force on a line: the person's before the plan's; None where there is none."""
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        return None
    if figure is not None:
        return Bounds(figure.text, _read(figure.text, spec.kind, spec.unit), figure.source)
    if not spec.limits:
        return None
    source = sources.get(spec.source)
    return Bounds(spec.limits, _read(spec.limits, spec.kind, spec.unit), source.title if source else "")


@lru_cache(maxsize=4096)
def _read(text: str, kind: Measured, unit: str) -> Limits | TorqueTurn:
    return read_spec(text, Kind(kind.value), unit=unit or None)


def reading_verdict(reading: Reading, spec: Spec, bounds: Bounds | None) -> Verdict:
    """The verdict on a reading: by its figure, or for a finding in words by the plan's good answers."""
    return judge_by(spec, bounds)(reading)


def judge_by(spec: Spec, bounds: Bounds | None) -> Callable[[Reading], Verdict]:
    """How readings of one line are judged, settled once for all of them."""
    if spec.kind is Measured.CHOICE and spec.good:
        return lambda reading: Verdict.IN if reading.text in spec.good else Verdict.OUT
    if spec.kind in (Measured.CHOICE, Measured.TEXT):
        return lambda _reading: Verdict.IN
    if bounds is None or isinstance(bounds.limits, TorqueTurn):
        return lambda _reading: Verdict.UNDECIDED
    return _within(Kind(spec.kind.value), bounds.limits)


def _within(kind: Kind, limits: Limits) -> Callable[[Reading], Verdict]:
    low, high, inside, undecided = limits.low, limits.high, Verdict.IN, Verdict.UNDECIDED

    def verdict(reading: Reading) -> Verdict:
        magnitude = reading.magnitude
        if magnitude is None:
            return undecided
        if low is not None and high is not None and low <= magnitude <= high:
            return inside  # most readings: what is not near a limit needs no closer look
        return judge(Quantity(kind, magnitude, reading.unit, reading.text), limits)

    return verdict
