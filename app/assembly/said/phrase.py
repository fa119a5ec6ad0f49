"""What there is to say, without the words: a kind and its arguments. The sentence is made when it is shown."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum
from importlib import import_module
from typing import Any, Union, cast

from msgspec import Struct, field

Arg = Union[str, int, float, bool, None, datetime, Enum, "Phrase", tuple["Arg", ...]]


class Phrase(Struct, frozen=True):
    """One thing to say. `kind` is a member of one of the enums of kinds; each has its sentence in app/words.

    Arguments are plain values, times with their zone, members of enums, further phrases, or tuples of those.
    """

    kind: Enum
    args: Mapping[str, Arg] = field(default_factory=dict)


def phrase(kind: Enum, **args: Arg) -> Phrase:
    """A phrase of this kind with these arguments."""
    return Phrase(kind, args)


# --- as values that can be written down


def kind_name(kind: Enum) -> str:
    """A kind as it is written down: “reasons.Because.DONE_AFTER”, the module of this folder first."""
    return f"{type(kind).__module__.rpartition('.')[2]}.{type(kind).__name__}.{kind.name}"


def kind_called(name: str) -> Enum:
    """The kind that is written down so; raises ValueError where there is none."""
    module, _, rest = name.partition(".")
    kinds, _, member = rest.partition(".")
    try:
        found = getattr(import_module(f"{__package__}.{module}"), kinds)[member]
    except (ImportError, AttributeError, KeyError):
        raise ValueError(f"nothing to say is called “{name}”") from None
    return cast(Enum, found)


def phrase_values(said: Phrase) -> dict[str, Any]:
    """The phrase as JSON values: `kind` and `args`, a time under “at”."""
    return {"kind": kind_name(said.kind), "args": {name: _value(arg) for name, arg in said.args.items()}}


def phrase_of(values: Mapping[str, Any]) -> Phrase:
    """The phrase that `phrase_values` wrote; raises ValueError for a kind that this program does not know."""
    return Phrase(kind_called(values["kind"]), {name: _arg(value) for name, value in values["args"].items()})


def _value(arg: Arg) -> Any:
    match arg:
        case Phrase():
            return phrase_values(arg)
        case datetime():
            return {"at": arg.isoformat()}
        case tuple():
            return [_value(one) for one in arg]
        case _:
            return arg


def _arg(value: Any) -> Arg:
    match value:
        case {"kind": _}:
            return phrase_of(value)
        case {"at": str(at)}:
            return datetime.fromisoformat(at)
        case list():
            return tuple(_arg(one) for one in value)
        case _:
            return value  # type: ignore[no-any-return]  # a plain value, as JSON has it
