"""What there is to say, without the words: a kind and its arguments. The sentence is made when it is shown."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum
from typing import Union

Arg = Union[str, int, float, bool, None, datetime, Enum, "Phrase", tuple["Arg", ...]]


@dataclass(frozen=True, slots=True)
class Phrase:
    """One thing to say. `kind` is a member of one of the enums of kinds; each has its sentence in app/words.

    Arguments are plain values, times with their zone, members of enums, further phrases, or tuples of those.
    """

    kind: Enum
    args: Mapping[str, Arg] = field(default_factory=dict)


def phrase(kind: Enum, **args: Arg) -> Phrase:
    """A phrase of this kind with these arguments."""
    return Phrase(kind, args)
