"""The form of a plan file: for each class of the plan a twin that pydantic can check a file against, and describe."""

from dataclasses import field, make_dataclass
from functools import cache, reduce
from operator import or_
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from msgspec import Struct, convert
from msgspec.structs import FieldInfo, fields
from pydantic import TypeAdapter

from app.assembly.plan.steps import Plan

STRICT: dict[str, Any] = {"extra": "forbid", "str_strip_whitespace": True}


@cache
def form() -> TypeAdapter[Any]:
    """What checks a plan file, finding every fault at once."""
    return TypeAdapter(_twin(Plan))


def checked(data: Any) -> Plan:
    """The plan that the tables of a file say; raises pydantic's ValidationError with every fault of form."""
    return convert(form().validate_python(data), Plan, from_attributes=True)


@cache
def _twin(kind: type[Struct]) -> type:
    """A dataclass with the name, the sentence and the fields of a class of the plan."""
    hints = get_type_hints(kind)
    said = {"__doc__": kind.__doc__, "__pydantic_config__": STRICT}
    return make_dataclass(
        kind.__name__, [(one.name, _twinned(hints[one.name]), _default(one)) for one in fields(kind)], namespace=said
    )


def _default(one: FieldInfo) -> Any:
    return field() if one.required else field(default=one.default)


def _twinned(hint: Any) -> Any:
    """What a field holds, with twins for the classes of the plan."""
    if isinstance(hint, type) and issubclass(hint, Struct):
        return _twin(hint)
    if get_origin(hint) in (Union, UnionType):
        return reduce(or_, (_twinned(one) for one in get_args(hint)))
    if get_origin(hint) is tuple:
        return tuple[tuple(_twinned(one) for one in get_args(hint))]  # type: ignore[misc]
    return hint
