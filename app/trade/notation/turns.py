"""The turns behind a torque: cut off the end of a figure, each an angle or a window of angles in degrees."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from app.trade.notation.amounts import Amount, Item
from app.trade.notation.refusal import Ambiguous, Ask, NotationError, short, unreadable
from app.trade.notation.spread import with_units
from app.trade.programme import Angle
from app.trade.quantity import Kind

# a is a number with a unit of angle, q one with a unit of torque, n one without. A turn begins at a plus, a comma, a
# slash, a stage, or straight behind another figure's unit; one without its own unit has that of the next turn.
_TURN = r"(?:[na][-t±]a|a|n(?=\+))"
_TURNS = re.compile(rf"(?:(?:,?\+|[,;/S]|(?<=[qa])){_TURN})+$")
_ONE = re.compile(rf"(?:,?\+|[,;/S])?(?P<turn>{_TURN})")
_ADDED = re.compile(r"(?:.*[^-t±])?\+q")


class Turn(NamedTuple):
    """A turn, and where in the text it stands."""

    angle: Angle
    start: int


def cut_turns(items: list[Item], ask: Ask) -> tuple[tuple[Turn, ...], list[Item]]:
    """The turns at the end of a tightening and what stands before them. Raises NotationError for what is no turn."""
    shape = _shape(items)
    match = _TURNS.search(shape) or (re.fullmatch(_TURN, shape) if ask.restated else None)
    rest = items[: match.start()] if match else items
    if rest[:1] == ["S"]:
        rest = rest[1:]
    if match is None:
        return (), rest
    if _ADDED.fullmatch(shape[: match.start()]):
        raise NotationError(f"“{short(ask.text)}” adds a torque, which is not a turn: write angles, such as + 90°.")
    tail = items[match.start() :]
    return _angles(tail, _shape(tail), ask), rest


def _shape(items: Sequence[Item]) -> str:
    letters = []
    for item in items:
        if isinstance(item, str):
            letters.append(item)
        elif item.unit is None:
            letters.append("n")
        else:
            letters.append("a" if item.unit.kind is Kind.ANGLE else "q")
    return "".join(letters)


def _angles(tail: list[Item], shape: str, ask: Ask) -> tuple[Turn, ...]:
    amounts = [item for item in tail if isinstance(item, Amount)]
    degrees = [given.unit.to_base(given.value) for given in with_units(amounts, None, ask)]
    turns: list[Turn] = []
    place = at = 0
    while place < len(shape):
        match = _ONE.match(shape, place)
        if match is None:
            raise unreadable(ask)
        mark = match["turn"][1:2]
        turns.append(Turn(_angle(degrees[at : at + (2 if mark else 1)], mark, ask), amounts[at].start))
        at += 2 if mark else 1
        place = match.end()
    return tuple(turns)


def _angle(degrees: Sequence[float], mark: str, ask: Ask) -> Angle:
    low, high = degrees[0], degrees[-1]
    if mark == "±":
        low, high = degrees[0] - degrees[1], degrees[0] + degrees[1]
    if not 0 < low <= high:
        raise NotationError(
            f"“{short(ask.text)}” has a turn that is not one: after the torque write angles above 0, such as + 90°."
        )
    return Angle((low + high) / 2, low, high)


def said_once(turns: Sequence[Turn], bracket: int, ask: Ask) -> tuple[Turn, ...]:
    """The turns where a torque in brackets, beginning at a place in the text, stands between them.

    What stands before it and again behind it is one tightening printed in two systems, “28 Nm + 90° (20 ft lb) + 90°”.
    Raises Ambiguous where the two are not alike: then nobody can tell which turns are further ones.
    """
    before = [turn for turn in turns if turn.start < bracket]
    behind = [turn for turn in turns if turn.start > bracket]
    if bracket < 0 or not before or not behind:
        return tuple(turns)
    if len(before) == len(behind) and all(map(_same_turn, before, behind)):
        return tuple(before)
    opening = max(ask.bare.rfind(mark, 0, bracket) for mark in "([{")
    closing = min(at for mark in ")]}" if (at := ask.bare.find(mark, bracket)) >= 0)
    first, last = ask.text[:opening].strip(), ask.text[closing + 1 :].strip()
    raise Ambiguous(
        f"“{short(ask.text)}” has turns before and behind its brackets: write {first} {last}, or {first} alone.",
        ask.text,
        (f"{first} {last}", first),
    )


def _same_turn(one: Turn, two: Turn) -> bool:
    return _same(one.angle, two.angle)


def check_again(
    first: Sequence[Angle], again: Sequence[Angle], ask: Ask, span: tuple[int, int], *, alone: bool
) -> None:
    """Hold the turns in brackets at `span` against those outside; `alone` where they stand there without a torque.

    Raises NotationError where they say something else, Ambiguous where those outside go on.
    """
    if alone and all(any(_same(one, two) for one in first) for two in again):
        return
    if not all(_same(one, two) for one, two in zip(first, again, strict=False)) or len(again) > len(first):
        raise NotationError(f"“{short(ask.text)}” says one turn and another in brackets: write it once.")
    if again and len(again) < len(first):
        raise _goes_on(first, again, ask, span)


def _same(one: Angle, two: Angle) -> bool:
    return abs(one.low - two.low) < _SAME_DEG and abs(one.high - two.high) < _SAME_DEG


# A third of a turn may be printed as 120° or in tenths.
_SAME_DEG = 0.5


def _goes_on(first: Sequence[Angle], again: Sequence[Angle], ask: Ask, span: tuple[int, int]) -> NotationError:
    sentence = f"“{short(ask.text)}” has {len(first)} turns, and {len(again)} in brackets"
    start, end = span
    if start < 0:
        return NotationError(f"{sentence}: write each turn once.")
    opening = max(ask.bare.rfind(mark, 0, start) for mark in "([{")
    closing = min(at for mark in ")]}" if (at := ask.bare.find(mark, end)) >= 0)
    outside = " ".join(f"{ask.text[:opening]} {ask.text[closing + 1 :]}".split())
    choices = (outside, ask.text[start:end].strip())
    return Ambiguous(f"{sentence}: write {choices[0]} or {choices[1]}.", ask.text, choices)
