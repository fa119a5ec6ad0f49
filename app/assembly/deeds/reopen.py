"""What is no longer known: Done lines become Look again, ticks and passes count no more."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.deeds.entries import entry
from app.assembly.lines import Line
from app.assembly.said.bolts import BOLT, BoltTurn, Tried
from app.assembly.said.deeds import Entry, EventName
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, TICK, State
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.said.reasons import Because
from app.assembly.standing.disturb import begun_among, disturbed, disturbed_by_event
from app.assembly.standing.survey import Survey


def disturbances(build: Build, line: Line, by: str, at: datetime, state: State) -> Iterator[Entry]:
    """Everything Done that is no longer known once this line is done, or undone."""
    undone = state is not State.DONE
    found = disturbed(build, line, undone=undone)
    for other, cause in found:
        because = _done_or_undone(line, state) if cause is line else _not_known(cause)
        yield from doubted(build, other, by, at, because, disturbed_by=line.id)
    for begun in begun_among(build, line, (other for other, _ in found), undone=undone):
        yield from voided(build, begun, at)


def _done_or_undone(line: Line, state: State) -> Phrase:
    number, do = line.number, line.step.do
    match state:
        case State.DONE:
            return phrase(Because.DONE_AFTER, line=number, do=do)
        case State.TO_DO:
            return phrase(Because.TO_DO_AGAIN, line=number, do=do)
        case _:
            return phrase(Because.WAS_OPENED, line=number, do=do, state=phrase(state))


def _not_known(cause: Line) -> Phrase:
    return phrase(Because.NOT_KNOWN, line=cause.number, do=cause.step.do)


def voided(build: Build, line: Line, at: datetime) -> Iterator[Entry]:
    """What was read or ticked of a line begun and not Done counts no more; its state stays."""
    if build.facts.readings.get(line.id):
        mark = replace(build.facts.lines[line.id], known_from=at)
        yield entry(build, EventName.DISTURBED, Subject(MARK, line.id), mark)
    yield from unticked(build, line, EventName.DISTURBED)


def doubted(
    build: Build,
    line: Line,
    by: str,
    at: datetime,
    because: Phrase,
    *,
    event: EventName = EventName.DISTURBED,
    disturbed_by: str = "",
) -> Iterator[Entry]:
    """A Done line becomes Look again: its ticks count no more, nor do readings taken before."""
    old = build.facts.lines[line.id]
    mark = replace(old, state=State.LOOK_AGAIN, by=by, at=at, why="", because=because, disturbed_by=disturbed_by)
    mark = replace(mark, known_from=at)
    yield entry(build, event, Subject(MARK, line.id), mark)
    yield from unticked(build, line, event)


def unticked(build: Build, line: Line, event: EventName) -> Iterator[Entry]:
    """The ticks and bolt passes of a line taken away: which of its places still hold is no longer known."""
    for place in build.facts.ticks.get(line.id, {}):
        yield entry(build, event, Subject(TICK, line.id, place), None)
    for (step, where), turn in build.facts.of(BOLT).items():
        if step == line.id:
            yield entry(build, event, Subject(BOLT, line.id, where), _still_known(turn))


def _still_known(turn: BoltTurn) -> BoltTurn | None:
    """What is left of a bolt's pass once it is slack: the try a stud is on, until it passes or is replaced."""
    from app.trade.stretch import Answer  # wanted only where a bolt was turned

    if turn.answer == Answer.SLACKEN_GROUP.value:
        return BoltTurn(False, turn.by, turn.at, tries=turn.tries + 1, because=phrase(Tried.SLACKENED))
    return turn if turn.tries > 1 and not turn.done and not turn.answer else None


def opened(survey: Survey, line: Line, by: str, at: datetime, because: Phrase) -> Iterator[Entry]:
    """A Done line becomes Look again, and with it what it disturbs."""
    yield from doubted(survey.build, line, by, at, because, event=EventName.OPENED)
    yield from disturbances(survey.build, line, by, at, State.LOOK_AGAIN)


def void_by(build: Build, targets: Iterable[str], by: str, at: datetime, because: Phrase) -> Iterator[Entry]:
    """What an event makes unknown, along chains; what was read or ticked of a line only begun counts no more."""
    named = tuple(targets)
    for line, cause in disturbed_by_event(build, named):
        yield from doubted(build, line, by, at, because if cause is None else _not_known(cause))
    known = {line.id: line for line in (*build.plan_lines, *build.lines)}  # also those an option took away for now
    for line in (known[step] for step in named if step in known and step in build.facts.lines):
        if build.facts.lines[line.id].state is not State.DONE:
            yield from voided(build, line, at)
        elif line.id not in build.by_id:
            yield from doubted(build, line, by, at, because)
