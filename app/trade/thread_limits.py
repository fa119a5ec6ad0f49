"""Limits of size of standard threads: how far a bolt and its hole may stray from nominal, in mm."""

import math
from collections.abc import Mapping
from typing import TypeVar

from msgspec import Struct

from app.trade.quantity import UNITS
from app.trade.threads import Form, Thread, checked, minor_diameter_mm, pitch_diameter_mm

Found = TypeVar("Found")


class ExternalLimits(Struct, frozen=True):
    """The limits of size of a bolt's thread, in mm."""

    major_min_mm: float
    major_max_mm: float
    pitch_min_mm: float
    pitch_max_mm: float


class InternalLimits(Struct, frozen=True):
    """The limits of size of a tapped hole's thread, in mm."""

    pitch_min_mm: float
    pitch_max_mm: float
    minor_min_mm: float
    minor_max_mm: float


# Micrometres by pitch, from the tables of ISO 965-1 (from memory; M5 to M14 give the strip areas of a published 6H/6g
# table to 0.1 %, the others stand within the standard's own rounding of its formulas).
_MAJOR_6G = {
    0.5: 106, 0.6: 125, 0.7: 140, 0.75: 140, 0.8: 150, 1.0: 180, 1.25: 212, 1.5: 236, 1.75: 265, 2.0: 280, 2.5: 335,
    3.0: 375, 3.5: 425, 4.0: 475,
}  # fmt: skip
_GAP_G = {
    0.5: 20, 0.6: 21, 0.7: 22, 0.75: 22, 0.8: 24, 1.0: 26, 1.25: 28, 1.5: 32, 1.75: 34, 2.0: 38, 2.5: 42,
    3.0: 48, 3.5: 53, 4.0: 60,
}  # fmt: skip
_MINOR_6H = {
    0.5: 140, 0.6: 160, 0.7: 180, 0.75: 190, 0.8: 200, 1.0: 236, 1.25: 265, 1.5: 300, 1.75: 335, 2.0: 375, 2.5: 450,
    3.0: 500, 3.5: 560, 4.0: 600,
}  # fmt: skip
# Up to a diameter in mm: the tolerance of the pitch diameter, bolt and hole.
_PITCH_6: tuple[tuple[float, Mapping[float, tuple[int, int]]], ...] = (
    (5.6, {0.5: (75, 100), 0.6: (85, 112), 0.7: (90, 118), 0.75: (90, 118), 0.8: (95, 125)}),
    (11.2, {0.75: (100, 132), 1.0: (112, 150), 1.25: (118, 160), 1.5: (132, 180)}),
    (22.4, {1.0: (118, 160), 1.25: (132, 180), 1.5: (140, 190), 1.75: (150, 200), 2.0: (160, 212), 2.5: (170, 224)}),
    (45.0, {1.0: (125, 170), 1.5: (150, 200), 2.0: (170, 224), 3.0: (200, 265), 3.5: (212, 280), 4.0: (224, 300)}),
)
_SMALLEST_MM = 2.8


def has_limits(thread: Thread) -> bool:
    """Whether the limits of size of a thread are known here, so that its worst case can be worked out."""
    try:
        external_limits(thread)
    except ValueError:
        return False
    return True


def external_limits(thread: Thread) -> ExternalLimits:
    """The limits of size in mm of a bolt's thread: 6g for metric, 2A for unified.

    Metric from M3 to M36 by the tables of ISO 965-1, unified by the formulas of ASME B1.1 for a thread engaged over one
    diameter (both from memory). Raises ValueError for a size or pitch outside them.
    """
    if thread.unified:
        return _external_2a(thread)
    bolt_um, _ = _pitch_tolerances(thread)
    gap, major = (_by_pitch(thread, table) / 1000 for table in (_GAP_G, _MAJOR_6G))
    top, pitch = thread.diameter_mm - gap, pitch_diameter_mm(thread) - gap
    return ExternalLimits(top - major, top, pitch - bolt_um / 1000, pitch)


def internal_limits(thread: Thread) -> InternalLimits:
    """The limits of size in mm of a hole's thread: 6H for metric, 2B for unified. Range, errors, source as above."""
    if thread.unified:
        return _internal_2b(thread)
    _, hole_um = _pitch_tolerances(thread)
    pitch, minor = pitch_diameter_mm(thread), minor_diameter_mm(thread)
    return InternalLimits(pitch, pitch + hole_um / 1000, minor, minor + _by_pitch(thread, _MINOR_6H) / 1000)


def _pitch_tolerances(thread: Thread) -> tuple[int, int]:
    if thread.form is not Form.METRIC:
        raise ValueError(f"The limits of {thread.name} are not known here: they are for metric and unified threads.")
    for to_mm, table in _PITCH_6:
        if _SMALLEST_MM < thread.diameter_mm <= to_mm:
            return _by_pitch(thread, table)
    raise ValueError(f"The limits of {thread.name} are not known here: they are from M3 to M36.")


def _by_pitch(thread: Thread, table: Mapping[float, Found]) -> Found:
    found = table.get(round(thread.pitch_mm, 4))
    if found is None:
        raise ValueError(
            f"The limits of {thread.name} are not known here: its pitch is not in ISO 965-1 for that size."
        )
    return found


def _in_inches(thread: Thread) -> tuple[float, float]:
    inch = UNITS["in"]
    return inch.from_base(checked(thread).diameter_mm), inch.from_base(thread.pitch_mm)


def _pitch_tolerance_2a_in(diameter_in: float, pitch_in: float) -> float:
    return 0.0015 * math.cbrt(diameter_in) + 0.0015 * math.sqrt(diameter_in) + 0.015 * math.cbrt(pitch_in) ** 2


def _external_2a(thread: Thread) -> ExternalLimits:
    diameter_in, pitch_in = _in_inches(thread)
    tolerance = UNITS["in"].to_base(_pitch_tolerance_2a_in(diameter_in, pitch_in))
    allowance = 0.3 * tolerance
    top, pitch = thread.diameter_mm - allowance, pitch_diameter_mm(thread) - allowance
    major = UNITS["in"].to_base(0.06 * math.cbrt(pitch_in) ** 2)
    return ExternalLimits(top - major, top, pitch - tolerance, pitch)


def _internal_2b(thread: Thread) -> InternalLimits:
    diameter_in, pitch_in = _in_inches(thread)
    pitch, minor = pitch_diameter_mm(thread), minor_diameter_mm(thread)
    tolerance = 1.3 * UNITS["in"].to_base(_pitch_tolerance_2a_in(diameter_in, pitch_in))
    return InternalLimits(
        pitch, pitch + tolerance, minor, minor + UNITS["in"].to_base(_minor_tolerance_2b_in(diameter_in, pitch_in))
    )


def _minor_tolerance_2b_in(diameter_in: float, pitch_in: float) -> float:
    large = 0.25 * pitch_in - 0.4 * pitch_in**2
    if diameter_in >= 0.25:
        return large
    small = 0.05 * math.cbrt(pitch_in) ** 2 + 0.03 * pitch_in / diameter_in - 0.002
    return min(max(small, large), 0.394 * pitch_in)
