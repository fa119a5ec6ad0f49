"""The reference tables that ship with the program: resources/tables read, checked row by row, and kept."""

import math
import tomllib
from collections.abc import Callable, Mapping
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, get_type_hints

from msgspec.structs import fields

from app import RESOURCES
from app.trade.quantity import UNITS
from app.trade.tables import (
    EngagementRule,
    Envelope,
    FrictionClass,
    HeadSize,
    Known,
    NutFactor,
    Origin,
    PressureLimit,
    RunOn,
    Scatter,
    Signed,
    Strength,
    Tables,
    ThreadSize,
)

Row = TypeVar("Row")
FOLDER = RESOURCES / "tables"
_HEAD = ("edition", "source", "known", "rows")
_THREADS_PER_INCH = "threads_per_inch"
# In a file under this name, in the tables under this one.
_CONVERTED: Mapping[str, tuple[str, Callable[[float], float]]] = {
    "diameter_in": ("diameter_mm", UNITS["in"].to_base),
    "over_in": ("over_mm", UNITS["in"].to_base),
    "to_in": ("to_mm", UNITS["in"].to_base),
    _THREADS_PER_INCH: ("pitch_mm", lambda number: UNITS["in"].to_base(1 / number)),
    "proof_psi": ("proof_mpa", lambda psi: UNITS["MPa"].from_base(UNITS["psi"].to_base(psi))),
    "tensile_psi": ("tensile_mpa", lambda psi: UNITS["MPa"].from_base(UNITS["psi"].to_base(psi))),
    "yield_psi": ("yield_mpa", lambda psi: UNITS["MPa"].from_base(UNITS["psi"].to_base(psi))),
    "least_lbf_in": ("least_nm", UNITS["lbf·in"].to_base),
    "low_percent": ("low", lambda percent: percent / 100),
    "high_percent": ("high", lambda percent: percent / 100),
}


class TableError(ValueError):
    """A reference table that cannot be used; the sentence names the file, the row and what to mend."""


@cache
def shipped_tables() -> Tables:
    """The tables that ship with the program, read once; raises TableError for the first fault."""
    return read_tables(FOLDER)


@cache
def shipped_envelopes() -> Mapping[str, Envelope]:
    """The envelopes that ship with the program by their id, read without the other tables; raises TableError."""
    return {row.id: row for row in _rows(FOLDER / "envelope.toml", Envelope)}


def read_tables(folder: Path) -> Tables:
    """Read and check the tables in a folder; raises TableError naming the file and the row of the first fault."""
    return Tables(
        threads=_rows(folder / "threads.toml", ThreadSize),
        heads=_rows(folder / "heads.toml", HeadSize),
        strengths=_rows(folder / "strengths.toml", Strength),
        nut_factors=_rows(folder / "nut-factors.toml", NutFactor),
        friction_classes=_rows(folder / "friction-classes.toml", FrictionClass),
        scatters=_rows(folder / "scatters.toml", Scatter),
        pressure_limits=_rows(folder / "pressure-limits.toml", PressureLimit),
        engagement_rules=_rows(folder / "engagement-rules.toml", EngagementRule),
        run_ons=_rows(folder / "run-ons.toml", RunOn),
        envelopes=_rows(folder / "envelope.toml", Envelope),
    )


def _rows(path: Path, kind: Callable[..., Row]) -> tuple[Row, ...]:
    tables = enumerate(_tables(path), 1)
    return tuple(row for number, table in tables for row in _table_rows(f"{path.name}, table {number}", table, kind))


def read_toml(path: Path) -> dict[str, Any]:
    """What stands in a file of tables; raises TableError."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise TableError(f"{path.name} cannot be read: {error.strerror}.") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise TableError(f"{path.name} is not a TOML file: {error}.") from None


def _tables(path: Path) -> list[dict[str, Any]]:
    found = read_toml(path)
    tables = found.pop("table", None)
    if found or not isinstance(tables, list) or not tables or not all(isinstance(table, dict) for table in tables):
        raise TableError(f"{path.name} has to hold [[table]] heads and nothing else: mend its heads.")
    return tables


def _table_rows(where: str, table: Mapping[str, Any], kind: Callable[..., Row]) -> tuple[Row, ...]:
    origin = origin_of(where, table)
    rows = table.get("rows")
    if not isinstance(rows, list) or not rows:
        raise TableError(f"{where} has no rows: write them as rows = [ ... ].")
    return tuple(_row(f"{where}, row {number}", row, kind, origin) for number, row in enumerate(rows, 1))


def origin_of(where: str, table: Mapping[str, Any]) -> Origin:
    """Edition, source and how a table is known; raises TableError for a head that lacks one, or has more."""
    for key in table:
        if key not in _HEAD:
            raise TableError(f"{where} has “{key}”, which no table has: it takes {', '.join(_HEAD)}.")
    for key in ("edition", "source"):
        if not isinstance(table.get(key), str) or not table[key].strip():
            raise TableError(f"{where} does not say its {key}: it must be text, such as {key} = “...”.")
    try:
        return Origin(table["edition"], table["source"], Known(table.get("known")))
    except ValueError:
        ways = ", ".join(known.value for known in Known)
        raise TableError(f"{where} says “{table.get('known')}” for how it is known: take one of {ways}.") from None


def _row(where: str, row: Any, kind: Callable[..., Row], origin: Origin) -> Row:
    if not isinstance(row, dict):
        raise TableError(f"{where} is not a row in curly brackets: write it as {{ ... }}.")
    values = dict(_converted(where, key, value) for key, value in row.items())
    wanted = _fields(kind)
    for name in values:
        if name not in wanted:
            raise TableError(f"{where} has “{name}”, which no such row has: it takes {', '.join(wanted)}.")
    for name in wanted:
        if name not in values and name not in _spared(kind):
            raise TableError(f"{where} has no “{name}”: write it, or take the row out.")
    if len(values) < len(row):
        raise TableError(f"{where} gives a figure twice, in two units: take one of them out.")
    given = {name: _value(where, name, values[name], hint) for name, hint in wanted.items() if name in values}
    return kind(**given, origin=origin)


@cache
def _fields(kind: Callable[..., Any]) -> Mapping[str, Any]:
    return {name: hint for name, hint in get_type_hints(kind).items() if name != "origin"}


@cache
def _spared(kind: Any) -> frozenset[str]:
    """The fields that a row may leave out, because they have a value of their own."""
    return frozenset(field.name for field in fields(kind) if not field.required)


def _converted(where: str, key: str, value: Any) -> tuple[str, Any]:
    if key not in _CONVERTED:
        return key, value
    name, convert = _CONVERTED[key]
    number = _number(where, key, value)
    if key == _THREADS_PER_INCH and number == 0:
        raise TableError(f"{where} has 0 threads per inch: write how many there are.")
    return name, convert(number)


def _value(where: str, name: str, value: Any, hint: Any) -> Any:
    if hint is float:
        return _number(where, name, value)
    if hint is Signed:
        return _number(where, name, value, least=-math.inf)
    if issubclass(hint, Enum):
        try:
            return hint(value)
        except ValueError:
            ways = ", ".join(str(member.value) for member in hint)
            raise TableError(f"{where} says “{value}” for {name}: take one of {ways}.") from None
    if type(value) is not hint or value == "":
        raise TableError(f"{where} has “{value}” for {name}, which cannot be: write a {hint.__name__}.")
    return value


def _number(where: str, name: str, value: Any, least: float = 0) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or value < least:
        wanted = "a number of 0 or more" if least == 0 else "a number"
        raise TableError(f"{where} has “{value}” for {name}: write {wanted}.")
    return float(value)
