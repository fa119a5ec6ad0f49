"""The journal in words: what each entry changed, from what to what."""

from dataclasses import dataclass
from datetime import datetime

from app.build.build import Build
from app.build.facts import (
    About,
    Concession,
    Deed,
    Entry,
    Fact,
    Figure,
    Mark,
    PartSaid,
    Passage,
    Reading,
    Subject,
    Tick,
)


@dataclass(frozen=True, slots=True)
class Told:
    """One entry of the journal in words. `line` is "" where no line is meant."""

    at: datetime
    by: str
    event: str
    line: str
    what: str
    old: str
    new: str
    why: str


def told(build: Build, deed: Deed) -> tuple[Told, ...]:
    """A deed's entries in words; a deed without entries tells itself."""
    if not deed.entries:
        return (Told(deed.at, deed.by, deed.verb, "", deed.label, "", deed.label, deed.why),)
    return tuple(_told(build, deed, entry) for entry in deed.entries)


def _told(build: Build, deed: Deed, entry: Entry) -> Told:
    why = deed.why
    if isinstance(entry.new, Mark):
        why = entry.new.why
    return Told(
        at=deed.at,
        by=deed.by,
        event=entry.event,
        line=_line(build, entry.subject),
        what=_what(build, entry.subject),
        old=_words(build, entry.subject, entry.old),
        new=_words(build, entry.subject, entry.new),
        why=why,
    )


def _line(build: Build, subject: Subject) -> str:
    if subject.about in (About.PART, About.GATE):
        return ""
    return build.by_id[subject.key].number


def _what(build: Build, subject: Subject) -> str:
    """What the entry is about: the line's words, with the place, the part's name or the gate's title."""
    if subject.about is About.PART:
        return next((p.name for line in build.lines for p in line.step.parts if p.id == subject.key), subject.key)
    if subject.about is About.GATE:
        return build.gate(subject.key).title
    line = build.by_id[subject.key]
    if subject.about in (About.TICK, About.READING):
        place = next((place.title for place in line.places if place.id == subject.place), subject.place)
        return f"{line.step.do}, {place}" if len(line.places) > 1 else line.step.do
    return line.step.do


def _words(build: Build, subject: Subject, fact: Fact | None) -> str:
    match fact:
        case None:
            return "to-do" if subject.about in (About.LINE, About.TICK) else ""
        case Mark(state=state, before=before):
            return f"{state.value} before {build.by_id[before].number}" if before else state.value
        case Tick(state=state):
            return f"{subject.place} {state.value}"
        case Reading(text=text):
            return text if not subject.place or subject.place == "engine" else f"{subject.place} {text}"
        case Figure(text=text, source=source):
            return f"{text} ({source})"
        case PartSaid(holding=holding):
            return holding.value
        case Passage(by=by):
            return f"passed by {by}"
        case Concession(text=text):
            return text
