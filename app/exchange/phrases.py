"""Phrases in plain values: the kind of what is said, and its arguments."""

from app.assembly.said.phrase import Arg, Phrase
from app.exchange.export_further import Values, time_text


def phrase_values(phrase: Phrase) -> Values:
    """A phrase as its kind and its arguments, times as ISO 8601."""
    return {"kind": phrase.kind.value, "args": {name: _plain(value) for name, value in phrase.args.items()}}


def _plain(value: Arg) -> object:
    if isinstance(value, Phrase):
        return phrase_values(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return value if isinstance(value, str | int | float | None) else time_text(value)
