"""Figures as the trade writes them: what readings must meet, also of parts, and how that is meant."""

from collections.abc import Mapping

from msgspec import Struct, field
from msgspec.structs import replace

from app.trade.conditions import UNSAID, Conditions, merged
from app.trade.figure import Figure, Note, Target
from app.trade.notation import Labelled, NotationError, is_programme, read_quantity, split_labelled
from app.trade.notation import read_figure as read_one
from app.trade.programme import Programme
from app.trade.quantity import UNITS, Kind, Limits, Quantity, TorqueTurn


class Bounds(Struct, frozen=True):
    """A figure in force: as written, as limits, and the source behind it ("" where none is given).

    `parts` are the limits of kinds of places, or of what is worked out. `conditions` say how the figure is meant,
    `worn` is the limit of a worn part where it gives two, `programme` the tightening where it is more than a torque
    and turns, `notes` how it was read, `width` where the width of a single figure is from.
    """

    text: str
    limits: Limits | TorqueTurn
    source: str
    parts: Mapping[str, Limits] = field(default_factory=dict)
    conditions: Conditions = UNSAID
    worn: Limits | None = None
    programme: Programme | None = None
    notes: tuple[Note, ...] = ()
    width: str = ""

    def limits_at(self, place: str) -> Limits | TorqueTurn:
        """The limits at a place: those of its kind (“in”, “top”) where the figure says such, else the figure's own."""
        if not self.parts:
            return self.limits
        return next((limits for label, limits in self.parts.items() if of_kind(place, label)), self.limits)

    @property
    def own(self) -> Limits:
        """The figure's own limits; of a torque and its turns those of the torque."""
        return self.limits.torque if isinstance(self.limits, TorqueTurn) else self.limits

    @property
    def asks(self) -> tuple[object, ...]:
        """What the figure asks for, without its words: two of them that are alike ask for the same."""
        return self.limits, dict(self.parts), self.conditions, self.worn, self.programme


def of_kind(place: str, label: str) -> bool:
    """Whether a place is of a kind: “in” for in3 and in2a, “top” for 1-top, “oil” for “2 oil”."""
    start = place.removeprefix(label)
    return place == label or (start != place and start[:1].isdigit()) or place.endswith((f"-{label}", f" {label}"))


def read_figure(text: str, kind: Kind, unit: str, source: str = "", decimal: str = ".") -> Bounds:
    """A figure with its source, and what it says of parts: “in: 0.20 mm; ex: 0.25 mm”, “…; taper: at most 0.02 mm”.

    The figure's own limits are those without a word before them, else the first. Raises NotationError or Ambiguous.
    """
    found = [(one.label, _read(one, kind, unit, decimal)) for one in _pieces(text, kind)]
    own = [one for label, one in found if not label]
    if len(own) > 1:
        said = " ".join(text.split())[:60]
        raise NotationError(f"“{said}” holds two figures: put a word before each, such as in: and ex:.")
    first = own[0] if own else found[0][1]
    parts = {label: _part(label, one) for label, one in found if label}
    notes = tuple(dict.fromkeys(note for _, one in found for note in one.notes))
    programme = first.meant if isinstance(first.meant, Programme) else None
    conditions = _conditions([one for _, one in found], text)
    return Bounds(text, _limits(first), source, parts, conditions, first.worn, programme, notes)


def _pieces(text: str, kind: Kind) -> tuple[Labelled, ...]:
    """The figures of a text; the steps of a tightening are one."""
    return (Labelled("", text),) if kind is Kind.TORQUE and is_programme(text) else split_labelled(text)


def _read(one: Labelled, kind: Kind, unit: str, decimal: str) -> Figure:
    return read_one(one.text, kind, unit=unit or None, decimal=decimal)


def _limits(figure: Figure) -> Limits | TorqueTurn:
    """What a figure asks for as limits. A single figure has no ends: nobody meets it exactly."""
    meant = figure.meant
    if isinstance(meant, Target):
        return Limits(meant.kind, None, None, meant.value, meant.unit, meant.text)
    if isinstance(meant, Programme):
        last = meant.torque_turn() or meant.final_torque()
        if last is None:
            raise NotationError(f"“{figure.text}” has no torque in it: write the torque each angle comes after.")
        return last if isinstance(last, TorqueTurn) else _aimed_at(last)
    return meant if isinstance(meant, Limits) else replace(meant, torque=_aimed_at(meant.torque))


def _aimed_at(torque: Limits) -> Limits:
    """A torque that is both its own ends is a single figure."""
    return replace(torque, low=None, high=None) if torque.low == torque.high == torque.target else torque


def _part(label: str, figure: Figure) -> Limits:
    limits = _limits(figure)
    if isinstance(limits, TorqueTurn) or isinstance(figure.meant, Programme):
        raise NotationError(f"“{figure.text}” has turns, so it cannot stand behind “{label}”.")
    return limits


def _conditions(figures: list[Figure], text: str) -> Conditions:
    found = UNSAID
    for one in figures:
        try:
            found = merged(found, one.conditions)
        except ValueError as error:
            said = " ".join(text.split())[:60]
            raise NotationError(f"“{said}” says two things of its {error}: enter one, and offer the other.") from error
    return found


def with_unit(text: str, kind: Kind, unit: str, decimal: str = ".") -> str:
    """The figure as typed, with the unit it is meant in behind each piece that has none. Raises nothing."""
    if not unit or unit not in UNITS or kind is Kind.NUMBER:
        return text
    found = _pieces(text, kind)
    bare = [_is_bare(one.text, kind, unit, decimal) for one in found]
    if not any(bare):
        return text
    sign = UNITS[unit].sign
    if len(found) == 1:
        return f"{text} {sign}"
    pieces = (
        f"{one.label}: {one.text}{f' {sign}' if lacks else ''}".removeprefix(": ")
        for one, lacks in zip(found, bare, strict=True)
    )
    return "; ".join(pieces)


def _is_bare(text: str, kind: Kind, unit: str, decimal: str) -> bool:
    """Whether a figure can be read in the unit that is meant, and in none of its own."""
    try:
        read_one(text, kind, unit=unit, decimal=decimal)
    except NotationError:
        return False  # it is refused for what is wrong with it, and not for its unit
    try:
        read_one(text, kind, decimal=decimal)
    except NotationError:
        return True
    return False


def read_pass(word: str, unit: str) -> Quantity:
    """A pass of tightening: a share of the figure (“70 %”), else a torque (“30 N·m”). Raises NotationError."""
    try:
        return read_quantity(word, Kind.SHARE)
    except NotationError:
        return read_quantity(word, Kind.TORQUE, unit=unit or None)
