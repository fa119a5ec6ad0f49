"""The tables of measuring that ship with the program: resources/tables read, checked row by row, and kept.

Figures stand in the files as printed, with their unit, and are read as the trade writes them.
"""

import math
from collections.abc import Callable, Mapping
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from app.trade.measuring_tables import (
    ClearanceRow,
    CompressionKind,
    CompressionRule,
    Expansion,
    Instrument,
    LeakRule,
    LimitKind,
    MeasuringTables,
    Note,
    OilRule,
    PlugTorque,
    RingGapRule,
)
from app.trade.notation import NotationError, read_limits, read_quantity
from app.trade.quantity import Kind, Limits
from app.trade.shipped_tables import FOLDER, TableError, origin_of, read_toml
from app.trade.tables import Origin
from app.trade.uncertainty import USUAL_K, expanded, standard_from_limit

Built = TypeVar("Built")
Choice = TypeVar("Choice", bound=Enum)
# What gauges are made of.
STEEL = "steel"


@cache
def measuring_tables() -> MeasuringTables:
    """The tables that ship with the program, read once; raises TableError for the first fault."""
    return read_measuring_tables(FOLDER)


def growth_over_steel(material: str) -> float:
    """By how much more than a steel gauge a material grows for each kelvin (1/K); 0 for one the tables do not have."""
    part, steel = _alpha_per_k(material), _alpha_per_k(STEEL)
    return part - steel if part is not None and steel is not None else 0.0


def _alpha_per_k(material: str) -> float | None:
    """The first figure that the tables have for a material: the one with the better source stands first."""
    rows = measuring_tables().expansions
    return next((row.alpha_per_k for row in rows if material and material in (row.id, row.material)), None)


def read_measuring_tables(folder: Path) -> MeasuringTables:
    """Read and check the tables in a folder; raises TableError naming the file and the row of the first fault."""
    plugs = _File(folder / "plug-torques.toml", ("plug_torque", "note"))
    health = _File(folder / "health.toml", ("compression", "leak", "oil"))
    return MeasuringTables(
        instruments=_File(folder / "instruments.toml", ("instrument",)).rows("instrument", _instrument),
        expansions=_File(folder / "expansion.toml", ("expansion",)).rows("expansion", _expansion),
        ring_gaps=_File(folder / "ring-gaps.toml", ("ring_gap",)).rows("ring_gap", _ring_gap),
        plug_torques=plugs.rows("plug_torque", _plug_torque),
        plug_notes=plugs.rows("note", _note),
        compression=health.rows("compression", _compression),
        leak=health.rows("leak", _leak),
        oil=health.rows("oil", _oil),
        clearances=_File(folder / "clearances.toml", ("clearance",)).rows("clearance", _clearance),
    )


class _Row:
    """One row of a table, read field by field; what is never asked for was not meant to be there."""

    def __init__(self, where: str, values: Mapping[str, Any], origin: Origin) -> None:
        self._where = where
        self._values = values
        self._asked: set[str] = set()
        self.origin = origin

    def has(self, key: str) -> bool:
        self._asked.add(key)
        return key in self._values

    def text(self, key: str) -> str:
        if not self.has(key):
            raise TableError(f"{self._where} has no “{key}”: write it, or take the row out.")
        value = self._values[key]
        if not isinstance(value, str) or not value.strip():
            raise TableError(f"{self._where} has “{value}” for {key}, which must be text in quotation marks.")
        return value

    def number(self, key: str) -> float:
        value = self._values.get(key) if self.has(key) else None
        if isinstance(value, bool) or not isinstance(value, int | float) or not (math.isfinite(value) and value > 0):
            raise TableError(f"{self._where} has “{value}” for {key}, which must be a number above 0.")
        return float(value)

    def figure(self, key: str, kind: Kind) -> float:
        text = self.text(key)
        try:
            return read_quantity(text, kind).magnitude
        except NotationError as error:
            raise TableError(f"{self._where} gives {key} as “{text}”: {error}") from None

    def limits(self, key: str, kind: Kind) -> Limits:
        text = self.text(key)
        try:
            return read_limits(text, kind)
        except NotationError as error:
            raise TableError(f"{self._where} gives {key} as “{text}”: {error}") from None

    def choice(self, key: str, kind: type[Choice]) -> Choice:
        text = self.text(key)
        try:
            return kind(text)
        except ValueError:
            ways = ", ".join(str(member.value) for member in kind)
            raise TableError(f"{self._where} says “{text}” for {key}: take one of {ways}.") from None

    def finish(self) -> None:
        for key in self._values:
            if key not in self._asked:
                raise TableError(f"{self._where} has “{key}”, which no such row has: take it out.")


class _File:
    """A file of tables: heads of the kinds it may hold, each with its origin and rows."""

    def __init__(self, path: Path, kinds: tuple[str, ...]) -> None:
        self._name = path.name
        self._tables = read_toml(path)
        for kind in self._tables:
            if kind not in kinds:
                raise TableError(f"{path.name} has a head “{kind}”, which it cannot: it takes {', '.join(kinds)}.")

    def rows(self, kind: str, build: Callable[[_Row], Built]) -> tuple[Built, ...]:
        tables = self._tables.get(kind)
        if not isinstance(tables, list) or not tables or not all(isinstance(table, dict) for table in tables):
            raise TableError(f"{self._name} has to hold [[{kind}]] heads: mend its heads.")
        return tuple(
            built
            for number, table in enumerate(tables, 1)
            for built in self._built(f"{self._name}, {kind} {number}", table, build)
        )

    def _built(self, where: str, table: Mapping[str, Any], build: Callable[[_Row], Built]) -> list[Built]:
        origin = origin_of(where, table)
        rows = table.get("rows")
        if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
            raise TableError(f"{where} has no rows: write them as rows = [ {{ ... }}, ... ].")
        found = []
        for number, values in enumerate(rows, 1):
            row = _Row(f"{where}, row {number}", values, origin)
            found.append(build(row))
            row.finish()
        return found


def _instrument(row: _Row) -> Instrument:
    if row.has("limit") == row.has("doubt"):
        raise TableError(f"Instrument {row.text('id')} needs either a limit of error or a doubt: write one of the two.")
    doubt = (
        row.figure("doubt", Kind.LENGTH)
        if row.has("doubt")
        else expanded(standard_from_limit(row.figure("limit", Kind.LENGTH)), USUAL_K)
    )
    low, high = row.figure("from", Kind.LENGTH), row.figure("to", Kind.LENGTH)
    return Instrument(row.text("id"), row.text("name"), row.text("job"), low, high, doubt, row.origin)


def _expansion(row: _Row) -> Expansion:
    return Expansion(row.text("id"), row.text("material"), row.number("per_k"), row.origin)


def _ring_gap(row: _Row) -> RingGapRule:
    return RingGapRule(row.text("set"), row.text("ring"), row.text("use"), row.number("per_bore"), row.origin)


def _plug_torque(row: _Row) -> PlugTorque:
    thread = int(row.number("thread_mm"))
    torque = row.limits("torque", Kind.TORQUE)
    return PlugTorque(row.text("chart"), thread, row.text("seat"), row.text("head"), torque, row.origin)


def _note(row: _Row) -> Note:
    return Note(row.text("id"), row.text("text"), row.origin)


def _compression(row: _Row) -> CompressionRule:
    kind = row.choice("kind", CompressionKind)
    by_share = kind is CompressionKind.SHARE_OF_HIGHEST
    value = row.figure("share", Kind.SHARE) / 100 if by_share else row.figure("pressure", Kind.PRESSURE)
    return CompressionRule(row.text("id"), kind, value, row.origin)


def _leak(row: _Row) -> LeakRule:
    bad, spread = (row.figure(key, Kind.SHARE) if row.has(key) else None for key in ("bad", "spread"))
    return LeakRule(row.text("id"), row.figure("good", Kind.SHARE), bad, spread, row.origin)


def _oil(row: _Row) -> OilRule:
    return OilRule(row.text("id"), row.figure("pressure", Kind.PRESSURE), row.origin)


def _clearance(row: _Row) -> ClearanceRow:
    worn = row.has("wear") or row.has("kind")
    return ClearanceRow(
        item=row.text("item"),
        title=row.text("title"),
        engine=row.text("engine"),
        new=row.limits("new", Kind.LENGTH) if row.has("new") else None,
        wear_mm=row.figure("wear", Kind.LENGTH) if worn else None,
        wear_kind=row.choice("kind", LimitKind) if worn else None,
        origin=row.origin,
    )
