"""The journal in words: what each entry changed, from what to what."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.assembly.build import Build
from app.assembly.lines import doing
from app.assembly.said.bolts import BOLT, BoltTurn
from app.assembly.said.cam import CAM, CamSaid
from app.assembly.said.counts import COUNT, Tightened
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.events import Event
from app.assembly.said.facts import Fact
from app.assembly.said.figures import Candidate, Figure
from app.assembly.said.findings import Finding
from app.assembly.said.gates import GATE, Concession, Passage
from app.assembly.said.holes import HOLE, Hole
from app.assembly.said.joints import JOINT, JointSaid
from app.assembly.said.kinds import Key, Subject
from app.assembly.said.leaving import Left, Resumed
from app.assembly.said.marks import MARK, TICK, Mark, State, Tick
from app.assembly.said.options import Chosen
from app.assembly.said.parts import FIT, PART, PartFit, PartSaid
from app.assembly.said.put_in import Extra
from app.assembly.said.readings import READING, Reading
from app.assembly.said.running import Run
from app.assembly.said.second_look import Seen
from app.assembly.said.temporary import Item
from app.assembly.said.tools import Tool
from app.assembly.standing.tightening import joint_key, joint_words
from app.assembly.standing.used_bolts import measured_words
from app.words.deeds import label
from app.words.marks import why
from app.words.say import say


@dataclass(frozen=True, slots=True)
class Told:
    """One entry of the journal in words. `line` is "" where no line is meant."""

    at: datetime
    by: str
    event: EventName | Verb
    line: str
    what: str
    old: str
    new: str
    why: str


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
    return Told(
        at=deed.at,
        by=deed.by,
        event=entry.event,
        line=_line(build, entry.subject),
        what=_what(build, entry.subject),
        old=_words(build, entry.subject, entry.old),
        new=_words(build, entry.subject, entry.new),
        why=_why(deed, entry.new),
    )


def _why(deed: Deed, new: Fact | None) -> str:
    if isinstance(new, Mark):
        return why(new)
    turn = next((one.new for one in deed.entries if isinstance(one.new, BoltTurn)), None)
    return deed.why or (say(turn.because) if deed.verb is Verb.TIGHTEN and turn and turn.because else "")


def _line(build: Build, subject: Subject) -> str:
    if subject.kind.key is Key.STEP and subject.key in build.by_id:
        return build.by_id[subject.key].number
    return ""


def _what(build: Build, subject: Subject) -> str:
    """What the entry is about: the line's words, with the place, the part's name or the gate's title."""
    if subject.kind is PART:
        return next((p.name for line in build.lines for p in line.step.parts if p.id == subject.key), subject.key)
    if subject.kind is GATE:
        return build.gate(subject.key).title
    if subject.kind.key is not Key.STEP:
        return _named(build, subject)
    line = build.by_id.get(subject.key)
    if line is None:  # a line that a changed option took away: what was written of it stays
        return next((one.step.do for one in build.plan_lines if one.id == subject.key), subject.key)
    if subject.kind is BOLT:
        number, _, where = subject.place.partition("/")
        return f"{line.step.do}, {where}, pass {number}"
    if subject.kind in (TICK, READING):
        place = next((place.title for place in line.places if place.id == subject.place), subject.place)
        return f"{line.step.do}, {place}" if len(line.places) > 1 else line.step.do
    return line.step.do


def _named(build: Build, subject: Subject) -> str:
    kind = subject.kind
    if kind is HOLE:
        return f"{build.groups[subject.key].title}, {subject.place}"
    if kind is FIT:
        return next((p.name for line in build.lines for p in line.step.parts if p.id == subject.key), subject.key)
    if kind is CAM:
        return "the cam's events"
    if kind is JOINT:
        run = [line for line in build.lines if joint_key(line) == subject.key]
        return f"the joint of {run[0].number}" if run else "a joint"
    if kind is COUNT:
        return f"{build.fasteners[subject.key].title}, {subject.place}"
    return f"{kind.name} {subject.key}"


def _words(build: Build, subject: Subject, fact: Fact | None) -> str:
    match fact:
        case None:
            return "to-do" if subject.kind in (MARK, TICK) else ""
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
    return _further_words(fact)


def _further_words(fact: Fact) -> str:
    match fact:
        case Event(note=note, what=what):
            return f"{what}: {note}" if note else what
        case Extra(number=number):
            return f"{number} {doing(fact)}"
        case Finding(what=what, decision=decision, why=why):
            return f"{what}. {decision.value}: {why}" if decision.value else what
        case Item(name=name, count=count, where=where, out_at=out_at, lost=lost):
            state = "out" if out_at else "lost" if lost else "in"
            return f"{count} × {name}, {where}, {state}"
        case Hole():
            words = (fact.thread, fact.depth, fact.opens_to, fact.closed_with, fact.length, fact.compound, fact.refits)
            return ", ".join(word for word in words if word)
        case PartFit(fit=fit):
            return fit.value
        case Tightened(times=times):
            return ", ".join([f"{times} times", *measured_words(fact)])
        case Seen(by=by, values=values):
            return f"seen by {by}{': ' + ', '.join(values) if values else ''}"
        case Run(hours=hours, distance_km=distance, heat_cycles=cycles):
            return f"{hours:g} h, {distance:g} km, {cycles} heat cycles"
        case Candidate(text=text, source=source, edition=edition):
            return f"{text} ({', '.join(word for word in (source, edition) if word)})"
        case Tool(name=name, checked=checked, wrong_at=wrong_at):
            state = (
                "found wrong"
                if wrong_at
                else f"checked {checked.astimezone():%d %b %Y}"
                if checked
                else "never checked"
            )
            return f"{name}, {state}"
        case JointSaid():
            return joint_words(fact)
        case CamSaid(typed=typed):
            return ", ".join(f"{name} {text}" for name, text in typed.items())
        case BoltTurn(torque=torque, angle=angle, stretch=stretch, because=because, done=done):
            verdict = say(because) if because is not None else ""
            said = ", ".join(word for word in (torque, angle, stretch, verdict) if word)
            return said or ("done" if done else "tried")
        case Chosen(choice=choice):
            return choice
        case Left(note=note):
            return note or "left"
        case Resumed(confirmed=confirmed, doubted=doubted):
            return (
                f"{len(confirmed)} still true, {len(doubted)} doubted"
                if confirmed or doubted
                else "skipped the question"
            )
        case _:
            raise TypeError(f"no words for {fact!r}")
