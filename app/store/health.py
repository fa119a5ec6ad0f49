"""Looking a whole workshop over: the file, its links, and for each build that the journal tells its state."""

from msgspec import Struct
from sqlalchemy import Connection, func, select

from app.assembly.said.marks import MARK, State
from app.store import tables as t
from app.store.facts import read_facts
from app.store.journal import played


class Finding(Struct, frozen=True):
    """One check of the health call: what was looked at, whether it is sound, and what was found."""

    check: str
    ok: bool
    text: str


def looked_over(connection: Connection) -> tuple[Finding, ...]:
    """Every check of a workshop, with what was found."""
    (verdict,) = connection.exec_driver_sql("PRAGMA integrity_check").one()
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    builds = connection.execute(select(t.BUILD.c.id, t.BUILD.c.name).order_by(t.BUILD.c.id)).all()
    astray = _listed_otherwise(connection)
    return (
        Finding("file", verdict == "ok", f"integrity check: {verdict}"),
        Finding("links", not dangling, f"{len(dangling)} rows without what they belong to"),
        *(_replay(connection, row.id, row.name, listed=row.id not in astray) for row in builds),
    )


def _listed_otherwise(connection: Connection) -> set[int]:
    """The builds of which the list shows something else than their rows come to."""
    build, deed, step, mark = t.BUILD.c, t.DEED.c, t.STEP.c, t.OF_KIND[MARK].c
    last = select(func.max(deed.at)).where(deed.build_id == build.id).scalar_subquery()
    done = select(func.count()).where(mark.build_id == build.id, mark.state == State.DONE.value).scalar_subquery()
    lines = select(func.count()).where(step.build_id == build.id).scalar_subquery()
    right = build.last.is_not_distinct_from(last) & (build.done == done) & (build.lines == lines)
    rows = connection.execute(select(build.id, build.name, build.folded, right.label("right"))).all()
    return {row.id for row in rows if not row.right or row.folded != row.name.casefold()}


def _replay(connection: Connection, build_id: int, name: str, *, listed: bool) -> Finding:
    try:
        told, stands = played(connection, build_id), read_facts(connection, build_id)
    except (ValueError, KeyError, TypeError) as error:
        return Finding("journal", False, f"build “{name}”: a row cannot be read ({type(error).__name__}: {error})")
    ours, theirs = stands.all(), told.all()
    wrong = {subject for subject in theirs.keys() | ours.keys() if theirs.get(subject) != ours.get(subject)}
    astray = {subject for subject in ours if stands.numbers.get(subject) != told.numbers.get(subject)} - wrong
    text = f"build “{name}”: {len(ours)} facts, {len(wrong)} of them not as the journal tells"
    text += f", {len(astray)} with another number than their deed's" if astray else ""
    text += "" if listed else ", listed otherwise than it stands"
    return Finding("journal", listed and not wrong and not astray, text)
