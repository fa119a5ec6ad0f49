"""Facts to journal text and back."""

from collections.abc import Mapping
from dataclasses import fields
from datetime import datetime
from enum import Enum
from typing import Any

from app.assembly import facts as f
from app.assembly.facts import About, Fact

CLASSES: dict[About, type[Any]] = {
    About.LINE: f.Mark,
    About.TICK: f.Tick,
    About.READING: f.Reading,
    About.FIGURE: f.Figure,
    About.PART: f.PartSaid,
    About.GATE: f.Passage,
    About.CONCESSION: f.Concession,
    About.EVENT: f.Event,
    About.EXTRA: f.Extra,
    About.FINDING: f.Finding,
    About.ITEM: f.Item,
    About.HOLE: f.Hole,
    About.FIT: f.PartFit,
    About.COUNT: f.Tightened,
    About.SEEN: f.Seen,
    About.RUN: f.Run,
    About.CANDIDATE: f.Candidate,
    About.TOOL: f.Tool,
    About.JOINT: f.JointSaid,
    About.BOLT: f.BoltTurn,
    About.CAM: f.CamSaid,
    About.OPTION: f.Chosen,
    About.LEFT: f.Left,
    About.RESUMED: f.Resumed,
}
_TIMES = ("at", "known_from", "decided_at", "out_at", "checked", "wrong_at")
_TUPLES = ("covers", "disturbs", "reopens", "values", "items", "confirmed", "doubted", "taken_from")
_BACK: dict[str, Any] = {
    "state": f.State,
    "holding": f.Holding,
    "kind": f.ExtraKind,
    "decision": f.Disposition,
    "fit": f.Fitted,
} | dict.fromkeys(_TUPLES, tuple)


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
    return {name: value.isoformat() if isinstance(value, datetime) else value for name, value in values.items()}


def from_json(about: About, values: dict[str, Any] | None) -> Fact | None:
    """The fact that `to_json` wrote."""
    if values is None:
        return None
    times = {name: datetime.fromisoformat(values[name]) for name in _TIMES if values.get(name)}
    return from_plain(about, values | times)


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Mapping):
        return dict(value)
    return list(value) if isinstance(value, tuple) else value
