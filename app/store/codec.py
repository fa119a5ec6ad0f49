"""Facts to journal text and back, by what their classes say of their fields."""

import types
from collections.abc import Callable, Mapping
from datetime import datetime
from enum import Enum
from functools import cache
from typing import Any, Union, cast, get_args, get_origin, get_type_hints

from app.assembly.said.facts import Fact
from app.assembly.said.kinds import FactKind
from app.assembly.said.phrase import Phrase, phrase_of, phrase_values

Back = Callable[[Any], Any]


def plain(fact: Fact) -> dict[str, Any]:
    """The fact's fields with words for enums and lists for tuples; times stay times."""
    return {name: _plain(getattr(fact, name)) for name in cast(Any, fact).__struct_fields__}


def from_plain(kind: FactKind[Any], values: dict[str, Any]) -> Any:
    """The fact with these fields, as a row gives them: times are times already."""
    back = _back(_class(kind))
    return kind.fact(**{name: back[name](value) if name in back else value for name, value in values.items()})


def to_json(fact: Fact | None) -> dict[str, Any] | None:
    """The fact as JSON values; None stays None."""
    if fact is None:
        return None
    values = plain(fact)
    return {name: value.isoformat() if isinstance(value, datetime) else value for name, value in values.items()}


def from_json(kind: FactKind[Any], form: int, values: dict[str, Any] | None) -> Any:
    """The fact that `to_json` wrote in this form or an older one of the kind; raises UnknownForm for a newer one."""
    if values is None:
        return None
    newest = kind.newest(values, form)
    times = {name: datetime.fromisoformat(newest[name]) for name in _times(_class(kind)) if newest.get(name)}
    return from_plain(kind, newest | times)


def _plain(value: Any) -> Any:
    if isinstance(value, Phrase):
        return phrase_values(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Mapping):
        return dict(value)
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


def _class(kind: FactKind[Any]) -> Any:
    return kind.fact


@cache
def _times(fact: Any) -> tuple[str, ...]:
    """The fields that hold a moment."""
    return tuple(name for name, kind in _kinds(fact).items() if kind is datetime)


@cache
def _back(fact: Any) -> Mapping[str, Back]:
    """What makes a field of this class from its plain value, where that is not the value itself."""
    made = {name: _maker(kind) for name, kind in _kinds(fact).items()}
    return {name: maker for name, maker in made.items() if maker is not None}


def _maker(kind: Any) -> Back | None:
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind
    if kind is Phrase:
        return lambda values: phrase_of(values) if values is not None else None
    if get_origin(kind) is tuple and get_args(kind)[:1] == (Phrase,):
        return lambda values: tuple(phrase_of(one) for one in values)
    return tuple if get_origin(kind) is tuple else None


def types_of(fact: Any) -> Mapping[str, Any]:
    """What a class of facts says of the type of each field, in their order."""
    said = get_type_hints(fact)
    return {name: said[name] for name in fact.__struct_fields__}


@cache
def _kinds(fact: Any) -> Mapping[str, Any]:
    return {name: bare(said) for name, said in types_of(fact).items()}


def bare(said: Any) -> Any:
    """The type of a field; for one that may be None, the type it has else."""
    if not may_be_none(said):
        return said
    found = [one for one in get_args(said) if one is not types.NoneType]
    return found[0] if len(found) == 1 else said


def may_be_none(said: Any) -> bool:
    """Whether a field of this type may be None."""
    return get_origin(said) in (Union, types.UnionType) and types.NoneType in get_args(said)
