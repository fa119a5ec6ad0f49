"""What compression, leakage and oil pressure say about an engine. Rules differ, so each answers for itself.

Pressures in kPa, leakage in percent, lengths in mm.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from msgspec import Struct

from app.trade.measuring_tables import CompressionKind, CompressionRule, LeakRule, OilRule
from app.trade.notation import write_magnitude
from app.trade.verdict import Verdict, check_figure, check_share, check_size

_INCH_MM = 25.4
_NOISE = 1e-9
# A rise under this share of the reading is within what two cranks of one cylinder differ by (common practice).
_SAME_SHARE = 0.05


class RuleAnswer(Struct, frozen=True):
    """What one rule says, in a sentence with the figures it looked at; `source` names the rule's."""

    rule: str
    verdict: Verdict
    sentence: str
    source: str


# --- Cranking compression


def lowest_allowed_kpa(highest_kpa: float, share: float) -> float:
    """The lowest pressure a rule by share of the highest allows, in kPa."""
    return check_size("The highest pressure", highest_kpa, "kPa") * check_share("The share", share)


def judge_compression(readings_kpa: Mapping[int, float], rules: Sequence[CompressionRule]) -> tuple[RuleAnswer, ...]:
    """What each rule says about the cranking pressures of all cylinders, side by side.

    All plugs out, throttle open, the same 4 to 5 strokes each (read). Never between engines with different cams: the
    cam alone changes the pressure (read). Raises ValueError for fewer than two cylinders.
    """
    if len(readings_kpa) < 2:
        raise ValueError("Comparing cylinders takes at least two readings: crank the others too.")
    for cylinder, pressure in readings_kpa.items():
        check_size(f"The pressure of cylinder {cylinder}", pressure, "kPa", zero=True)
    low = min(readings_kpa, key=readings_kpa.__getitem__)
    high = max(readings_kpa, key=readings_kpa.__getitem__)
    return tuple(_compression_answer(rule, low, high, readings_kpa) for rule in rules)


def judge_each_cylinder(
    readings_kpa: Mapping[int, float], rules: Sequence[CompressionRule]
) -> dict[int, tuple[RuleAnswer, ...]]:
    """What each rule says about each cylinder beside the highest one; pressures in kPa, as `judge_compression`."""
    judge_compression(readings_kpa, ())
    high = max(readings_kpa, key=readings_kpa.__getitem__)
    return {one: tuple(_compression_answer(rule, one, high, readings_kpa) for rule in rules) for one in readings_kpa}


def _compression_answer(rule: CompressionRule, low: int, high: int, readings: Mapping[int, float]) -> RuleAnswer:
    least, most = readings[low], readings[high]
    if rule.kind is CompressionKind.SHARE_OF_HIGHEST:
        fine = least >= most * rule.value - _NOISE
        share = least / most if most else 0.0
        says = f"Cylinder {low} has {share:.0%} of cylinder {high}, the highest; at least {rule.value:.0%} is wanted."
    elif rule.kind is CompressionKind.SPREAD:
        fine = most - least <= rule.value + _NOISE
        apart, allowed = write_magnitude(round(most - least), "kPa"), write_magnitude(rule.value, "kPa")
        says = f"Cylinders {low} and {high} are {apart} apart; at most {allowed} is wanted."
    else:
        fine = least >= rule.value - _NOISE
        read, wanted = write_magnitude(round(least), "kPa"), write_magnitude(round(rule.value), "kPa")
        says = f"Cylinder {low} has {read}; at least {wanted} is wanted."
    return RuleAnswer(rule.id, Verdict.IN if fine else Verdict.OUT, says, rule.origin.source)


def low_alike(readings_kpa: Mapping[int, float], low: Sequence[int]) -> str:
    """A sentence where every cylinder is low and all are alike, from pressures in kPa; else empty.

    Alike is within a tenth of the highest. What all cylinders share is then looked at first (common practice).
    """
    alike = len(readings_kpa) > 1 and min(readings_kpa.values()) >= 0.9 * max(readings_kpa.values())
    if not (alike and set(low) == set(readings_kpa)):
        return ""
    return "All cylinders are low and alike: look at the gauge, the throttle, the cranking speed and the cam timing."


def oil_shot(
    dry_kpa: Mapping[int, float], oiled_kpa: Mapping[int, float], neighbours: Sequence[tuple[int, int]] = ()
) -> tuple[str, ...]:
    """What a little oil in low cylinders tells: a rise points to rings, none to valves, low neighbours to the gasket.

    Source: factory repair pages (read). `neighbours` are the pairs that share a bridge of gasket. Give only low
    cylinders. Raises ValueError where a cylinder was not read both ways.
    """
    if set(dry_kpa) != set(oiled_kpa):
        raise ValueError("An oil shot compares the same cylinders dry and oiled: read each of them both ways.")
    flat = [cylinder for cylinder in dry_kpa if oiled_kpa[cylinder] <= dry_kpa[cylinder] * (1 + _SAME_SHARE)]
    shared = [pair for pair in neighbours if set(pair) <= set(flat)]
    bridged = {cylinder for pair in shared for cylinder in pair}
    found = [f"Cylinder {one} rose with oil: look at its rings and bore." for one in dry_kpa if one not in flat]
    found += [f"Neighbours {a} and {b} are both low and stayed so: look at the gasket between them." for a, b in shared]
    return (*found, *(f"Cylinder {one} stayed low with oil: look at its valves." for one in flat if one not in bridged))


# --- Leakage

# Where the air of a leaking cylinder is heard and what it then passes (factory repair pages, read).
LEAK_HEARD = (
    ("at the inlet", "the intake valve"),
    ("in the exhaust pipe", "the exhaust valve"),
    ("at the oil filler", "the rings"),
    ("as bubbles in the coolant", "the head gasket, or a crack"),
)


def leak_percent(supply_kpa: float, held_kpa: float) -> float:
    """The leakage a differential tester shows: (supply - held) / supply, in percent.

    The tester's orifice sets the figure: percentages of different testers are not comparable (an aircraft builders'
    magazine, read). Raises ValueError where more is held than supplied.
    """
    check_size("The supply", supply_kpa, "kPa")
    if not 0 <= held_kpa <= supply_kpa * (1 + _NOISE):
        raise ValueError(
            f"A cylinder cannot hold {held_kpa:g} kPa of a supply of {supply_kpa:g} kPa: read both gauges again."
        )
    return max(0.0, (supply_kpa - held_kpa) / supply_kpa * 100)


def orifice_mm(bore_mm: float) -> float:
    """The orifice of a differential tester: 0.040 in under 5.00 in of bore, 0.060 in from there, given in mm.

    0.250 in long with a 60° approach. Source: AC 43.13-1B par. 8-14 as reprinted (read).
    """
    under = check_size("The bore", bore_mm, "mm") < 5.0 * _INCH_MM - 1e-6
    return (0.040 if under else 0.060) * _INCH_MM


def judge_leakage(percent: Mapping[int, float], rules: Sequence[LeakRule]) -> tuple[RuleAnswer, ...]:
    """What each rule says about the leakage of all cylinders: in when good, out when bad or too far apart.

    Between good and bad it cannot decide. Percentages must come from one tester, piston at firing TDC, crank held.
    """
    if not percent:
        raise ValueError("There is no leakage to judge: test at least one cylinder.")
    for cylinder, figure in percent.items():
        if not 0 <= figure <= 100:
            raise ValueError(f"The leakage of cylinder {cylinder} must be 0 to 100 %, not {figure:g}: read it again.")
    return tuple(_leak_answer(rule, percent) for rule in rules)


def _leak_answer(rule: LeakRule, percent: Mapping[int, float]) -> RuleAnswer:
    worst = max(percent, key=percent.__getitem__)
    apart = percent[worst] - min(percent.values())
    bad = "" if rule.bad_percent is None else f", over {rule.bad_percent:g} % is bad"
    says = f"Cylinder {worst} leaks most, {percent[worst]:g} %; up to {rule.good_percent:g} % is good{bad}."
    verdict = Verdict.IN if percent[worst] <= rule.good_percent + _NOISE else Verdict.UNDECIDED
    if rule.spread_percent is not None and apart > rule.spread_percent + _NOISE:
        verdict = Verdict.OUT
        says += f" The cylinders are {apart:g} % apart and {rule.spread_percent:g} % is allowed."
    if rule.bad_percent is not None and percent[worst] > rule.bad_percent + _NOISE:
        verdict = Verdict.OUT
    return RuleAnswer(rule.id, verdict, says, rule.origin.source)


# --- Oil


def oil_pressure_least_kpa(rpm: float, rule: OilRule) -> float:
    """The least hot oil pressure a rule of thumb asks for at a speed, in kPa; the maker's figure goes first."""
    return check_size("The speed", rpm, "rpm", zero=True) / 1000 * rule.kpa_per_1000_rpm


def judge_oil(pressures_kpa: Mapping[float, float], rules: Sequence[OilRule]) -> tuple[RuleAnswer, ...]:
    """What each rule of thumb says about hot oil pressures (kPa) by speed (rpm), side by side.

    In where every speed has its least; the sentence tells of the speed that has least to spare. Modern specifications
    differ widely (read), so the maker's figure goes first. Raises ValueError for no readings or a pressure below zero.
    """
    if not pressures_kpa:
        raise ValueError("There is no oil pressure to judge: read it hot at one speed at least.")
    for rpm, pressure in pressures_kpa.items():
        check_size(f"The pressure at {rpm:g} rpm", pressure, "kPa", zero=True)
    return tuple(_oil_answer(rule, pressures_kpa) for rule in rules)


def _oil_answer(rule: OilRule, pressures_kpa: Mapping[float, float]) -> RuleAnswer:
    spare = {rpm: pressure - oil_pressure_least_kpa(rpm, rule) for rpm, pressure in pressures_kpa.items()}
    worst = min(spare, key=spare.__getitem__)
    verdict = Verdict.IN if spare[worst] >= -_NOISE * (1 + pressures_kpa[worst]) else Verdict.OUT
    has = write_magnitude(round(pressures_kpa[worst]), "kPa")
    wanted = write_magnitude(round(oil_pressure_least_kpa(worst, rule)), "kPa")
    says = f"At {worst:g} rpm it has {has}; at least {wanted} is wanted."
    return RuleAnswer(rule.id, verdict, says, rule.origin.source)


def dip_change_mm(from_middle_mm: float, angle_deg: float) -> float:
    """How much higher oil reads at the dipstick of an engine stood at an angle: distance x tan(angle), in mm.

    `from_middle_mm` is how far the stick is from the sump's middle towards its low end. The surface stays level and
    turns about the middle of the sump (geometry; upright walls, floor covered). Raises ValueError beyond 30 degrees.
    """
    if not abs(check_figure("The angle", angle_deg, "degrees")) <= 30:
        raise ValueError(f"At {angle_deg:g}° a dipstick says nothing: set the engine level, or within 30°, to fill it.")
    return check_figure("The distance", from_middle_mm, "mm") * math.tan(math.radians(angle_deg))


def underfill_litres(from_middle_mm: float, angle_deg: float, surface_cm2: float) -> float:
    """How much too little oil goes in when filled to the mark at an angle, in litres; negative is too much.

    The change at the dipstick x the oil's surface; see dip_change_mm.
    """
    area = check_size("The oil’s surface", surface_cm2, "cm²")
    return dip_change_mm(from_middle_mm, angle_deg) / 10 * area / 1000


def falling_with_speed(pressures_kpa: Sequence[tuple[float, float]]) -> str:
    """A sentence where oil pressure drops as the engine speeds up, from (rpm, kPa) pairs; else empty.

    Pressure rises with speed until the relief valve opens, then stays (common practice); a drop means starved suction.
    """
    for (slow, before), (fast, after) in pairwise(sorted(pressures_kpa)):
        if after < before * (1 - _SAME_SHARE):
            return (
                f"Oil pressure falls from {before:.0f} kPa at {slow:.0f} rpm to {after:.0f} kPa at {fast:.0f} rpm: "
                "stop, and look at the pickup and the oil level."
            )
    return ""
