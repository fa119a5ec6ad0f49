"""Lash told by two neighbouring blades, one that goes in and one that does not: so the manuals define correct lash."""

import re

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.trade.notation import read_quantity
from app.trade.quantity import Kind

_BLADES = re.compile(r"(?P<goes>.+?)\s+go(?:es)?\s*,?\s*(?P<not>.+?)\s+(?:does\s+not|doesn't|not|no)\.?", re.IGNORECASE)


class Blades(Struct, frozen=True):
    """The blade that goes and the one that does not, both in millimetres; `unit` is what they were said in."""

    goes: float
    stops: float
    unit: str

    @property
    def middle(self) -> float:
        """What the lash is taken for, in millimetres."""
        return (self.goes + self.stops) / 2

    @property
    def doubt(self) -> float:
        """Half of what the two leave open, in millimetres."""
        return (self.stops - self.goes) / 2


def between_blades(line: Line, text: str, unit: str, decimal: str = ".") -> Blades | None:
    """The two blades a text names, None where it names none or the line sets no lash; raises NotationError."""
    match = _BLADES.fullmatch(text.strip()) if line.step.measure is not None and line.step.measure.adjuster else None
    spec = line.step.spec
    if match is None or spec is None or spec.kind is not Measured.LENGTH:
        return None
    unit = read_quantity(match["not"], Kind.LENGTH, unit=unit or None, decimal=decimal).unit
    goes, stops = (
        read_quantity(match[name], Kind.LENGTH, unit=unit, decimal=decimal).magnitude for name in ("goes", "not")
    )
    return Blades(goes, stops, unit)
