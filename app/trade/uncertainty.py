"""How far a reading can be trusted, and what can be decided with it.

u is a standard uncertainty, U = k u an expanded one (k = 2 unless said), both in the unit of the reading. Decision
rules follow the structure of ISO 14253-1 and JCGM 106 (from memory; zones as restated in ILAC-G8:09/2019, read).
"""

import math
from collections.abc import Sequence
from enum import Enum
from itertools import count
from statistics import NormalDist

from msgspec import Struct

from app.trade.measuring_tables import Instrument
from app.trade.verdict import check_figure, check_share, check_size

_NORMAL = NormalDist()
USUAL_K = 2.0
_ENOUGH_RATIO = 4.0


class Shape(Enum):
    """How the doubt of one part of a chain is stated."""

    STANDARD = "standard uncertainty"
    LIMIT = "limit of error, anything within it as likely"
    EXPANDED = "expanded uncertainty, k = 2"


class Part(Struct, frozen=True):
    """One part of a chain of measurement: its name, its figure in the unit of the reading, and how it is stated."""

    name: str
    value: float
    shape: Shape = Shape.STANDARD


# --- Putting doubts together


def expanded(u: float, k: float = USUAL_K) -> float:
    """U = k u."""
    return check_size("The standard uncertainty", u, "", zero=True) * check_size("The factor k", k, "")


def standard_from_limit(limit: float) -> float:
    """The standard uncertainty of an error that lies anywhere within ± a limit: limit / sqrt 3 (GUM, from memory)."""
    return check_size("The limit of error", limit, "", zero=True) / math.sqrt(3)


def standard_of(part: Part) -> float:
    """The standard uncertainty of one part of a chain."""
    value = check_size(f"The doubt of {part.name}", part.value, "", zero=True)
    if part.shape is Shape.LIMIT:
        return standard_from_limit(value)
    return value / USUAL_K if part.shape is Shape.EXPANDED else value


def chain(parts: Sequence[Part], k: float = USUAL_K) -> float:
    """U of a chain of independent parts: k x the root of the sum of their squares (GUM, from memory).

    Leave out a part that cancels, as the micrometer's scale does when the bore gauge is zeroed on it locked at the
    journal's size. Raises ValueError for an empty chain.
    """
    if not parts:
        raise ValueError("A chain of measurement has at least one part: name the gauge and its doubt.")
    return expanded(math.hypot(*(standard_of(part) for part in parts)), k)


# --- Chances


def t_cdf(x: float, dof: int) -> float:
    """The chance that Student's t with `dof` degrees of freedom is at most x.

    Finite series for whole degrees of freedom (Abramowitz and Stegun 26.7.3 and 26.7.4, from memory; checked against an
    independent library in the tests). Raises ValueError for fewer than 1 degree of freedom.
    """
    if dof < 1:
        raise ValueError(f"Student’s t needs at least 1 degree of freedom (two readings), not {dof}: read more often.")
    if math.isinf(x):
        return 1.0 if x > 0 else 0.0
    angle = math.atan2(x, math.sqrt(dof))
    cos2 = math.cos(angle) ** 2
    term, total = 1.0, 0.0
    if dof % 2:
        for n in range((dof - 1) // 2):
            total += term
            term *= cos2 * (2 * n + 2) / (2 * n + 3)
        return 0.5 + (angle + math.sin(angle) * math.cos(angle) * total) / math.pi
    for n in range(dof // 2):
        total += term
        term *= cos2 * (2 * n + 1) / (2 * n + 2)
    return 0.5 + math.sin(angle) * total / 2


def _cdf(x: float, dof: int | None) -> float:
    return _NORMAL.cdf(x) if dof is None else t_cdf(x, dof)


def probability_of_conformity(
    reading: float, u: float, low: float | None = None, high: float | None = None, dof: int | None = None
) -> float:
    """The chance that the true value is inside its limits: F((high - y)/u) - F((low - y)/u).

    F is normal, or Student's t where `dof` says how few readings stand behind u (JCGM 106, from memory).
    Raises ValueError where there is no limit or the low one is above the high one.
    """
    check_figure("The reading", reading, "the unit of its limits")
    check_size("The standard uncertainty", u, "")
    _ordered(low, high)
    above = 0.0 if low is None else _cdf((low - reading) / u, dof)
    return (1.0 if high is None else _cdf((high - reading) / u, dof)) - above


def _ordered(low: float | None, high: float | None) -> None:
    if low is None and high is None:
        raise ValueError("A chance of being inside needs at least one limit: find the spec first.")
    if low is not None and high is not None and low > high:
        raise ValueError(f"The low limit {low:g} is above the high one {high:g}: swap them.")


def guard_factor(certainty: float, dof: int | None = None) -> float:
    """How many u inside a limit a reading must be for a one-sided certainty such as 0.95 (1.645).

    The quantile of the normal distribution, or of Student's t with `dof` degrees of freedom, found by halving.
    """
    check_share("The certainty wanted", certainty)
    if dof is None:
        return _NORMAL.inv_cdf(certainty)
    if certainty < 0.5:
        return -guard_factor(1 - certainty, dof)
    high = next(2.0**n for n in count() if t_cdf(2.0**n, dof) >= certainty)
    low = 0.0
    while high - low > 1e-12 * max(1.0, high):
        middle = (low + high) / 2
        low, high = (middle, high) if t_cdf(middle, dof) < certainty else (low, middle)
    return (low + high) / 2


def beyond_risk(k: float, dof: int | None = None) -> float:
    """The one-sided chance of an error beyond k u: also the chance that a reading accepted k u inside a limit is bad.

    k = 2 gives 2.3 % (ILAC-G8:09/2019 as restated by a laboratory's page: below 2.5 %, read).
    """
    return 1 - _cdf(check_size("The band in u", k, "", zero=True), dof)


# --- Ratio of tolerance to gauge


def uncertainty_ratio(tolerance_width: float, expanded_u: float) -> float:
    """Tolerance width / (2 U); 4 at least is asked for by ANSI/NCSL Z540-1-1994 10.2.b (quoted, read)."""
    return check_size("The tolerance", tolerance_width, "") / (
        2 * check_size("The expanded uncertainty", expanded_u, "")
    )


def rss_guard(ratio: float) -> float:
    """The share of the tolerance left as the zone to accept in: sqrt(1 - 1/ratio²) (manual of a public tool, read).

    Raises ValueError for a ratio below 1, where nothing is left.
    """
    if not ratio >= 1:
        raise ValueError(f"With an uncertainty ratio of {ratio:g} nothing is left to accept: take a better gauge.")
    return math.sqrt(1 - 1 / ratio**2)


def conform_zone(low: float, high: float, expanded_u: float) -> float:
    """The width in which a reading proves itself inside: high - low - 2 U, never below 0."""
    _ordered(low, high)
    return max(0.0, high - low - 2 * check_size("The expanded uncertainty", expanded_u, "", zero=True))


def gauge_fault(
    what: str, size_mm: float, tolerance_mm: float, doubt_mm: float, instruments: Sequence[Instrument] = ()
) -> str:
    """A sentence where a gauge cannot decide (doubt half the tolerance or more) or is coarse (ratio under 4).

    Empty where the gauge will do. `instruments` are those for the same job; the coarsest that would do is named.
    mm throughout.
    """
    ratio = uncertainty_ratio(tolerance_mm, doubt_mm)
    if ratio >= _ENOUGH_RATIO:
        return ""
    better = sorted((one for one in instruments if one.covers(size_mm)), key=lambda one: -one.doubt_mm)
    enough = next((one for one in better if uncertainty_ratio(tolerance_mm, one.doubt_mm) >= _ENOUGH_RATIO), None)
    hope = f"take {enough.name}" if enough else "no listed instrument is four times finer, so read more often"
    if doubt_mm >= tolerance_mm / 2:
        return (
            f"This gauge cannot decide {what}: its doubt of {doubt_mm:g} mm fills the {tolerance_mm:g} mm band; {hope}."
        )
    return f"This gauge is coarse for {what}: the band is only {ratio:.1f} times its doubt, not 4; {hope}."


# --- Temperature


def per_kelvin(per_fahrenheit: float) -> float:
    """An expansion per kelvin from one per degree Fahrenheit."""
    return check_figure("The expansion", per_fahrenheit, "1/°F") * 9 / 5


def growth_mm(length_mm: float, alpha_per_k: float, rise_k: float) -> float:
    """How much a length grows when it is warmed: length x alpha x rise, in mm.

    Handbook alphas are averages over a range and off by a few percent near 20 °C (NIST temperature tutorial, read).
    """
    check_size("The length", length_mm, "mm")
    check_size("The expansion", alpha_per_k, "1/K", zero=True)
    return length_mm * alpha_per_k * check_figure("The rise in temperature", rise_k, "K")


def at_20_mm(reading_mm: float, alpha_per_k: float, temperature_c: float) -> float:
    """A size read at some temperature as it is at 20 °C, the temperature of ISO 1 (from memory), in mm.

    For a gauge that does not grow; a steel micrometer soaked with the part needs only the difference of the alphas.
    """
    return check_size("The reading", reading_mm, "mm") / (1 + alpha_per_k * (temperature_c - 20))


def warm_clearance_mm(
    shaft_mm: float, clearance_mm: float, alpha_shaft_per_k: float, alpha_hole_per_k: float, rise_k: float
) -> float:
    """The diametral clearance after both parts are warmed alike, in mm: + hole growth - shaft growth."""
    hole_mm = check_size("The shaft", shaft_mm, "mm") + check_figure("The clearance", clearance_mm, "mm")
    grown = growth_mm(hole_mm, alpha_hole_per_k, rise_k) - growth_mm(shaft_mm, alpha_shaft_per_k, rise_k)
    return clearance_mm + grown
