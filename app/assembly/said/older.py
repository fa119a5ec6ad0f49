"""Reading up what older forms kept as English sentences: to a kind and arguments where the sentence is known."""

import re
from collections.abc import Sequence
from enum import Enum
from typing import Any

from app.assembly.said.phrase import phrase, phrase_values

# A pattern with a name for each argument, and the kind it stands for.
Old = tuple[str, Enum]


def read_up(text: str, known: Sequence[Old], otherwise: Enum, **more: Any) -> dict[str, Any]:
    """The sentence as the values of a phrase: the first pattern that fits it whole, else the text as it was written."""
    for pattern, kind in known:
        found = re.fullmatch(pattern, text, re.DOTALL)
        if found is not None:
            args = {name: int(arg) if name in _NUMBERS else arg for name, arg in found.groupdict().items()}
            return phrase_values(phrase(kind, **args, **more))
    return phrase_values(phrase(otherwise, text=text))


_NUMBERS = ("ticked", "of", "count")
