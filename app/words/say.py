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
    return filled(_table(type(phrase.kind))[phrase.kind], phrase.args)


def filled(sentence: Sentence, args: Mapping[str, Arg]) -> str:
    """A sentence with its arguments in place: told each in its way, but for numbers, which a text may want rounded."""
    if not isinstance(sentence, str):
        return sentence(**args)
    return sentence.format(
        **{name: value if isinstance(value, int | float) else told(value) for name, value in args.items()}
    )


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
    if isinstance(value, Enum):
        return _word(value)
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _word(member: Enum) -> str:
    """A member of an enum alone: its sentence where it has one, else its value."""
    try:
        return say(Phrase(member))
    except (ModuleNotFoundError, KeyError):
        return str(member.value)


@cache
def _table(kinds: type[Enum]) -> Mapping[Enum, Sentence]:
    """The sentences of one enum of kinds: the table of the same module name in app/words/english."""
    module = import_module(f"app.words.english.{kinds.__module__.rpartition('.')[2]}")
    tables: Mapping[type[Enum], Mapping[Enum, Sentence]] = module.TABLES
    return tables[kinds]
