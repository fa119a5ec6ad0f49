"""What there is to say, as JSON has it: a kind and its arguments, beside the sentence."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum
from typing import Any

from app.assembly.said.phrase import Arg, Phrase


def phrase_values(phrase: Phrase) -> dict[str, Any]:
    """A phrase as plain values."""
    return {"kind": kind_word(phrase.kind), "args": plain_args(phrase.args)}


def kind_word(kind: Enum) -> str:
    """A kind as --json calls it: “done-after”."""
    return kind.name.lower().replace("_", "-")


def plain_args(args: Mapping[str, Arg]) -> dict[str, Any]:
    """The arguments as plain values: times as ISO 8601 with their zone, members of enums by their value."""
    return {name: _plain(value) for name, value in args.items()}


def _plain(value: Arg) -> Any:
    if isinstance(value, Phrase):
        return phrase_values(value)
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, Enum):
        return value.value
    return [_plain(one) for one in value] if isinstance(value, tuple) else value
