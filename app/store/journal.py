"""The journal: deeds and their entries, only ever added to, and what can be taken back and put back."""

from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import Connection, case, func, insert, literal, select, text, update

from app.assembly.said.deeds import Deed, Entry, EventName, Verb, Written
from app.assembly.said.facts import Facts
from app.assembly.said.kinds import Subject, UnknownForm, kind_named
from app.assembly.said.marks import MARK, State
from app.store import tables as t
from app.store.codec import from_json, to_json
from app.store.facts import put_fact


class NextSteps(NamedTuple):
    """The number of the deed that undo takes back next, and of the one that redo puts back next; None for none."""

    undo: int | None = None
    redo: int | None = None


# --- writing


def write_deed(connection: Connection, build_id: int, deed: Deed, now: datetime) -> int:
    """Write a deed, its entries and what stands since; gives its number in the journal."""
    deed_id = insert_deed(connection, build_id, deed, now)
    if deed.entries:
        connection.execute(insert(t.ENTRY), [_entry_values(deed_id, entry) for entry in deed.entries])
    for entry in deed.entries:
        put_fact(connection, build_id, entry, deed_id)
    _keep_count(connection, build_id, deed)
    return deed_id


def insert_deed(connection: Connection, build_id: int, deed: Deed, now: datetime) -> int:
    """Write a deed without its entries; gives its number."""
    values: dict[str, Any] = {
        "verb": deed.verb.value,
        "by": deed.by,
        "at": deed.at,
        "why": deed.why,
    }
    values["again"] = deed.again.value if deed.again else None
    values |= {"of": deed.of, "build_id": build_id, "written": now}
    key = connection.execute(insert(t.DEED).values(values)).inserted_primary_key
    assert key is not None
    return int(key[0])


def _keep_count(connection: Connection, build_id: int, deed: Deed) -> None:
    """Keep what the list of builds shows of this one."""
    last, at = t.BUILD.c.last, literal(deed.at, t.Moment)
    values: dict[str, Any] = {"last": case((last > at, last), else_=at)}
    if any(entry.subject.kind is MARK for entry in deed.entries):
        marks = t.OF_KIND[MARK].c
        done = select(func.count()).where(marks.build_id == build_id, marks.state == State.DONE.value)
        values["done"] = done.scalar_subquery()
    connection.execute(update(t.BUILD).where(t.BUILD.c.id == build_id).values(values))


def _entry_values(deed_id: int, entry: Entry) -> dict[str, object]:
    kind, key, place, turn = entry.subject
    values = {"deed_id": deed_id, "event": entry.event.value, "about": kind.name, "key": key, "place": place}
    return values | {"round": turn, "form": kind.form, "old": to_json(entry.old), "new": to_json(entry.new)}


# --- reading


def read_deed(connection: Connection, deed_id: int) -> Deed:
    """A deed by its number, with its entries."""
    row = connection.execute(select(t.DEED).where(t.DEED.c.id == deed_id)).one()
    found = connection.execute(select(t.ENTRY).where(t.ENTRY.c.deed_id == deed_id).order_by(t.ENTRY.c.id))
    return _deed(row, [_entry(one) for one in found])


def read_journal(connection: Connection, build_id: int, after: int = 0) -> tuple[Written, ...]:
    """The deeds of a build with a number after this one, with their entries, oldest first."""
    entries: dict[int, list[Entry]] = {}
    wanted = (t.DEED.c.build_id == build_id, t.DEED.c.id > after)
    query = select(t.ENTRY).join_from(t.ENTRY, t.DEED).where(*wanted)
    for row in connection.execute(query.order_by(t.ENTRY.c.id)):
        entries.setdefault(row.deed_id, []).append(_entry(row))
    deeds = connection.execute(select(t.DEED).where(*wanted).order_by(t.DEED.c.id))
    return tuple(Written(row.id, _deed(row, entries.get(row.id, [])), row.written) for row in deeds)


def played(connection: Connection, build_id: int) -> Facts:
    """The facts that playing the journal from nothing comes to."""
    return Facts().filled({written.id: written.deed.entries for written in read_journal(connection, build_id)})


def _deed(row: Any, entries: list[Entry]) -> Deed:
    again = Verb(row.again) if row.again else None
    return Deed(Verb(row.verb), row.by, row.at, tuple(entries), row.why, row.of, again)


def _entry(row: Any) -> Entry:
    kind = kind_named(row.about)
    old, new = (from_json(kind, row.form, values) for values in (row.old, row.new))
    return Entry(EventName(row.event), Subject(kind, row.key, row.place, row.round), old, new)


# --- words this program may not know

# Each asks an index for the next word above the last, so that it costs the words there are and not the rows.
VERBS = text("""
WITH RECURSIVE word(verb) AS (
  SELECT min(verb) FROM deed
  UNION ALL SELECT (SELECT min(deed.verb) FROM deed WHERE deed.verb > word.verb) FROM word WHERE word.verb IS NOT NULL
) SELECT verb FROM word WHERE verb IS NOT NULL
""")
ENTRIES = text("""
WITH RECURSIVE word(id) AS (
  SELECT * FROM (SELECT id FROM entry ORDER BY about, form, event LIMIT 1)
  UNION ALL SELECT coalesce(
    (SELECT id FROM entry WHERE about = this.about AND form = this.form AND event > this.event ORDER BY event LIMIT 1),
    (SELECT id FROM entry WHERE about = this.about AND form > this.form ORDER BY form, event LIMIT 1),
    (SELECT id FROM entry WHERE about > this.about ORDER BY about, form, event LIMIT 1)
  ) FROM word JOIN entry AS this ON this.id = word.id
) SELECT about, form, event FROM entry JOIN word ON word.id = entry.id
""")


def refuse_newer_words(connection: Connection) -> None:
    """Raise UnknownForm if the journals hold a verb, event, kind of fact or form that this program does not know."""
    verbs, events = ({one.value for one in words} for words in (Verb, EventName))
    for (verb,) in connection.execute(VERBS):
        if verb not in verbs:
            raise UnknownForm(f"a deed “{verb}”, which this program does not know")
    for about, form, event in connection.execute(ENTRIES):
        kind_named(about).refuse_newer(form)
        if event not in events:
            raise UnknownForm(f"an entry “{event}”, which this program does not know")


# --- undo

# What undo takes back next is the last deed, or the one it put back; after an undo it is what it was before the deed
# that was taken back was done.
UNDO = text("""
WITH RECURSIVE back(turn, id, verb, of) AS (
  SELECT * FROM (SELECT 0, id, verb, of FROM deed WHERE build_id = :build ORDER BY id DESC LIMIT 1)
  UNION ALL
  SELECT back.turn + 1, deed.id, deed.verb, deed.of FROM back JOIN deed
  ON deed.id = (SELECT max(id) FROM deed WHERE build_id = :build AND id < back.of) WHERE back.verb = 'undo'
)
SELECT deed.id, deed.verb FROM (SELECT * FROM back ORDER BY turn DESC LIMIT 1) AS found
JOIN deed ON found.verb <> 'undo' AND deed.id = CASE found.verb WHEN 'redo' THEN found.of ELSE found.id END
""")
# What redo puts back next is what the last deed took back; after a redo it is what it was before the deed that was put
# back had been taken back.
REDO = text("""
WITH RECURSIVE back(turn, id, verb, of) AS (
  SELECT * FROM (SELECT 0, id, verb, of FROM deed WHERE build_id = :build ORDER BY id DESC LIMIT 1)
  UNION ALL
  SELECT back.turn + 1, deed.id, deed.verb, deed.of FROM back JOIN deed
  ON deed.id = (
    SELECT max(id) FROM deed WHERE build_id = :build AND id < (
      SELECT max(undone.id) FROM deed AS undone
      WHERE undone.of = back.of AND undone.verb = 'undo' AND undone.id < back.id
    )
  ) WHERE back.verb = 'redo'
)
SELECT deed.id, deed.verb FROM (SELECT * FROM back ORDER BY turn DESC LIMIT 1) AS found
JOIN deed ON found.verb = 'undo' AND deed.id = found.of
""")


def next_steps(connection: Connection, build_id: int) -> NextSteps:
    """What undo takes back next and what redo puts back next, found without reading the journal."""
    undo, redo = (connection.execute(query, {"build": build_id}).first() for query in (UNDO, REDO))
    return NextSteps(
        undo.id if undo is not None and undo.verb != Verb.MADE.value else None,
        redo.id if redo is not None else None,
    )
