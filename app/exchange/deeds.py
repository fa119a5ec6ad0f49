"""What one deed comes to, and what is listed of each kind of fact, in plain values."""

from app.assembly.build import Build
from app.assembly.deeds.labels import did
from app.assembly.said.deeds import Deed, Entry, EventName
from app.assembly.said.figures import Candidate
from app.assembly.said.findings import Finding
from app.assembly.said.marks import Mark, State
from app.assembly.said.options import OPTION
from app.assembly.said.put_in import Extra
from app.assembly.standing.changes import Changes, changes
from app.exchange.phrases import phrase_values
from app.words.deeds import label
from app.words.lines import line_number, line_values
from app.words.marks import why
from app.words.telling import Values
from app.words.times import time_text

_MOVED = (EventName.DISTURBED, EventName.OPENED)


def deed_values(build: Build, deed: Deed) -> Values:
    """A deed before the build follows it: its words with their `kind` and `args`, its key, and which lines it moves."""
    first, change = deed.entries[0], _change(build, deed)
    return {
        "did": label(build, deed),
        "key": first.subject.place if isinstance(first.new, Candidate) else first.subject.key,
        "line": _line_of(build, first),
        "by": deed.by,
        "at": time_text(deed.at),
        "comes": [line_values(line) for line in change.coming],
        "goes": [line_values(line) for line in change.going],
        "other_places": [line_values(line) for line in change.other_places],
        "look_again": [_moved(build, entry) for entry in deed.entries if _is_moved(entry)],
    } | phrase_values(did(build, deed))


def _line_of(build: Build, entry: Entry) -> str | None:
    if isinstance(entry.new, Extra):
        return entry.new.number
    if isinstance(entry.new, Finding):
        return line_number(build, entry.new.line)
    return line_number(build, entry.subject.key)


def _change(build: Build, deed: Deed) -> Changes:
    """The lines that come, go and move with a deed; most change none."""
    if not any(entry.subject.kind is OPTION for entry in deed.entries):
        return Changes()
    return changes(build, build.after(deed))


def _is_moved(entry: Entry) -> bool:
    return entry.event in _MOVED and isinstance(entry.new, Mark) and entry.new.state is State.LOOK_AGAIN


def _moved(build: Build, entry: Entry) -> Values:
    line = build.by_id[entry.subject.key]
    assert isinstance(entry.new, Mark)  # only marks are moved
    return line_values(line) | {"why": why(entry.new)}
