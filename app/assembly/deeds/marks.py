"""Marking a line, and ticking its places."""

from collections.abc import Iterator
from datetime import date

from app.assembly.build import Build
from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import begin, check_order, entry, once, refuse_waiting, tightened
from app.assembly.deeds.find import find_line, find_place
from app.assembly.deeds.reopen import disturbances, opened, unticked
from app.assembly.lines import Line
from app.assembly.said.actions import MarkLine, TickPlace
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, TICK, Mark, State, Tick
from app.assembly.said.phrase import phrase
from app.assembly.said.readings import READING
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.out_of_limits import undecided_out
from app.assembly.standing.survey import Survey
from app.assembly.standing.waits import NotYet


@decided.register
def _mark(action: MarkLine, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    old = survey.state(line)
    marked = survey.build.facts.lines.get(line.id) is not None
    if marked and action.state is old:
        raise Refused(phrase(RefusalKind.MARKED_SO_ALREADY, line=line.number, state=phrase(old)))
    if not marked and action.state is State.TO_DO:
        raise Refused(phrase(RefusalKind.NO_MARK_TO_TAKE_AWAY, line=line.number))
    if action.state is not State.TO_DO:  # taking a mark away dates nothing, and is the way out of a wrong time
        check_order(survey, line, action.at)
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
    entries = [entry(survey.build, EventName.MARK, Subject(MARK, line.id), new)]
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
        entries += unticked(survey.build, line, EventName.MARK)
    if State.DONE in (old, action.state):
        entries += disturbances(survey.build, line, action.by, action.at, action.state)
    return Deed(Verb.MARK, action.by, action.at, tuple(entries), action.why)


def _outdated(survey: Survey, line: Line) -> Iterator[Entry]:
    """The readings that count no more, rubbed out: without a mark nothing would say so of them any longer."""
    build, known_from = survey.build, survey.known_from(line)
    for (place, turn), reading in build.facts.readings.get(line.id, {}).items():
        if known_from is not None and reading.at < known_from:
            yield entry(build, EventName.RUB_OUT, Subject(READING, line.id, place, turn), None)


def _check_started(survey: Survey, line: Line, _action: MarkLine) -> None:
    refuse_waiting(line, NotYet.BEGUN, survey.stops_start(line))


def _check_done(survey: Survey, line: Line, action: MarkLine) -> None:
    refuse_waiting(line, NotYet.SIGNED_OFF, survey.waits(line))
    unread = survey.unread(line)
    if unread:
        raise Refused(
            phrase(RefusalKind.NO_READING_NOT_DONE, line=line.number, places=tuple(place.title for place in unread))
        )
    out = undecided_out(survey, line)
    if out:
        raise Refused(
            phrase(
                RefusalKind.OUT_OF_LIMITS,
                line=line.number,
                values=tuple(f"{one.place.title} {one.reading.said}" for one in out),
            )
        )
    if line.many and not action.together and survey.ticked(line) < len(survey.places(line)):
        left = len(survey.places(line)) - survey.ticked(line)
        raise Refused(phrase(RefusalKind.BOXES_OPEN, line=line.number, left=left, places=len(survey.places(line))))


def _check_later(survey: Survey, line: Line, action: MarkLine) -> None:
    _demand_why(line, action)
    if not action.before:
        raise Refused(phrase(RefusalKind.LATER_BEFORE_WHAT, line=line.number))
    before = find_line(survey.build, action.before)
    if before.position <= line.position:
        raise Refused(phrase(RefusalKind.PUT_OFF_BEFORE_EARLIER, line=line.number, before=before.number))
    gate = line.step.gate
    if gate and before.position > survey.build.bars[gate]:
        last = survey.build.lines[min(survey.build.bars[gate], len(survey.build.lines) - 1)]
        raise Refused(
            phrase(
                RefusalKind.PUT_OFF_PAST_GATE, line=line.number, gate=survey.build.gate(gate).title, last=last.number
            )
        )


def _check_not_needed(_survey: Survey, line: Line, action: MarkLine) -> None:
    _demand_why(line, action)
    if line.step.hold:
        raise Refused(phrase(RefusalKind.HOLD_IS_NEEDED, line=line.number))


def _check_look_again(survey: Survey, line: Line, _action: MarkLine) -> None:
    if survey.state(line) is State.TO_DO:
        raise Refused(phrase(RefusalKind.NOT_BEGUN, line=line.number))


def _demand_why(line: Line, action: MarkLine) -> None:
    if not action.why.strip():
        raise Refused(phrase(RefusalKind.SAY_WHY_MARKED, line=line.number, state=phrase(action.state)))


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
        raise Refused(phrase(RefusalKind.NO_DATE, text=text)) from None


def _ticks_together(survey: Survey, line: Line, action: MarkLine) -> Iterator[Entry]:
    if not line.many:
        return
    ticks = survey.build.facts.ticks.get(line.id, {})
    left = [p for p in survey.places(line) if p.id not in ticks or ticks[p.id].state is not State.DONE]
    for place in left:
        tick = Tick(State.DONE, action.by, action.at, together=len(left) > 1)
        yield entry(survey.build, EventName.TICK, Subject(TICK, line.id, place.id), tick)


@decided.register
def _tick(action: TickPlace, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    if not line.many:
        raise Refused(phrase(RefusalKind.NO_BOXES, line=line.number))
    place = find_place(survey, line, action.place)
    if action.state not in (State.TO_DO, State.STARTED, State.DONE):
        raise Refused(phrase(RefusalKind.NO_STATE_OF_A_PLACE, state=phrase(action.state)))
    old = survey.build.facts.ticks.get(line.id, {}).get(place.id)
    if (old.state if old else State.TO_DO) is action.state:
        raise Refused(
            phrase(RefusalKind.TICKED_SO_ALREADY, line=line.number, place=place.title, state=phrase(action.state))
        )
    state = survey.state(line)
    if action.state is State.DONE:
        refuse_waiting(line, NotYet.TICKED, survey.waits(line))
    new = None if action.state is State.TO_DO else Tick(action.state, action.by, action.at)
    entries = [entry(survey.build, EventName.TICK, Subject(TICK, line.id, place.id), new)]
    if state is State.TO_DO:
        entries.append(begin(survey, line, action.by, action.at))
    elif state is State.DONE:
        entries += opened(survey, line, action.by, action.at, phrase(Because.PLACE_OPENED, place=place.title))
    fasteners = survey.build.fasteners.get(line.step.tightens)
    if action.state is State.DONE and fasteners is not None and fasteners.places == line.step.places:
        entries += tightened(survey.build, line, (place,), action.by, action.at)
    return Deed(Verb.TICK, action.by, action.at, once(entries))
