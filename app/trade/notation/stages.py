"""A programme of tightening, step by step: read from what manuals print, and written."""

import re
from typing import Protocol

from app.trade.notation.patterns import LatePattern
from app.trade.notation.refusal import Ambiguous, NotationError, short
from app.trade.notation.tokens import ALIKE
from app.trade.notation.writing import write_limits, write_magnitude, write_turn
from app.trade.programme import Again, Angle, NewBolt, Programme, Slacken, Step, Stretch, Torque, Wait, falls
from app.trade.quantity import Kind, Limits


class ReadLimits(Protocol):
    """How one step's figure is read; raises NotationError."""

    def __call__(self, text: str, kind: Kind, *, unit: str | None = None, decimal: str = ".") -> Limits:
        """The limits in a text."""
        ...


_ANGLE = r"(?:°|deg(?:ree)?s?\b|turns?\b)"
_STAGE = r"(?:(?:stage|step)\s*[0-9](?![0-9])\s*[:.)]?|[0-9](?:st|nd|rd|th)\s+(?:stage|step)\s*:?)"
_BREAKS = LatePattern(
    rf"\s*(?:[;\n]|,\s|{_STAGE})\s*(?:(?:and\s+)?then\b|plus\b|followed\s+by\b|\+)?\s*"
    r"|\s+(?:(?:and\s+)?then|plus|followed\s+by)\s+"
    rf"|\s*\+\s*(?=[^+,;/]*{_ANGLE})"
    rf"|(?<![0-9\s])\s*/\s*(?=[^+,;/]*{_ANGLE})",
    re.IGNORECASE,
)
_VERBS = LatePattern(
    r"slacken|loosen|back(?:ed)?\s*off|\bwait\b|\bagain\b|\brepeat\b|\bnew\s+(?:bolt|nut|stud)|\bstretch\b",
    re.IGNORECASE,
)
_TORQUES = LatePattern(
    r"[0-9]\s*(?:k|da)?(?:N|lbf?|ft|in|kgf?|oz)s?\.?[\s.·*-]*(?:m|cm|ft|in|lbf?|lbs|pounds)\b", re.IGNORECASE
)
_SLACKEN = LatePattern(
    r"(?:slacken|loosen|back\s*off|undo)(?:\s+(?:off|fully|completely|it|all))*(?:\s+(?:by\s+)?(?P<turn>\S.*))?",
    re.IGNORECASE,
)
_WAIT = LatePattern(r"wait\s+(?:for\s+)?(?P<time>\S.*)", re.IGNORECASE)
_AGAIN = LatePattern(r"(?:again|repeat)(?:\s+(?:all|once|all\s+of\s+it))?", re.IGNORECASE)
_NEW = LatePattern(
    r"(?:(?:with|fit|use)\s+)?(?:a\s+)?new\s+(?:bolt|nut|stud)s?(?:\s+from\s+here(?:\s+on)?)?", re.IGNORECASE
)
_STRETCH = LatePattern(r"stretch\s+(?:of\s+|to\s+|by\s+)?(?P<after>\S.*)|(?P<before>\S.*?)\s+stretch", re.IGNORECASE)
_LEAD = LatePattern(
    r"(?:tighten|torque|turn)(?:\s+(?:to|by|on|on\s+by|a\s+further))?\s+|(?:a\s+)?further\s+", re.IGNORECASE
)
_TIMES = LatePattern(rf"(?P<times>[2-6])\s*[x×]\s*(?P<turn>[0-9].*{_ANGLE})", re.IGNORECASE)
_MOST_STEPS = 30


def is_programme(text: str) -> bool:
    """Whether a text asks for more than one torque and its turns."""
    alike = text.translate(ALIKE)
    if _VERBS.search(alike):
        return True
    return len([step for step in _split(_covered(alike)) if _TORQUES.search(step)]) > 1


def read_steps(text: str, read: ReadLimits, unit: str | None, decimal: str) -> Programme:
    """The steps of a tightening, each figure by `read`. Raises NotationError; Ambiguous where a torque falls."""
    pieces = [piece for piece in _split(text.translate(ALIKE)) if piece.strip(" .")]
    if not pieces or len(pieces) > _MOST_STEPS:
        raise NotationError(f"“{short(text)}” is no tightening: write it such as 60 N·m; slacken; 30 N·m + 90°.")
    steps: list[Step] = []
    following = unit
    for piece in reversed(pieces):
        found = _steps(piece.strip().rstrip("."), read, following, decimal)
        if isinstance(found[0], Torque):
            following = found[0].limits.unit
        steps = [*found, *steps]
    programme = Programme(tuple(steps), text)
    _check(programme, pieces)
    return programme


def _split(text: str) -> list[str]:
    """The text cut into steps, not inside brackets."""
    ends = [0]
    for match in _BREAKS.finditer(_covered(text)):
        ends += [match.start(), match.end()]
    ends.append(len(text))
    return [text[start:end] for start, end in zip(ends[::2], ends[1::2], strict=True)]


def _covered(text: str) -> str:
    """The text with what stands in brackets struck out, every other sign in its place."""
    return re.sub(r"\([^()]*\)|\[[^\[\]]*\]|\{[^{}]*\}", lambda match: "_" * len(match[0]), text)


def _steps(piece: str, read: ReadLimits, unit: str | None, decimal: str) -> list[Step]:
    times = _TIMES.fullmatch(piece)
    if times is not None:
        return [_angle(times["turn"], read, decimal)] * int(times["times"])
    return [_step(piece, read, unit, decimal)]


def _step(piece: str, read: ReadLimits, unit: str | None, decimal: str) -> Step:
    if _AGAIN.fullmatch(piece):
        return Again()
    if _NEW.fullmatch(piece):
        return NewBolt()
    if (match := _SLACKEN.fullmatch(piece)) is not None:
        return Slacken(_single(match["turn"], Kind.ANGLE, read, decimal) if match["turn"] else None)
    if (match := _WAIT.fullmatch(piece)) is not None:
        return Wait(_single(match["time"], Kind.TIME, read, decimal))
    if (match := _STRETCH.fullmatch(piece)) is not None:
        return Stretch(read(match["after"] or match["before"], Kind.LENGTH, decimal=decimal))
    figure = _LEAD.sub("", piece, count=1) if _LEAD.match(piece) else piece
    if re.search(_ANGLE, figure, re.IGNORECASE):
        return _angle(figure, read, decimal)
    return Torque(read(figure, Kind.TORQUE, unit=unit, decimal=decimal))


def _single(text: str, kind: Kind, read: ReadLimits, decimal: str) -> float:
    limits = read(text, kind, decimal=decimal)
    if limits.target is None or limits.low is not None or limits.target <= 0:
        raise NotationError(f"“{short(text)}” is not one value above 0: write one.")
    return limits.target


def _angle(text: str, read: ReadLimits, decimal: str) -> Angle:
    limits = read(text, Kind.ANGLE, decimal=decimal)
    low, high = limits.low, limits.high
    if low is None and high is None:
        low = high = limits.target
    if low is None or high is None or low <= 0:
        raise NotationError(f"“{short(text)}” is no turn: write an angle above 0 or its window, such as 85° to 95°.")
    return Angle((low + high) / 2, low, high)


def _check(programme: Programme, pieces: list[str]) -> None:
    for _, before, after in falls(programme):
        part = next(piece.strip() for piece in pieces if after.text.strip() in piece)
        choices = (f"slacken; {part}", f"new bolt; {part}")
        raise Ambiguous(
            f"“{short(programme.text)}” goes down from {write_limits(before)} to {write_limits(after)} with nothing "
            f"slackened: write {choices[0]} or {choices[1]}, or check the figures.",
            part,
            choices,
        )


# --- Writing


def write_programme(programme: Programme) -> str:
    """The steps in order: “60 N·m; slacken; 30 N·m + 90°; wait 10 min; again”."""
    text = ""
    for step in programme.steps:
        joint = " + " if isinstance(step, Angle) else "; "
        text += (joint if text else "") + write_step(step)
    return text


def write_step(step: Step) -> str:
    """One step: “30 N·m”, “85° to 95°”, “slacken”, “wait 10 min”."""
    match step:
        case Torque(limits):
            return write_limits(limits)
        case Angle(_, low, high):
            return write_turn(low, high)
        case Stretch(limits):
            return f"stretch {write_limits(limits)}"
        case Slacken(turn):
            return "slacken" if turn is None else f"slacken {write_magnitude(turn, 'deg')}"
        case Wait(seconds):
            return f"wait {write_magnitude(seconds, _time_unit(seconds))}"
        case NewBolt():
            return "new bolt"
        case Again():
            return "again"


def _time_unit(seconds: float) -> str:
    return next((unit for unit, size in (("h", 3600), ("min", 60)) if seconds % size == 0), "s")
