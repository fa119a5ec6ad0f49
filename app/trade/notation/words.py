"""The words beside a figure that say how it is meant: taken out of the text, and kept as its conditions."""

import re
from collections.abc import Callable, Iterator
from functools import cache

from msgspec import Struct

from app.trade.conditions import UNSAID, Conditions, Heat, Method, Reference, Threads, Tier, merged
from app.trade.notation.patterns import LatePattern
from app.trade.notation.refusal import NotationError, short
from app.trade.quantity import Kind


class Asides(Struct, frozen=True):
    """What was taken out of a text: the rest, every sign in its place, the conditions, and figures still to be read.

    `heat`, `speed` and `height` are the text of a temperature, a speed and a length beside the figure, "" for none.
    """

    bare: str
    conditions: Conditions
    label: str
    heat: str
    speed: str
    height: str


# Cheap to look for: a text without any of these has no words beside its figure.
_ANY = re.compile(
    r"cold|hot|warm|dry|oiled|lubri|greas|with|@|\bat\s+(?:a\b|about|[0-9.])|dead|[ba]\.?\s?[tb]\.?\s?d\.?|t\.?\s?i\.?\s?r|f\.?i\.?m|ra\b"
    r"|dia|[Øø⌀∅]|limit|new|st(?:andar)?d|plastic|difference|feeler|indicator|[:=]|°\s*[cf]",
    re.IGNORECASE,
)
_NUMBER = r"[0-9][0-9.,/]*"
_VALUE = rf"{_NUMBER}(?:\s*(?:-|±|to\b|\+/-)\s*{_NUMBER})?"
_LABEL = LatePattern(
    r"\s*(?P<label>(?:[A-Za-z][A-Za-z./-]*\s+){0,4}?(?:torque|clearance|gap|play|float|lash|pressure|capacity|diameter"
    r"|bore|stroke|height|thickness|width|length|depth|run-?out|taper|weight|mass|load|force|speed|temperature|angle"
    r"|advance|timing|stretch|volume|protrusion|size|figure|value|setting|spec(?:ification)?|preload|backlash|ratio))"
    r"\s*[:=]\s*",
    re.IGNORECASE,
)

_Read = Callable[[re.Match[str]], Conditions]


def _phrase(pattern: str, read: _Read, *kinds: Kind) -> tuple[re.Pattern[str], _Read, tuple[Kind, ...]]:
    """A phrase alone in brackets, behind a comma, or bare; a colon behind it goes with it."""
    edge = rf"(?<![A-Za-z]){pattern}(?![A-Za-z])"
    first = edge.replace("(?P<", "(?P<in_")
    return re.compile(rf"[(\[{{]\s*{first}\s*[)\]}}]|[,;]?\s*{edge}\s*:?", re.IGNORECASE), read, kinds


def _group(match: re.Match[str], name: str) -> str:
    groups = match.groupdict()
    return " ".join((groups.get(f"in_{name}") or groups.get(name) or "").split())


def _heat(match: re.Match[str]) -> Conditions:
    return Conditions(heat=Heat.COLD if _group(match, "heat").lower() == "cold" else Heat.HOT)


def _with_what(match: re.Match[str]) -> Conditions:
    what = _group(match, "what")
    threads = Threads.OILED if re.search(r"\boil\b", what, re.IGNORECASE) else Threads.COMPOUND
    return Conditions(threads=threads, lubricant=what)


def _plastic(match: re.Match[str]) -> Conditions:
    states = {"dry": Method.PLASTIC_DRY, "oiled": Method.PLASTIC_OILED}
    return Conditions(method=states.get(_group(match, "state").lower(), Method.PLASTIC))


def _centre(match: re.Match[str]) -> Conditions:
    letters = "".join(word[0] for word in re.findall(r"[a-z]+", _group(match, "centre").lower()))
    if len(letters) < 4:
        letters = re.sub(r"[^a-z]", "", _group(match, "centre").lower())
    return Conditions(reference=Reference[letters[:4].upper()])


def _is(conditions: Conditions) -> _Read:
    return lambda _match: conditions


# Many patterns, and few figures have such words: they are made when the first one has.
@cache
def _known_phrases() -> tuple[tuple[re.Pattern[str], _Read, tuple[Kind, ...]], ...]:
    return (
        _phrase(r"(?:when\s+|(?:with\s+(?:the\s+)?)?engine\s+)?(?P<heat>cold|hot|warm)(?:\s+engine)?", _heat),
        _phrase(
            r"(?:with\s+|by\s+)?(?:gauging\s+)?plastic(?:\s+(?:gauge|strip|thread))?(?:\s*[,-]?\s*(?P<state>dry|oiled))?",
            _plastic,
            Kind.LENGTH,
        ),
        _phrase(r"by\s+difference", _is(Conditions(method=Method.DIFFERENCE)), Kind.LENGTH),
        _phrase(
            r"(?:with\s+|by\s+)(?:a\s+)?feelers?(?:\s+gauges?)?", _is(Conditions(method=Method.FEELER)), Kind.LENGTH
        ),
        _phrase(
            r"(?:threads?\s+)?(?:clean\s+and\s+)?dry(?:\s+threads?)?", _is(Conditions(threads=Threads.DRY)), Kind.TORQUE
        ),
        _phrase(
            r"(?:threads?\s+)?(?:lightly\s+|well\s+)?(?:oiled|lubricated)(?:\s+threads?)?",
            _is(Conditions(threads=Threads.OILED)),
            Kind.TORQUE,
        ),
        _phrase(
            r"with\s+(?!new\b)(?P<what>[A-Za-z][A-Za-z0-9 /-]{0,40}?)(?=\s*(?:[,;()\[\]+@]|$|then\b|plus\b))",
            _with_what,
            Kind.TORQUE,
        ),
        _phrase(
            r"(?P<centre>[ba]\.?\s?[tb]\.?\s?d\.?\s?c\b\.?|(?:before|after)\s+(?:top|bottom)\s+dead\s+cent(?:re|er))",
            _centre,
            Kind.ANGLE,
            Kind.LENGTH,
        ),
        _phrase(
            r"(?:t\.?\s?i\.?\s?r\b\.?|f\.?\s?i\.?\s?m\b\.?|total\s+indicator\s+(?:reading|run-?out))",
            _is(Conditions(reference=Reference.TIR)),
            Kind.LENGTH,
        ),
        _phrase(r"ra", _is(Conditions(reference=Reference.RA)), Kind.LENGTH),
        _phrase(r"dia(?:meter|m)?\b\.?", _is(Conditions(reference=Reference.DIAMETER)), Kind.LENGTH),
        _phrase(r"(?:new(?:\s+part)?(?!\s+(?:bolt|nut|stud))|standard|std\.?)", _is(Conditions(tier=Tier.NEW))),
    )


_BORE_SIGN = LatePattern(r"[Øø⌀∅]")
_LIMIT = LatePattern(r"(?:(?:service|wear|worn)\s+)?(?<![A-Za-z])limit(?![A-Za-z])\s*:?", re.IGNORECASE)
_HAS_SIDE = LatePattern(r"(?<![A-Za-z])(?:max|min|at\s+(?:most|least)|or\s+(?:less|more))|[<>≤≥]", re.IGNORECASE)

_AT = r"[,;]?\s*(?:(?<![A-Za-z])at\s+(?:a\s+height\s+of\s+|about\s+)?|@\s*)"
_HEAT_AT = LatePattern(
    rf"{_AT}(?P<value>{_VALUE}\s*(?:°|deg(?:rees)?\.?\s?)?\s*[CF])(?![A-Za-z·])"
    rf"|[(\[{{]\s*(?P<in_value>{_VALUE}\s*°\s*[CF])\s*[)\]}}]",
    re.IGNORECASE,
)
_SPEED_AT = LatePattern(
    rf"{_AT}(?P<value>{_VALUE}\s*(?:r\.?\s?p\.?\s?m\b\.?|rev/min|r/min|1/min|min-1))", re.IGNORECASE
)
_HEIGHT_AT = LatePattern(
    rf"{_AT}(?P<value>(?:[0-9]+\s+)?{_NUMBER}\s*(?:mm|cm|inch(?:es)?|in\b\.?|\"))(?![A-Za-z·])", re.IGNORECASE
)


def take_asides(text: str, kind: Kind) -> Asides:
    """The text without the words that are conditions, and what they say. Raises NotationError where they clash."""
    if not _ANY.search(text):
        return Asides(text, UNSAID, "", "", "", "")
    label = _LABEL.match(text)
    bare = _blank(text, label) if label else text
    asides: dict[str, str] = {}
    for name, pattern, own in (
        ("heat", _HEAT_AT, Kind.TEMPERATURE),
        ("speed", _SPEED_AT, Kind.SPEED),
        ("height", _HEIGHT_AT, None if kind is Kind.FORCE else kind),
    ):
        match = pattern.search(bare) if own is not kind else None
        asides[name] = _group(match, "value") if match else ""
        bare = _blank(bare, match) if match else bare
    conditions = UNSAID
    for said, match in _phrases(bare, kind):
        bare = _blank(bare, match)
        conditions = _both(conditions, said, text)
    bare, conditions = _limit(bare, conditions, text)
    return Asides(bare, conditions, _group(label, "label") if label else "", **asides)


def _phrases(bare: str, kind: Kind) -> Iterator[tuple[Conditions, re.Match[str]]]:
    taken = bare
    for pattern, read, kinds in _known_phrases():
        if kinds and kind not in kinds:
            continue
        for match in pattern.finditer(taken):
            yield read(match), match
            taken = _blank(taken, match)
    if kind is Kind.LENGTH:
        for match in _BORE_SIGN.finditer(taken):
            yield Conditions(reference=Reference.DIAMETER), match


def _blank(text: str, match: re.Match[str]) -> str:
    return text[: match.start()] + " " * len(match[0]) + text[match.end() :]


def _both(first: Conditions, again: Conditions, text: str) -> Conditions:
    try:
        return merged(first, again)
    except ValueError as error:
        raise NotationError(
            f"“{short(text)}” says two things of its {error}: write one figure, and the other for itself."
        ) from error


def _limit(bare: str, conditions: Conditions, text: str) -> tuple[str, Conditions]:
    """“Limit” alone is the most a worn part may have; beside a word that gives the side it only says worn."""
    match = _LIMIT.search(bare)
    if match is None:
        return bare, conditions
    rest = _blank(bare, match)
    if not _HAS_SIDE.search(rest):
        rest = rest[: match.start()] + "<".ljust(len(match[0])) + rest[match.end() :]
    return rest, _both(conditions, Conditions(tier=Tier.WORN), text)


# --- Two tiers, and figures with a label each

_WORN = LatePattern(
    r"[,;(\[\s]\s*(?P<word>(?:replace|renew|discard)\s+(?:if\s+|when\s+)?"
    r"(?P<side>over|above|more\s+than|under|below|less\s+than)"
    r"|(?:(?:service|wear|worn)\s+)?limit)\s*:?\s*(?P<rest>\.?[0-9][^()\[\]]*?)\s*[)\]]?\s*$",
    re.IGNORECASE,
)


class Tiers(Struct, frozen=True):
    """A figure's two tiers as text: of the new part and of the worn one, and the side of the latter ("" unsaid)."""

    new: str
    worn: str
    side: str


def split_tiers(text: str) -> Tiers | None:
    """The two tiers of a figure such as “new 0.02 to 0.05, replace over 0.10”, or None where it has one."""
    match = _WORN.search(text)
    if match is None or not any(sign.isdigit() for sign in text[: match.start()]):
        return None
    word = " ".join((match["side"] or "").lower().split())
    side = {"over": "<", "above": "<", "more than": "<"}.get(word, ">" if word else "")
    return Tiers(text[: match.start()], match["rest"], side)


class Labelled(Struct, frozen=True):
    """A figure with the word that stood before it in lower case ("" for none); “intake” and “inlet” are “in”."""

    label: str
    text: str


_SIDES = {"intake": "in", "inlet": "in", "int": "in", "in": "in", "exhaust": "ex", "exh": "ex", "ex": "ex"}
_SIDE = LatePattern(
    rf"(?:^|[,;]|(?<=\s))\s*(?P<label>{'|'.join(sorted(_SIDES, key=len, reverse=True))})(?:\.|\s*:)?\s*(?=\.?[0-9])",
    re.IGNORECASE,
)
_WORD = LatePattern(r"\s*(?P<label>[A-Za-z][A-Za-z ]*?)\s*:\s*(?P<text>\S.*)", re.DOTALL)
_TAIL = LatePattern(r"(?P<figures>.*[0-9])(?P<tail>\D*)", re.DOTALL)


def split_labelled(text: str) -> tuple[Labelled, ...]:
    """The figures of a text that has several, each with its label: “IN .008 EX .010 HOT”, “in: …; taper: …”.

    What stands behind the last one (its unit, HOT) is meant of those before it too where they end in a number. A text
    of one figure without a label comes back whole. Raises nothing.
    """
    found = list(_SIDE.finditer(text))
    if found and not text[: found[0].start()].strip():
        ends = [match.start() for match in found[1:]] + [len(text)]
        pieces = [
            (_SIDES[match["label"].lower()], text[match.end() : end].strip(" \t\n,;"))
            for match, end in zip(found, ends, strict=True)
        ]
        tail = _tail(pieces[-1][1])
        return tuple(Labelled(label, piece if _tail(piece) else piece + tail) for label, piece in pieces)
    parts = text.split(";")
    return tuple(_by_word(part, alone=len(parts) == 1) for part in parts)


def _tail(piece: str) -> str:
    match = _TAIL.fullmatch(piece)
    return match["tail"].rstrip() if match else ""


def _by_word(piece: str, *, alone: bool) -> Labelled:
    """A piece by the word before its colon; a name of what is measured before a lone figure labels nothing."""
    match = _WORD.fullmatch(piece)
    if match is None or (alone and _LABEL.match(piece)):
        return Labelled("", piece)
    label = match["label"].casefold()
    return Labelled(_SIDES.get(label, label), match["text"])
