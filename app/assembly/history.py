"""The journal in words: what each entry changed, from what to what."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.assembly import facts as f
from app.assembly.build import Build
from app.assembly.facts import (
    About,
    Concession,
    Deed,
    Entry,
    Fact,
    Figure,
    Further,
    Mark,
    PartSaid,
    Passage,
    Reading,
    State,
    Subject,
    Tick,
)
from app.assembly.tightening import joint_key, joint_words
from app.assembly.used_bolts import measured_words


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


BURST = timedelta(seconds=20)
BURST_LINES = 3


def marked_together(entries: Sequence[Told]) -> frozenset[int]:
    """Which entries signed lines off in one burst: three or more within seconds of each other, by one hand."""
    signed = [n for n, one in enumerate(entries) if one.event == "mark" and one.new == State.DONE.value]
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
    if subject.about in _OF_A_LINE and subject.key in build.by_id:
        return build.by_id[subject.key].number
    return ""


def _what(build: Build, subject: Subject) -> str:
    """What the entry is about: the line's words, with the place, the part's name or the gate's title."""
    if subject.about is About.PART:
        return next((p.name for line in build.lines for p in line.step.parts if p.id == subject.key), subject.key)
    if subject.about is About.GATE:
        return build.gate(subject.key).title
    if subject.about not in _OF_A_LINE:
        return _named(build, subject)
    line = build.by_id.get(subject.key)
    if line is None:  # a line that a changed option took away: what was written of it stays
        return next((one.step.do for one in build.plan_lines if one.id == subject.key), subject.key)
    if subject.about is About.BOLT:
        number, _, where = subject.place.partition("/")
        return f"{line.step.do}, {where}, pass {number}"
    if subject.about in (About.TICK, About.READING):
        place = next((place.title for place in line.places if place.id == subject.place), subject.place)
        return f"{line.step.do}, {place}" if len(line.places) > 1 else line.step.do
    return line.step.do


_OF_A_LINE = (
    About.LINE,
    About.TICK,
    About.READING,
    About.FIGURE,
    About.CONCESSION,
    About.SEEN,
    About.CANDIDATE,
    About.EXTRA,
    About.BOLT,
)


def _named(build: Build, subject: Subject) -> str:
    match subject.about:
        case About.HOLE:
            return f"{build.groups[subject.key].title}, {subject.place}"
        case About.FIT:
            return next((p.name for line in build.lines for p in line.step.parts if p.id == subject.key), subject.key)
        case About.CAM:
            return "the cam's events"
        case About.JOINT:
            run = [line for line in build.lines if joint_key(line) == subject.key]
            return f"the joint of {run[0].number}" if run else "a joint"
        case About.COUNT:
            return f"{build.fasteners[subject.key].title}, {subject.place}"
        case _:
            return f"{subject.about.value} {subject.key}"


def _words(build: Build, subject: Subject, fact: Fact | None) -> str:
    match fact:
        case None:
            return "to-do" if subject.about in (About.LINE, About.TICK) else ""
        case Mark(state=state, before=before):
            late = build.by_id.get(before)
            return f"{state.value} before {late.number}" if late else state.value
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
        case _:
            return _further_words(fact)


def _further_words(fact: Further) -> str:
    match fact:
        case f.Event(note=note, what=what):
            return f"{what}: {note}" if note else what
        case f.Extra(number=number, do=do):
            return f"{number} {do}"
        case f.Finding(what=what, decision=decision, why=why):
            return f"{what}. {decision.value}: {why}" if decision.value else what
        case f.Item(name=name, count=count, where=where, out_at=out_at, lost=lost):
            state = "out" if out_at else "lost" if lost else "in"
            return f"{count} × {name}, {where}, {state}"
        case f.Hole():
            words = (fact.thread, fact.depth, fact.opens_to, fact.closed_with, fact.length, fact.compound, fact.refits)
            return ", ".join(word for word in words if word)
        case f.PartFit(fit=fit):
            return fit.value
        case f.Tightened(times=times):
            return ", ".join([f"{times} times", *measured_words(fact)])
        case f.Seen(by=by, values=values):
            return f"seen by {by}{': ' + ', '.join(values) if values else ''}"
        case f.Run(hours=hours, distance_km=distance, heat_cycles=cycles):
            return f"{hours:g} h, {distance:g} km, {cycles} heat cycles"
        case f.Candidate(text=text, source=source, edition=edition):
            return f"{text} ({', '.join(word for word in (source, edition) if word)})"
        case f.Tool(name=name, checked=checked, wrong_at=wrong_at):
            state = (
                "found wrong"
                if wrong_at
                else f"checked {checked.astimezone():%d %b %Y}"
                if checked
                else "never checked"
            )
            return f"{name}, {state}"
        case f.JointSaid():
            return joint_words(fact)
        case f.CamSaid(typed=typed):
            return ", ".join(f"{name} {text}" for name, text in typed.items())
        case f.BoltTurn(torque=torque, angle=angle, stretch=stretch, verdict=verdict, done=done):
            said = ", ".join(word for word in (torque, angle, stretch, verdict) if word)
            return said or ("done" if done else "tried")
        case f.Chosen(choice=choice):
            return choice
        case f.Left(note=note):
            return note or "left"
        case f.Resumed(confirmed=confirmed, doubted=doubted):
            return (
                f"{len(confirmed)} still true, {len(doubted)} doubted"
                if confirmed or doubted
                else "skipped the question"
            )
