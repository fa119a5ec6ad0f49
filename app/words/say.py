"""The one door to words: a phrase comes in, a sentence goes out."""

from collections.abc import Callable, Mapping
from datetime import datetime
from enum import Enum
from functools import cache
from importlib import import_module

from app.assembly.said.phrase import Arg, Phrase
from app.assembly.said.refusal import Refused
from app.words.times import moment

# A text with {names} for the arguments, or a function of them where number or case changes the words.
Sentence = str | Callable[..., str]


def say(phrase: Phrase) -> str:
    """The sentence of a phrase in the language in use; raises KeyError for a kind without one."""
    sentence = _table(type(phrase.kind))[phrase.kind]
    args = {name: told(value) if isinstance(sentence, str) else value for name, value in phrase.args.items()}
    return sentence.format(**args) if isinstance(sentence, str) else sentence(**args)


def refusal(error: Refused) -> str:
    """Why something was refused, in a sentence."""
    return say(error.said)


def told(value: Arg) -> str:
    """An argument as it stands in a sentence: a phrase said, a time local and short, several with commas."""
    if isinstance(value, Phrase):
        return say(value)
    if isinstance(value, tuple):
        return ", ".join(told(one) for one in value)
    if isinstance(value, datetime):
        return moment(value)
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


@cache
def _table(kinds: type[Enum]) -> Mapping[Enum, Sentence]:
    """The sentences of one enum of kinds: the table of the same module name in app/words/english."""
    module = import_module(f"app.words.english.{kinds.__module__.rpartition('.')[2]}")
    tables: Mapping[type[Enum], Mapping[Enum, Sentence]] = module.TABLES
    return tables[kinds]
