"""What the shipped tables of measuring hold: one small record to a row, each with its source and how it is known."""

from dataclasses import dataclass
from enum import Enum

from app.trade.quantity import Limits
from app.trade.tables import Origin


@dataclass(frozen=True, slots=True)
class Instrument:
    """A measuring instrument and its typical doubt (expanded, k = 2) in mm, over the sizes it serves."""

    id: str
    name: str
    job: str
    low_mm: float
    high_mm: float
    doubt_mm: float
    origin: Origin

    def covers(self, size_mm: float) -> bool:
        """Whether a size is within its range."""
        return self.low_mm <= size_mm <= self.high_mm


@dataclass(frozen=True, slots=True)
class Expansion:
    """The linear expansion of a material, per kelvin."""

    id: str
    material: str
    alpha_per_k: float
    origin: Origin


@dataclass(frozen=True, slots=True)
class RingGapRule:
    """The least end gap as a share of the bore, for one ring and one use, by one set of rules."""

    set: str
    ring: str
    use: str
    per_bore: float
    origin: Origin


@dataclass(frozen=True, slots=True)
class PlugTorque:
    """A plug's torque in dry threads, by thread (mm), seat and head material, from one chart."""

    chart: str
    thread_mm: int
    seat: str
    head: str
    torque: Limits
    origin: Origin


@dataclass(frozen=True, slots=True)
class Note:
    """A rule that is words rather than a figure."""

    id: str
    text: str
    origin: Origin


class CompressionKind(Enum):
    """What a cranking compression rule compares."""

    SHARE_OF_HIGHEST = "least share of the highest"
    SPREAD = "largest difference"
    LEAST = "least pressure"


@dataclass(frozen=True, slots=True)
class CompressionRule:
    """A rule for cranking compression: a share (of 1) or a pressure in kPa, by its kind."""

    id: str
    kind: CompressionKind
    value: float
    origin: Origin


@dataclass(frozen=True, slots=True)
class LeakRule:
    """Bounds of leakage in percent: up to `good` is good, beyond `bad` (where given) bad; `spread` apart at most."""

    id: str
    good_percent: float
    bad_percent: float | None
    spread_percent: float | None
    origin: Origin


@dataclass(frozen=True, slots=True)
class OilRule:
    """The least hot oil pressure in kPa for each 1000 rpm."""

    id: str
    kpa_per_1000_rpm: float
    origin: Origin


class LimitKind(Enum):
    """What a printed wear limit means."""

    ABSOLUTE = "absolute"
    ADDED = "added-to-new"
    SUBTRACTED = "subtracted-from-new"


@dataclass(frozen=True, slots=True)
class ClearanceRow:
    """A clearance as printed for one engine or as a rule: its band when new, its wear limit (mm) and its meaning."""

    item: str
    title: str
    engine: str
    new: Limits | None
    wear_mm: float | None
    wear_kind: LimitKind | None
    origin: Origin


@dataclass(frozen=True, slots=True)
class MeasuringTables:
    """Every shipped table of measuring."""

    instruments: tuple[Instrument, ...]
    expansions: tuple[Expansion, ...]
    ring_gaps: tuple[RingGapRule, ...]
    plug_torques: tuple[PlugTorque, ...]
    plug_notes: tuple[Note, ...]
    compression: tuple[CompressionRule, ...]
    leak: tuple[LeakRule, ...]
    oil: tuple[OilRule, ...]
    clearances: tuple[ClearanceRow, ...]
