"""A sense of size: whether a figure or reading is one that its kind of line can have, and what was likely meant.

An envelope judges nothing. It is wide, and asks about slips: a point in the wrong place, or another unit.
"""

import re
from collections.abc import Iterable
from enum import Enum
from functools import cache

from msgspec import Struct

from app.trade.quantity import UNITS, Kind, Limits
from app.trade.tables import Envelope, Per, Strength
from app.trade.threads import Thread, proof_load_n


class Side(Enum):
    """On which side of its envelope a size lies."""

    TOO_SMALL = "too small"
    TOO_LARGE = "too large"


class Slip(Enum):
    """What may have gone wrong where a size was written."""

    TENFOLD = "ten times too large"
    TENTH = "a tenth of it"
    HUNDREDFOLD = "a hundred times too large"
    HUNDREDTH = "a hundredth of it"
    UNIT = "another unit"


class Meant(Struct, frozen=True):
    """What a size was likely meant to be, in the base unit; `unit` is the one meant where another was taken."""

    slip: Slip
    size: float
    unit: str = ""


class Outside(Struct, frozen=True):
    """A size outside its envelope (base unit): the side, how many times beyond the nearer end, and what was meant.

    `ratio` is None where the end or the size is 0 or below. `meant` has the likeliest first, and is empty where no
    usual slip explains the size.
    """

    side: Side
    ratio: float | None
    low: float
    high: float
    meant: tuple[Meant, ...]


# The units that people take for one another; a figure is never guessed to be in a rare one.
_TAKEN_FOR_ANOTHER: dict[Kind, tuple[str, ...]] = {
    Kind.LENGTH: ("mm", "in", "thou", "µm"),
    Kind.TORQUE: ("N·m", "lbf·ft", "lbf·in", "kgf·m"),
    Kind.PRESSURE: ("kPa", "bar", "psi", "MPa"),
    Kind.VOLUME: ("L", "mL", "US qt", "imp pt"),
    Kind.TEMPERATURE: ("°C", "°F"),
    Kind.ANGLE: ("deg", "turn"),
    Kind.TIME: ("s", "min", "h"),
    Kind.FORCE: ("N", "lbf", "kgf", "kN"),
}
_POINTS = ((Slip.TENFOLD, 0.1), (Slip.TENTH, 10.0))
_FAR_POINTS = ((Slip.HUNDREDFOLD, 0.01), (Slip.HUNDREDTH, 100.0))
# Sizes that come out a hair off an end by conversion are not beyond it.
_HAIR = 1e-9


def torque_scale_nm(thread: Thread, strength: Strength) -> float:
    """Proof load times diameter in N·m, which a bolt's envelope is a share of: K times it is the torque at proof load.

    Raises ValueError for a strength of another size or a pipe thread.
    """
    return proof_load_n(thread, strength) * thread.diameter_mm / 1000


def bounds(row: Envelope, of: float | None = None) -> tuple[float, float]:
    """The least and greatest size in the base unit; by its share of `of` (mm, or N·m for bolts) where both are known.

    Raises ValueError for an `of` that is not above 0.
    """
    if of is not None and not of > 0:
        raise ValueError(f"What a size is a share of has to be more than 0, not {of:g}: measure it again.")
    if row.per is Per.ITSELF or of is None:
        return row.low, row.high
    return row.per_low * of, row.per_high * of


def outside(row: Envelope, size: float, *, of: float | None = None, unit: str = "") -> Outside | None:
    """How a size in the base unit lies outside its envelope, None where it makes sense.

    `of` is the diameter or bore in mm, or `torque_scale_nm` of the bolt; `unit` is the one it was typed in, from which
    another unit is guessed. Errors as for `bounds`.
    """
    low, high = bounds(row, of)
    hair = _HAIR * max(abs(low), abs(high))
    if low - hair <= size <= high + hair:
        return None
    if size < low:
        side, ratio = Side.TOO_SMALL, low / size if size > 0 and low > 0 else None
    else:
        side, ratio = Side.TOO_LARGE, size / high if high > 0 else None
    return Outside(side, ratio, low, high, meant(row.kind, size, _typical(row, low, high), (low, high), unit))


def outside_limits(row: Envelope, limits: Limits, *, of: float | None = None) -> Outside | None:
    """How a figure lies outside its envelope by one of its ends, None where all make sense. Errors as for `bounds`.

    A lower end of 0 says nothing and is passed over.
    """
    ends = [end for end in (limits.high, limits.target, limits.low) if end is not None]
    said = [end for end in ends if end != 0] or ends
    found = (outside(row, end, of=of, unit=limits.unit) for end in said)
    return next((one for one in found if one is not None), None)


def _typical(row: Envelope, low: float, high: float) -> tuple[float, float]:
    """Where a guess is looked for first: what is typical, as far as it lies within the bounds."""
    inner = max(low, row.typical_low), min(high, row.typical_high)
    return inner if inner[0] < inner[1] else (low, high)


def meant(
    kind: Kind, size: float, typical: tuple[float, float], within: tuple[float, float], unit: str = ""
) -> tuple[Meant, ...]:
    """What a size in the base unit was likely meant to be: a point moved by one place, other units, two places.

    Those that come to a typical size; where none does, those that come within; none where no usual slip explains it.
    """
    tries = tuple(_tries(kind, size, unit))
    for low, high in (typical, within):
        found = tuple(one for one in tries if low <= one.size <= high)
        if found:
            return found
    return ()


def _tries(kind: Kind, size: float, unit: str) -> Iterable[Meant]:
    for slip, factor in _POINTS:
        yield Meant(slip, size * factor)
    if unit in UNITS and UNITS[unit].kind is kind:
        shown = UNITS[unit].from_base(size)
        for other in _TAKEN_FOR_ANOTHER.get(kind, ()):
            if other != unit:
                yield Meant(Slip.UNIT, UNITS[other].to_base(shown), other)
    for slip, factor in _FAR_POINTS:
        yield Meant(slip, size * factor)


# --- Which envelope a line has

# What a point or a part of a figure is called, where that says more than the line does.
_PARTS = {
    "taper": "shape",
    "out of round": "shape",
    "journal": "journal-diameter",
    "pin": "journal-diameter",
    "crankpin": "journal-diameter",
    "piston": "piston-diameter",
    "stem": "stem-diameter",
    "free length": "bolt-length",
}
# How far places or rounds lie apart has no size of its own.
_WITHOUT = frozenset({"spread", "moved"})
_BEARING = re.compile(r"\b(main|rod|crank|bearing|cam|journal)")
# In order: the first whose words stand in the line's id or text. Of one kind of quantity, so that “oil” is no trouble.
_BY_WORDS: tuple[tuple[Kind, str, str], ...] = (
    (Kind.LENGTH, r"cam\b.*end (float|play)|cam end", "cam-end-float"),
    (Kind.LENGTH, r"end (float|play)", "crank-end-float"),
    (Kind.LENGTH, r"\bplug gap|gap.*\bplug", "plug-gap"),
    (Kind.LENGTH, r"\bring.*\bgap|\bgap.*\bring", "ring-gap"),
    (Kind.LENGTH, r"\bring.*(groove|side)", "ring-side"),
    (Kind.LENGTH, r"side (clearance|play)", "rod-side"),
    (Kind.LENGTH, r"valve to piston", "valve-to-piston"),
    (Kind.LENGTH, r"piston to wall|piston clearance|piston in bore", "piston-to-wall"),
    (Kind.LENGTH, r"quench|squish|piston to head", "quench"),
    (Kind.LENGTH, r"\bcam bearing.*clearance|cam journal clearance", "cam-bearing-clearance"),
    (Kind.LENGTH, r"\b(main|rod|bearing|big end).*clearance", "bearing-clearance"),
    (Kind.LENGTH, r"stem.*(guide|clearance)|guide.*clearance", "stem-clearance"),
    (Kind.LENGTH, r"\bstem\b", "stem-diameter"),
    (Kind.LENGTH, r"\blash\b|tappet clearance|valve clearance", "lash"),
    (Kind.LENGTH, r"liner", "liner-protrusion"),
    (Kind.LENGTH, r"flat(ness)?\b|measure faces", "flatness"),
    (Kind.LENGTH, r"deck height|piston to (deck|cylinder top)", "deck-height"),
    (Kind.LENGTH, r"run ?out|\btrue\b|\bbend\b", "run-out"),
    (Kind.LENGTH, r"free length", "bolt-length"),
    (Kind.LENGTH, r"stretch", "bolt-stretch"),
    (Kind.LENGTH, r"pickup", "pickup-room"),
    (Kind.LENGTH, r"drive.*(depth|deep)", "drive-depth"),
    (Kind.LENGTH, r"retainer", "retainer-room"),
    (Kind.LENGTH, r"coil bind|spring room|spring.*room", "spring-room"),
    (Kind.LENGTH, r"(installed|spring).*height", "installed-height"),
    (Kind.LENGTH, r"swing clear|rods clear", "running-room"),
    (Kind.LENGTH, r"pushrod", "pushrod-length"),
    (Kind.LENGTH, r"journal|crankpin", "journal-diameter"),
    (Kind.LENGTH, r"\bbores?\b", "bore-diameter"),
    (Kind.LENGTH, r"\bpiston", "piston-diameter"),
    (Kind.TORQUE, r"\bturn\b.*\b(drag|cap|rod)|turning|\bdrag\b", "turning-torque"),
    (Kind.TORQUE, r"spark ?plug", "spark-plug-torque"),
    (Kind.TORQUE, r"drain plug|gallery plug|\bplug\b", "plug-torque"),
    (Kind.TORQUE, r"crank (bolt|nose)|\brotor\b|damper|pulley", "crank-bolt"),
    (Kind.TORQUE, r"\b(cam|rocker|valve|front|rear) covers?\b|\bpan\b|housing|\bseal\b|\bpump\b|pickup", "cover-bolt"),
    (Kind.TORQUE, r"manifold|intake|exhaust", "manifold-bolt"),
    (Kind.TORQUE, r"rocker|cam caps?|\bcaps (one|two)\b|\bcase\b", "cap-bolt"),
    (Kind.TORQUE, r"\bheads?\b", "head-bolt"),
    (Kind.TORQUE, r"\bmains?\b", "main-bolt"),
    (Kind.TORQUE, r"\brods?\b", "rod-bolt"),
    (Kind.TORQUE, r"flywheel|flexplate|clutch", "flywheel-bolt"),
    (Kind.TORQUE, r"sprocket", "sprocket-bolt"),
    (Kind.TORQUE, r"", "bolt-torque"),
    (Kind.ANGLE, r"preload", "lifter-preload"),
    (Kind.ANGLE, r"timing", "ignition-timing"),
    (Kind.ANGLE, r"degree|centre ?line", "cam-centreline"),
    (Kind.ANGLE, r"\bturn\b|angle|yield", "tightening-angle"),
    (Kind.PRESSURE, r"compression", "compression"),
    (Kind.PRESSURE, r"coolant", "coolant-test"),
    (Kind.PRESSURE, r"\bhot\b", "oil-hot"),
    (Kind.PRESSURE, r"prime|priming|pot\b", "oil-prime"),
    (Kind.PRESSURE, r"starter|crank in|kick|cranking", "oil-cranking"),
    (Kind.PRESSURE, r"start|oil", "oil-cold"),
    (Kind.VOLUME, r"coolant|water", "coolant-fill"),
    (Kind.VOLUME, r"chamber|dome|dish", "chamber-volume"),
    (Kind.VOLUME, r"\boil\b", "oil-fill"),
    (Kind.SHARE, r"leak ?down", "leak-down"),
    (Kind.TIME, r"break ?in", "break-in-time"),
    (Kind.TIME, r"rise", "pressure-rise"),
    (Kind.TIME, r"wait|bleed|stand|cure", "waiting-time"),
    (Kind.TEMPERATURE, r"coolant|water|thermostat", "coolant-temperature"),
    (Kind.TEMPERATURE, r"\boil\b", "oil-temperature"),
    (Kind.TEMPERATURE, r"room|shop|even|air", "room-temperature"),
    (Kind.FORCE, r"spring", "spring-force"),
    (Kind.SPEED, r"idle", "idle-speed"),
)


# Only those of the kinds that are asked for are made.
@cache
def _patterns(kind: Kind) -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((re.compile(words), id_) for of, words, id_ in _BY_WORDS if of is kind)


def kind_of_line(kind: Kind, id_: str, text: str = "", part: str = "") -> str | None:
    """The envelope of a line of a plan, by its quantity, its id and the text that says what to do; None for none known.

    `part` is the point that is read (“journal”) or the part of a figure that is meant (“taper”), "" for the line's own.
    """
    words = " ".join(re.sub(r"[^a-z0-9]+", " ", f"{id_} {text}".casefold()).split())
    named = part.casefold().strip()
    if named in _WITHOUT:
        return None
    if kind is Kind.LENGTH and named == "bore":
        return "bearing-bore" if _BEARING.search(words) else "bore-diameter"
    if kind is Kind.LENGTH and named in _PARTS:
        return _PARTS[named]
    return next((found for pattern, found in _patterns(kind) if pattern.search(words)), None)
