"""What the shipped tables of measuring hold: one small record to a row, each with its source and how it is known."""

from enum import Enum

from msgspec import Struct

from app.trade.quantity import Limits
from app.trade.tables import Origin


class Instrument(Struct, frozen=True):
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


class Expansion(Struct, frozen=True):
    """The linear expansion of a material, per kelvin."""

    id: str
    material: str
    alpha_per_k: float
    origin: Origin


class RingGapRule(Struct, frozen=True):
    """The least end gap as a share of the bore, for one ring and one use, by one set of rules."""

    set: str
    ring: str
    use: str
    per_bore: float
    origin: Origin


class PlugTorque(Struct, frozen=True):
    """A plug's torque in dry threads, by thread (mm), seat and head material, from one chart."""

    chart: str
    thread_mm: int
    seat: str
    head: str
    torque: Limits
    origin: Origin


class Note(Struct, frozen=True):
    """A rule that is words rather than a figure."""

    id: str
    text: str
    origin: Origin


class CompressionKind(Enum):
    """What a cranking compression rule compares."""

    SHARE_OF_HIGHEST = "least share of the highest"
    SPREAD = "largest difference"
    LEAST = "least pressure"


class CompressionRule(Struct, frozen=True):
    """A rule for cranking compression: a share (of 1) or a pressure in kPa, by its kind."""

    id: str
    kind: CompressionKind
    value: float
    origin: Origin


class LeakRule(Struct, frozen=True):
    """Bounds of leakage in percent: up to `good` is good, beyond `bad` (where given) bad; `spread` apart at most."""

    id: str
    good_percent: float
    bad_percent: float | None
    spread_percent: float | None
    origin: Origin


class OilRule(Struct, frozen=True):
    """The least hot oil pressure in kPa for each 1000 rpm."""

    id: str
    kpa_per_1000_rpm: float
    origin: Origin


class LimitKind(Enum):
    """What a printed wear limit means."""

    ABSOLUTE = "absolute"
    ADDED = "added-to-new"
    SUBTRACTED = "subtracted-from-new"


class ClearanceRow(Struct, frozen=True):
    """A clearance as printed for one engine or as a rule: its band when new, its wear limit (mm) and its meaning."""

    item: str
    title: str
    engine: str
    new: Limits | None
    wear_mm: float | None
    wear_kind: LimitKind | None
    origin: Origin


class MeasuringTables(Struct, frozen=True):
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
