"""Facts to journal text and back."""

from dataclasses import fields
from datetime import datetime
from enum import Enum
from typing import Any

from app.build.facts import (
    About,
    Concession,
    Fact,
    Figure,
    Holding,
    Mark,
    PartSaid,
    Passage,
    Reading,
    State,
    Tick,
)

CLASSES: dict[About, type[Any]] = {
    About.LINE: Mark,
    About.TICK: Tick,
    About.READING: Reading,
    About.FIGURE: Figure,
    About.PART: PartSaid,
    About.GATE: Passage,
    About.CONCESSION: Concession,
}
_BACK: dict[str, Any] = {"state": State, "holding": Holding, "covers": tuple}


def plain(fact: Fact) -> dict[str, Any]:
    """The fact's fields with words for enums and lists for tuples; times stay times."""
    return {field.name: _plain(getattr(fact, field.name)) for field in fields(fact)}


def from_plain(about: About, values: dict[str, Any]) -> Fact:
    """The fact with these fields, as a row gives them."""
    ready = {name: _BACK[name](value) if name in _BACK else value for name, value in values.items()}
    fact: Fact = CLASSES[about](**ready)
    return fact


def to_json(fact: Fact | None) -> dict[str, Any] | None:
    """The fact as JSON values; None stays None."""
    if fact is None:
        return None
    values = plain(fact)
    return values | {"at": values["at"].isoformat()}


def from_json(about: About, values: dict[str, Any] | None) -> Fact | None:
    """The fact that `to_json` wrote."""
    if values is None:
        return None
    return from_plain(about, values | {"at": datetime.fromisoformat(values["at"])})


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    return list(value) if isinstance(value, tuple) else value
