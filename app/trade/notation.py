"""Reads what people type for a value, limits or a tightening, and writes it back as the trade does.

What is typed is cut into numbers, units and a few words by one closed pattern; every unit comes from the closed table
in `quantity`, and so do the exact factors by which a figure is shown in the other system.
"""

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from app.trade.quantity import (
    REFUSED,
    SPELLINGS,
    TWO_COUNTRIES,
    UNITS,
    Kind,
    Limits,
    Quantity,
    TorqueTurn,
    Unit,
)

LONGEST = 200
_DEFAULT_UNIT = {Kind.NUMBER: "1"}
# Heights and clearances may stand proud, dishes and domes have either sign, a gauge may read below the air's pressure.
_SIGNED = {Kind.LENGTH, Kind.VOLUME, Kind.TEMPERATURE, Kind.ANGLE, Kind.PRESSURE, Kind.NUMBER}


class NotationError(ValueError):
    """What was typed cannot be read; the message is one sentence for the person who typed it."""


class Ambiguous(NotationError):
    """`part` of what was typed can be read two ways; either of `choices` in its place can be read only one way."""

    def __init__(self, sentence: str, part: str, choices: tuple[str, str]) -> None:
        super().__init__(sentence)
        self.part = part
        self.choices = choices


# --- Reading: what callers use


def read_quantity(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Quantity:
    """Read one value; `unit` is meant where none is typed, `decimal` is the locale's mark.

    Raises NotationError with a sentence, Ambiguous where there are two readings.
    """
    spread = _read_spread(text, kind, unit, decimal)
    if spread.target is None or spread.low is not None or spread.high is not None:
        raise NotationError(f"“{_short(text)}” is not one value: write {_WANTED[kind].example}, without limits.")
    return Quantity(kind, spread.target.base, spread.unit.id, text)


def read_limits(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Limits:
    """Read limits as the trade writes them: a range, a tolerance, at most, at least, or a single target.

    A single torque is what the wrench is set to, so it is both its own limits. Raises NotationError or Ambiguous.
    """
    return _limits(_read_spread(text, kind, unit, decimal), kind, text)


def read_torque_turn(text: str, *, unit: str | None = None, decimal: str = ".") -> TorqueTurn:
    """Read a torque followed by turns, such as “25 N·m + 90°”. Raises NotationError or Ambiguous."""
    spec = read_spec(text, Kind.TORQUE, unit=unit, decimal=decimal)
    if isinstance(spec, Limits):
        raise NotationError(f"“{_short(text)}” has no angle: write a torque and its turns, such as 25 N·m + 90°.")
    return spec


def read_spec(text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Limits | TorqueTurn:
    """Read limits, or a torque and its turns where angles follow a torque. Raises NotationError or Ambiguous."""
    return _read_spec(text, kind, unit, decimal)


# A build's figures are read again at every look at it; what is read of a text hangs on nothing else.
@lru_cache(maxsize=4096)
def _read_spec(text: str, kind: Kind, unit: str | None, decimal: str) -> Limits | TorqueTurn:
    ask = _Ask(text, kind, _default(unit, kind))
    items, restated = _items(ask, decimal)
    turns = _cut_turns(items, ask) if kind is Kind.TORQUE else ()
    limits = _limits(_agreed(_spread(items, ask), restated, ask), kind, text)
    return TorqueTurn(limits, turns, text) if turns else limits


@lru_cache(maxsize=4096)
def _read_spread(text: str, kind: Kind, unit: str | None, decimal: str) -> "_Spread":
    ask = _Ask(text, kind, _default(unit, kind))
    items, restated = _items(ask, decimal)
    return _agreed(_spread(items, ask), restated, ask)


def _limits(spread: "_Spread", kind: Kind, text: str) -> Limits:
    low, high, target = (point.base if point else None for point in (spread.low, spread.high, spread.target))
    if kind is Kind.TORQUE and low is None and high is None:
        low = high = target
    return Limits(kind, low, high, target, spread.unit.id, text)


# --- What is asked for, and how that is said


class _Wanted(NamedTuple):
    noun: str
    units: str
    example: str


_WANTED: Mapping[Kind, _Wanted] = {
    Kind.LENGTH: _Wanted("a length", "mm, in, thou or µm", "0.18 mm or 7 thou"),
    Kind.TORQUE: _Wanted("a torque", "N·m, lbf·ft, lbf·in or kgf·m", "25 N·m or 18 lbf·ft"),
    Kind.PRESSURE: _Wanted("a pressure", "kPa, bar, psi or kgf/cm²", "350 kPa or 50 psi"),
    Kind.VOLUME: _Wanted("a volume", "mL, L, US qt or imp qt", "42.5 mL or 4.5 L"),
    Kind.TEMPERATURE: _Wanted("a temperature", "°C or °F", "90 °C or 195 °F"),
    Kind.ANGLE: _Wanted("an angle", "° or deg", "90°"),
    Kind.MASS: _Wanted("a mass", "g, kg, oz or lb", "612 g"),
    Kind.TIME: _Wanted("a time", "s, min, h, days or weeks", "24 h or 1 h 30 min"),
    Kind.FORCE: _Wanted("a force", "N, kN, lbf or kgf", "450 N or 100 lbf"),
    Kind.SPEED: _Wanted("a speed", "rpm", "2000 rpm"),
    Kind.SHARE: _Wanted("a share", "%", "12 %"),
    Kind.NUMBER: _Wanted("a number", "no unit", "4 or 10.5:1"),
}


@dataclass(frozen=True, slots=True)
class _Ask:
    text: str
    kind: Kind
    unit: Unit | None


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 60 else f"{text[:57]}…"


def _unreadable(ask: _Ask) -> NotationError:
    wanted = _WANTED[ask.kind]
    if not ask.text.strip():
        return NotationError(f"Nothing is written: write {wanted.noun} such as {wanted.example}.")
    return NotationError(f"“{_short(ask.text)}” cannot be read as {wanted.noun}: write it such as {wanted.example}.")


def _default(unit: str | None, kind: Kind) -> Unit | None:
    name = unit or _DEFAULT_UNIT.get(kind)
    if name is None:
        return None
    known = UNITS.get(name)
    return known if known is not None and known.kind is kind else _unit(name, kind)


# --- Cutting text into numbers, units and words

# One letter for each, so that the make of a whole figure is a short string such as “n±n”.
_WORDS = {
    "<": (
        "at most",
        "no more than",
        "not more than",
        "not over",
        "up to",
        "less than",
        "under",
        "below",
        "maximum",
        "max",
    ),
    ">": ("at least", "no less than", "not less than", "not under", "more than", "over", "above", "minimum", "min"),
    "t": ("to", "through"),
    "±": ("plus or minus",),
    "+": ("then", "plus"),
    "&": ("and",),
    "b": ("between",),
    "f": ("from",),
}
_SIGNS = {"<": "<= =< ≤ <", ">": ">= => ≥ >", "t": "... .. …", "±": "± +/- +-"}
_MEANS = {word: mark for mark, words in _WORDS.items() for word in words}
_MEANS |= {sign: mark for mark, signs in _SIGNS.items() for sign in signs.split()}

_LETTER = r"[A-Za-zµμ°%\"'℃℉]"
_VULGAR = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8}


def _any_of(texts: Iterator[str]) -> str:
    return "|".join(re.escape(text).replace(r"\ ", r"\s+") for text in sorted(texts, key=len, reverse=True))


_TOKEN = re.compile(
    rf"""(?P<space>\s+)
    | (?P<perminute>(?:1?/min|min-1)(?!{_LETTER}|[0-9.,]))
    | (?P<sign>{_any_of(sign for signs in _SIGNS.values() for sign in signs.split())})
    | (?P<vulgar>(?:(?P<ones>[0-9]+)(?:\s+|-)?)?(?P<part>[{"".join(_VULGAR)}]))
    | (?P<fraction>(?:(?P<whole>[1-9][0-9]*)(?:\s+|-))?(?P<over>[0-9]+)/(?P<under>[0-9]+)(?![0-9.,/]))
    | (?P<number>[0-9]*(?:[.,][0-9]+)+|[0-9]+)
    | (?P<word>(?:{_any_of(word for words in _WORDS.values() for word in words)})(?!{_LETTER})(?:\.(?!\.))?)
    | (?P<unit>{_LETTER}+(?:(?<=m)\^?[23]|(?<=in)\^?[23])?
        (?:\.?[.·⋅∙•*×/-]{_LETTER}+(?:(?<=m)\^?[23]|(?<=in)\^?[23])?)*(?:\.(?!\.))?)
    | (?P<mark>[-+/:()\[\];]|,(?=\s))
    | (?P<other>.)""",
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)
# The signs that look alike, each for the one the pattern knows; every one keeps its place in the text.
_ALIKE = str.maketrans("‐‑‒–—−⁻⁄∕″“”„′’‘ºᵒ˚²³¹", '-------//""""\'\'\'°°°231')
_NOISE = re.compile(r"[\s.·⋅∙•*×^-]+")


class _Token(NamedTuple):
    sort: str
    text: str
    value: float = 0.0
    half: float = 0.0


def _tokens(ask: _Ask, decimal: str) -> list[_Token]:
    if len(ask.text) > LONGEST:
        raise NotationError(f"“{_short(ask.text)}” is too long for {_WANTED[ask.kind].noun}: write the figure alone.")
    found = []
    for match in _TOKEN.finditer(ask.text.translate(_ALIKE)):
        sort = match.lastgroup or ""
        if sort != "space":
            found.append(_CUT[sort](match, ask, decimal))
    if not any(token.sort == "number" for token in found):
        raise _unreadable(ask)
    return found


def _cut_number(match: re.Match[str], _ask: _Ask, decimal: str) -> _Token:
    text = match[0]
    marks = [character for character in text if character in ".,"]
    if len(marks) > 1:
        raise NotationError(f"“{text}” has two marks in one number: write it with a single decimal mark.")
    if not marks:
        return _Token("number", text, float(text), _half_of_whole(text))
    whole, places = text.split(marks[0])
    if marks[0] != decimal and len(places) == 3 and whole.strip("0"):
        choices = (f"{whole}{decimal}{places}", f"{whole}{places}")
        raise Ambiguous(f"“{text}” could be {choices[0]} or {choices[1]}: write the one you mean.", text, choices)
    return _Token("number", text, float(f"{whole or '0'}.{places}"), 0.5 * 10.0 ** -len(places))


def _half_of_whole(text: str) -> float:
    """Half of what a whole number may have been rounded to; 250 may well be 248 rounded to the ten."""
    return 5.0 if len(text) > 2 and text.endswith("0") else 0.5


def _cut_fraction(match: re.Match[str], ask: _Ask, _decimal: str) -> _Token:
    over, under = int(match["over"]), int(match["under"])
    if under == 0:
        raise NotationError(f"“{match[0]}” divides by nothing: write the fraction again.")
    if match["whole"] and over >= under:
        raise _unreadable(ask)
    return _Token("number", match[0], int(match["whole"] or 0) + over / under)


def _cut_vulgar(match: re.Match[str], _ask: _Ask, _decimal: str) -> _Token:
    return _Token("number", match[0], int(match["ones"] or 0) + _VULGAR[match["part"]])


def _cut_word(match: re.Match[str], _ask: _Ask, _decimal: str) -> _Token:
    word = " ".join(match[0].lower().removesuffix(".").split())
    return _Token("minutes" if word == "min" else "mark", _MEANS[word])


def _cut_sign(match: re.Match[str], _ask: _Ask, _decimal: str) -> _Token:
    return _Token("mark", _MEANS[match[0]])


def _cut_unit(match: re.Match[str], _ask: _Ask, _decimal: str) -> _Token:
    return _Token("unit", match[0])


def _cut_mark(match: re.Match[str], _ask: _Ask, _decimal: str) -> _Token:
    return _Token("mark", match[0])


def _cut_other(match: re.Match[str], ask: _Ask, _decimal: str) -> _Token:
    raise NotationError(f"“{match[0]}” in “{_short(ask.text)}” cannot be read: use the figures 0 to 9 and a unit.")


_CUT: Mapping[str, Callable[[re.Match[str], _Ask, str], _Token]] = {
    "perminute": _cut_unit,
    "sign": _cut_sign,
    "vulgar": _cut_vulgar,
    "fraction": _cut_fraction,
    "number": _cut_number,
    "word": _cut_word,
    "unit": _cut_unit,
    "mark": _cut_mark,
    "other": _cut_other,
}


# --- From words to units


def _unit(spelling: str, kind: Kind) -> Unit:
    """The unit a spelling means where a figure of this kind is wanted; a torque may be followed by angles."""
    exact = SPELLINGS[kind].get(spelling)
    if exact is not None:
        return UNITS[exact]
    key = _NOISE.sub("", spelling).casefold()
    refused = REFUSED.get((kind, spelling)) or REFUSED.get((kind, key))
    if refused:
        raise NotationError(f"“{spelling}” {refused}")
    known = SPELLINGS[kind].get(key)
    if known is None and kind is Kind.TORQUE:
        known = SPELLINGS[Kind.ANGLE].get(key)
    if known is None:
        raise _no_such_unit(spelling, key, kind)
    return UNITS[known]


def _no_such_unit(spelling: str, key: str, kind: Kind) -> NotationError:
    wanted = _WANTED[kind]
    if kind is Kind.VOLUME and key in TWO_COUNTRIES:
        choices = TWO_COUNTRIES[key]
        sentence = f"“{spelling}” could be {choices[0]} or {choices[1]}, a fifth more: write the one you mean."
        return Ambiguous(sentence, spelling, choices)
    others = [other for other in Kind if key in SPELLINGS[other]]
    if others:
        which = " or ".join(other.value for other in others)
        return NotationError(
            f"“{_short(spelling)}” is a unit of {which}, but {wanted.noun} is wanted, in {wanted.units}."
        )
    return NotationError(f"“{_short(spelling)}” is not a unit of {kind.value}: use {wanted.units}.")


# --- From tokens to figures with their units, and the marks between them


class _Amount(NamedTuple):
    value: float
    half: float
    unit: Unit | None
    text: str


_Item = _Amount | str


def _items(ask: _Ask, decimal: str) -> tuple[list[_Item], list[list[_Item]]]:
    """The figures and marks outside brackets, and those of each part inside them."""
    outside: list[_Token] = []
    inside: list[list[_Token]] = []
    closing = ""
    for token in _tokens(ask, decimal):
        if not closing and token.sort == "mark" and token.text in "([":
            closing = ")" if token.text == "(" else "]"
            inside.append([])
        elif token.sort == "mark" and token.text in "()[]":
            if token.text != closing:
                raise _unreadable(ask)
            closing = ""
        elif closing and token.sort == "mark" and token.text in ",;":
            inside.append([])
        else:
            (inside[-1] if closing else outside).append(token)
    if closing:
        raise _unreadable(ask)
    return _collapse(outside, ask), [_collapse(part, ask) for part in inside]


def _collapse(tokens: list[_Token], ask: _Ask) -> list[_Item]:
    items: list[_Item] = []
    sign = ""
    words: list[str] = []
    for token in _settle_minutes(tokens, ask.kind):
        if token.sort == "unit":
            words.append(token.text)
            continue
        _attach(words, items, ask)
        if token.sort == "number":
            items.append(_Amount(-token.value if sign == "-" else token.value, token.half, None, sign + token.text))
            sign = ""
        elif sign:
            raise _unreadable(ask)
        elif token.text in "+-" and _starts_number(items):
            sign = token.text
        else:
            items.append(token.text)
    _attach(words, items, ask)
    if sign:
        raise _unreadable(ask)
    return _join(items, ask.kind)


def _settle_minutes(tokens: list[_Token], kind: Kind) -> Iterator[_Token]:
    """“min” is minutes straight after a number where a time is wanted, and the minimum everywhere else."""
    before = ""
    for token in tokens:
        if token.sort == "minutes":
            minutes = kind is Kind.TIME and before == "number"
            token = _Token("unit", "min") if minutes else _Token("mark", ">")
        before = token.sort
        yield token


def _starts_number(items: list[_Item]) -> bool:
    """Whether a + or - here is the sign of a number and not a mark between two."""
    return not items or (isinstance(items[-1], str) and items[-1] not in "+/,")


def _attach(words: list[str], items: list[_Item], ask: _Ask) -> None:
    """Give the unit whose words were gathered to the figure in front of them."""
    if not words:
        return
    spelling = " ".join(words)
    words.clear()
    if not items or isinstance(items[-1], str) or items[-1].unit is not None:
        raise _unreadable(ask)
    items[-1] = items[-1]._replace(unit=_unit(spelling, ask.kind))


def _join(items: list[_Item], kind: Kind) -> list[_Item]:
    """Join what makes one figure: 10.5:1 and 10.5 to 1, and 1 h 30 min."""
    joined: list[_Item] = []
    for item in items:
        joined.append(item)
        if kind is Kind.NUMBER:
            _join_ratio(joined)
        elif kind is Kind.TIME:
            _join_times(joined)
    return [item for place, item in enumerate(joined) if item != "," or joined[place + 1 : place + 2] != ["+"]]


def _join_ratio(items: list[_Item]) -> None:
    if len(items) < 3:
        return
    first, mark, second = items[-3:]
    if not isinstance(first, _Amount) or not isinstance(second, _Amount) or first.unit or second.value <= 0:
        return
    if mark == ":" or (mark == "t" and second.text == "1" and first.value > 1):
        ratio = first.value / second.value
        items[-3:] = [_Amount(ratio, first.half / second.value, UNITS[":1"], f"{first.text}:{second.text}")]


def _join_times(items: list[_Item]) -> None:
    if len(items) < 2:
        return
    first, second = items[-2:]
    if not isinstance(first, _Amount) or not isinstance(second, _Amount) or first.unit is None or second.unit is None:
        return
    if second.unit.factor < first.unit.factor:
        value = first.value + second.value * second.unit.factor / first.unit.factor
        text = f"{first.text} {first.unit.sign} {second.text}"
        items[-2:] = [first._replace(value=value, text=text)]


def _cut_turns(items: list[_Item], ask: _Ask) -> tuple[float, ...]:
    """Take the turns in degrees off the end of a tightening, where it ends in “+ angle”."""
    start = len(items)
    while start >= 3 and isinstance(items[start - 1], _Amount) and items[start - 2] == "+":
        start -= 2
    turns = [item for item in items[start:] if isinstance(item, _Amount)]
    if not turns or turns[-1].unit is None or turns[-1].unit.kind is not Kind.ANGLE:
        return ()
    filled = _with_units(turns, None, ask)
    for turn in filled:
        if turn.unit.kind is not Kind.ANGLE or turn.value <= 0:
            raise NotationError(
                f"“{turn.text} {turn.unit.sign}” is not a turn: after the torque write angles, such as + 90°."
            )
    del items[start:]
    return tuple(turn.unit.to_base(turn.value) for turn in filled)


# --- From figures and marks to limits


class _Figure(NamedTuple):
    value: float
    half: float
    unit: Unit
    text: str


class _Point(NamedTuple):
    """A figure in the base unit, with half of what its last digit may have been rounded by, and as it was typed."""

    base: float
    half: float
    text: str


class _Spread(NamedTuple):
    low: _Point | None
    high: _Point | None
    target: _Point | None
    unit: Unit


_RANGES = {"n-n", "ntn", "fntn", "fn-n", "bn&n"}
_TOLERANCES = {"n±n": (1, 1), "n+n/-n": (1, 2), "n+n-n": (1, 2), "n-n/+n": (2, 1), "n-n+n": (2, 1)}
_BOUNDS = re.compile(r"(?:[<>]n[,;&]?){1,2}|(?:n[<>][,;&]?){1,2}")


def _spread(items: Sequence[_Item], ask: _Ask) -> _Spread:
    """What the figures and the marks between them say, told by their order."""
    shape = "".join(item if isinstance(item, str) else "n" for item in items)
    if "n" not in shape:
        raise _unreadable(ask)
    if "nn" in shape:
        raise NotationError(
            f"“{_short(ask.text)}” has two numbers side by side: write one number, without spaces inside."
        )
    figures = _with_units([item for item in items if isinstance(item, _Amount)], ask.unit, ask)
    _check_kinds(figures, ask.kind)
    if shape == "n":
        return _checked(_Spread(None, None, _point(figures[0]), figures[0].unit), ask)
    if shape in _RANGES:
        return _checked(_Spread(_point(figures[0]), _point(figures[1]), None, figures[0].unit), ask)
    if shape in _TOLERANCES:
        plus, minus = _TOLERANCES[shape]
        return _checked(_tolerance(figures[0], figures[plus], figures[minus]), ask)
    if _BOUNDS.fullmatch(shape):
        return _checked(_bounds([mark for mark in shape if mark in "<>"], figures, ask), ask)
    if ask.kind is Kind.TORQUE and shape.startswith("n+n"):
        raise NotationError(
            f"“{_short(ask.text)}” adds a figure without saying what: give turns in degrees, such as 25 N·m + 90°."
        )
    raise _unreadable(ask)


def _check_kinds(figures: Sequence[_Figure], kind: Kind) -> None:
    for figure in figures:
        if figure.unit.kind is not kind:
            other = _WANTED[figure.unit.kind].noun
            raise NotationError(f"“{_said(figure)}” is {other}, not {_WANTED[kind].noun}: leave it out.")


def _with_units(amounts: Sequence[_Amount], default: Unit | None, ask: _Ask) -> list[_Figure]:
    """A figure without a unit has that of the next one that has it, or of the last one, or the default."""
    said = [amount.unit for amount in amounts if amount.unit is not None]
    following = said[-1] if said else default
    if following is None:
        wanted = _WANTED[ask.kind]
        raise NotationError(f"“{_short(ask.text)}” has no unit: add {wanted.units}.")
    figures: list[_Figure] = []
    for amount in reversed(amounts):
        following = amount.unit or following
        figures.append(_Figure(amount.value, amount.half, following, amount.text))
    return figures[::-1]


def _point(figure: _Figure) -> _Point:
    return _Point(figure.unit.to_base(figure.value), figure.half * figure.unit.factor, _said(figure))


def _said(figure: _Figure) -> str:
    return f"{figure.text}{_joined(figure.unit)}"


def _tolerance(target: _Figure, plus: _Figure, minus: _Figure) -> _Spread:
    """Limits either side of a target; a tolerance is a difference, so a temperature's zero does not count in it."""
    middle = _point(target)
    above, below = plus.value * plus.unit.factor, minus.value * minus.unit.factor
    high = _Point(
        _tidy(middle.base + above), middle.half + plus.half * plus.unit.factor, f"{target.text} + {_said(plus)}"
    )
    low = _Point(
        _tidy(middle.base - below), middle.half + minus.half * minus.unit.factor, f"{target.text} - {_said(minus)}"
    )
    return _Spread(low, high, middle, target.unit)


def _tidy(value: float) -> float:
    """The value without the noise of adding floats: 0.15 - 0.05 is 0.1 and not 0.09999999999999999."""
    return float(f"{value:.12g}")


def _bounds(marks: Sequence[str], figures: Sequence[_Figure], ask: _Ask) -> _Spread:
    if len(set(marks)) != len(marks):
        raise NotationError(f"“{_short(ask.text)}” sets the same limit twice: write it once.")
    points = dict(zip(marks, map(_point, figures), strict=True))
    return _Spread(points.get(">"), points.get("<"), None, figures[0].unit)


def _checked(spread: _Spread, ask: _Ask) -> _Spread:
    low, high = spread.low, spread.high
    if low and high and high.base < low.base:
        raise NotationError(f"The upper limit {high.text} is below the lower limit {low.text}: check order and digits.")
    for point in (low, high, spread.target):
        if point and point.base < 0 and ask.kind not in _SIGNED:
            raise NotationError(
                f"{point.text} is below zero, which {_WANTED[ask.kind].noun} cannot be: check the sign."
            )
    return spread


# --- The same figure printed in two systems


def _agreed(spread: _Spread, restated: Sequence[Sequence[_Item]], ask: _Ask) -> _Spread:
    """The first figures, once those in brackets say the same to within what each was rounded to."""
    for items in restated:
        second = _spread(items, _Ask(ask.text, ask.kind, None))
        for first, again in _pairs(spread, second, ask):
            if abs(first.base - again.base) > (first.half + again.half) * (1 + 1e-9):
                raise NotationError(_contradiction(first, again, spread.unit, second.unit, ask))
    return spread


def _contradiction(first: _Point, again: _Point, unit: Unit, other: Unit, ask: _Ask) -> str:
    said = first.text if unit is other else f"{first.text}, which is {write_magnitude(first.base, other.id)},"
    return f"“{_short(ask.text)}” contradicts itself: it says {said} and then {again.text}, so look it up again."


def _pairs(first: _Spread, second: _Spread, ask: _Ask) -> list[tuple[_Point, _Point]]:
    pairs = [(one, two) for one, two in zip(first[:3], second[:3], strict=True) if one and two]
    alone = [point for point in (first.low, first.high) if point]
    if not pairs and len(alone) == 1 and second.target:
        pairs = [(alone[0], second.target)]
    if not pairs:
        raise NotationError(f"“{_short(ask.text)}” says one thing and another in brackets: write it once.")
    return pairs


# --- Writing


def write_quantity(q: Quantity) -> str:
    """The value as it was typed, with its unit added where none was typed."""
    bare = q.kind is not Kind.NUMBER and not _HAS_UNIT.search(q.text.translate(_ALIKE))
    return _with_sign(q.text.strip(), UNITS[q.unit]) if bare else q.text


def write_magnitude(magnitude: float, unit_id: str) -> str:
    """A magnitude (base unit) in the unit named, with the digits it was given in, or as many as make sense."""
    return write_figure(UNITS[unit_id].from_base(magnitude), unit_id)


def write_figure(figure: float, unit_id: str) -> str:
    """A figure in the unit named, with the digits it was given in, or as many as make sense."""
    return _as_given(figure, UNITS[unit_id])


def write_limits(limits: Limits) -> str:
    """Limits as the trade writes them, in their own unit: “0.04 to 0.07 mm”, “at most 0.25 mm”, “0.10 ± 0.02 mm”."""
    unit = UNITS[limits.unit]
    if limits.low is None and limits.high is None:
        return "no limits" if limits.target is None else write_magnitude(limits.target, limits.unit)
    if limits.low is not None and limits.low == limits.high:
        only = write_magnitude(limits.low, limits.unit)
        return only if limits.kind is Kind.TORQUE else f"{only} to {only}"
    low, high, target = (_shown(value, unit.from_base) for value in (limits.low, limits.high, limits.target))
    return _around(low, high, target, unit) or _band(low, high, unit, None)


def write_spec(spec: Limits | TorqueTurn) -> str:
    """Limits as the trade writes them, or a torque with its turns: “25 N·m + 90°”."""
    return write_limits(spec) if isinstance(spec, Limits) else write_limits(spec.torque) + _turns(spec)


def second(spec: Quantity | Limits | TorqueTurn) -> str:
    """The same in the other system, limits rounded inward so no more can pass; empty for units both systems share."""
    if isinstance(spec, TorqueTurn):
        return second(spec.torque) + _turns(spec)
    values = [spec.magnitude] if isinstance(spec, Quantity) else [spec.low, spec.high, spec.target]
    unit = _other_unit(spec.unit, max((abs(value) for value in values if value is not None), default=0.0))
    if unit is None or all(value is None for value in values):
        return ""
    if isinstance(spec, Quantity):
        return _converted(unit.from_base(spec.magnitude), unit)
    low, high, target = (_shown(value, unit.from_base) for value in values)
    only = target if low is None and high is None else low if low == high else None
    return _band(low, high, unit, _usual_decimals(unit) + 2) if only is None else _converted(only, unit)


def difference(first: float, other: float, unit_id: str) -> str:
    """How far two magnitudes (base unit) of one kind are apart, in the unit named, without a sign."""
    # The zero of a scale cancels in a difference, so only the factor counts
    return _as_given(_apart(first, other) / UNITS[unit_id].factor, UNITS[unit_id])


_HAS_UNIT = re.compile(_LETTER)
# A blank between figure and unit, except for signs that belong to the figure.
_CLOSE = {"deg", "1", ":1"}
_PLURALS = {"days": "day", "weeks": "week"}
# Fewest decimals of a figure below one, as the trade writes it: 0.10 mm, 0.010 in.
_AT_LEAST_DECIMALS = {"mm": 2, "in": 3}
# What a computed figure is rounded to, where it is not one decimal: about what a gauge in that unit is read to.
_USUAL_DECIMALS = dict.fromkeys(("mm", "cm", "m", "ft", "MPa", "bar", "L", "kgf·m", "kg", "h"), 2) | {"µin": 0, "in": 4}
_CLEAN_DIGITS = 9


def _usual_decimals(unit: Unit) -> int:
    return _USUAL_DECIMALS.get(unit.id, 1)


def _joined(unit: Unit) -> str:
    return unit.sign if unit.id in _CLOSE else f" {unit.sign}"


def _with_sign(figure: str, unit: Unit) -> str:
    return f"1 {_PLURALS[unit.id]}" if figure == "1" and unit.id in _PLURALS else f"{figure}{_joined(unit)}"


def _after_many(unit: Unit) -> str:
    """The unit after two figures; a ratio's “:1” would seem to belong to the last alone."""
    return "" if unit.id == ":1" else _joined(unit)


def _turns(spec: TorqueTurn) -> str:
    return "".join(f" + {write_magnitude(turn, 'deg')}" for turn in spec.turns_deg)


def _shown(value: float | None, convert: Callable[[float], float]) -> float | None:
    return None if value is None else convert(value)


def _single(value: float, decimals: int, unit: Unit) -> str:
    return _with_sign(_figure(value, decimals), unit)


def _as_given(value: float, unit: Unit) -> str:
    clean = _clean_decimals(value)
    return _single(value, _sensible_decimals(value, unit) if clean is None else _filled(clean, value, unit), unit)


def _converted(value: float, unit: Unit) -> str:
    """A converted figure, whole where it comes out even (3/8 in is 9.525 mm) but never with a tail of digits."""
    decimals = _sensible_decimals(value, unit)
    clean = _clean_decimals(value)
    return _single(value, decimals if clean is None else _filled(min(clean, decimals + 1), value, unit), unit)


def _figure(value: float, decimals: int) -> str:
    """The value in plain figures, never with an exponent and never as minus nothing."""
    if abs(value) >= 1e15:
        return f"{Decimal(f'{value:.12g}'):f}"
    text = f"{value:.{decimals}f}"
    return text if text.strip("-0.") else text.removeprefix("-")


def _sensible_decimals(value: float, unit: Unit) -> int:
    """Decimals for a computed figure: what the unit is read to, and three digits at least."""
    return max(_usual_decimals(unit), 2 - _exponent(value))


def _filled(decimals: int, value: float, unit: Unit) -> int:
    return max(decimals, _AT_LEAST_DECIMALS.get(unit.id, 0)) if 0 < abs(value) < 1 else decimals


def _exponent(value: float) -> int:
    """The power of ten of the first digit; nothing counts as one."""
    return math.floor(math.log10(abs(value))) if value else 0


def _clean_decimals(value: float) -> int | None:
    """How many decimals the value was given in, or None where it has more digits than anybody types."""
    for digits in range(1, _CLEAN_DIGITS + 1):
        short = f"{value:.{digits}g}"
        if abs(float(short) - value) <= 1e-10 * abs(value):
            exponent = Decimal(short).normalize().as_tuple().exponent
            return max(0, -int(exponent))
    return None


def _apart(first: float, other: float) -> float:
    """The size of a difference; what is below the twelfth digit of the figures is noise and left out."""
    apart = abs(first - other)
    return round(apart, 11 - _exponent(max(abs(first), abs(other)))) or apart


def _around(low: float | None, high: float | None, target: float | None, unit: Unit) -> str:
    """A target with its tolerance, where all of them are figures somebody may have typed; empty otherwise."""
    if low is None or high is None or target is None or not low <= target <= high:
        return ""
    plus, minus = _apart(high, target), _apart(target, low)
    clean = [count for count in map(_clean_decimals, (target, plus, minus)) if count is not None]
    if len(clean) < 3:
        return ""
    decimals = _filled(max(clean), target, unit)
    middle, above, below = (_figure(value, decimals) for value in (target, plus, minus))
    if above == below:
        return f"{middle} ± {above}{_after_many(unit)}"
    return f"{middle} +{above if plus else 0}/-{below if minus else 0}{_after_many(unit)}"


def _band(low: float | None, high: float | None, unit: Unit, most: int | None) -> str:
    """A range or a one-sided limit, rounded inward unless it comes out even (within `most` decimals)."""
    decimals = _even_decimals(low, high, unit, most)
    if decimals is None:
        decimals = _inward_decimals(low, high, unit)
    bottom = "" if low is None else _figure(_inward(low, decimals, math.ceil), decimals)
    top = "" if high is None else _figure(_inward(high, decimals, math.floor), decimals)
    if bottom and top:
        return f"{bottom} to {top}{_after_many(unit)}"
    return f"at least {_with_sign(bottom, unit)}" if bottom else f"at most {_with_sign(top, unit)}"


def _even_decimals(low: float | None, high: float | None, unit: Unit, most: int | None) -> int | None:
    """The decimals that show every end exactly, or None."""
    found = []
    for end in (low, high):
        if end is not None:
            clean = _clean_decimals(end)
            if clean is None or (most is not None and clean > most):
                return None
            found.append(_filled(clean, end, unit))
    return max(found)


def _inward_decimals(low: float | None, high: float | None, unit: Unit) -> int:
    """So many decimals that rounding inward takes no more than a tenth of a band, or a fiftieth of a lone limit."""
    ends = [end for end in (low, high) if end is not None]
    spare = (ends[1] - ends[0]) / 10 if len(ends) == 2 else abs(ends[0]) / 50
    decimals = _usual_decimals(unit)
    finest = min(300, max(decimals, 11 - _exponent(max(map(abs, ends)))))
    while _lost(low, high, decimals) > spare and decimals < finest:
        decimals += 1
    return decimals


def _lost(low: float | None, high: float | None, decimals: int) -> float:
    bottom = 0.0 if low is None else _inward(low, decimals, math.ceil) - low
    top = 0.0 if high is None else high - _inward(high, decimals, math.floor)
    return bottom + top


def _inward(value: float, decimals: int, to_whole: Callable[[float], int]) -> float:
    """The value rounded up or down to some decimals; noise beyond twelve digits does not push it over."""
    scaled = float(f"{value * 10.0**decimals:.12g}")
    return to_whole(scaled) / 10.0**decimals


# --- The other system

_OTHER = {
    **dict.fromkeys(("mm", "cm"), "in"),
    **dict.fromkeys(("in", "thou"), "mm"),
    **{"m": "ft", "ft": "m", "km": "mi", "mi": "km", "µm": "µin", "µin": "µm"},
    **dict.fromkeys(("N·m", "daN·m", "kgf·m", "kgf·cm"), "lbf·ft"),
    **dict.fromkeys(("lbf·ft", "lbf·in", "ozf·in"), "N·m"),
    **dict.fromkeys(("kPa", "Pa", "MPa", "bar", "kgf/cm²"), "psi"),
    **{"psi": "kPa", "mL": "in³", "L": "US qt", "in³": "mL", "US fl oz": "mL", "imp fl oz": "mL"},
    **dict.fromkeys(("US pt", "US qt", "US gal", "imp pt", "imp qt", "imp gal"), "L"),
    **{"°C": "°F", "°F": "°C", "g": "oz", "kg": "lb", "oz": "g", "lb": "kg"},
    **dict.fromkeys(("N", "kN", "kgf"), "lbf"),
    "lbf": "N",
}
# Below this the trade says inch-pounds, and a foot-pound wrench is out of its range.
_SMALL_TORQUE_NM = 20.0


def _other_unit(unit_id: str, size: float) -> Unit | None:
    other = _OTHER.get(unit_id)
    if other == "lbf·ft" and size < _SMALL_TORQUE_NM:
        other = "lbf·in"
    return None if other is None else UNITS[other]
