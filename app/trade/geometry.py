"""Displacement, compression ratio and piston motion.

Lengths in mm, volumes in cc (mL), speeds in m/s, crank angles in degrees from TDC. Sources stand with each formula;
plain geometry needs none.
"""

import math
from itertools import product

from msgspec import Struct

from app.trade.verdict import check_figure, check_share, check_size

_CC = 1000.0


# --- Displacement


def area_mm2(bore_mm: float) -> float:
    """The area of a bore: pi/4 x bore², in mm²."""
    return math.pi / 4 * check_size("The bore", bore_mm, "mm") ** 2


def swept_by_area_cc(piston_area_mm2: float, stroke_mm: float) -> float:
    """The swept volume of one cylinder: piston area x stroke, in cc."""
    check_size("The piston area", piston_area_mm2, "mm²")
    return piston_area_mm2 * check_size("The stroke", stroke_mm, "mm") / _CC


def swept_cc(bore_mm: float, stroke_mm: float) -> float:
    """The swept volume of one cylinder: pi/4 x bore² x stroke, in cc."""
    return swept_by_area_cc(area_mm2(bore_mm), stroke_mm)


def displacement_cc(bore_mm: float, stroke_mm: float, cylinders: int) -> float:
    """The displacement of the engine, in cc."""
    return swept_cc(bore_mm, stroke_mm) * check_size("The number of cylinders", cylinders, "")


def bore_change_cc(old_bore_mm: float, new_bore_mm: float, stroke_mm: float, cylinders: int) -> float:
    """How much displacement a change of bore adds, in cc; negative for a smaller bore."""
    return displacement_cc(new_bore_mm, stroke_mm, cylinders) - displacement_cc(old_bore_mm, stroke_mm, cylinders)


def displacement_finding(
    listed_cc: float, bore_mm: float, stroke_mm: float, cylinders: int, share: float = 0.10
) -> str:
    """A sentence where bore, stroke and cylinders are off the listed displacement by more than a share; else empty.

    10 % catches the nine wrong rows among 201 of a public list of 1985 cars (computed on the list, read).
    """
    check_size("The listed displacement", listed_cc, "cc")
    check_share("The share allowed", share)
    computed = displacement_cc(bore_mm, stroke_mm, cylinders)
    off = computed / listed_cc - 1
    if abs(off) <= share:
        return ""
    return (
        f"Bore, stroke and cylinders make {computed:.0f} cc, {abs(off):.0%} {'more' if off > 0 else 'less'} than the "
        f"{listed_cc:.0f} cc listed: one of the figures is wrong."
    )


def explained_by_rounding(
    listed_cc: float, bore_mm: float, stroke_mm: float, cylinders: int, *, length_step_mm: float, listed_step_cc: float
) -> bool:
    """Whether rounding alone can explain the gap between a listed displacement and its bore and stroke.

    `length_step_mm` is what bore and stroke were rounded to, `listed_step_cc` what the displacement was.
    """
    half = check_size("The step of bore and stroke", length_step_mm, "mm") / 2
    least, most = (displacement_cc(bore_mm + end, stroke_mm + end, cylinders) for end in (-half, half))
    half_listed = check_size("The step of the displacement", listed_step_cc, "cc") / 2
    return least <= listed_cc + half_listed and most >= listed_cc - half_listed


# --- Compression


def disc_cc(diameter_mm: float, thickness_mm: float) -> float:
    """The volume of a flat disc such as a gasket's hole, in cc; a thickness below zero takes volume away."""
    return area_mm2(diameter_mm) * check_figure("The thickness", thickness_mm, "mm") / _CC


def crevice_cc(bore_mm: float, crown_mm: float, land_mm: float) -> float:
    """The volume round the top land: pi/4 (bore² - crown²) x land height, in cc.

    Raises ValueError for a crown larger than its bore.
    """
    if not 0 < crown_mm <= bore_mm:
        raise ValueError(f"A crown of {crown_mm:g} mm does not go in a bore of {bore_mm:g} mm: measure both again.")
    return disc_cc(bore_mm, check_size("The land", land_mm, "mm", zero=True)) - disc_cc(crown_mm, land_mm)


class ClearanceVolumes(Struct, frozen=True):
    """What is left above the piston at TDC, in cc.

    `deck_cc` is positive with the crown below the deck, `piston_cc` positive for a dish or valve pockets and negative
    for a dome. Raises ValueError for a negative chamber, gasket or crevice, or where nothing is left.
    """

    chamber_cc: float
    gasket_cc: float
    deck_cc: float
    piston_cc: float
    crevice_cc: float = 0.0

    def __post_init__(self) -> None:
        check_size("The chamber", self.chamber_cc, "cc")
        check_size("The gasket", self.gasket_cc, "cc", zero=True)
        check_size("The crevice", self.crevice_cc, "cc", zero=True)
        check_size("The volume left above the piston", self.total_cc, "cc")

    @property
    def total_cc(self) -> float:
        """All of it, in cc."""
        return self.chamber_cc + self.gasket_cc + self.deck_cc + self.piston_cc + self.crevice_cc


def compression_ratio(swept_volume_cc: float, clearance_cc: float) -> float:
    """(swept + clearance) / clearance, both in cc."""
    check_size("The swept volume", swept_volume_cc, "cc")
    return 1 + swept_volume_cc / check_size("The clearance volume", clearance_cc, "cc")


def ratio_doubt(swept_volume_cc: float, clearance_cc: float, doubt_cc: float) -> float:
    """How far the compression ratio may be off when the clearance volume may be off by `doubt_cc`.

    swept x doubt / clearance²: the slope of the ratio (computed). With a doubt of 1 cc: what one cc is of a ratio.
    """
    check_size("The doubt of the volume", doubt_cc, "cc", zero=True)
    return (compression_ratio(swept_volume_cc, clearance_cc) - 1) * doubt_cc / clearance_cc


def clearance_for_ratio_cc(swept_volume_cc: float, ratio: float) -> float:
    """The clearance volume that gives a ratio: swept / (ratio - 1), in cc. Raises ValueError for 1 or less."""
    if not (math.isfinite(ratio) and ratio > 1):
        raise ValueError(f"A compression ratio is more than 1, not {ratio:g}: write 10.2 for 10.2 to 1.")
    return check_size("The swept volume", swept_volume_cc, "cc") / (ratio - 1)


def chamber_for_ratio_cc(swept_volume_cc: float, ratio: float, others_cc: float) -> float:
    """The chamber that gives a ratio with everything else (gasket, deck, piston, crevice) as it is, in cc.

    Raises ValueError where everything else alone is too much.
    """
    chamber = clearance_for_ratio_cc(swept_volume_cc, ratio) - check_figure("The other volumes", others_cc, "cc")
    if chamber <= 0:
        raise ValueError(
            f"A ratio of {ratio:g} leaves no room for a chamber: gasket, deck and piston take {others_cc:g} cc already."
        )
    return chamber


def quench_mm(deck_mm: float, gasket_mm: float) -> float:
    """The gap between crown and head at TDC: deck (positive below) + crushed gasket, in mm; negative: they meet."""
    return check_figure("The deck height", deck_mm, "mm") + check_size("The crushed gasket", gasket_mm, "mm", zero=True)


# --- Motion


def piston_travel_mm(theta_deg: float, stroke_mm: float, rod_mm: float) -> float:
    """How far the piston is from TDC at a crank angle, in mm, for a pin on the bore's centre.

    x = r + l - (r cos t + sqrt(l² - r² sin² t)), r half the stroke, l the rod between centres (geometry).
    Raises ValueError for a rod not longer than half the stroke.
    """
    r, t = _crank(stroke_mm, rod_mm), math.radians(check_figure("The crank angle", theta_deg, "degrees"))
    return r + rod_mm - (r * math.cos(t) + math.sqrt(rod_mm**2 - (r * math.sin(t)) ** 2))


def _crank(stroke_mm: float, rod_mm: float) -> float:
    """Half the stroke, once the rod is known to be long enough to go round."""
    half = check_size("The stroke", stroke_mm, "mm") / 2
    if not (math.isfinite(rod_mm) and rod_mm > half):
        raise ValueError(f"A rod of {rod_mm:g} mm is too short for a stroke of {stroke_mm:g} mm: check both.")
    return half


def piston_speed_m_s(theta_deg: float, stroke_mm: float, rod_mm: float, rpm: float) -> float:
    """The speed of the piston at a crank angle, in m/s, positive going down.

    v = w (r sin t + r² sin t cos t / sqrt(l² - r² sin² t)), w = 2 pi rpm / 60 (derivative of the travel).
    """
    r, t = _crank(stroke_mm, rod_mm), math.radians(check_figure("The crank angle", theta_deg, "degrees"))
    w = 2 * math.pi * check_size("The speed", rpm, "rpm", zero=True) / 60
    slope = r * math.sin(t) + r**2 * math.sin(t) * math.cos(t) / math.sqrt(rod_mm**2 - (r * math.sin(t)) ** 2)
    return w * slope / 1000


def peak_piston_speed(stroke_mm: float, rod_mm: float, rpm: float) -> tuple[float, float]:
    """The highest piston speed in m/s and the crank angle after TDC it comes at, found to 0.01 degree."""
    low, high = 0.0, 180.0
    while high - low > 1e-4:  # the speed has one peak between the dead centres, so thirds close in on it
        third = (high - low) / 3
        if piston_speed_m_s(low + third, stroke_mm, rod_mm, 1) < piston_speed_m_s(high - third, stroke_mm, rod_mm, 1):
            low += third
        else:
            high -= third
    return piston_speed_m_s(low, stroke_mm, rod_mm, rpm), round(low, 2)


def two_term_peak_deg(stroke_mm: float, rod_mm: float) -> float:
    """Where the two-term approximation of piston motion puts the peak speed, in degrees after TDC.

    cos t + (r/l) cos 2t = 0; the exact angle differs a little. Source: mailing-list post of January 1998 (read).
    """
    share = _crank(stroke_mm, rod_mm) / rod_mm
    return math.degrees(math.acos((math.sqrt(1 + 8 * share**2) - 1) / (4 * share)))


def mean_piston_speed_m_s(stroke_mm: float, rpm: float) -> float:
    """The mean piston speed: 2 x stroke x rpm / 60, in m/s."""
    return 2 * check_size("The stroke", stroke_mm, "mm") * check_size("The speed", rpm, "rpm", zero=True) / 60 / 1000


def rod_ratio(rod_mm: float, stroke_mm: float) -> float:
    """Rod length between centres / stroke."""
    return check_size("The rod", rod_mm, "mm") / check_size("The stroke", stroke_mm, "mm")


def tdc_from_stop_deg(first_deg: float, second_deg: float) -> float:
    """TDC by piston stop: midway between the two wheel readings where the stop holds the piston, 0 to 360 degrees.

    The nearer midway is meant, so readings of 340 and 24 give 2. Near TDC the piston hardly moves (0.2 mm in the first
    5 degrees), so TDC is never found by feel (common practice). Raises ValueError for readings half a turn apart.
    """
    apart = (check_figure("The second reading", second_deg, "degrees") - first_deg + 180) % 360 - 180
    if abs(abs(apart) - 180) < 1e-9:
        raise ValueError("Readings half a turn apart have two midways: set the stop so that it holds nearer TDC.")
    return (first_deg + apart / 2) % 360


def deck_span_mm(readings_mm: tuple[float, ...]) -> float:
    """How far the deck heights of the cylinders differ, in mm. Raises ValueError for no readings."""
    if not readings_mm:
        raise ValueError("Deck heights take at least one reading: measure each cylinder at its TDC.")
    return max(readings_mm) - min(readings_mm)


def extreme_ratios(
    bore_mm: tuple[float, float], stroke_mm: tuple[float, float], clearance_cc: tuple[float, float]
) -> tuple[float, float]:
    """The lowest and highest ratio when bore, stroke and clearance volume are only known between limits."""
    ratios = [compression_ratio(swept_cc(b, s), c) for b, s, c in product(bore_mm, stroke_mm, clearance_cc)]
    return min(ratios), max(ratios)
