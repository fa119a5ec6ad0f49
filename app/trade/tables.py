"""The rows of the reference tables: sizes, strengths, friction, scatter, pressures; each says where it comes from.

Editions that disagree stand side by side; nothing here chooses between them.
"""

import math
import re
from enum import Enum
from typing import NewType

from msgspec import Struct

from app.trade.quantity import UNITS, Kind

# A figure that may lie below 0, such as a piston that stands proud.
Signed = NewType("Signed", float)


class Known(Enum):
    """How a figure is known."""

    READ = "read"
    MEMORY = "from memory"
    PRACTICE = "common practice"
    OWN = "own figure"


class Series(Enum):
    """The series of a standard thread."""

    COARSE = "coarse"
    FINE = "fine"
    UNC = "UNC"
    UNF = "UNF"
    UNEF = "UNEF"
    UNS = "UNS"
    BSW = "BSW"
    BSF = "BSF"
    BA = "BA"
    NPT = "NPT"
    G = "G"
    R = "R"


class ThreadState(Enum):
    """What is on the threads and under the head when a bolt is tightened."""

    DRY = "dry"
    OILED = "oiled"
    ASSEMBLY_PASTE = "assembly paste"
    ANTI_SEIZE = "anti-seize"
    THREAD_SEALANT = "thread sealant"
    THREADLOCKER = "threadlocker"
    PLATED = "plated"
    UNKNOWN = "unknown"


class Method(Enum):
    """How the preload is brought in."""

    FEEL = "by feel"
    TORQUE_DRY = "torque wrench, dry"
    TORQUE_PLATED = "torque wrench, cadmium plated"
    TORQUE_OILED = "torque wrench, lubricated"
    POWER_DRIVER = "precision power driver"
    ANGLE = "turn angle"
    YIELD = "to yield"
    HYDRAULIC = "hydraulic"
    LOAD_WASHER = "load-indicating washer"
    ULTRASONIC = "ultrasonic"
    STRETCH = "measured stretch"
    STRAIN_GAUGE = "strain gauge"


class Origin(Struct, frozen=True):
    """Where a row comes from: its edition, its source, and how it is known."""

    edition: str
    source: str
    known: Known


class ThreadSize(Struct, frozen=True):
    """A standard thread: name as written without its pitch, series, nominal diameter and pitch in mm."""

    name: str
    series: Series
    diameter_mm: float
    pitch_mm: float
    origin: Origin


class HeadSize(Struct, frozen=True):
    """A plain hexagon head: bearing face and normal clearance hole in mm, for a thread's name without its pitch."""

    name: str
    face_mm: float
    hole_mm: float
    origin: Origin


class Strength(Struct, frozen=True):
    """A strength class or grade: proof, least tensile and least yield stress in MPa, over and up to a size in mm."""

    name: str
    proof_mpa: float
    tensile_mpa: float
    yield_mpa: float
    over_mm: float
    to_mm: float
    origin: Origin


class NutFactor(Struct, frozen=True):
    """The K of T = K d F for threads in some state, lowest and highest that is met."""

    state: ThreadState
    condition: str
    low: float
    high: float
    origin: Origin


class FrictionClass(Struct, frozen=True):
    """A friction class: coefficient of thread and head, lowest and highest, and the finishes it holds."""

    name: str
    finishes: str
    low: float
    high: float
    origin: Origin


class Scatter(Struct, frozen=True):
    """How far a method's preload strays from its mean either way, as a share: least and most that is said."""

    method: Method
    condition: str
    low: float
    high: float
    origin: Origin


class PressureLimit(Struct, frozen=True):
    """The limiting pressure under a head for a material of some tensile strength, all in MPa.

    `proved` is False where the list marks the figure as not proved anew.
    """

    material: str
    tensile_low_mpa: float
    tensile_high_mpa: float
    low_mpa: float
    high_mpa: float
    proved: bool
    origin: Origin


class EngagementRule(Struct, frozen=True):
    """How many diameters of thread a material has to hold, lowest and highest that is said."""

    material: str
    low_diameters: float
    high_diameters: float
    origin: Origin


class RunOn(Struct, frozen=True):
    """The least torque in N·m a self-locking nut has to keep turning by, for a thread with or without its pitch."""

    thread: str
    nut: str
    least_nm: float
    origin: Origin


class Per(Enum):
    """What an envelope is a share of."""

    ITSELF = "itself"
    DIAMETER = "diameter"
    BORE = "bore"
    PROOF = "proof load times diameter"


class Envelope(Struct, frozen=True):
    """Between which sizes a kind of line makes sense on any engine, in the base unit, and what is typical of it.

    Where it goes by a share of something else as well, `per` says of what, and `per_low` and `per_high` are the shares.
    """

    id: str
    title: str
    kind: Kind
    low: Signed
    high: Signed
    typical_low: Signed
    typical_high: Signed
    origin: Origin
    per: Per = Per.ITSELF
    per_low: float = 0.0
    per_high: float = 0.0


class Tables(Struct, frozen=True):
    """All reference tables."""

    threads: tuple[ThreadSize, ...]
    heads: tuple[HeadSize, ...]
    strengths: tuple[Strength, ...]
    nut_factors: tuple[NutFactor, ...]
    friction_classes: tuple[FrictionClass, ...]
    scatters: tuple[Scatter, ...]
    pressure_limits: tuple[PressureLimit, ...]
    engagement_rules: tuple[EngagementRule, ...]
    run_ons: tuple[RunOn, ...]
    envelopes: tuple[Envelope, ...]


_STRESS = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>ksi|psi|MPa|N/mm(?:2|²))", re.IGNORECASE)
_STRESS_MPA = {
    "mpa": 1.0,
    "n/mm2": 1.0,
    "n/mm²": 1.0,
    "psi": UNITS["MPa"].from_base(UNITS["psi"].to_base(1)),
    "ksi": UNITS["MPa"].from_base(UNITS["psi"].to_base(1000)),
}
_GRADE = re.compile(r"(?:SAE\s*)?(?:grade|gr)\b\.?\s*(?P<grade>\d(?:\.\d)?)", re.IGNORECASE)
_CLASS = re.compile(r"(?:class|cl\.?|property class)\s*(?P<class>\d+\.\d+)", re.IGNORECASE)
_WEAKEST_MPA, _STRONGEST_MPA = 200.0, 2500.0


def find_strength(tables: Tables, name: str, diameter_mm: float) -> Strength:
    """The strength of a bolt of a diameter in mm, by class or grade (“10.9”, “Grade 8”, “A2-70”) or by its own figure.

    An own figure is the tensile strength, such as “190 ksi” or “1310 MPa”. Raises ValueError when no such class is
    known, or not in that size.
    """
    own = _own_strength(tables, name)
    if own is not None:
        return own
    wanted = _strength_name(name)
    named = [row for row in tables.strengths if row.name == wanted]
    if not named:
        known = ", ".join(dict.fromkeys(row.name for row in tables.strengths))
        raise ValueError(
            f"“{name}” is not a strength known here: take the marking on the head, one of {known}, or the tensile "
            "strength, such as 190 ksi or 1310 MPa."
        )
    for row in named:
        if row.over_mm < diameter_mm <= row.to_mm:
            return row
    last = max(row.to_mm for row in named)
    raise ValueError(f"{name} is known up to a diameter of {last:g} mm, not {diameter_mm:g} mm: look its figures up.")


def _strength_name(text: str) -> str:
    """A class or grade as the table writes it: “gr. 8” is Grade 8, “class 10.9” is 10.9, “a2-70” is A2-70."""
    typed = text.strip()
    if match := _GRADE.fullmatch(typed):
        return f"Grade {match['grade']}"
    if match := _CLASS.fullmatch(typed):
        return match["class"]
    return re.sub(r"\s*[-–]\s*", "-", typed.upper()) if typed[:1] in "aA" else typed


def _own_strength(tables: Tables, text: str) -> Strength | None:
    match = _STRESS.fullmatch(text.strip())
    if match is None:
        return None
    tensile = float(match["number"].replace(",", ".")) * _STRESS_MPA[match["unit"].lower()]
    if not _WEAKEST_MPA <= tensile <= _STRONGEST_MPA:
        raise ValueError(f"No bolt has a tensile strength of {tensile:.0f} MPa: look the figure and its unit up.")
    return own_strength(tables, tensile, text.strip())


def own_strength(tables: Tables, tensile_mpa: float, name: str) -> Strength:
    """A bolt of which only the tensile strength in MPa is known.

    Yield and proof stress are taken in the shares that the nearest weaker steel class has of its tensile strength.
    Raises ValueError when no class is weaker.
    """
    weaker = [row for row in tables.strengths if row.name.replace(".", "").isdigit() and row.tensile_mpa <= tensile_mpa]
    if not weaker:
        raise ValueError(f"{name} is weaker than any class known here: look its proof and yield stress up.")
    like = max(weaker, key=lambda row: row.tensile_mpa)
    share = tensile_mpa / like.tensile_mpa
    origin = Origin("own figure", f"tensile strength as typed; proof and yield in the shares of {like.name}", Known.OWN)
    return Strength(name, like.proof_mpa * share, tensile_mpa, like.yield_mpa * share, 0.0, math.inf, origin)


def find_head(tables: Tables, name: str) -> HeadSize:
    """The plain hexagon head for a thread's name without its pitch; raises ValueError when none is known."""
    for row in tables.heads:
        if row.name == name:
            return row
    raise ValueError(f"No plain head is known for {name}: measure its bearing face and the hole.")


def find_pressure_limits(tables: Tables, material: str) -> tuple[PressureLimit, ...]:
    """The limits of a material in every edition, side by side; raises ValueError when the material is unknown."""
    rows = tuple(row for row in tables.pressure_limits if row.material == material)
    if not rows:
        known = ", ".join(dict.fromkeys(row.material for row in tables.pressure_limits))
        raise ValueError(f"“{material}” has no limiting pressure here: take one of {known}.")
    return rows
