"""Undo and redo: a deed turned round, or put back; further deeds in the journal like any other."""

from datetime import datetime

from app.assembly.build import Build
from app.assembly.deeds.labels import did
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.facts import Fact
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind


def undo_of(build: Build, deed: Deed, deed_id: int, by: str, at: datetime) -> Deed:
    """The deed turned round. Raise `Refused` if something stands there that it did not put."""
    entries = tuple(Entry(EventName.UNDO, one.subject, one.new, one.old) for one in reversed(deed.entries))
    return _again(build, deed, deed_id, by, at, Verb.UNDO, entries)


def redo_of(build: Build, deed: Deed, deed_id: int, by: str, at: datetime) -> Deed:
    """A deed that was taken back, put back as it was."""
    entries = tuple(Entry(EventName.REDO, one.subject, one.old, one.new) for one in deed.entries)
    return _again(build, deed, deed_id, by, at, Verb.REDO, entries)


def _again(
    build: Build, deed: Deed, deed_id: int, by: str, at: datetime, verb: Verb, entries: tuple[Entry, ...]
) -> Deed:
    first_of_subject: dict[Subject, Fact | None] = {}
    for one in entries:
        first_of_subject.setdefault(one.subject, one.old)
    if any(build.facts.get(subject) != old for subject, old in first_of_subject.items()):
        raise Refused(phrase(RefusalKind.WRITTEN_OVER_SINCE, deed=did(build, deed)))
    return Deed(verb, by, at, entries, "", deed_id, deed.verb)
