"""A bolted joint: the pressure under the head, the threads in the tapped part, and what gives way first."""

import math
from collections.abc import Iterable
from enum import Enum

from msgspec import Struct

from app.trade.preload import Window, mean_bearing_mm
from app.trade.tables import PressureLimit, Strength, Tables
from app.trade.thread_limits import external_limits, internal_limits
from app.trade.threads import (
    Thread,
    flank_tangent,
    pitch_diameter_mm,
    proof_load_n,
    stress_area_mm2,
    tensile_load_n,
    tension_n,
    yield_load_n,
)

SHEAR_SHARE = 0.6
ALUMINIUM_DIAMETERS = 2.0


class Sizes(Enum):
    """Which sizes a strip area is worked out with: the worst the tolerances allow, or nominal, which flatters."""

    WORST = "worst case"
    NOMINAL = "nominal"


class First(Enum):
    """What gives way first as a joint is pulled."""

    BOLT_YIELDS = "the bolt yields"
    HOLE_STRIPS = "the threads in the hole strip"
    BOLT_STRIPS = "the threads of the bolt strip"
    SURFACE_SINKS = "the surface under the head sinks in"


class Joint(Struct, frozen=True):
    """A bolt or stud in a tapped hole: lengths in mm, stresses in MPa.

    `clamped` is the limiting pressure of what lies under the head or washer; `tapped_shear_mpa` is None where only the
    tensile strength of the tapped part is known, then 0.6 of it is taken (common practice).
    """

    thread: Thread
    strength: Strength
    head_face_mm: float
    hole_mm: float
    clamped: PressureLimit
    tapped_tensile_mpa: float
    engagement_mm: float
    tapped_shear_mpa: float | None = None


class Limit(Struct, frozen=True):
    """A way a joint gives way, and the pull in N at which it does."""

    first: First
    load_n: float


# --- Under the head


def bearing_area_mm2(face_mm: float, hole_mm: float) -> float:
    """The ring in mm² a head or washer bears on. Raises ValueError unless the face is wider than the hole."""
    mean_bearing_mm(face_mm, hole_mm)
    return math.pi / 4 * (face_mm**2 - hole_mm**2)


def surface_pressure_mpa(preload_n: float, face_mm: float, hole_mm: float) -> float:
    """The mean pressure in MPa under a head, F / (pi/4 (dw² - dh²)); take the hole's chamfer if it is wider.

    F in N, dw and dh in mm. Raises ValueError for a preload below 0 or a face not wider than the hole. Source: VDI 2230
    (from memory).
    """
    if not (math.isfinite(preload_n) and preload_n >= 0):
        raise ValueError(f"A preload is 0 N or more, not {preload_n:g}: look it up again.")
    return preload_n / bearing_area_mm2(face_mm, hole_mm)


def allowed_preload_n(limit_mpa: float, face_mm: float, hole_mm: float) -> float:
    """The preload in N at which the pressure under a head reaches its limit in MPa. Errors and source as above."""
    return tension_n(bearing_area_mm2(face_mm, hole_mm), limit_mpa)


# --- Threads


def strip_area_mm2(thread: Thread, engagement_mm: float, sizes: Sizes = Sizes.WORST) -> float:
    """The area in mm² along which a bolt strips the threads of its hole: pi/P Le d (P/2 + (d - D2) / sqrt 3).

    Le is the engagement in mm; at flanks other than 60° the tangent of half their angle stands for 1 / sqrt 3. Worst
    case d is the bolt's least major diameter and D2 the hole's greatest pitch diameter (6g in 6H, 2A in 2B); nominal
    sizes give a quarter to a third more. Raises ValueError for no engagement or a thread whose limits are unknown.
    Source: FED-STD-H28 (from memory; gives a published 6H/6g table to 0.1 %, read).
    """
    _check_engagement(engagement_mm)
    if sizes is Sizes.NOMINAL:
        major, pitch = thread.diameter_mm, pitch_diameter_mm(thread)
    else:
        major, pitch = external_limits(thread).major_min_mm, internal_limits(thread).pitch_max_mm
    return (
        math.pi
        / thread.pitch_mm
        * engagement_mm
        * major
        * (thread.pitch_mm / 2 + (major - pitch) * flank_tangent(thread))
    )


def bolt_strip_area_mm2(thread: Thread, engagement_mm: float) -> float:
    """The area in mm² along which a hole strips the threads of its bolt: pi/P Le D1 (P/2 + (d2 - D1) / sqrt 3).

    D1 is the hole's greatest minor diameter and d2 the bolt's least pitch diameter. Errors and source as above.
    """
    _check_engagement(engagement_mm)
    minor, pitch = internal_limits(thread).minor_max_mm, external_limits(thread).pitch_min_mm
    return (
        math.pi
        / thread.pitch_mm
        * engagement_mm
        * minor
        * (thread.pitch_mm / 2 + (pitch - minor) * flank_tangent(thread))
    )


def shear_mpa(tensile_mpa: float, known_mpa: float | None = None) -> float:
    """The shear strength in MPa: as known, else 0.6 of the tensile strength (common practice)."""
    shear = SHEAR_SHARE * tensile_mpa if known_mpa is None else known_mpa
    if not (math.isfinite(shear) and shear > 0):
        raise ValueError(f"The tapped part needs a strength of more than 0 MPa, not {shear:g}: look its alloy up.")
    return shear


def strip_load_n(thread: Thread, engagement_mm: float, tapped_shear_mpa: float) -> float:
    """The pull in N that strips the threads of the hole. Errors and source as for `strip_area_mm2`."""
    return tension_n(strip_area_mm2(thread, engagement_mm), tapped_shear_mpa)


def needed_engagement_mm(tensile_n: float, tapped_shear_mpa: float, area_per_mm_mm2: float) -> float:
    """The engagement in mm at which a pull in N strips the hole, from its strip area in mm² for each mm.

    With the bolt's breaking load the bolt breaks first; add about 0.8 pitch for the incomplete first thread (from
    memory). Raises ValueError for figures not above 0. Source: shear area times shear strength (computed).
    """
    if not (tensile_n > 0 and tapped_shear_mpa > 0 and area_per_mm_mm2 > 0):
        raise ValueError("The load, the shear strength and the strip area have to be more than 0: look them up again.")
    return tensile_n / (tapped_shear_mpa * area_per_mm_mm2)


def engagement_bolt_breaks_mm(thread: Thread, strength: Strength, tapped_shear_mpa: float) -> float:
    """The engagement in mm from which the bolt breaks before the hole strips, worst-case sizes. Errors as above."""
    return needed_engagement_mm(tensile_load_n(thread, strength), tapped_shear_mpa, strip_area_mm2(thread, 1.0))


def equal_material_engagement_mm(thread: Thread) -> float:
    """The engagement in mm for bolt and hole of one material: 2 At / (pi Kn (1/2 + (Es - Kn) / (P sqrt 3))).

    Kn is the hole's greatest minor and Es the bolt's least pitch diameter. Raises ValueError for a thread whose limits
    are unknown. Source: FED-STD-H28 as paraphrased from a machinery handbook, 24th edition (read).
    """
    return 2 * stress_area_mm2(thread) / bolt_strip_area_mm2(thread, 1.0)


def strength_ratio(thread: Thread, bolt_tensile_mpa: float, tapped_tensile_mpa: float) -> float:
    """J: how much stronger the bolt's threads are than the hole's, (As Rm of the bolt) / (An Rm of the hole).

    Above 1 the equal-material engagement has to be multiplied by it. Raises ValueError for strengths not above 0.
    Source: rule read (FED-STD-H28 page), ratio from memory.
    """
    if not (bolt_tensile_mpa > 0 and tapped_tensile_mpa > 0):
        raise ValueError("Both tensile strengths have to be more than 0 MPa: look them up again.")
    bolt = bolt_strip_area_mm2(thread, 1.0) * bolt_tensile_mpa
    return bolt / (strip_area_mm2(thread, 1.0) * tapped_tensile_mpa)


def two_diameters_mm(diameter_mm: float) -> float:
    """The engagement in mm that screws into aluminium need: two diameters (US Army TM 5-3895-367-14&P app. H, read)."""
    if not diameter_mm > 0:
        raise ValueError(f"A diameter has to be more than 0 mm, not {diameter_mm:g}: measure it again.")
    return ALUMINIUM_DIAMETERS * diameter_mm


def _check_engagement(engagement_mm: float) -> None:
    if not (math.isfinite(engagement_mm) and engagement_mm > 0):
        raise ValueError(f"Threads have to engage over more than 0 mm, not {engagement_mm:g}: measure the depth.")


# --- The joint


def limits(joint: Joint) -> tuple[Limit, ...]:
    """Every way the joint gives way, the weakest first. Raises ValueError for sizes or strengths that cannot be."""
    shear = shear_mpa(joint.tapped_tensile_mpa, joint.tapped_shear_mpa)
    bolt_shear = SHEAR_SHARE * joint.strength.tensile_mpa
    found = (
        Limit(First.BOLT_YIELDS, yield_load_n(joint.thread, joint.strength)),
        Limit(First.HOLE_STRIPS, strip_load_n(joint.thread, joint.engagement_mm, shear)),
        Limit(First.BOLT_STRIPS, tension_n(bolt_strip_area_mm2(joint.thread, joint.engagement_mm), bolt_shear)),
        Limit(First.SURFACE_SINKS, allowed_preload_n(joint.clamped.low_mpa, joint.head_face_mm, joint.hole_mm)),
    )
    return tuple(sorted(found, key=lambda limit: limit.load_n))


def which_first(joint: Joint) -> Limit:
    """What gives way first, and at what pull in N. Errors as for `limits`."""
    return limits(joint)[0]


def findings(joint: Joint, window: Window) -> tuple[str, ...]:
    """What is wrong with a joint at the preload it may get, a sentence each; none when nothing is.

    Raises ValueError for sizes or strengths that cannot be. A replacement of a higher grade keeps the original torque
    (US Army TM 5-3895-367-14&P app. H, read).
    """
    return tuple(_findings(joint, window))


def _findings(joint: Joint, window: Window) -> Iterable[str]:
    proof_n = proof_load_n(joint.thread, joint.strength)
    if window.high_n > proof_n:
        yield (
            f"The preload may reach {_kn(window.high_n)}, over the {_kn(proof_n)} proof load of {joint.thread.name} "
            f"{joint.strength.name}."
        )
    pressure = surface_pressure_mpa(window.high_n, joint.head_face_mm, joint.hole_mm)
    if pressure > joint.clamped.low_mpa:
        yield (
            f"The head may press {pressure:.0f} MPa on {joint.clamped.material}, which takes "
            f"{joint.clamped.low_mpa:.0f} MPa ({joint.clamped.origin.edition}): put a hard washer under it."
        )
    yield from _thread_findings(joint, window)


def _thread_findings(joint: Joint, window: Window) -> Iterable[str]:
    shear = shear_mpa(joint.tapped_tensile_mpa, joint.tapped_shear_mpa)
    strips_n = strip_load_n(joint.thread, joint.engagement_mm, shear)
    needed = engagement_bolt_breaks_mm(joint.thread, joint.strength, shear)
    if window.high_n > strips_n:
        yield f"The preload may reach {_kn(window.high_n)}, and the threads in the hole strip at {_kn(strips_n)}."
    if joint.engagement_mm < needed:
        yield (
            f"The threads engage over {joint.engagement_mm:.1f} mm, and {needed:.1f} mm "
            f"({needed / joint.thread.diameter_mm:.2f} diameters) are needed for the bolt to break before they strip."
        )
    if strips_n < yield_load_n(joint.thread, joint.strength):
        yield (
            f"The {joint.strength.name} bolt is stronger than the threads it screws into, so they give way before it "
            "yields: keep the torque given for the original bolt."
        )


def rule_findings(material: str, thread: Thread, engagement_mm: float, tables: Tables) -> tuple[str, ...]:
    """How an engagement in mm stands against every rule of diameters for a material, a sentence each.

    Held against the most diameters a rule asks for. Raises ValueError for no engagement or a material without a rule.
    Source: the tables' own.
    """
    _check_engagement(engagement_mm)
    rules = [rule for rule in tables.engagement_rules if rule.material == material]
    if not rules:
        known = ", ".join(dict.fromkeys(rule.material for rule in tables.engagement_rules))
        raise ValueError(f"“{material}” has no rule of engagement here: take one of {known}.")
    diameters = engagement_mm / thread.diameter_mm
    return tuple(
        f"{diameters:.2f} diameters are {'within' if diameters >= rule.high_diameters else 'short of'} the "
        f"{rule.high_diameters:g} that {rule.origin.edition} asks for in {material}."
        for rule in rules
    )


def pressure_findings(preload_n: float, joint: Joint, tables: Tables) -> tuple[str, ...]:
    """How a preload in N stands against every edition's limit for what is clamped, a sentence each.

    Raises ValueError for a preload or a face that cannot be. Source: the tables' own.
    """
    pressure = surface_pressure_mpa(preload_n, joint.head_face_mm, joint.hole_mm)
    return tuple(
        f"{pressure:.0f} MPa is {'over' if pressure > row.low_mpa else 'within'} the {row.low_mpa:.0f} MPa of "
        f"{row.origin.edition} for {row.material}{'' if row.proved else ', a figure marked as not proved'}."
        for row in tables.pressure_limits
        if row.material == joint.clamped.material
    )


def _kn(force_n: float) -> str:
    return f"{force_n / 1000:.1f} kN"
