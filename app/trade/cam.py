"""Cam timing from its events, from a degree wheel, and how near the valves come to the pistons.

Angles are crank degrees unless they say cam degrees. Opening and closing events are positive on their usual side of the
dead centre (IVO before TDC, IVC after BDC, EVO before BDC, EVC after TDC) and negative on the other.
"""

import math
from collections.abc import Sequence
from enum import Enum
from itertools import pairwise

from msgspec import Struct

from app.trade.geometry import piston_travel_mm
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.valves import CamEvents
from app.trade.verdict import Verdict, check_figure, check_size, judge

_SAME_LIFT_MM = 0.005
_SWEEP_DEG = 40
_STEPS_PER_DEG = 4
_WIDEST_STEP_DEG = 2.0
_LEAST_SWEEP_DEG = 20.0


# --- From single events


def duration_deg(near_tdc_deg: float, near_bdc_deg: float) -> float:
    """How long a valve stays open: opening + closing + 180 (definition).

    For intake IVO and IVC, for exhaust EVC and EVO.
    """
    check_figure("A cam event", near_tdc_deg, "degrees")
    return check_size(
        "The duration", near_tdc_deg + check_figure("A cam event", near_bdc_deg, "degrees") + 180, "degrees"
    )


def lobe_centre_deg(near_tdc_deg: float, near_bdc_deg: float) -> float:
    """The middle of the lift: duration / 2 - the event near TDC. Intake: after TDC; exhaust: before TDC."""
    return duration_deg(near_tdc_deg, near_bdc_deg) / 2 - near_tdc_deg


def overlap_deg(ivo_deg: float, evc_deg: float) -> float:
    """How long both valves are open round TDC: IVO + EVC (definition); negative where they never are."""
    return check_figure("IVO", ivo_deg, "degrees") + check_figure("EVC", evc_deg, "degrees")


def separation_of_equal_lobes_deg(duration: float, overlap: float) -> float:
    """The lobe separation, in cam degrees, of two lobes of the same duration: (duration - overlap) / 2.

    Source: owners forum thread, 264 and 45 giving 109.5 (read).
    """
    return (check_size("The duration", duration, "degrees") - check_figure("The overlap", overlap, "degrees")) / 2


class Timing(Struct, frozen=True):
    """What follows from a cam's events at one lift: centres in crank degrees from TDC, separation in cam degrees.

    `advance_deg` is separation - intake centre: positive where the intake lobe stands early.
    """

    intake_duration_deg: float
    exhaust_duration_deg: float
    intake_centre_deg: float
    exhaust_centre_deg: float
    separation_deg: float
    overlap_deg: float
    advance_deg: float
    lift: Quantity


def timing(cam: CamEvents) -> Timing:
    """Durations, centres, separation, overlap and advance of a cam, at the lift of its events (definitions)."""
    intake = lobe_centre_deg(cam.ivo_deg, cam.ivc_deg)
    exhaust = lobe_centre_deg(cam.evc_deg, cam.evo_deg)
    separation = (intake + exhaust) / 2
    return Timing(
        duration_deg(cam.ivo_deg, cam.ivc_deg),
        duration_deg(cam.evc_deg, cam.evo_deg),
        intake,
        exhaust,
        separation,
        overlap_deg(cam.ivo_deg, cam.evc_deg),
        separation - intake,
        cam.lift,
    )


def advanced(cam: CamEvents, advance_deg: float) -> CamEvents:
    """The events of a cam moved early by so many crank degrees; negative retards it.

    Source: owners forum page, 20-60-60-20 advanced 5 gives 25-55-65-15 (read).
    """
    move = check_figure("The advance", advance_deg, "crank degrees")
    return CamEvents(cam.ivo_deg + move, cam.ivc_deg - move, cam.evo_deg + move, cam.evc_deg - move, cam.lift)


# --- From the degree wheel


def centre_from_readings_deg(first_deg: float, second_deg: float) -> float:
    """The middle of a lobe from the wheel readings at equal lift on both of its sides: their mean (definition).

    Source: degree wheel page, 60 and 145.5 giving 102.75 (read).
    """
    return (check_figure("The first reading", first_deg, "degrees") + second_deg) / 2


def asymmetry_deg(low: tuple[float, float], high: tuple[float, float]) -> float:
    """How far the middle of a lobe moves between two heights, in degrees: middle high up - middle low down.

    Far from zero the lobe is not symmetrical, and its centre by events is not its centre by the nose (common practice).
    """
    return centre_from_readings_deg(*high) - centre_from_readings_deg(*low)


class Degreeing(Struct, frozen=True):
    """How a cam as measured stands against its card: the gap of the intake centre and of each event, and a verdict.

    `late_deg` is positive where the cam stands later than its card; events as (name, measured - card).
    """

    late_deg: float
    events: tuple[tuple[str, float], ...]
    verdict: Verdict
    sentence: str


def degree(card: CamEvents, measured: CamEvents, tolerance_deg: float, doubt_deg: float = 0.0) -> Degreeing:
    """Judge a cam by its card: whether the intake centre is within a tolerance, given the doubt of the wheel.

    Raises ValueError when the two were read at different lifts: durations of one cam differ by up to 30 degrees for
    that reason alone (read).
    """
    if abs(card.lift.magnitude - measured.lift.magnitude) > _SAME_LIFT_MM:
        raise ValueError(
            f"Events at {card.lift.text} lift cannot be compared with events at {measured.lift.text}: "
            "read the wheel again at the lift the card names."
        )
    check_size("The tolerance", tolerance_deg, "degrees", zero=True)
    late = timing(measured).intake_centre_deg - timing(card).intake_centre_deg
    gap = Quantity(Kind.ANGLE, late, "deg", f"{late:g}°")
    verdict = judge(gap, Limits(Kind.ANGLE, -tolerance_deg, tolerance_deg, 0.0, "deg", ""), doubt_deg)
    events = tuple(
        (name, getattr(measured, field) - getattr(card, field))
        for name, field in (("IVO", "ivo_deg"), ("IVC", "ivc_deg"), ("EVO", "evo_deg"), ("EVC", "evc_deg"))
    )
    way = "as its card says" if abs(late) < 0.05 else f"{abs(late):.1f}° {'late' if late > 0 else 'early'}"
    return Degreeing(late, events, verdict, f"The intake lobe stands {way}, by events at {card.lift.text} lift.")


# --- Valve to piston


class Side(Enum):
    """Which valve chases or is chased by the piston."""

    INTAKE = "intake"
    EXHAUST = "exhaust"


class Nearest(Struct, frozen=True):
    """The least gap between valve and piston, in mm, and the crank angle after TDC it comes at (negative before)."""

    gap_mm: float
    theta_deg: float
    findings: tuple[str, ...] = ()


class Lobe(Struct, frozen=True):
    """A lobe as seen at the valve: duration and centre in crank degrees, peak lift in mm.

    The centre counts from overlap TDC: after it for intake, before it for exhaust.
    """

    duration_deg: float
    centre_deg: float
    peak_lift_mm: float

    def __post_init__(self) -> None:
        check_size("The duration", self.duration_deg, "degrees")
        check_figure("The lobe centre", self.centre_deg, "degrees")
        check_size("The peak lift", self.peak_lift_mm, "mm")


def lift_mm(lobe: Lobe, from_centre_deg: float) -> float:
    """The lift so many crank degrees from the middle of a lobe, as a raised cosine: peak/2 (1 + cos(360 a/duration)).

    A model, not a cam card: real lobes are fuller. Good for seeing where to look (own computation).
    """
    if abs(from_centre_deg) >= lobe.duration_deg / 2:
        return 0.0
    return lobe.peak_lift_mm / 2 * (1 + math.cos(2 * math.pi * from_centre_deg / lobe.duration_deg))


def valve_to_piston(side: Side, lobe: Lobe, seated_gap_mm: float, stroke_mm: float, rod_mm: float) -> Nearest:
    """Estimate the least gap round overlap TDC and where it is, for a valve that moves along the bore.

    `seated_gap_mm` is from the shut valve to the piston at TDC. Only an estimate by the raised-cosine model: the gap is
    measured before it is trusted. A gap below zero means they meet.
    """
    check_figure("The gap with the valve shut", seated_gap_mm, "mm")
    way = 1 if side is Side.INTAKE else -1
    angles = [step / _STEPS_PER_DEG for step in range(-_SWEEP_DEG * _STEPS_PER_DEG, _SWEEP_DEG * _STEPS_PER_DEG + 1)]
    return min(
        (Nearest(_gap(lobe, seated_gap_mm, way * at, stroke_mm, rod_mm), at) for at in angles),
        key=lambda nearest: nearest.gap_mm,
    )


def _gap(lobe: Lobe, seated_gap_mm: float, at_deg: float, stroke_mm: float, rod_mm: float) -> float:
    return seated_gap_mm + piston_travel_mm(at_deg, stroke_mm, rod_mm) - lift_mm(lobe, at_deg - lobe.centre_deg)


def advance_costs_mm(
    side: Side, lobe: Lobe, advance_deg: float, seated_gap_mm: float, stroke_mm: float, rod_mm: float
) -> float:
    """How much of the least gap an advance of the cam takes, in mm; negative where it gains some.

    Advance tightens the intake, retard the exhaust (a magazine's advice, read). By the model of `valve_to_piston`.
    """
    moved = lobe.centre_deg - advance_deg if side is Side.INTAKE else lobe.centre_deg + advance_deg
    after = Lobe(lobe.duration_deg, moved, lobe.peak_lift_mm)
    gaps = [valve_to_piston(side, one, seated_gap_mm, stroke_mm, rod_mm).gap_mm for one in (lobe, after)]
    return gaps[0] - gaps[1]


def sweep_minimum(readings: Sequence[tuple[float, float]]) -> Nearest:
    """The least gap of a sweep by dial or clay, from (crank degrees after overlap TDC, gap in mm) pairs.

    Findings say where the sweep is too coarse or too short to be sure: every 1 to 2 degrees over at least 20 before to
    20 after TDC (a how-to article, read). Raises ValueError for fewer than three readings.
    """
    if len(readings) < 3:
        raise ValueError("A sweep takes at least three readings: go on every 2° from 20° before to 20° after TDC.")
    rows = sorted(readings)
    at, least = min(rows, key=lambda row: row[1])
    findings = []
    if at in (rows[0][0], rows[-1][0]):
        findings.append("The least gap is at the end of the sweep, so a smaller one may lie beyond: sweep further.")
    if max(b[0] - a[0] for a, b in pairwise(rows)) > _WIDEST_STEP_DEG:
        findings.append("Some readings are more than 2° apart, so the least gap may lie between them: go closer there.")
    if rows[0][0] > -_LEAST_SWEEP_DEG or rows[-1][0] < _LEAST_SWEEP_DEG:
        findings.append("The sweep does not reach from 20° before to 20° after TDC.")
    return Nearest(least, at, tuple(findings))
