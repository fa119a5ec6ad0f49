"""From pieces of text to figures with their units, and the marks between them."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from msgspec.structs import replace

from app.trade.notation.refusal import WANTED, Ambiguous, Ask, NotationError, short, unreadable
from app.trade.notation.tokens import Token, tokens
from app.trade.notation.writing import far_apart
from app.trade.quantity import REFUSED, SPELLINGS, TWO_COUNTRIES, TWO_MASSES, UNITS, Kind, Unit

_DEFAULT_UNIT = {Kind.NUMBER: "1"}
_NOISE = re.compile(r"[\s.·⋅∙•*×^-]+")
# Where the trade writes fractions: inches and what is counted in them, vessels, turns of a bolt.
_FRACTIONS = {"in", "thou", "ft", "mi"} | {
    f"{land} {one}" for land in ("US", "imp") for one in ("fl oz", "pt", "qt", "gal")
}
_DOUBLINGS = {2, 4, 8, 16, 32, 64}
_MOST_TIMES = 6


# --- From words to units


def default_unit(unit: str | None, kind: Kind) -> Unit | None:
    """The unit meant where none is typed, from its id or any spelling. Raises NotationError for one of another kind."""
    name = unit or _DEFAULT_UNIT.get(kind)
    if name is None:
        return None
    known = UNITS.get(name)
    return known if known is not None and known.kind is kind else _unit(name, kind)


def _unit(spelling: str, kind: Kind, *, restated: bool = False) -> Unit:
    """The unit a spelling means where a figure of this kind is wanted; a torque may be followed by angles."""
    exact = SPELLINGS[kind].get(spelling)
    if exact is not None:
        return UNITS[exact]
    key = _NOISE.sub("", spelling).casefold()
    if restated and kind is Kind.TORQUE and key in _PER_FOOT:
        return UNITS["lbf·ft"]
    refused = REFUSED.get((kind, spelling)) or REFUSED.get((kind, key))
    if refused:
        raise NotationError(f"“{spelling}” {refused}")
    known = SPELLINGS[kind].get(key)
    if known is None and kind is Kind.TORQUE:
        known = SPELLINGS[Kind.ANGLE].get(key)
    if known is None:
        raise _no_such_unit(spelling, key, kind)
    return UNITS[known]


# Printed in many manuals for pound-feet; behind the same figure in another unit it can be nothing else.
_PER_FOOT = {"lb/ft", "lbs/ft", "lbf/ft"}


def _no_such_unit(spelling: str, key: str, kind: Kind) -> NotationError:
    wanted = WANTED[kind]
    if kind is Kind.VOLUME and key in TWO_COUNTRIES:
        choices = TWO_COUNTRIES[key]
        sentence = f"“{spelling}” could be {choices[0]} or {choices[1]}, a fifth more: write the one you mean."
        return Ambiguous(sentence, spelling, choices)
    if kind is Kind.MASS and key in TWO_MASSES:
        choices = TWO_MASSES[key]
        sentence = f"“{spelling}” could be {choices[0]} or {choices[1]}, a fifteenth: write the one you mean."
        return Ambiguous(sentence, spelling, choices)
    others = [other for other in Kind if key in SPELLINGS[other]]
    if others:
        which = " or ".join(other.value for other in others)
        return NotationError(
            f"“{short(spelling)}” is a unit of {which}, but {wanted.noun} is wanted, in {wanted.units}."
        )
    return NotationError(f"“{short(spelling)}” is not a unit of {kind.value}: use {wanted.units}.")


# --- From pieces to figures


class Amount(NamedTuple):
    """A number with the unit typed behind it, or None; its rounding and place are those of its token."""

    value: float
    half: float
    unit: Unit | None
    text: str
    slash: tuple[int, int, int] | None
    start: int


Item = Amount | str


class Cut(NamedTuple):
    """The figures and marks said first, those said again, and the text of each part said again."""

    first: list[Item]
    restated: list[list[Item]]
    spans: list[tuple[int, int]]
    ranged: bool


def cut(ask: Ask) -> Cut:
    """The figures and marks outside brackets, and those of each part inside them or in the other system.

    Raises NotationError or Ambiguous.
    """
    outside: list[Token] = []
    inside: list[list[Token]] = []
    closing = ""
    for token in tokens(ask):
        bracket = token.sort == "mark" and token.text in "([{)]}"
        if bracket and not closing and token.text in _CLOSES:
            closing = _CLOSES[token.text]
            inside.append([])
        elif bracket:
            if token.text != closing:
                raise unreadable(ask)
            closing = ""
        elif closing and token.sort == "mark" and token.text in ",;":
            inside.append([])
        else:
            (inside[-1] if closing else outside).append(token)
    if closing or not all(inside):
        raise unreadable(ask)
    return _sorted(outside, inside, ask)


_CLOSES = {"(": ")", "[": "]", "{": "}"}


def _sorted(outside: list[Token], inside: list[list[Token]], ask: Ask) -> Cut:
    again = replace(ask, unit=None, restated=True)
    plain = _settle_slashes(_collapse(outside, ask), ask)
    ranged = "r" in plain
    first, *others = _in_systems(plain, ask.kind)
    restated = [*others, *(_settle_slashes(_collapse(part, again), again) for part in inside)]
    spans = [(-1, -1)] * len(others) + [(part[0].start, part[-1].end) for part in inside]
    return Cut(first, restated, spans, ranged)


def _collapse(pieces: list[Token], ask: Ask) -> list[Item]:
    items: list[Item] = []
    sign = ""
    words: list[str] = []
    for token in _settle_minutes(pieces, ask.kind):
        if token.sort == "unit":
            words.append(token.text)
            continue
        _attach(words, items, ask)
        if token.sort == "number":
            value = -token.value if sign == "-" else token.value
            items.append(Amount(value, token.half, None, sign + token.text, token.slash, token.start))
            sign = ""
        elif sign:
            raise unreadable(ask)
        elif token.text in "+-" and _starts_number(items):
            sign = token.text
        else:
            items.append(token.text)
    _attach(words, items, ask)
    if sign:
        raise unreadable(ask)
    return _join(items, ask.kind)


def _settle_minutes(pieces: list[Token], kind: Kind) -> Iterator[Token]:
    """“min” is minutes straight after a number where a time is wanted, and the minimum everywhere else."""
    before = ""
    for token in pieces:
        if token.sort == "minutes":
            minutes = kind is Kind.TIME and before == "number"
            token = token._replace(sort="unit", text="min") if minutes else token._replace(sort="mark", text=">")
        before = token.sort
        yield token


def _starts_number(items: list[Item]) -> bool:
    """Whether a + or - here is the sign of a number and not a mark between two."""
    return not items or (isinstance(items[-1], str) and items[-1] not in "+/,S;")


def _attach(words: list[str], items: list[Item], ask: Ask) -> None:
    """Give the unit whose words were gathered to the figure in front of them."""
    if not words:
        return
    spelling = " ".join(words)
    words.clear()
    if not items or isinstance(items[-1], str) or items[-1].unit is not None:
        raise unreadable(ask)
    items[-1] = items[-1]._replace(unit=_unit(spelling, ask.kind, restated=ask.restated))


# --- Joining what makes one figure


def _join(items: list[Item], kind: Kind) -> list[Item]:
    """Join what makes one figure: 10.5:1 and 10.5 to 1, 1 h 30 min, and 2 x 90° as two turns."""
    joined: list[Item] = []
    for item in items:
        joined.append(item)
        if kind is Kind.NUMBER:
            _join_ratio(joined)
        elif kind is Kind.TIME:
            _join_times(joined)
        elif kind is Kind.TORQUE:
            _join_turns(joined)
    return [item for place, item in enumerate(joined) if item != "," or joined[place + 1 : place + 2] != ["+"]]


def _join_ratio(items: list[Item]) -> None:
    if len(items) < 3:
        return
    first, mark, second = items[-3:]
    if not isinstance(first, Amount) or not isinstance(second, Amount) or first.unit or second.value <= 0:
        return
    if first.slash or second.slash:
        return
    if mark == ":" or (mark == "t" and second.text == "1" and first.value > 1):
        ratio = first.value / second.value
        text = f"{first.text}:{second.text}"
        items[-3:] = [Amount(ratio, first.half / second.value, UNITS[":1"], text, None, first.start)]


def _join_times(items: list[Item]) -> None:
    if len(items) < 2:
        return
    first, second = items[-2:]
    if not isinstance(first, Amount) or not isinstance(second, Amount) or first.unit is None or second.unit is None:
        return
    if second.unit.factor < first.unit.factor and not first.slash and not second.slash:
        value = first.value + second.value * second.unit.factor / first.unit.factor
        text = f"{first.text} {first.unit.sign} {second.text}"
        items[-2:] = [first._replace(value=value, text=text)]


def _join_turns(items: list[Item]) -> None:
    if len(items) < 3 or items[-2] != "x":
        return
    count, _, turn = items[-3:]
    if isinstance(count, Amount) and isinstance(turn, Amount) and turn.unit and turn.unit.kind is Kind.ANGLE:
        times = int(count.value)
        if times == count.value and 1 <= times <= _MOST_TIMES and count.unit is None:
            items[-3:] = [turn if place % 2 == 0 else "+" for place in range(2 * times - 1)]


# --- Slashes


def _settle_slashes(items: list[Item], ask: Ask) -> list[Item]:
    """Each slash as a fraction where the trade writes one with that unit, else as a range “r”. Raises Ambiguous."""
    settled: list[Item] = []
    for place, item in enumerate(items):
        if isinstance(item, Amount) and item.slash is not None:
            settled += _settle_slash(item, _unit_at(items, place, ask), ask)
        else:
            settled.append(item)
    return ["r" if mark == "/" and _ranges(settled, place) else mark for place, mark in enumerate(settled)]


def _ranges(items: list[Item], place: int) -> bool:
    """Whether a slash stands between two bare numbers of one unit, and nothing else is said of tolerances."""
    before, after = items[place - 1 : place], items[place + 1 : place + 2]
    if not before or not after or not isinstance(before[0], Amount) or not isinstance(after[0], Amount):
        return False
    return before[0].unit is None and "+" not in items[:place] and "-" not in items[:place]


def _unit_at(items: list[Item], place: int, ask: Ask) -> Unit | None:
    following = [item.unit for item in items[place:] if isinstance(item, Amount) and item.unit]
    before = [item.unit for item in items[:place] if isinstance(item, Amount) and item.unit]
    return following[0] if following else before[-1] if before else ask.unit


def _settle_slash(item: Amount, unit: Unit | None, ask: Ask) -> list[Item]:
    assert item.slash is not None
    whole, over, under = item.slash
    value = whole + over / under
    thirds = unit is not None and unit.id == "turn" and under == 3
    if over < under and (thirds or (under in _DOUBLINGS and (whole or (over % 2 and _in_fractions(unit))))):
        negative = item.text.startswith("-")
        return [item._replace(value=-value if negative else value, slash=None)]
    if whole:
        raise unreadable(ask)
    written = item.text.lstrip("+-")
    if over < under and under in _DOUBLINGS and (over % 2 or _in_fractions(unit)):
        raise _which_slash(item, unit, ask)
    ends = [one.strip() for one in written.split("/")]
    low, high = (Amount(float(end), 0.5, None, end, None, item.start) for end in ends)
    return [low, "/", high._replace(unit=item.unit)]


def _in_fractions(unit: Unit | None) -> bool:
    return unit is not None and (unit.id in _FRACTIONS or unit.id == "turn")


def _which_slash(item: Amount, unit: Unit | None, ask: Ask) -> Ambiguous:
    assert item.slash is not None
    _, over, under = item.slash
    part = item.text.lstrip("+-")
    decimal = f"{over / under:g}".replace(".", ask.decimal)
    if item.unit is None and unit is ask.unit and ask.kind is Kind.LENGTH:
        choices = (f"{part} in", f"{decimal} {unit.sign}" if unit else f"{decimal} mm")
    elif far_apart(ask.kind, over, under):
        choices = (f"at least {over}, at most {under}", decimal)
    else:
        choices = (f"{over} to {under}", decimal)
    return Ambiguous(
        f"“{part}” in “{short(ask.text)}” could be {choices[0]} or {choices[1]}: write the one you mean.", part, choices
    )


# --- The same said in two systems without brackets


def _in_systems(items: list[Item], kind: Kind) -> list[list[Item]]:
    """The items, cut where the same is said again in the other system: 0.10 mm 0.004 in, or 27 Nm / 20 lbf ft."""
    if kind in (Kind.TIME, Kind.NUMBER, Kind.SPEED, Kind.SHARE, Kind.ANGLE):
        return [items]
    systems = [_system_at(items, place, kind) for place in range(len(items))]
    first = next((system for system in systems if system), None)
    for place, item in enumerate(items):
        if not isinstance(item, Amount) or systems[place] in (None, first) or place == 0:
            continue
        mark = items[place - 1]
        if isinstance(mark, Amount):
            return [items[:place], *_in_systems(items[place:], kind)] if mark.unit else [items]
        before = items[place - 2] if place > 1 else None
        if mark in ("/", "=") and isinstance(before, Amount) and before.unit:
            return [items[: place - 1], *_in_systems(items[place:], kind)]
        break
    return [items]


def _system_at(items: list[Item], place: int, kind: Kind) -> str | None:
    """Metric or inch, for a figure of the kind with its own unit or that of the next one."""
    if not isinstance(items[place], Amount):
        return None
    unit = next((item.unit for item in items[place:] if isinstance(item, Amount) and item.unit), None)
    return unit.system if unit is not None and unit.kind is kind and unit.system != "both" else None
