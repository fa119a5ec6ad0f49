"""Cutting what is typed into numbers, units and a few words, by one closed pattern."""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from app.trade.notation.refusal import Ambiguous, Ask, NotationError, short, unreadable

# One letter for each, so that the make of a whole figure is a short string such as “n±n”. L and G stand only in front
# of a number: behind one, “over” says how much, and is no limit. l and g stand only behind.
_WORDS = {
    "<": (
        *("at most", "no more than", "not more than", "not over", "maximum", "max"),
        *("not to exceed", "must not exceed", "should not exceed", "not exceeding"),
    ),
    "L": ("up to", "less than", "under", "below"),
    "l": ("or less", "or under", "or below"),
    ">": ("at least", "no less than", "not less than", "not under", "minimum", "min"),
    "G": ("more than", "over", "above"),
    "g": ("or more", "or over", "or above"),
    "t": ("to", "through", "thru"),
    "±": ("plus or minus",),
    "+": ("then", "plus", "followed by", "and then"),
    "&": ("and",),
    "b": ("between",),
    "f": ("from",),
    "≈": ("about", "approximately", "approx", "roughly"),
}
_SIGNS = {"<": "<= =< ≤ <", ">": ">= => ≥ >", "t": "... .. … ~", "±": "± +/- +-", "≈": "≈", "=": "="}
_MEANS = {word: mark for mark, words in _WORDS.items() for word in words}
_MEANS |= {sign: mark for mark, signs in _SIGNS.items() for sign in signs.split()}

LETTER = r"[A-Za-zµμ°%\"'℃℉]"
_VULGAR = {"½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8}


def _any_of(texts: Iterator[str]) -> str:
    return "|".join(re.escape(text).replace(r"\ ", r"\s+") for text in sorted(texts, key=len, reverse=True))


_TOKEN = re.compile(
    rf"""(?P<space>\s+)
    | (?P<perminute>(?:1?/min|min-1)(?!{LETTER}|[0-9.,]))
    | (?P<sign>{_any_of(sign for signs in _SIGNS.values() for sign in signs.split())})
    | (?P<vulgar>(?:(?P<ones>[0-9]+)(?:\s+|-)?)?(?P<part>[{"".join(_VULGAR)}]))
    | (?P<stage>(?:(?:stage|step)\s*[0-9]|[0-9](?:st|nd|rd|th)\s+(?:stage|step))(?![0-9])\s*[:.)]?)
    | (?P<fraction>(?:(?P<whole>[1-9][0-9]*)(?:\s+|-))?(?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)(?![0-9/]|[.,][0-9]))
    | (?P<number>[0-9]*(?:[.,][0-9]+)+|[0-9]+)
    | (?P<hyphen>(?<=[0-9½¼¾⅓⅔])-(?=turn|deg))
    | (?P<times>[x×](?=\s*[0-9]))
    | (?P<water>(?:inches|inch|ins|in|")\.?\s*(?:of\s*)?H2O(?!{LETTER}|[0-9]))
    | (?P<word>(?:{_any_of(word for words in _WORDS.values() for word in words)})(?!{LETTER})(?:\.(?!\.))?)
    | (?P<unit>{LETTER}+(?:(?<=m)\^?[23]|(?<=in)\^?[23])?
        (?:\.?[.·⋅∙•*×/-]{LETTER}+(?:(?<=m)\^?[23]|(?<=in)\^?[23])?)*(?:\.(?!\.))?)
    | (?P<mark>[-+/:()\[\]{{}};]|,(?=\s))
    | (?P<other>.)""",
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)
# The signs that look alike, each for the one the pattern knows; every one keeps its place in the text.
ALIKE = str.maketrans("‐‑‒–—−⁻⁄∕″“”„′’‘ºᵒ˚²³¹₂∼〜～", '-------//""""\'\'\'°°°2312~~~')


class Token(NamedTuple):
    """A piece of the text: its sort, how it is written, its place, and of a number its value and its rounding.

    `half` is half of what the last digit may have been rounded to; `slash` is the whole, upper and lower number of
    what may be a fraction, whose value is known only with its unit.
    """

    sort: str
    text: str
    start: int
    end: int
    value: float = 0.0
    half: float = 0.0
    slash: tuple[int, int, int] | None = None


def tokens(ask: Ask) -> list[Token]:
    """The pieces of the text, blanks left out. Raises NotationError where there is no number or a sign is foreign."""
    found = []
    for match in _TOKEN.finditer(ask.bare):
        sort = match.lastgroup or ""
        if sort not in ("space", "hyphen"):
            found.append(_CUT[sort](match, ask))
    if not any(token.sort == "number" for token in found):
        raise unreadable(ask)
    return found


def _token(sort: str, match: re.Match[str], text: str | None = None) -> Token:
    return Token(sort, match[0] if text is None else text, match.start(), match.end())


def _cut_number(match: re.Match[str], ask: Ask) -> Token:
    text = match[0]
    marks = [character for character in text if character in ".,"]
    if len(marks) > 1:
        raise NotationError(f"“{short(text)}” has two marks in one number: write it with a single decimal mark.")
    token = _token("number", match)
    if not marks:
        return token._replace(value=float(text), half=_half_of_whole(text))
    whole, places = text.split(marks[0])
    if marks[0] != ask.decimal and len(places) == 3 and whole.strip("0"):
        choices = (f"{whole}{ask.decimal}{places}", f"{whole}{places}")
        raise Ambiguous(f"“{text}” could be {choices[0]} or {choices[1]}: write the one you mean.", text, choices)
    return token._replace(value=float(f"{whole or '0'}.{places}"), half=0.5 * 10.0 ** -len(places))


def _half_of_whole(text: str) -> float:
    """Half of what a whole number may have been rounded to; 250 may well be 248 rounded to the ten."""
    return 5.0 if len(text) > 2 and text.endswith("0") else 0.5


def _cut_fraction(match: re.Match[str], ask: Ask) -> Token:
    slash = int(match["whole"] or 0), int(match["over"]), int(match["under"])
    if slash[2] == 0:
        raise NotationError(f"“{match[0]}” divides by nothing: write the fraction again.")
    if slash[0] and slash[1] >= slash[2]:
        raise unreadable(ask)
    return _token("number", match)._replace(slash=slash)


def _cut_vulgar(match: re.Match[str], _ask: Ask) -> Token:
    return _token("number", match)._replace(value=int(match["ones"] or 0) + _VULGAR[match["part"]])


def _cut_word(match: re.Match[str], _ask: Ask) -> Token:
    word = " ".join(match[0].lower().removesuffix(".").split())
    return _token("minutes" if word == "min" else "mark", match, _MEANS[word])


def _cut_sign(match: re.Match[str], _ask: Ask) -> Token:
    return _token("mark", match, _MEANS[match[0]])


def _cut_stage(match: re.Match[str], _ask: Ask) -> Token:
    return _token("mark", match, "S")


def _cut_times(match: re.Match[str], _ask: Ask) -> Token:
    return _token("mark", match, "x")


def _cut_unit(match: re.Match[str], _ask: Ask) -> Token:
    return _token("unit", match)


def _cut_mark(match: re.Match[str], _ask: Ask) -> Token:
    return _token("mark", match)


def _cut_other(match: re.Match[str], ask: Ask) -> Token:
    raise NotationError(f"“{match[0]}” in “{short(ask.text)}” cannot be read: use the figures 0 to 9 and a unit.")


_CUT: Mapping[str, Callable[[re.Match[str], Ask], Token]] = {
    "perminute": _cut_unit,
    "sign": _cut_sign,
    "vulgar": _cut_vulgar,
    "stage": _cut_stage,
    "fraction": _cut_fraction,
    "number": _cut_number,
    "times": _cut_times,
    "water": _cut_unit,
    "word": _cut_word,
    "unit": _cut_unit,
    "mark": _cut_mark,
    "other": _cut_other,
}
