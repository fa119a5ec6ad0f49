"""What all decisions share: finding what was meant, opening what is no longer known, and saying no in words."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, replace
from datetime import datetime
from functools import singledispatch
from itertools import chain

from app.assembly import actions
from app.assembly.build import Build
from app.assembly.disturb import begun_among, disturbed
from app.assembly.facts import About, BoltTurn, Deed, Entry, Fact, JointSaid, Mark, State, Subject, Tightened
from app.assembly.lines import Line
from app.assembly.places import Place
from app.assembly.refusal import Refused
from app.assembly.survey import Survey, Waiting, Wants
from app.trade.stretch import Answer

MAX_TEXT = 2000
MOST_WAITS = 4


@singledispatch
def decided(action: object, _survey: Survey) -> Deed:
    """What an action comes to; each kind of action registers its own answer."""
    raise TypeError(f"no such action: {action!r}")


def disturbances(build: Build, line: Line, by: str, at: datetime, state: State) -> Iterator[Entry]:
    """Everything Done that is no longer known once this line is done, or undone."""
    how = "was done after it" if state is State.DONE else f"is {state.word} again" if state is State.TO_DO else ""
    how = how or f"was opened ({state.word})"
    undone = state is not State.DONE
    found = disturbed(build, line, undone=undone)
    for other, cause in found:
        why = f"{cause.number} {cause.step.do}: {how if cause is line else 'is no longer known'}"
        yield from doubted(build, other, by, at, why, disturbed_by=line.id)
    for begun in begun_among(build, line, (other for other, _ in found), undone=undone):
        yield from voided(build, begun, at)


def voided(build: Build, line: Line, at: datetime) -> Iterator[Entry]:
    """What was read or ticked of a line begun and not Done counts no more; its state stays."""
    if build.facts.readings.get(line.id):
        mark = replace(build.facts.lines[line.id], known_from=at)
        yield entry(build, "disturbed", Subject(About.LINE, line.id), mark)
    yield from unticked(build, line, "disturbed")


def doubted(
    build: Build, line: Line, by: str, at: datetime, why: str, *, event: str = "disturbed", disturbed_by: str = ""
) -> Iterator[Entry]:
    """A Done line becomes Look again: its ticks count no more, nor do readings taken before."""
    old = build.facts.lines[line.id]
    mark = replace(old, state=State.LOOK_AGAIN, by=by, at=at, why=why, disturbed_by=disturbed_by, known_from=at)
    yield entry(build, event, Subject(About.LINE, line.id), mark)
    yield from unticked(build, line, event)


def unticked(build: Build, line: Line, event: str) -> Iterator[Entry]:
    """The ticks and bolt passes of a line taken away: which of its places still hold is no longer known."""
    for place in build.facts.ticks.get(line.id, {}):
        yield entry(build, event, Subject(About.TICK, line.id, place), None)
    for (step, where), turn in build.facts.of(About.BOLT, BoltTurn).items():
        if step == line.id:
            yield entry(build, event, Subject(About.BOLT, line.id, where), _still_known(turn))


def _still_known(turn: BoltTurn) -> BoltTurn | None:
    """What is left of a bolt's pass once it is slack: the try a stud is on, until it passes or is replaced."""
    if turn.answer == Answer.SLACKEN_GROUP.value:
        return BoltTurn(False, turn.by, turn.at, tries=turn.tries + 1, verdict="slackened to try again")
    return turn if turn.tries > 1 and not turn.done and not turn.answer else None


def once(entries: list[Entry]) -> tuple[Entry, ...]:
    """The entries without a second one about the same thing: two findings may open the same line."""
    first: dict[Subject, Entry] = {}
    for entry in entries:
        first.setdefault(entry.subject, entry)
    return tuple(first.values())


def opened(survey: Survey, line: Line, by: str, at: datetime, why: str) -> Iterator[Entry]:
    """A Done line becomes Look again, and with it what it disturbs."""
    yield from doubted(survey.build, line, by, at, f"{why}.", event="opened")
    yield from disturbances(survey.build, line, by, at, State.LOOK_AGAIN)


def begin(survey: Survey, line: Line, by: str, at: datetime) -> Entry:
    waits = survey.stops_start(line)
    stops = [waiting.text for waiting in waits if waiting.wants in (Wants.GATE, Wants.OUT)]
    if stops:
        raise Refused(f"{line.number} cannot be begun yet: it waits for {'; '.join(stops)}.")
    return entry(survey.build, "begun", Subject(About.LINE, line.id), Mark(State.STARTED, by, at))


def refuse_waiting(line: Line, what: str, waits: tuple[Waiting, ...]) -> None:
    """Refuse with the first few things waited for; the rest is counted, and stands in the line's tray."""
    if not waits:
        return
    said = [f"{one.text}, until {clock(one.until)}" if one.until else one.text for one in waits[:MOST_WAITS]]
    more = f"; and {len(waits) - MOST_WAITS} more" if len(waits) > MOST_WAITS else ""
    raise Refused(f"{line.number} cannot be {what} yet: it waits for {'; '.join(said)}{more}.")


def entry(build: Build, event: str, subject: Subject, new: Fact | None) -> Entry:
    return Entry(event, subject, build.facts.get(subject), new)


def tightened(build: Build, line: Line, places: Iterable[Place], by: str, at: datetime) -> Iterator[Entry]:
    """One more tightening of each bolt a line tightens, trials included.

    A line that is written by main or rod tightens all bolts there are once it is Done, each of them once.
    """
    fasteners = build.fasteners.get(line.step.tightens)
    if fasteners is None:
        return
    counts = build.facts.of(About.COUNT, Tightened)
    own = line.step.places == fasteners.places
    for place in places if own else build.places_of(fasteners.places):
        before = counts.get((fasteners.id, place.id))
        last = before or Tightened(0, by, at)
        fact = replace(last, times=last.times + 1, by=by, at=at)
        yield entry(build, "tightened", Subject(About.COUNT, fasteners.id, place.id), fact)


def find_line(build: Build, text: str) -> Line:
    """The line with this number (“4.07”, “4.7”) or step id; raise `Refused` if there is none."""
    wanted = text.strip()
    if wanted in build.by_number:
        return build.by_number[wanted]
    stage, dot, row = wanted.partition(".")
    if dot and f"{stage}.{row:0>2}" in build.by_number:
        return build.by_number[f"{stage}.{row:0>2}"]
    if wanted in build.by_id:
        return build.by_id[wanted]
    first, last = build.lines[0].number, build.lines[-1].number
    raise Refused(f"There is no line “{wanted}” in this build; its lines run from {first} to {last}.")


def find_place(survey: Survey, line: Line, text: str) -> Place:
    """The place of a line by id or title; a line with one place takes “-” too. Raise `Refused` if it has none such."""
    places = survey.places(line)
    wanted = text.strip().casefold()
    if len(places) == 1 and wanted in ("-", ""):
        return places[0]
    for place in places:
        if wanted in (place.id.casefold(), place.title.casefold()):
            return place
    known = ", ".join(place.id for place in places) or "no place"
    raise Refused(f"{line.number} has no place “{text}”; it is for {known}.")


def find_gate(build: Build, text: str) -> str:
    """The id of a gate by id, letter or title; raise `Refused` if there is none."""
    wanted = text.strip().casefold()
    for gate in build.gates:
        if wanted in (gate.id.casefold(), gate.letter.casefold(), gate.title.casefold()):
            return gate.id
    raise Refused(f"There is no gate “{text}”; there are {', '.join(gate.id for gate in build.gates)}.")


def check_words(action: actions.Action) -> None:
    if not action.by.strip():
        raise Refused("Say who: initials are needed, for example --by AB.")
    if len(action.by) > 20 or not action.by.isprintable():
        raise Refused(f"“{action.by[:20]}” is not a set of initials; use a few letters.")
    if action.at.tzinfo is None:
        raise ValueError("an action's time carries its time zone")
    for text in chain(*(_texts(getattr(action, field.name)) for field in fields(action))):
        if len(text) > MAX_TEXT:
            raise Refused(f"That text is {len(text)} letters long; {MAX_TEXT} is the most that is kept.")
        if not _sound(text):
            raise Refused("That text holds signs that are no letters, so it could not be read again; type it anew.")


def _sound(text: str) -> bool:
    """Whether every sign can be stored: what a terminal could not decode arrives as half a letter."""
    try:
        return 0 not in text.encode()
    except UnicodeEncodeError:
        return False


def _texts(value: object) -> Iterable[str]:
    """The texts in one field of an action; times, numbers and states have none."""
    value = value.typed if isinstance(value, JointSaid) else value
    many = value.values() if isinstance(value, Mapping) else value if isinstance(value, tuple) else (value,)
    return (text for text in many if isinstance(text, str))


def clock(at: datetime) -> str:
    return f"{at.astimezone():%a %d %b %Y %H:%M}"
