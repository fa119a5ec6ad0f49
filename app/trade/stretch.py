"""How far a bolt stretches, how far it has to be turned for it, and acceptance by torque and stretch together."""

import math
from collections.abc import Sequence
from enum import Enum

from msgspec import Struct

from app.trade.threads import Thread, stress_area_mm2, stress_diameter_mm
from app.trade.wrench import check_torque

# Steel of bolts, common practice; makers' sheets go from 200 to 210 GPa.
STEEL_MPA = 205_000.0
MOST_TRIES = 2


class Section(Struct, frozen=True):
    """A length of a bolt in mm and its area in mm²."""

    length_mm: float
    area_mm2: float


class Bolt(Struct, frozen=True):
    """A bolt as it is clamped, in mm: plain shank, clamped length, height of the head and of the nut.

    For a stud or a bolt in a tapped hole, give the engaged thread as the nut; a stud has a nut at each end, so give one
    of them as the head.
    """

    thread: Thread
    shank_mm: float
    clamped_mm: float
    head_mm: float
    nut_mm: float


# --- Stretch


def elongation_mm(force_n: float, sections: Sequence[Section], modulus_mpa: float = STEEL_MPA) -> float:
    """The stretch in mm of sections in a row, F/E times the sum of L/A: F in N, E in MPa, L in mm, A in mm².

    Elastic only. Raises ValueError for no sections or figures not above 0. Source: MIL-HDBK-60 note on stepped bolts
    and a bolt-stretching page (read).
    """
    slimness = _slimness(sections, force=force_n, modulus=modulus_mpa)
    return force_n / modulus_mpa * slimness


def force_from_stretch_n(stretch_mm: float, sections: Sequence[Section], modulus_mpa: float = STEEL_MPA) -> float:
    """The force in N that stretches the sections so far, in mm. Range, errors and source as for `elongation_mm`."""
    slimness = _slimness(sections, stretch=stretch_mm, modulus=modulus_mpa)
    return stretch_mm * modulus_mpa / slimness


def _slimness(sections: Sequence[Section], **figures: float) -> float:
    if not sections:
        raise ValueError("A bolt needs at least one section: give its length and area.")
    for section in sections:
        _above_zero(length=section.length_mm, area=section.area_mm2)
    _above_zero(**figures)
    return sum(section.length_mm / section.area_mm2 for section in sections)


def tensile_stress_mpa(force_n: float, area_mm2: float) -> float:
    """The stress in MPa a force in N puts on an area in mm², F/A. Raises ValueError for figures not above 0."""
    _above_zero(force=force_n, area=area_mm2)
    return force_n / area_mm2


def free_length_mm(bolt: Bolt) -> float:
    """The length in mm that stretches, as if all of it had the stress area: half the head and half the nut stretch too.

    LB = (ds/d)² (LS + HB/2) + LJ - LS + HN/2, with ds the stress diameter. Raises ValueError for lengths that cannot
    be. Source: MIL-HDBK-60 as reproduced on a calculation page (read).
    """
    _check_bolt(bolt)
    ratio = (stress_diameter_mm(bolt.thread) / bolt.thread.diameter_mm) ** 2
    return ratio * (bolt.shank_mm + bolt.head_mm / 2) + bolt.clamped_mm - bolt.shank_mm + bolt.nut_mm / 2


def sections_of(bolt: Bolt) -> tuple[Section, ...]:
    """A bolt's shank with half its head, and its thread with half its nut, as sections. Errors as `free_length_mm`."""
    _check_bolt(bolt)
    shank = Section(bolt.shank_mm + bolt.head_mm / 2, math.pi / 4 * bolt.thread.diameter_mm**2)
    thread = Section(bolt.clamped_mm - bolt.shank_mm + bolt.nut_mm / 2, stress_area_mm2(bolt.thread))
    return tuple(section for section in (shank, thread) if section.length_mm > 0)


def _check_bolt(bolt: Bolt) -> None:
    for name, length in (("shank", bolt.shank_mm), ("head", bolt.head_mm), ("nut", bolt.nut_mm)):
        if not (math.isfinite(length) and length >= 0):
            raise ValueError(f"The {name} has to be 0 mm or longer, not {length:g}: measure it again.")
    _above_zero(**{"clamped length": bolt.clamped_mm})
    if bolt.shank_mm > bolt.clamped_mm:
        raise ValueError(
            f"A shank of {bolt.shank_mm:g} mm is longer than the {bolt.clamped_mm:g} mm clamped, so the head would not "
            "reach down: measure both again."
        )


# --- Turn


def turn_for_stress_deg(stress_mpa: float, free_mm: float, lead_mm: float, modulus_mpa: float = STEEL_MPA) -> float:
    """The turn in degrees that brings a stress in MPa, 360 f LB / (E P): free length and lead in mm.

    For parts that do not give; real ones take more. Raises ValueError for figures not above 0. Source: MIL-HDBK-60 as
    reproduced on a calculation page (read).
    """
    _above_zero(**{"stress": stress_mpa, "free length": free_mm, "lead": lead_mm, "modulus": modulus_mpa})
    return 360 * stress_mpa * free_mm / (modulus_mpa * lead_mm)


def turn_for_stretch_deg(stretch_mm: float, lead_mm: float) -> float:
    """The turn in degrees that brings a stretch in mm, 360 delta / P. Range, errors and source as above."""
    _above_zero(stretch=stretch_mm, lead=lead_mm)
    return 360 * stretch_mm / lead_mm


def stretch_from_turn_mm(turn_deg: float, lead_mm: float) -> float:
    """The stretch in mm that a turn in degrees brings, theta P / 360. Range, errors and source as above."""
    _above_zero(turn=turn_deg, lead=lead_mm)
    return turn_deg * lead_mm / 360


def _above_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not (math.isfinite(figure) and figure > 0):
            raise ValueError(f"The {name} has to be more than 0, not {figure:g}: measure or look it up again.")


# --- Torque and stretch together


class TwoSided(Struct, frozen=True):
    """A stud that has to meet a torque in N·m and a stretch in mm, both in a window."""

    torque_low_nm: float
    torque_high_nm: float
    stretch_low_mm: float
    stretch_high_mm: float

    def __post_init__(self) -> None:
        if not 0 < self.torque_low_nm <= self.torque_high_nm or not 0 < self.stretch_low_mm <= self.stretch_high_mm:
            raise ValueError("A window goes from its low figure to its high one, both more than 0: put them in order.")


class Attempt(Struct, frozen=True):
    """Where a stud stands: the torque in N·m and stretch in mm reached, and which try this is, from 1."""

    torque_nm: float
    stretch_mm: float
    number: int = 1


class Answer(Enum):
    """What to do with a stud that is being tightened."""

    WITHIN = "Within"
    KEEP_GOING = "Keep going"
    SLACKEN_GROUP = "Slacken all of the group and try once more"
    REPLACE = "Replace the stud"


def accept(wanted: TwoSided, attempt: Attempt) -> Answer:
    """What to do with a stud at the torque and stretch it has reached.

    Over the greatest stretch it is replaced. At the greatest torque and not within, all studs of the group are
    slackened and tried once more; a second failure replaces it. Raises ValueError for a torque, stretch or try that
    cannot be. Source: a US Army diesel manual, main studs of one cap (read); past the greatest torque with the stretch
    within is treated like too little stretch (common practice: the manual does not say).
    """
    check_torque(attempt.torque_nm)
    if not (math.isfinite(attempt.stretch_mm) and attempt.stretch_mm >= 0):
        raise ValueError(f"A stretch is 0 mm or more, not {attempt.stretch_mm:g}: set the gauge to zero first.")
    if not 1 <= attempt.number <= MOST_TRIES:
        raise ValueError(f"There are {MOST_TRIES} tries, and this would be try {attempt.number}: replace the stud.")
    if attempt.stretch_mm > wanted.stretch_high_mm:
        return Answer.REPLACE
    short = attempt.stretch_mm < wanted.stretch_low_mm
    if attempt.torque_nm > wanted.torque_high_nm or (short and attempt.torque_nm == wanted.torque_high_nm):
        return Answer.SLACKEN_GROUP if attempt.number < MOST_TRIES else Answer.REPLACE
    return Answer.KEEP_GOING if short or attempt.torque_nm < wanted.torque_low_nm else Answer.WITHIN
