"""Reads what people type for a value, limits, a tightening or a whole figure of the trade.

What is typed is cut into numbers, units and a few words by one closed pattern; every unit comes from the closed table
in `quantity`. Words that say how a figure is meant are its conditions: `read_figure` keeps them beside the value, the
other readers give the value alone and leave the words in its text.
"""

import re
from functools import lru_cache
from typing import NamedTuple

from msgspec.structs import replace

from app.trade.conditions import UNSAID, Band, Conditions, Heat, Tier
from app.trade.figure import Figure, Meant, Note, Target
from app.trade.notation.amounts import Amount, Item, cut, default_unit
from app.trade.notation.refusal import WANTED, Ambiguous, Ask, NotationError, check_length, short
from app.trade.notation.spread import Spread, agreed, shape_of, spread
from app.trade.notation.stages import is_programme, read_steps
from app.trade.notation.tokens import ALIKE
from app.trade.notation.turns import Turn, check_again, cut_turns, said_once
from app.trade.notation.words import Asides, Tiers, split_labelled, split_tiers, take_asides
from app.trade.programme import Angle, Programme, torque_turn
from app.trade.quantity import Kind, Limits, Quantity, TorqueTurn


def read_quantity(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Quantity:
    """Read one value; `unit` is meant where none is typed, `decimal` is the locale's mark.

    Raises NotationError with a sentence, Ambiguous where there are two readings.
    """
    found = _read(text, kind, unit, decimal)
    _no_turns(found, text, kind)
    point = found.spread
    if point.target is None or point.low is not None or point.high is not None:
        raise NotationError(f"“{short(text)}” is not one value: write {WANTED[kind].example}, without limits.")
    return Quantity(kind, point.target.base, point.unit.id, text)


def read_limits(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Limits:
    """Read limits as the trade writes them: a range, a tolerance, at most, at least, or a single target.

    A single torque is what the wrench is set to, so it is both its own limits. Raises NotationError or Ambiguous.
    """
    found = _read(text, kind, unit, decimal)
    _no_turns(found, text, kind)
    return _limits(found.spread, kind, text)


def read_span(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Limits:
    """Read what a tool's scale spans, as limits: unlike a figure's, its ends may be far apart.

    Raises NotationError or Ambiguous.
    """
    found = _read(text, kind, unit, decimal, scale=True)
    _no_turns(found, text, kind)
    return _limits(found.spread, kind, text)


def read_torque_turn(text: str, *, unit: str | None = None, decimal: str = ".") -> TorqueTurn:
    """Read a torque followed by turns, such as “25 N·m + 90°”. Raises NotationError or Ambiguous."""
    spec = read_spec(text, Kind.TORQUE, unit=unit, decimal=decimal)
    if isinstance(spec, Limits):
        raise NotationError(f"“{short(text)}” has no angle: write a torque and its turns, such as 25 N·m + 90°.")
    return spec


def read_spec(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Limits | TorqueTurn:
    """Read limits, or a torque and its turns where angles follow a torque. Raises NotationError or Ambiguous."""
    return _spec(_read(text, kind, unit, decimal), kind, text)


def read_programme(text: str, *, unit: str | None = None, decimal: str = ".") -> Programme:
    """Read a tightening step by step: “60 N·m, slacken, 30 N·m + 90° ± 5°, wait 10 min, again”.

    Raises NotationError, or Ambiguous where a torque falls though nothing was slackened.
    """
    check_length(text, Kind.TORQUE)
    return read_steps(text, read_limits, unit, decimal)


def read_figure(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Figure:
    """Read a figure and how it is meant: its value, conditions, the limit of a worn part, and what to know of it.

    A single value comes as a target, which only a width makes judgeable. Raises NotationError or Ambiguous.
    """
    check_length(text, kind)
    tiers = split_tiers(text)
    if tiers is not None:
        return _two_tiers(text, tiers, kind, unit, decimal)
    if kind is Kind.TORQUE and is_programme(text):
        return _programme_figure(text, unit, decimal)
    found = _read(text, kind, unit, decimal)
    return Figure(_meant(found, kind, text), text, found.conditions, None, found.label, found.notes)


def read_conditions(text: str, kind: Kind, *, decimal: str = ".") -> Conditions:
    """Read the words that say how something of this kind is meant or read: “hot”, “at 2000 rpm, 90 °C”.

    Raises NotationError where anything else stands in it, or nothing that says how.
    """
    check_length(text, kind)
    said = text.translate(ALIKE)
    for tried in (said, f"at {said}"):  # “2000 rpm” alone is as good as “at 2000 rpm”
        asides = take_asides(tried, kind)
        found = _conditions(asides, decimal)
        if not re.sub(r"[\s,;.]|\band\b", "", asides.bare) and found != UNSAID:
            return found
    raise NotationError(
        f"“{short(text)}” does not say how {WANTED[kind].noun} is read: write hot, cold, at 90 °C or at 2000 rpm."
    )


# --- One text, one reading


class _Found(NamedTuple):
    spread: Spread
    turns: tuple[Angle, ...]
    conditions: Conditions
    label: str
    notes: tuple[Note, ...]


# Each bracket may settle one thing that could be read two ways; no figure has more than a few.
_MOST_SETTLED = 3


# A build's figures are read again at every look at it; what is read of a text hangs on nothing else.
@lru_cache(maxsize=4096)
def _read(text: str, kind: Kind, unit: str | None, decimal: str, scale: bool = False) -> _Found:
    check_length(text, kind)
    if kind is Kind.LENGTH and _MAYBE_THREAD.search(text):
        _refuse_thread(text)
    return _settled(text, kind, unit, decimal, scale, _MOST_SETTLED)


# What only a thread has; cheap to look for, since every length that is read passes here.
_MAYBE_THREAD = re.compile(
    r"/[0-9]+\s*(?:-|x|×|B|N|U)|^\s*(?:#|M[0-9]|G\s*[0-9]|Rp?c?\s*[0-9])|UN|BS|NPT", re.IGNORECASE
)


def _refuse_thread(text: str) -> None:
    from app.trade.threads import looks_like_thread  # with its tables of forms, wanted only where it may be one

    if looks_like_thread(text):
        raise NotationError(f"“{short(text)}” is a thread, not a length: write it where the joint or hole asks for it.")


def _settled(text: str, kind: Kind, unit: str | None, decimal: str, scale: bool, left: int) -> _Found:
    """The only reading of a text; where its unit or mark has two, the one that agrees with what stands in brackets."""
    try:
        return _once(text, kind, unit, decimal, scale)
    except Ambiguous as error:
        if not left or not any(mark in text for mark in "([{") or error.part not in text or error.part == text:
            raise
        found = []
        for choice in error.choices:
            try:
                found.append(_settled(text.replace(error.part, choice, 1), kind, unit, decimal, scale, left - 1))
            except NotationError:
                continue
        if len(found) != 1 or Note.ROUNDED in found[0].notes:
            raise
        return found[0]._replace(notes=(*found[0].notes, Note.SETTLED))


def _once(text: str, kind: Kind, unit: str | None, decimal: str, scale: bool) -> _Found:
    asides = take_asides(text.translate(ALIKE), kind)
    ask = Ask(text, asides.bare, kind, default_unit(unit, kind), decimal, scale=scale)
    _check_one(ask)
    pieces = cut(ask)
    turns, items = cut_turns(pieces.first, ask) if kind is Kind.TORQUE else ((), pieces.first)
    first = spread(items, ask)
    notes = [Note.READ_AS_RANGE] if pieces.ranged or shape_of(items) == "n/n" else []
    for again, span in zip(pieces.restated, pieces.spans, strict=True):
        turns, exact = _held_against(first, turns, again, span, ask)
        notes += [] if exact else [Note.ROUNDED]
    angles = tuple(turn.angle for turn in turns)
    return _Found(first, angles, _conditions(asides, decimal), asides.label, tuple(dict.fromkeys(notes)))


def _held_against(
    first: Spread, turns: tuple[Turn, ...], again: list[Item], span: tuple[int, int], ask: Ask
) -> tuple[tuple[Turn, ...], bool]:
    """The turns, and whether the figure agrees exactly, once both are held against what is said again at `span`."""
    inner = replace(ask, unit=None, restated=True)
    more, rest = cut_turns(again, inner) if ask.kind is Kind.TORQUE else ((), again)
    figure = any(isinstance(item, Amount) for item in rest)
    if not more:
        turns = said_once(turns, span[0], ask)
    about = rest[:1] == ["≈"]
    exact = True if more and not figure else agreed(first, spread(rest[about:], inner), inner, span, about=about)
    check_again([turn.angle for turn in turns], [turn.angle for turn in more], ask, span, alone=not figure)
    return turns, exact


def _check_one(ask: Ask) -> None:
    labelled = split_labelled(ask.bare)
    if len(labelled) > 1 and all(one.label for one in labelled):
        raise NotationError(f"“{short(ask.text)}” holds {len(labelled)} figures: write each one for itself.")


def _conditions(asides: Asides, decimal: str) -> Conditions:
    found = asides.conditions
    if asides.heat:
        band = _band(asides.heat, Kind.TEMPERATURE, decimal)
        # “hot, at 90 °C” names the temperature of what the word says
        found = replace(found, heat=Heat.AT if found.heat is Heat.UNKNOWN else found.heat, at_c=band)
    if asides.speed:
        found = replace(found, speed_rpm=_band(asides.speed, Kind.SPEED, decimal))
    if asides.height:
        found = replace(found, height_mm=read_quantity(asides.height, Kind.LENGTH, decimal=decimal).magnitude)
    return found


def _band(text: str, kind: Kind, decimal: str) -> Band:
    read = _read(text, kind, None, decimal).spread
    points = [point.base for point in (read.low, read.high, read.target) if point is not None]
    return Band(min(points), max(points))


# --- From what was found to what is asked for


def _no_turns(found: _Found, text: str, kind: Kind) -> None:
    if found.turns:
        turns = "an angle" if len(found.turns) == 1 else "angles"
        raise NotationError(f"“{short(text)}” has {turns} behind it, not only {WANTED[kind].noun}: leave it out.")


def _limits(found: Spread, kind: Kind, text: str) -> Limits:
    low, high, target = (point.base if point else None for point in (found.low, found.high, found.target))
    if kind is Kind.TORQUE and low is None and high is None:
        low = high = target
    return Limits(kind, low, high, target, found.unit.id, text)


def _spec(found: _Found, kind: Kind, text: str) -> Limits | TorqueTurn:
    limits = _limits(found.spread, kind, text)
    return torque_turn(limits, found.turns, text) if found.turns else limits


def _meant(found: _Found, kind: Kind, text: str) -> Meant:
    read = found.spread
    if not found.turns and read.target is not None and read.low is None and read.high is None:
        return Target(kind, read.target.base, read.unit.id, text)
    return _spec(found, kind, text)


def _programme_figure(text: str, unit: str | None, decimal: str) -> Figure:
    asides = take_asides(text.translate(ALIKE), Kind.TORQUE)
    # The label is no part of a programme, and what is said of the threads holds for all of it
    programme = read_steps(asides.bare, read_limits, unit, decimal)
    return Figure(replace(programme, text=text), text, _conditions(asides, decimal), None, asides.label)


def _two_tiers(text: str, tiers: Tiers, kind: Kind, unit: str | None, decimal: str) -> Figure:
    has_unit = any(sign.isalpha() or sign in "\"'°%" for sign in tiers.worn)
    if has_unit:
        worn = read_limits(tiers.worn, kind, unit=unit, decimal=decimal)
        new = read_figure(tiers.new, kind, unit=worn.unit, decimal=decimal)
    else:
        new = read_figure(tiers.new, kind, unit=unit, decimal=decimal)
        worn = read_limits(tiers.worn, kind, unit=_unit_of(new) or unit, decimal=decimal)
    low, high = _worn_ends(new, worn, tiers, text)
    limit = Limits(kind, low, high, None, worn.unit, tiers.worn.strip())
    return replace(new, text=text, conditions=replace(new.conditions, tier=Tier.NEW), worn=limit)


def _unit_of(figure: Figure) -> str:
    meant = figure.meant
    return meant.unit if isinstance(meant, Limits | Target) else ""


def _worn_ends(new: Figure, worn: Limits, tiers: Tiers, text: str) -> tuple[float | None, float | None]:
    """The side a worn part's limit bounds: said, else away from what a new part has."""
    value = worn.target
    meant = new.meant
    if value is None or not isinstance(meant, Limits | Target):
        raise NotationError(f"“{short(text)}” has a limit that is not one value: write it such as limit 0.10 mm.")
    ends = (
        [meant.value]
        if isinstance(meant, Target)
        else [one for one in (meant.low, meant.high, meant.target) if one is not None]
    )
    above = tiers.side == "<" or (not tiers.side and value >= max(ends))
    below = tiers.side == ">" or (not tiers.side and value <= min(ends))
    if above is below or (above and value < max(ends)) or (below and value > min(ends)):
        raise NotationError(f"“{short(text)}” limits a worn part more closely than a new one: check the figures.")
    return (None, value) if above else (value, None)
