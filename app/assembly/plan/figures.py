"""Figures as the trade writes them: what readings must meet, also of parts."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from app.trade.notation import NotationError, read_quantity, read_spec
from app.trade.quantity import Kind, Limits, Quantity, TorqueTurn


@dataclass(frozen=True, slots=True)
class Bounds:
    """A figure in force: as written, as limits, and the source behind it ("" where none is given)."""

    text: str
    limits: Limits | TorqueTurn
    source: str
    parts: Mapping[str, Limits] = field(default_factory=dict)

    def limits_at(self, place: str) -> Limits | TorqueTurn:
        """The limits at a place: those of its kind (“in”, “top”) where the figure says such, else the figure's own."""
        if not self.parts:
            return self.limits
        return next((limits for label, limits in self.parts.items() if of_kind(place, label)), self.limits)


# What may be said beside a figure of a kind of place, or of what is worked out: in words, a colon, and limits.
_PART = re.compile(r"\s*(?P<label>[A-Za-z][A-Za-z ]*?)\s*:\s*(?P<limits>\S.*)")


def of_kind(place: str, label: str) -> bool:
    """Whether a place is of a kind: “in” for in3 and in2a, “top” for 1-top, “oil” for “2 oil”."""
    start = place.removeprefix(label)
    return place == label or (start != place and start[:1].isdigit()) or place.endswith((f"-{label}", f" {label}"))


def read_figure(text: str, kind: Kind, unit: str, decimal: str = ".") -> tuple[Limits | TorqueTurn, dict[str, Limits]]:
    """A figure and what it says of parts: “in: 0.20 to 0.25 mm; ex: 0.25 to 0.30 mm”, or “…; taper: at most 0.02 mm”.

    The figure's own limits are those without a word before them, else the first. Raises NotationError.
    """
    own: Limits | TorqueTurn | None = None
    parts: dict[str, Limits] = {}
    for piece in text.split(";"):
        match = _PART.fullmatch(piece)
        if match is None:
            if own is not None:
                said = " ".join(text.split())[:60]
                raise NotationError(f"“{said}” holds two figures: put a word before each, such as in: and ex:.")
            own = read_spec(piece, kind, unit=unit or None, decimal=decimal)
            continue
        limits = read_spec(match["limits"], kind, unit=unit or None, decimal=decimal)
        if isinstance(limits, TorqueTurn):
            raise NotationError(f"“{match['limits']}” has turns, so it cannot stand behind “{match['label']}”.")
        parts[match["label"].casefold()] = limits
    return own if own is not None else next(iter(parts.values())), parts


def read_pass(word: str, unit: str) -> Quantity:
    """A pass of tightening: a share of the figure (“70 %”), else a torque (“30 N·m”). Raises NotationError."""
    try:
        return read_quantity(word, Kind.SHARE)
    except NotationError:
        return read_quantity(word, Kind.TORQUE, unit=unit or None)
