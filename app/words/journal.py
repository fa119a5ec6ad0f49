"""The journal in words: what each entry changed, from what to what."""

from collections.abc import Sequence
from datetime import timedelta

from app.assembly.build import Build
from app.assembly.said.bolts import BoltTurn
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.facts import Fact
from app.assembly.said.kinds import Key, Subject
from app.assembly.said.marks import Mark, State
from app.assembly.said.phrase import Phrase
from app.words.deeds import label
from app.words.say import say
from app.words.telling import Told, telling

__all__ = ["Told", "marked_together", "told"]


def told(build: Build, deed: Deed) -> tuple[Told, ...]:
    """A deed's entries in words; a deed without entries tells itself."""
    if not deed.entries:
        return (Told(deed.at, deed.by, deed.verb, "", label(build, deed), "", label(build, deed), deed.why),)
    return tuple(_told(build, deed, entry) for entry in deed.entries)


BURST = timedelta(seconds=20)
BURST_LINES = 3


def marked_together(entries: Sequence[Told]) -> frozenset[int]:
    """Which entries signed lines off in one burst: three or more within seconds of each other, by one hand."""
    signed = [n for n, one in enumerate(entries) if one.event is EventName.MARK and one.new == State.DONE.value]
    found: set[int] = set()
    run: list[int] = []
    for n in signed:
        if run and (entries[n].at - entries[run[-1]].at > BURST or entries[n].by != entries[run[-1]].by):
            run = []
        run.append(n)
        if len(run) >= BURST_LINES:
            found.update(run)
    return frozenset(found)


def _told(build: Build, deed: Deed, entry: Entry) -> Told:
    written, because = _reason(deed, entry.new)
    return Told(
        at=deed.at,
        by=deed.by,
        event=entry.event,
        line=_line(build, entry.subject),
        what=telling(entry.subject.kind).what(build, entry.subject),
        old=_words(build, entry.subject, entry.old),
        new=_words(build, entry.subject, entry.new),
        why=written or (say(because) if because is not None else ""),
        because=because,
    )


def _reason(deed: Deed, new: Fact | None) -> tuple[str, Phrase | None]:
    """What a person wrote of an entry, "" where nothing, and what the program gave as its reason."""
    if isinstance(new, Mark):
        return new.why, None if new.why else new.because
    turn = next((one.new for one in deed.entries if isinstance(one.new, BoltTurn)), None)
    tightened = deed.verb is Verb.TIGHTEN and turn is not None and not deed.why
    return deed.why, turn.because if tightened and turn is not None else None


def _line(build: Build, subject: Subject) -> str:
    if subject.kind.key is Key.STEP and subject.key in build.by_id:
        return build.by_id[subject.key].number
    return ""


def _words(build: Build, subject: Subject, fact: Fact | None) -> str:
    how = telling(subject.kind)
    return how.nothing if fact is None else how.words(build, subject, fact)
