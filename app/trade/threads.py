"""Screw threads: reading their names, their geometry, limits of size, and the loads they carry.

Symbols of ISO 68-1 and ISO 724: d nominal diameter, P pitch, H height of the fundamental triangle, d2 pitch diameter,
d3 root diameter of the bolt, d1 minor diameter of the hole. Lengths are in mm, areas in mm², loads in N.
"""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from app.trade.quantity import UNITS
from app.trade.tables import Series, Strength, Tables, ThreadSize

Found = TypeVar("Found")
_ROOT3 = math.sqrt(3)
_SAME_PITCH = 1e-4


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread: its name, nominal diameter and pitch in mm, and whether it is of the unified (inch) system."""

    name: str
    diameter_mm: float
    pitch_mm: float
    unified: bool


@dataclass(frozen=True, slots=True)
class ExternalLimits:
    """The limits of size of a bolt's thread, in mm."""

    major_min_mm: float
    major_max_mm: float
    pitch_min_mm: float
    pitch_max_mm: float


@dataclass(frozen=True, slots=True)
class InternalLimits:
    """The limits of size of a tapped hole's thread, in mm."""

    pitch_min_mm: float
    pitch_max_mm: float
    minor_min_mm: float
    minor_max_mm: float


# --- Reading

_METRIC = re.compile(r"M\s*(?P<diameter>\d+(?:[.,]\d+)?)(?:\s*[x×*]\s*(?P<pitch>\d+(?:[.,]\d+)?))?", re.IGNORECASE)
_UNIFIED = re.compile(
    r"(?:#|No\.?\s*)?(?P<size>\d+(?:/\d+)?)\s*(?:in\b|\")?\s*(?:-\s*(?P<count>\d+))?\s*(?P<series>UNC|UNF)?",
    re.IGNORECASE,
)
_LIKE = "write it such as M10x1.25, M10, 3/8-24 or 1/4 UNC"


def read_thread(text: str, tables: Tables) -> Thread:
    """Read a thread such as “M10x1.25”, “M10” (coarse), “3/8-24 UNF”, “7/16-14”, “1/4 UNC” or “#10-32”.

    Raises ValueError with a sentence, naming the pitches that exist where the one typed does not.
    """
    typed = text.strip()
    if match := _METRIC.fullmatch(typed):
        return _metric(typed, match, tables)
    if match := _UNIFIED.fullmatch(typed):
        return _unified(typed, match, tables)
    raise ValueError(f"“{typed[:40]}” is not a thread: {_LIKE}.")


def _metric(typed: str, match: re.Match[str], tables: Tables) -> Thread:
    name = f"M{float(match['diameter'].replace(',', '.')):g}"
    sizes = _sizes(typed, name, tables)
    if match["pitch"] is None:
        coarse = [size for size in sizes if size.series is Series.COARSE]
        return _thread(coarse[0])
    pitch = float(match["pitch"].replace(",", "."))
    for size in sizes:
        if abs(size.pitch_mm - pitch) < _SAME_PITCH:
            return _thread(size)
    pitches = _listed(f"{size.pitch_mm:g}" for size in sizes)
    raise ValueError(f"No standard {name} has a pitch of {pitch:g} mm: it comes with {pitches} mm.")


def _unified(typed: str, match: re.Match[str], tables: Tables) -> Thread:
    name = match["size"] if "/" in match["size"] else f"#{match['size']}"
    sizes = _sizes(typed, name, tables)
    series = (match["series"] or "").upper()
    known = _listed(_thread(size).name for size in sizes)
    if match["count"] is None and not series:
        raise ValueError(f"“{typed}” can be coarse or fine: write {known}.")
    for size in sizes:
        count_fits = match["count"] is None or int(match["count"]) == _per_inch(size.pitch_mm)
        if count_fits and series in ("", size.series.value):
            return _thread(size)
    raise ValueError(f"“{typed}” is no standard thread: that size comes as {known}.")


def _sizes(typed: str, name: str, tables: Tables) -> list[ThreadSize]:
    sizes = [size for size in tables.threads if size.name == name]
    if not sizes:
        raise ValueError(f"“{typed}” is not a size known here: {_LIKE}.")
    return sorted(sizes, key=lambda size: -size.pitch_mm)


def _thread(size: ThreadSize) -> Thread:
    unified = size.series in (Series.UNC, Series.UNF)
    if unified:
        name = f"{size.name}-{_per_inch(size.pitch_mm)} {size.series.value}"
    else:
        name = size.name if size.series is Series.COARSE else f"{size.name}x{size.pitch_mm:g}"
    return Thread(name, size.diameter_mm, size.pitch_mm, unified)


def _per_inch(pitch_mm: float) -> int:
    return round(UNITS["in"].to_base(1) / pitch_mm)


def _listed(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


# --- Geometry


def triangle_height_mm(thread: Thread) -> float:
    """H = 0.866025 P, in mm (ISO 68-1, from memory; read in the reproductions of the formulas below)."""
    return _ROOT3 / 2 * _checked(thread).pitch_mm


def pitch_diameter_mm(thread: Thread) -> float:
    """d2 = d - 0.649519 P, in mm (ISO 724, read)."""
    return thread.diameter_mm - 3 / 4 * triangle_height_mm(thread)


def root_diameter_mm(thread: Thread) -> float:
    """d3 = d - 1.226869 P, in mm: the bolt's core at its rounded root (ISO 724 and ISO 898-1, read)."""
    return thread.diameter_mm - 17 / 12 * triangle_height_mm(thread)


def minor_diameter_mm(thread: Thread) -> float:
    """d1 = d - 1.082532 P, in mm: the hole's smallest diameter (ISO 724, from memory)."""
    return thread.diameter_mm - 5 / 4 * triangle_height_mm(thread)


def stress_diameter_mm(thread: Thread) -> float:
    """The diameter in mm of a round bar with the stress area of the thread.

    Metric (d2 + d3) / 2 = d - 0.938194 P (ISO 898-1, read); unified d - 0.974279 P (read in two bolt guides).
    """
    if thread.unified:
        return thread.diameter_mm - 9 / 8 * triangle_height_mm(thread)
    return (pitch_diameter_mm(thread) + root_diameter_mm(thread)) / 2


def stress_area_mm2(thread: Thread) -> float:
    """The tensile stress area in mm²: pi/4 times the stress diameter squared. Raises ValueError for no real thread."""
    return math.pi / 4 * stress_diameter_mm(thread) ** 2


def _checked(thread: Thread) -> Thread:
    if not (0 < thread.pitch_mm < thread.diameter_mm < math.inf) or 17 / 12 * thread.pitch_mm >= thread.diameter_mm:
        raise ValueError(
            f"{thread.name} cannot be {thread.diameter_mm:g} mm with a pitch of {thread.pitch_mm:g} mm: look both up."
        )
    return thread


# --- Loads


def tension_n(area_mm2: float, stress_mpa: float) -> float:
    """The force in N that puts a stress in MPa on an area in mm². Raises ValueError for an area or stress below 0."""
    if not (area_mm2 > 0 and stress_mpa >= 0 and math.isfinite(area_mm2 * stress_mpa)):
        raise ValueError(
            f"A force needs an area above 0 mm² and a stress from 0 MPa, not {area_mm2:g} and {stress_mpa:g}."
        )
    return area_mm2 * stress_mpa


def proof_load_n(thread: Thread, strength: Strength) -> float:
    """The proof load in N: stress area times proof stress.

    ISO 898-1 and SAE J429 print it rounded, up to 0.6 % and 0.9 % off (read in reproductions).
    Raises ValueError when the strength is for another size.
    """
    return tension_n(stress_area_mm2(thread), _of_size(thread, strength).proof_mpa)


def tensile_load_n(thread: Thread, strength: Strength) -> float:
    """The least breaking load in N: stress area times tensile strength. Errors and source as `proof_load_n`."""
    return tension_n(stress_area_mm2(thread), _of_size(thread, strength).tensile_mpa)


def yield_load_n(thread: Thread, strength: Strength) -> float:
    """The load in N at which the bolt begins to yield in plain tension. Errors and source as `proof_load_n`."""
    return tension_n(stress_area_mm2(thread), _of_size(thread, strength).yield_mpa)


def _of_size(thread: Thread, strength: Strength) -> Strength:
    if not strength.over_mm < thread.diameter_mm <= strength.to_mm:
        raise ValueError(
            f"{strength.name} in this row is for over {strength.over_mm:g} to {strength.to_mm:g} mm, "
            f"not for {thread.name}: take the row of its size."
        )
    return strength


# --- Limits of size

# Micrometres by pitch, from the tables of ISO 965-1 (from memory; M5 to M14 give the strip areas of a published 6H/6g
# table to 0.1 %).
_MAJOR_6G = {0.7: 140, 0.75: 140, 0.8: 150, 1.0: 180, 1.25: 212, 1.5: 236, 1.75: 265, 2.0: 280, 2.5: 335}
_GAP_G = {0.7: 22, 0.75: 22, 0.8: 24, 1.0: 26, 1.25: 28, 1.5: 32, 1.75: 34, 2.0: 38, 2.5: 42}
_MINOR_6H = {0.7: 180, 0.75: 190, 0.8: 200, 1.0: 236, 1.25: 265, 1.5: 300, 1.75: 335, 2.0: 375, 2.5: 450}
# Up to a diameter in mm: the tolerance of the pitch diameter, bolt and hole.
_PITCH_6 = (
    (5.6, {0.7: (90, 118), 0.75: (90, 118), 0.8: (95, 125)}),
    (11.2, {0.75: (100, 132), 1.0: (112, 150), 1.25: (118, 160), 1.5: (132, 180)}),
    (22.4, {1.0: (118, 160), 1.25: (132, 180), 1.5: (140, 190), 1.75: (150, 200), 2.0: (160, 212), 2.5: (170, 224)}),
)
_SMALLEST_MM = 2.8


def external_limits(thread: Thread) -> ExternalLimits:
    """The limits of size in mm of a bolt's thread: 6g for metric, 2A for unified.

    Metric from M4 to M22 by the tables of ISO 965-1, unified by the formulas of ASME B1.1 for a thread engaged over one
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
    for to_mm, table in _PITCH_6:
        if _SMALLEST_MM < thread.diameter_mm <= to_mm:
            return _by_pitch(thread, table)
    raise ValueError(f"The limits of {thread.name} are not known here: they are from M3 to M22.")


def _by_pitch(thread: Thread, table: Mapping[float, Found]) -> Found:
    found = table.get(round(thread.pitch_mm, 4))
    if found is None:
        raise ValueError(
            f"The limits of {thread.name} are not known here: its pitch is not in ISO 965-1 for that size."
        )
    return found


def _in_inches(thread: Thread) -> tuple[float, float]:
    inch = UNITS["in"]
    return inch.from_base(_checked(thread).diameter_mm), inch.from_base(thread.pitch_mm)


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
