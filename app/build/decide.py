"""What an action comes to: the entries it makes, or a refusal in one sentence. Pure: nothing is changed here."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from functools import singledispatch
from itertools import chain

from app.build.actions import (
    Action,
    Concede,
    EnterFigure,
    MarkLine,
    PassGate,
    RubOutReading,
    SayPart,
    TakeReading,
    TickPlace,
)
from app.build.build import Build, Line
from app.build.disturb import disturbed
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
    State,
    Subject,
    Tick,
)
from app.build.figures import bounds_of, reading_verdict
from app.build.gates import GATE_LINE, gate_standings
from app.build.places import Place
from app.build.plan import Measured, Role
from app.build.refusal import NotReady, Refused
from app.build.rules import hole_unsealed, loose_ends, not_primed
from app.build.rules.reading_out import undecided_out
from app.build.survey import Survey, Waiting, Wants
from app.trade.notation import Ambiguous, NotationError, read_quantity, read_spec
from app.trade.quantity import Kind
from app.trade.verdict import Verdict

MAX_TEXT = 2000
MOST_WAITS = 4


def decide(build: Build, action: Action) -> Deed:
    """Say what the action comes to, judged at the action's own time; raise `Refused` if it may not be."""
    _check_words(action)
    return _decide(action, Survey(build, action.at))


@singledispatch
def _decide(action: object, _survey: Survey) -> Deed:
    raise TypeError(f"no such action: {action!r}")


# --- marks


@_decide.register
def _mark(action: MarkLine, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    old = survey.state(line)
    marked = survey.build.facts.lines.get(line.id) is not None
    if marked and action.state is old:
        raise Refused(f"{line.number} is {old.word} already; to change that, mark it something else first.")
    if not marked and action.state is State.TO_DO:
        raise Refused(f"{line.number} has no mark to take away.")
    if action.state is not State.TO_DO:  # taking a mark away dates nothing, and is the way out of a wrong time
        _check_order(survey, line, action.at)
    check = _CHECKS.get(action.state)
    if check is not None:
        check(survey, line, action)
    mark = Mark(
        action.state,
        action.by,
        action.at,
        action.why,
        find_line(survey.build, action.before).id if action.before else "",
        _waited_for(survey.build, action.waits_for),
        not survey.waits(line),
    )
    # To do is what a line is without a mark: taking the mark away and marking it To do must come to the same.
    new = None if action.state is State.TO_DO else mark
    entries = [_entry(survey.build, "mark", Subject(About.LINE, line.id), new)]
    if action.state is State.DONE:
        entries += _ticks_together(survey, line, action)
    if State.DONE in (old, action.state):
        entries += _disturbances(survey.build, line, action.by, action.at, action.state)
    return Deed("mark", f"{line.number} {action.state.word}", action.by, action.at, tuple(entries), action.why)


def _check_order(survey: Survey, line: Line, at: datetime) -> None:
    """What is written about a line later may not be dated earlier: waits and concessions go by these times."""
    mark = survey.build.facts.lines.get(line.id)
    if mark is not None and at < mark.at:
        raise Refused(
            f"{line.number} was marked {mark.state.word} on {_clock(mark.at)}; {_clock(at)} is older "
            "than that. Give a later time, or look at this computer's clock."
        )


def _check_started(survey: Survey, line: Line, _action: MarkLine) -> None:
    _refuse_waiting(line, "begun", survey.stops_start(line))


def _check_done(survey: Survey, line: Line, action: MarkLine) -> None:
    _refuse_waiting(line, "signed off", survey.waits(line))
    unread = survey.unread(line)
    if unread:
        names = ", ".join(place.title for place in unread)
        raise Refused(f"{line.number} cannot be Done without its reading: write the value at {names}.")
    out = undecided_out(survey, line)
    if out:
        values = ", ".join(f"{one.place.title} {one.reading.text}" for one in out)
        raise Refused(
            f"{line.number} is out of limits ({values}): read it again when it is put right, "
            "mark it Stopped, or decide in writing to go on."
        )
    if line.many and not action.together and survey.ticked(line) < len(survey.places(line)):
        left = len(survey.places(line)) - survey.ticked(line)
        raise Refused(f"{line.number} still has {left} of {len(survey.places(line))} boxes open: tick each place.")


def _refuse_waiting(line: Line, what: str, waits: tuple[Waiting, ...]) -> None:
    """Refuse with the first few things waited for; the rest is counted, and stands in the line's tray."""
    if not waits:
        return
    said = [f"{one.text}, until {_clock(one.until)}" if one.until else one.text for one in waits[:MOST_WAITS]]
    more = f"; and {len(waits) - MOST_WAITS} more" if len(waits) > MOST_WAITS else ""
    raise Refused(f"{line.number} cannot be {what} yet: it waits for {'; '.join(said)}{more}.")


def _check_later(survey: Survey, line: Line, action: MarkLine) -> None:
    _demand_why(line, action)
    if not action.before:
        raise Refused(f"{line.number} Later needs the line it must come before.")
    before = find_line(survey.build, action.before)
    if before.position <= line.position:
        raise Refused(f"{line.number} cannot be put off to before {before.number}: that line comes earlier.")
    gate = line.step.gate
    if gate and before.position > survey.build.bars[gate]:
        last = survey.build.lines[min(survey.build.bars[gate], len(survey.build.lines) - 1)]
        raise Refused(
            f"{line.number} keeps “{survey.build.gate(gate).title}” shut and cannot be put off past it; "
            f"choose a line up to {last.number}."
        )


def _check_not_needed(_survey: Survey, line: Line, action: MarkLine) -> None:
    _demand_why(line, action)
    if line.step.hold:
        raise Refused(
            f"{line.number} is a hold: it opens by its evidence, or by a written decision to go on anyway; "
            "Not needed does not open it."
        )


def _check_look_again(survey: Survey, line: Line, _action: MarkLine) -> None:
    if survey.state(line) is State.TO_DO:
        raise Refused(f"{line.number} has not been begun, so there is nothing to look at again.")


def _demand_why(line: Line, action: MarkLine) -> None:
    if not action.why.strip():
        raise Refused(f"{line.number} {action.state.word} needs a why.")


def _check_stopped(_survey: Survey, line: Line, action: MarkLine) -> None:
    _demand_why(line, action)


_CHECKS = {
    State.STARTED: _check_started,
    State.DONE: _check_done,
    State.LATER: _check_later,
    State.NOT_NEEDED: _check_not_needed,
    State.STOPPED: _check_stopped,
    State.LOOK_AGAIN: _check_look_again,
}


def _waited_for(build: Build, text: str) -> str:
    """A line by number or id, or a part by id or name; the id is kept."""
    if not text:
        return ""
    parts = {part.id for line in build.lines for part in line.step.parts}
    names = {part.name.casefold(): part.id for line in build.lines for part in line.step.parts}
    if text in parts:
        return text
    return names.get(text.casefold()) or find_line(build, text).id


def _ticks_together(survey: Survey, line: Line, action: MarkLine) -> Iterator[Entry]:
    if not line.many:
        return
    ticks = survey.build.facts.ticks.get(line.id, {})
    left = [p for p in survey.places(line) if p.id not in ticks or ticks[p.id].state is not State.DONE]
    for place in left:
        tick = Tick(State.DONE, action.by, action.at, together=len(left) > 1)
        yield _entry(survey.build, "tick", Subject(About.TICK, line.id, place.id), tick)


def _disturbances(build: Build, line: Line, by: str, at: datetime, state: State) -> Iterator[Entry]:
    """Everything Done that is no longer known once this line is done, or undone."""
    how = "was done after it" if state is State.DONE else f"is {state.word} again" if state is State.TO_DO else ""
    how = how or f"was opened ({state.word})"
    for other, cause in disturbed(build, line, undone=state is not State.DONE):
        why = f"{cause.number} {cause.step.do}: {how if cause is line else 'is no longer known'}"
        mark = replace(build.facts.lines[other.id], state=State.LOOK_AGAIN, by=by, at=at, why=why, disturbed_by=line.id)
        yield _entry(build, "disturbed", Subject(About.LINE, other.id), mark)


# --- places: ticks and readings


@_decide.register
def _tick(action: TickPlace, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    if not line.many:
        raise Refused(f"{line.number} has no boxes for places; mark the line itself.")
    place = find_place(survey, line, action.place)
    if action.state not in (State.TO_DO, State.STARTED, State.DONE):
        raise Refused(f"A place can be To do, Started or Done; for {action.state.word} mark the whole line.")
    old = survey.build.facts.ticks.get(line.id, {}).get(place.id)
    if (old.state if old else State.TO_DO) is action.state:
        raise Refused(f"{line.number} {place.title} is {action.state.word} already.")
    state = survey.state(line)
    if action.state is State.DONE:
        _refuse_waiting(line, "ticked", survey.waits(line))
    new = None if action.state is State.TO_DO else Tick(action.state, action.by, action.at)
    entries = [_entry(survey.build, "tick", Subject(About.TICK, line.id, place.id), new)]
    if state is State.TO_DO:
        entries.append(_begin(survey, line, action.by, action.at))
    elif state is State.DONE:
        entries += _opened(survey, line, action.by, action.at, f"{place.title} was opened")
    label = f"{line.number} {place.title} {action.state.word}"
    return Deed("tick", label, action.by, action.at, tuple(entries))


@_decide.register
def _reading(action: TakeReading, survey: Survey) -> Deed:
    line, place = _reading_place(survey, action.line, action.place, action.round)
    reading = _read_value(line, place, action)
    entries = [_entry(survey.build, "read", Subject(About.READING, line.id, place.id, action.round), reading)]
    state = survey.state(line)
    spec = line.step.spec
    out = spec is not None and reading_verdict(reading, spec, survey.bounds(line)) is Verdict.OUT
    if state is State.TO_DO:
        entries.append(_begin(survey, line, action.by, action.at))
    elif state is State.DONE and out:
        entries += _opened(survey, line, action.by, action.at, f"{place.title} reads {reading.text}, out of limits")
    entries += _changed_findings(survey, line, place, reading, action)
    label = f"{line.number} {place.title} {reading.text}"
    return Deed("read", label, action.by, action.at, _once(entries))


@_decide.register
def _rub_out(action: RubOutReading, survey: Survey) -> Deed:
    line, place = _reading_place(survey, action.line, action.place, action.round)
    subject = Subject(About.READING, line.id, place.id, action.round)
    if survey.build.facts.get(subject) is None:
        raise Refused(f"{line.number} {place.title} has no value to rub out.")
    entries = [_entry(survey.build, "rub out", subject, None)]
    if survey.state(line) is State.DONE:
        entries += _opened(survey, line, action.by, action.at, f"the value at {place.title} was rubbed out")
    entries += _changed_findings(survey, line, place, None, action)
    return Deed("rub out", f"{line.number} {place.title} rubbed out", action.by, action.at, _once(entries))


def _reading_place(survey: Survey, number: str, place_text: str, turn: int) -> tuple[Line, Place]:
    line = find_line(survey.build, number)
    if not line.reads or line.step.spec is None:
        raise Refused(f"{line.number} asks for no reading; mark it instead.")
    if not 1 <= turn <= line.step.spec.rounds:
        raise Refused(f"{line.number} is read in {line.step.spec.rounds} round(s); there is no round {turn}.")
    return line, find_place(survey, line, place_text)


def _read_value(line: Line, place: Place, action: TakeReading) -> Reading:
    spec = line.step.spec
    assert spec is not None  # a reading line always has one
    text = action.text.strip()
    if not text:
        raise Refused(f"{line.number} {place.title}: write a value.")
    if spec.kind is Measured.TEXT:
        return Reading(text, None, "", action.by, action.at)
    if spec.kind is Measured.CHOICE:
        return Reading(_word(line, text), None, "", action.by, action.at)
    try:
        quantity = read_quantity(text, Kind(spec.kind.value), unit=spec.unit or None, decimal=action.decimal)
    except Ambiguous as error:
        raise Refused(f"{line.number} {place.title}: {error}") from error
    except NotationError as error:
        raise Refused(f"{line.number} {place.title}: {error}") from error
    return Reading(text, quantity.magnitude, quantity.unit, action.by, action.at)


def _word(line: Line, text: str) -> str:
    choices = line.step.spec.choices if line.step.spec else ()
    found = [choice for choice in choices if choice.casefold() == text.casefold()]
    if not found:
        raise Refused(f"{line.number}: “{text}” is none of {', '.join(choices)}.")
    return found[0]


def _changed_findings(
    survey: Survey, finding: Line, place: Place, reading: Reading | None, action: TakeReading | RubOutReading
) -> Iterator[Entry]:
    """A finding that changes its answer, or loses it, opens the Done lines that hang on it."""
    old = survey.build.facts.readings.get(finding.id, {}).get((place.id, action.round))
    if old is None or (reading is not None and old.text == reading.text):
        return
    answer = f"is {reading.text} now" if reading is not None else "is not known any more"
    for line in survey.build.conditional.get(finding.id, ()):
        if survey.state(line) is State.DONE:
            yield from _opened(survey, line, action.by, action.at, f"{finding.number} {place.title} {answer}")


# --- figures, parts, concessions, gates


@_decide.register
def _figure(action: EnterFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        raise Refused(f"{line.number} has no figure to enter.")
    if not action.source.strip():
        raise Refused(f"{line.number}: say where the figure is from, for example the manual and its edition.")
    text = action.text.strip()
    try:
        read_spec(text, Kind(spec.kind.value), unit=spec.unit or None, decimal=action.decimal)
    except NotationError as error:
        raise Refused(f"{line.number}: {error}") from error
    figure = Figure(text, action.source.strip(), action.by, action.at)
    entries = [_entry(survey.build, "figure", Subject(About.FIGURE, line.id), figure)]
    before = survey.bounds(line)
    changed = before is not None and before.limits != bounds_of(spec, figure, survey.build.sources).limits  # type: ignore[union-attr]
    if survey.state(line) is State.DONE and changed:
        entries += _opened(survey, line, action.by, action.at, f"its figure is {text} now")
    return Deed("figure", f"{line.number} figure {text}", action.by, action.at, tuple(entries), action.source)


@_decide.register
def _part(action: SayPart, survey: Survey) -> Deed:
    names = {part.id: part.name for line in survey.build.lines for part in line.step.parts}
    if action.part not in names:
        raise Refused(f"No line of this build needs a part “{action.part}”.")
    said = PartSaid(action.holding, action.by, action.at, action.why)
    entry = _entry(survey.build, "part", Subject(About.PART, action.part), said)
    label = f"{names[action.part]} {action.holding.value.replace('-', ' ')}"
    return Deed("part", label, action.by, action.at, (entry,), action.why)


@_decide.register
def _concede(action: Concede, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    out = bool(survey.with_verdict(line, Verdict.OUT))
    if not survey.open(line) and not out:
        raise Refused(f"{line.number} is {survey.state(line).word}: there is nothing to go on without.")
    _check_order(survey, line, action.at)
    if action.before:
        before = find_line(survey.build, action.before)
        if before.position <= line.position:
            raise Refused(f"{line.number} cannot be cleared before {before.number}: that line comes earlier.")
    covers = _covers(survey, line)
    before_id = find_line(survey.build, action.before).id if action.before else ""
    concession = Concession(_written(line, action.text), action.by, action.at, covers, before_id)
    entry = _entry(survey.build, "concession", Subject(About.CONCESSION, line.id), concession)
    return Deed("concede", f"{line.number} go on in writing", action.by, action.at, (entry,), action.text.strip())


def _covers(survey: Survey, line: Line) -> tuple[str, ...]:
    """What is the matter with the line now or by going on, and what an earlier such concession spoke of already."""
    earlier = survey.build.facts.concessions.get(line.id, {}).get("")
    rules = (end.rule for end in loose_ends(survey) if end.line is line and end.blocks)
    return tuple(dict.fromkeys((GATE_LINE, *(earlier.covers if earlier else ()), *rules, *_by_going_on(line))))


def _by_going_on(line: Line) -> tuple[str, ...]:
    """The rule that speaks up because somebody goes on without this line; it is not asked about a second time."""
    rules = {Role.PRIME: not_primed.ID, Role.HOLE_SEAL: hole_unsealed.ID}
    return (rules[line.step.role],) if line.step.role in rules else ()


@_decide.register
def _pass(action: PassGate, survey: Survey) -> Deed:
    gate = find_gate(survey.build, action.gate)
    standings = {one.gate.id: one for one in gate_standings(survey, loose_ends(survey))}
    standing = standings[gate]
    title = standing.gate.title
    if standing.passage is not None:
        raise Refused(f"“{title}” was passed on {_clock(standing.passage.at)} by {standing.passage.by}.")
    earlier = next((one for one in standings.values() if not one.passed), standing)
    if earlier is not standing:
        raise Refused(f"“{title}” cannot be passed while “{earlier.gate.title}” in front of it is shut.")
    conceded = {find_line(survey.build, number).id: text for number, text in action.concessions.items()}
    reasons = {reason.step: reason for reason in standing.reasons}
    for step in conceded:
        if step not in reasons:
            raise Refused(
                f"{survey.build.by_id[step].number} does not keep “{title}” shut; there is nothing to concede."
            )
    left = tuple(reason for reason in standing.reasons if reason.step not in conceded)
    if left:
        lines = ", ".join(reason.line for reason in left)
        raise NotReady(
            f"“{title}” is shut, held by {lines}: close each one, or write for each why you go on without it.", left
        )
    entries = [
        _entry(
            survey.build,
            "concession",
            Subject(About.CONCESSION, step, gate),
            Concession(
                _written(survey.build.by_id[step], text),
                action.by,
                action.at,
                tuple(dict.fromkeys((*reasons[step].rules, *_by_going_on(survey.build.by_id[step])))),
            ),
        )
        for step, text in conceded.items()
    ]
    entries.append(_entry(survey.build, "pass", Subject(About.GATE, gate), Passage(action.by, action.at)))
    return Deed("pass", f"{title} passed", action.by, action.at, tuple(entries))


def _written(line: Line, text: str) -> str:
    if not text.strip():
        raise Refused(f"{line.number}: going on anyway needs a written reason.")
    return text.strip()


# --- undo


def undo_of(build: Build, deed: Deed, deed_id: int, by: str, at: datetime) -> Deed:
    """The deed turned round. Raise `Refused` if something stands there that it did not put."""
    entries = tuple(Entry("undo", entry.subject, entry.new, entry.old) for entry in reversed(deed.entries))
    return _again(build, deed, deed_id, by, at, "undo", entries)


def redo_of(build: Build, deed: Deed, deed_id: int, by: str, at: datetime) -> Deed:
    """A deed that was taken back, put back as it was."""
    entries = tuple(Entry("redo", entry.subject, entry.old, entry.new) for entry in deed.entries)
    return _again(build, deed, deed_id, by, at, "redo", entries)


def _again(
    build: Build, deed: Deed, deed_id: int, by: str, at: datetime, verb: str, entries: tuple[Entry, ...]
) -> Deed:
    first_of_subject: dict[Subject, Fact | None] = {}
    for entry in entries:
        first_of_subject.setdefault(entry.subject, entry.old)
    if any(build.facts.get(subject) != old for subject, old in first_of_subject.items()):
        raise Refused(f"“{deed.label}” cannot be changed back: something has been written over it since.")
    return Deed(verb, deed.label, by, at, entries, "", deed_id)


# --- shared


def _once(entries: list[Entry]) -> tuple[Entry, ...]:
    """The entries without a second one about the same thing: two findings may open the same line."""
    first: dict[Subject, Entry] = {}
    for entry in entries:
        first.setdefault(entry.subject, entry)
    return tuple(first.values())


def _opened(survey: Survey, line: Line, by: str, at: datetime, why: str) -> Iterator[Entry]:
    """A Done line becomes Look again, and with it what it disturbs."""
    mark = replace(survey.build.facts.lines[line.id], state=State.LOOK_AGAIN, by=by, at=at, why=f"{why}.")
    yield _entry(survey.build, "opened", Subject(About.LINE, line.id), mark)
    yield from _disturbances(survey.build, line, by, at, State.LOOK_AGAIN)


def _begin(survey: Survey, line: Line, by: str, at: datetime) -> Entry:
    waits = survey.stops_start(line)
    gates = [waiting.text for waiting in waits if waiting.wants is Wants.GATE]
    if gates:
        raise Refused(f"{line.number} cannot be begun yet: it waits for {'; '.join(gates)}.")
    return _entry(survey.build, "begun", Subject(About.LINE, line.id), Mark(State.STARTED, by, at))


def _entry(build: Build, event: str, subject: Subject, new: Fact | None) -> Entry:
    return Entry(event, subject, build.facts.get(subject), new)


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


def _check_words(action: Action) -> None:
    if not action.by.strip():
        raise Refused("Say who: initials are needed, for example --by AB.")
    if len(action.by) > 20 or not action.by.isprintable():
        raise Refused(f"“{action.by[:20]}” is not a set of initials; use a few letters.")
    if action.at.tzinfo is None:
        raise ValueError("an action's time carries its time zone")
    texts = chain(
        *(_texts(getattr(action, name)) for name in ("why", "text", "source", "concessions") if hasattr(action, name))
    )
    for text in texts:
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


def _texts(value: object) -> list[str]:
    return list(value.values()) if isinstance(value, dict) else [str(value)]


def _clock(at: datetime) -> str:
    return f"{at.astimezone():%a %d %b %Y %H:%M}"
