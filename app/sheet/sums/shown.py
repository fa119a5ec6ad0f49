"""How a sum says what it found: rows of words, figures in both systems, and sources."""

import math
from collections.abc import Iterable

from app.sheet.draw.tokens import Token
from app.sheet.rows import Run
from app.sheet.sections import Item, Section
from app.trade.quantity import UNITS
from app.trade.tables import Known, Origin, Tables, ThreadState

STATES = tuple(state.value for state in ThreadState)
_OTHER = {
    "N·m": "lbf·ft",
    "lbf·ft": "N·m",
    "lbf·in": "N·m",
    "ozf·in": "N·m",
    "daN·m": "lbf·ft",
    "kgf·m": "lbf·ft",
    "kgf·cm": "lbf·in",
    "mm": "in",
    "in": "mm",
    "mL": "in³",
    "kN": "lbf",
}
# Finer than these nobody at a bench measures.
_MOST_DECIMALS = {"mm": 3, "in": 4}


def shown(magnitude: float, unit: str, digits: int = 3) -> str:
    """A worked-out magnitude (base unit) in a unit, to so many figures: “214 lbf·in”."""
    return f"{number_in(magnitude, unit, digits)} {UNITS[unit].sign}"


def number_in(magnitude: float, unit: str, digits: int = 3) -> str:
    """A worked-out magnitude (base unit) in a unit, without its sign."""
    return number(UNITS[unit].from_base(magnitude), digits, _MOST_DECIMALS.get(unit, 9))


def other_unit(unit: str) -> str:
    """The unit of the other system that goes with one; itself where both share it."""
    return _OTHER.get(unit, unit)


def number(value: float, digits: int, most_decimals: int = 9) -> str:
    """A number to so many figures, never as a power of ten."""
    places = digits - 1 - math.floor(math.log10(abs(value))) if value else 0
    rounded = round(value, places)
    return f"{rounded:.{min(max(places, 0), most_decimals)}f}"


def both(magnitude: float, unit: str, digits: int = 3) -> str:
    """A worked-out magnitude (base unit) in its unit and in the other system: “53.6 N·m = 39.5 lbf·ft”."""
    other = _OTHER.get(unit)
    return f"{shown(magnitude, unit, digits)}{f' = {shown(magnitude, other, digits)}' if other else ''}"


def both_mm(length_mm: float) -> str:
    """A length in mm to a thousandth, and in inches to a tenth of a thousandth."""
    return both(length_mm, "mm", 6)


def both_nm(torque_nm: float, digits: int = 3) -> str:
    """A torque in N·m and lbf·ft."""
    return both(torque_nm, "N·m", digits)


def both_kpa(pressure_kpa: float) -> str:
    """A pressure in kPa and psi."""
    return f"{shown(pressure_kpa, 'kPa')} = {shown(pressure_kpa, 'psi')}"


def kn(force_n: float) -> str:
    """A force in kN and lbf: “36.9 kN = 8300 lbf”."""
    return both(force_n, "kN", 3)


def words(text: str, ink: Token = "text", *, bold: bool = False) -> Item:
    """One row of plain words."""
    return Item((Run(text, ink, bold=bold),))


def section(heading: str, *texts: str, ink: Token = "text", px: int | None = None) -> Section:
    """A section of plain rows."""
    rows = tuple(words(text, ink) for text in texts if text)
    return Section(heading, rows) if px is None else Section(heading, rows, px=px)


def cited(what: str, origin: Origin) -> str:
    """A figure of a table with its edition, its source and how it is known."""
    return f"{what} ({origin.edition}; {origin.source}; {origin.known.value})"


def sources_section(sources: Iterable[str]) -> Section:
    """Where the figures and formulas are from."""
    return section("Where this is from", *dict.fromkeys(sources))


def formula(what: str, source: str, known: Known) -> str:
    """A formula with its source and how it is known."""
    return f"{what} ({source}; {known.value})"


def _span(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def factor_source(state: ThreadState, tables: Tables) -> str:
    """The K of threads in a state, each row with its source, as one sentence."""
    rows = [row for row in tables.nut_factors if row.state is state]
    told = "; ".join(
        f"{_span(row.low, row.high)}, {row.condition or state.value} ({row.origin.source})" for row in rows
    )
    known = ", ".join(dict.fromkeys(row.origin.known.value for row in rows))
    return f"K for {state.value} threads: {told}; {known}"
