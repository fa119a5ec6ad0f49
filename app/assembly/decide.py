"""What an action comes to: the entries it makes, or a refusal in one sentence. Pure: nothing is changed here."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime

from app.assembly import apart, bolting, lash_stops
from app.assembly.actions import (
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
from app.assembly.build import Build
from app.assembly.deciding import (
    begin,
    check_words,
    clock,
    decided,
    disturbances,
    entry,
    find_gate,
    find_line,
    find_place,
    once,
    opened,
    refuse_waiting,
    tightened,
    unticked,
)
from app.assembly.facts import (
    About,
    Concession,
    Deed,
    Entry,
    Figure,
    Mark,
    PartSaid,
    Passage,
    Reading,
    State,
    Subject,
    Tick,
)
from app.assembly.figures import bounds_of, read_figure, reading_verdict
from app.assembly.gates import GATE_LINE, gate_standings
from app.assembly.lines import Line
from app.assembly.places import Place
from app.assembly.plan import Measured, Role
from app.assembly.refusal import NotReady, Refused
from app.assembly.rules import hole_unsealed, loose_ends, not_primed
from app.assembly.rules.reading_out import undecided_out
from app.assembly.survey import Survey
from app.assembly.tools import doubt_of, tool_of
from app.trade.notation import Ambiguous, NotationError, read_quantity
from app.trade.quantity import Kind
from app.trade.verdict import Verdict

# Importing a module of decisions is what registers them.
DECISIONS = (apart, bolting, lash_stops)


def decide(build: Build, action: Action) -> Deed:
    """Say what the action comes to, judged at the action's own time; raise `Refused` if it may not be."""
    check_words(action)
    return decided(action, Survey(build, action.at))


# --- marks


@decided.register
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
        meanwhile=action.meanwhile,
        known_from=survey.known_from(line),
    )
    # To do is what a line is without a mark: taking the mark away and marking it To do must come to the same.
    new = None if action.state is State.TO_DO else mark
    entries = [entry(survey.build, "mark", Subject(About.LINE, line.id), new)]
    if new is None:
        entries += _outdated(survey, line)
    if action.state is State.DONE:
        ticked = list(_ticks_together(survey, line, action))
        entries += ticked
        places = survey.places(line)
        again = {tick.subject.place for tick in ticked}
        fresh = [place for place in places if place.id in again] if line.many else places
        entries += tightened(survey.build, line, fresh, action.by, action.at)
    if action.state is State.LOOK_AGAIN:
        entries += unticked(survey.build, line, "mark")
    if State.DONE in (old, action.state):
        entries += disturbances(survey.build, line, action.by, action.at, action.state)
    return Deed("mark", f"{line.number} {action.state.word}", action.by, action.at, tuple(entries), action.why)


def _outdated(survey: Survey, line: Line) -> Iterator[Entry]:
    """The readings that count no more, rubbed out: without a mark nothing would say so of them any longer."""
    build, known_from = survey.build, survey.known_from(line)
    for (place, turn), reading in build.facts.readings.get(line.id, {}).items():
        if known_from is not None and reading.at < known_from:
            yield entry(build, "rub out", Subject(About.READING, line.id, place, turn), None)


def _check_order(survey: Survey, line: Line, at: datetime) -> None:
    """What is written about a line later may not be dated earlier: waits and concessions go by these times."""
    mark = survey.build.facts.lines.get(line.id)
    if mark is not None and at < mark.at:
        raise Refused(
            f"{line.number} was marked {mark.state.word} on {clock(mark.at)}; {clock(at)} is older "
            "than that. Give a later time, or look at this computer's clock."
        )


def _check_started(survey: Survey, line: Line, _action: MarkLine) -> None:
    refuse_waiting(line, "begun", survey.stops_start(line))


def _check_done(survey: Survey, line: Line, action: MarkLine) -> None:
    refuse_waiting(line, "signed off", survey.waits(line))
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
    """A line by number or id, or a part by id or name; the id is kept. Else “date:”, “person:” or “tool:” and which."""
    kind, colon, value = text.partition(":")
    if colon and kind in ("date", "person", "tool") and value.strip():
        return f"{kind}:{_a_day(value.strip()) if kind == 'date' else value.strip()}"
    if not text:
        return ""
    parts = {part.id for line in build.lines for part in line.step.parts}
    names = {part.name.casefold(): part.id for line in build.lines for part in line.step.parts}
    if text in parts:
        return text
    return names.get(text.casefold()) or find_line(build, text).id


def _a_day(text: str) -> str:
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise Refused(f"“{text}” is not a date to wait for; write it as date:2026-03-14.") from None


def _ticks_together(survey: Survey, line: Line, action: MarkLine) -> Iterator[Entry]:
    if not line.many:
        return
    ticks = survey.build.facts.ticks.get(line.id, {})
    left = [p for p in survey.places(line) if p.id not in ticks or ticks[p.id].state is not State.DONE]
    for place in left:
        tick = Tick(State.DONE, action.by, action.at, together=len(left) > 1)
        yield entry(survey.build, "tick", Subject(About.TICK, line.id, place.id), tick)


# --- places: ticks and readings


@decided.register
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
        refuse_waiting(line, "ticked", survey.waits(line))
    new = None if action.state is State.TO_DO else Tick(action.state, action.by, action.at)
    entries = [entry(survey.build, "tick", Subject(About.TICK, line.id, place.id), new)]
    if state is State.TO_DO:
        entries.append(begin(survey, line, action.by, action.at))
    elif state is State.DONE:
        entries += opened(survey, line, action.by, action.at, f"{place.title} was opened")
    fasteners = survey.build.fasteners.get(line.step.tightens)
    if action.state is State.DONE and fasteners is not None and fasteners.places == line.step.places:
        entries += tightened(survey.build, line, (place,), action.by, action.at)
    label = f"{line.number} {place.title} {action.state.word}"
    return Deed("tick", label, action.by, action.at, once(entries))


@decided.register
def _reading(action: TakeReading, survey: Survey) -> Deed:
    line, place = _reading_place(survey, action.line, action.place, action.round)
    reading = _with_doubt(survey, line, place, _read_value(line, place, action), action)
    entries = [entry(survey.build, "read", Subject(About.READING, line.id, place.id, action.round), reading)]
    state = survey.state(line)
    spec = line.step.spec
    out = spec is not None and reading_verdict(reading, line.step, survey.bounds(line), place.id) is Verdict.OUT
    if state is State.TO_DO:
        entries.append(begin(survey, line, action.by, action.at))
    elif state is State.DONE and out:
        entries += opened(survey, line, action.by, action.at, f"{place.title} reads {reading.text}, out of limits")
    entries += _changed_findings(survey, line, place, reading, action)
    label = f"{line.number} {place.title} {reading.text}"
    return Deed("read", label, action.by, action.at, once(entries))


@decided.register
def _rub_out(action: RubOutReading, survey: Survey) -> Deed:
    line, place = _reading_place(survey, action.line, action.place, action.round)
    subject = Subject(About.READING, line.id, place.id, action.round)
    if survey.build.facts.get(subject) is None:
        raise Refused(f"{line.number} {place.title} has no value to rub out.")
    entries = [entry(survey.build, "rub out", subject, None)]
    if survey.state(line) is State.DONE:
        entries += opened(survey, line, action.by, action.at, f"the value at {place.title} was rubbed out")
    entries += _changed_findings(survey, line, place, None, action)
    return Deed("rub out", f"{line.number} {place.title} rubbed out", action.by, action.at, once(entries))


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
        between = _between_blades(line, text, action)
        if between is not None:
            return between
        quantity = read_quantity(text, Kind(spec.kind.value), unit=spec.unit or None, decimal=action.decimal)
    except Ambiguous as error:
        raise Refused(f"{line.number} {place.title}: {error}") from error
    except NotationError as error:
        raise Refused(f"{line.number} {place.title}: {error}") from error
    return Reading(text, quantity.magnitude, quantity.unit, action.by, action.at)


def _with_doubt(survey: Survey, line: Line, place: Place, reading: Reading, action: TakeReading) -> Reading:
    """The reading with what it was read with, how far that is to be trusted, and how warm it was."""
    tool = tool_of(survey.build, action.tool.strip()) if action.tool.strip() else None
    try:
        doubt = doubt_of(tool, line.step.spec) if tool is not None else 0.0
        warmth = action.temperature.strip()
        celsius = read_quantity(warmth, Kind.TEMPERATURE, unit="°C").magnitude if warmth else None
    except NotationError as error:
        raise Refused(f"{line.number} {place.title}: {error}") from error
    if celsius is not None and not -50 <= celsius <= 150:
        raise Refused(f"{line.number} {place.title}: nothing is measured at {warmth}; look at the figure and its unit.")
    doubt = max(doubt, reading.doubt)
    alpha = action.alpha_per_k if line.step.measure is not None and line.step.measure.material else 0.0
    return replace(reading, tool=action.tool.strip(), doubt=doubt, celsius=celsius, alpha_per_k=alpha)


# “0.25 goes, 0.30 does not”: what two neighbouring blades say, which is how the manuals define correct lash.
_BLADES = re.compile(r"(?P<goes>.+?)\s+go(?:es)?\s*,?\s*(?P<not>.+?)\s+(?:does\s+not|doesn't|not|no)\.?", re.IGNORECASE)


def _between_blades(line: Line, text: str, action: TakeReading) -> Reading | None:
    """Lash known to lie between two blades: its middle, in doubt by half of what they leave open."""
    match = _BLADES.fullmatch(text) if line.step.measure is not None and line.step.measure.adjuster else None
    spec = line.step.spec
    if match is None or spec is None or spec.kind is not Measured.LENGTH:
        return None
    unit = read_quantity(match["not"], Kind.LENGTH, unit=spec.unit or None, decimal=action.decimal).unit
    goes, stops = (
        read_quantity(match[name], Kind.LENGTH, unit=unit, decimal=action.decimal).magnitude for name in ("goes", "not")
    )
    if goes >= stops:
        raise Refused(
            f"{line.number}: the blade that goes is the thinner one; write it first, then the one that does not."
        )
    return Reading(text, (goes + stops) / 2, unit, action.by, action.at, doubt=(stops - goes) / 2)


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
            yield from opened(survey, line, action.by, action.at, f"{finding.number} {place.title} {answer}")


# --- figures, parts, concessions, gates


@decided.register
def _figure(action: EnterFigure, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    spec = line.step.spec
    if spec is None or spec.kind in (Measured.SEE, Measured.CHOICE, Measured.TEXT):
        raise Refused(f"{line.number} has no figure to enter.")
    if not action.source.strip():
        raise Refused(f"{line.number}: say where the figure is from, for example the manual and its edition.")
    text = action.text.strip()
    try:
        read_figure(text, Kind(spec.kind.value), spec.unit, action.decimal)
    except NotationError as error:
        raise Refused(f"{line.number}: {error}") from error
    figure = Figure(text, action.source.strip(), action.by, action.at)
    entries = [entry(survey.build, "figure", Subject(About.FIGURE, line.id), figure)]
    before = survey.bounds(line)
    after = bounds_of(spec, figure, survey.build.sources)
    changed = before is not None and after is not None and (before.limits, before.parts) != (after.limits, after.parts)
    if survey.state(line) is State.DONE and changed:
        entries += opened(survey, line, action.by, action.at, f"its figure is {text} now")
    return Deed("figure", f"{line.number} figure {text}", action.by, action.at, tuple(entries), action.source)


@decided.register
def _part(action: SayPart, survey: Survey) -> Deed:
    names = {part.id: part.name for line in survey.build.lines for part in line.step.parts}
    if action.part not in names:
        raise Refused(f"No line of this build needs a part “{action.part}”.")
    said = PartSaid(action.holding, action.by, action.at, action.why)
    made = entry(survey.build, "part", Subject(About.PART, action.part), said)
    label = f"{names[action.part]} {action.holding.value.replace('-', ' ')}"
    return Deed("part", label, action.by, action.at, (made,), action.why)


@decided.register
def _concede(action: Concede, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    out = bool(survey.with_verdict(line, Verdict.OUT))
    matter = out or any(end.line is line and end.blocks for end in loose_ends(survey))
    if not survey.open(line) and not matter:
        raise Refused(f"{line.number} is {survey.state(line).word}: there is nothing to go on without.")
    _check_order(survey, line, action.at)
    if action.before:
        before = find_line(survey.build, action.before)
        if before.position <= line.position:
            raise Refused(f"{line.number} cannot be cleared before {before.number}: that line comes earlier.")
    covers = _covers(survey, line)
    before_id = find_line(survey.build, action.before).id if action.before else ""
    concession = Concession(_written(line, action.text), action.by, action.at, covers, before_id)
    made = entry(survey.build, "concession", Subject(About.CONCESSION, line.id), concession)
    return Deed("concede", f"{line.number} go on in writing", action.by, action.at, (made,), action.text.strip())


def _covers(survey: Survey, line: Line) -> tuple[str, ...]:
    """What is the matter with the line now or by going on, and what an earlier such concession spoke of already."""
    earlier = survey.build.facts.concessions.get(line.id, {}).get("")
    rules = (end.rule for end in loose_ends(survey) if end.line is line and end.blocks)
    return tuple(dict.fromkeys((GATE_LINE, *(earlier.covers if earlier else ()), *rules, *_by_going_on(line))))


def _by_going_on(line: Line) -> tuple[str, ...]:
    """The rule that speaks up because somebody goes on without this line; it is not asked about a second time."""
    rules = {Role.PRIME: not_primed.ID, Role.HOLE_SEAL: hole_unsealed.ID}
    return (rules[line.step.role],) if line.step.role in rules else ()


@decided.register
def _pass(action: PassGate, survey: Survey) -> Deed:
    gate = find_gate(survey.build, action.gate)
    standings = {one.gate.id: one for one in gate_standings(survey, loose_ends(survey))}
    standing = standings[gate]
    title = standing.gate.title
    if standing.passage is not None:
        raise Refused(f"“{title}” was passed on {clock(standing.passage.at)} by {standing.passage.by}.")
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
        entry(
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
    entries.append(entry(survey.build, "pass", Subject(About.GATE, gate), Passage(action.by, action.at)))
    return Deed("pass", f"{title} passed", action.by, action.at, tuple(entries))


def _written(line: Line, text: str) -> str:
    if not text.strip():
        raise Refused(f"{line.number}: going on anyway needs a written reason.")
    return text.strip()
