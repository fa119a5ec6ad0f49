"""The facts that stand: read into a build, and written as a deed puts them."""

from collections import defaultdict
from typing import Any

from msgspec import Struct
from sqlalchemy import Connection, delete, insert, select

from app.assembly.said.deeds import Entry
from app.assembly.said.facts import Facts
from app.assembly.said.kinds import Spot, Subject, kind_named
from app.assembly.said.units import UNITS_SAID
from app.store import tables as t
from app.store.codec import from_json, from_plain, plain, to_json


class Row(Struct, frozen=True):
    """A fact as a row holds it."""

    subject: Subject
    new: Any


def read_facts(connection: Connection, build_id: int) -> Facts:
    """The facts that stand of a build, each with the number of the deed that wrote it."""
    found: dict[int, list[Row]] = defaultdict(list)
    for kind, table in t.OF_KIND.items():
        for row in connection.execute(select(table).where(table.c.build_id == build_id)):
            values = dict(row._mapping)
            del values["build_id"]
            number = values.pop("number")
            subject = Subject(kind, values.pop("key"), values.pop("place", ""), values.pop("round", 0))
            found[number].append(Row(subject, from_plain(kind, values)))
    for row in connection.execute(select(t.FACT).where(t.FACT.c.build_id == build_id).order_by(t.FACT.c.id)):
        kind = kind_named(row.about)
        found[row.number].append(Row(Subject(kind, row.key, row.place), from_json(kind, row.form, row.value)))
    return Facts().filled(found)


def units_said_last(connection: Connection) -> str:
    """The system of units that was last said to come first, in whichever build; "" for none."""
    said = select(t.FACT.c.value).where(t.FACT.c.about == UNITS_SAID.name).order_by(t.FACT.c.number.desc()).limit(1)
    row = connection.execute(said).first()
    return str(row.value["system"]) if row is not None else ""


def put_fact(connection: Connection, build_id: int, entry: Entry, number: int) -> None:
    """Let what an entry says stand in place of what stood; `number` is its deed's."""
    kind, key, place, turn = entry.subject
    table = t.OF_KIND.get(kind)
    keys: dict[str, Any] = {"build_id": build_id, "key": key}
    if table is None or kind.spot is not Spot.NONE:
        keys["place"] = place
    if table is None:
        table, keys = t.FACT, keys | {"about": kind.name}
    elif kind.spot is Spot.ROUND:
        keys["round"] = turn
    connection.execute(delete(table).where(*(table.c[name] == value for name, value in keys.items())))
    if entry.new is not None:
        values = {"value": to_json(entry.new), "form": kind.form} if table is t.FACT else plain(entry.new)
        connection.execute(insert(table).values(keys | {"number": number} | values))
