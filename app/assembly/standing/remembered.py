"""Leaving and coming back: what must be remembered, what was marked last, and what months of standing make doubtful."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from itertools import pairwise

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.leaving import LEFT, RESUMED, Left, Remembered
from app.assembly.said.marks import State
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.survey import Survey

LAST_MARKS = 3
BREAK = timedelta(minutes=5)
LONG_PAUSE = timedelta(days=60)


def must_be_remembered(survey: Survey) -> Iterator[Phrase]:
    """What one must know who comes back: lines in hand, things still in, things opened, fits that are no fits."""
    for line in survey.build.lines:
        state = survey.state(line)
        if state is State.STARTED:
            yield _in_hand(survey, line)
        elif line.extra is not None and survey.open(line):
            yield phrase(Remembered.STILL_OPEN, line=line.number, do=line.step.do)
    for thing in survey.inside:
        yield phrase(Remembered.LOST if thing.lost else Remembered.STILL_IN, thing=thing.words)
    for line in survey.standing_in:
        yield phrase(Remembered.STANDS_IN, line=line.number, do=line.step.do)


def _in_hand(survey: Survey, line: Line) -> Phrase:
    if not line.many:
        return phrase(Remembered.IN_HAND, line=line.number, do=line.step.do)
    ticked, places = survey.ticked(line), len(survey.places(line))
    return phrase(Remembered.HALF_TICKED, line=line.number, do=line.step.do, ticked=ticked, of=places)


def last_marked(build: Build, most: int = LAST_MARKS) -> tuple[Line, ...]:
    """The lines marked last, the newest first."""
    marked = [line for line in build.lines if line.id in build.facts.lines]
    return tuple(sorted(marked, key=lambda line: build.facts.lines[line.id].at, reverse=True)[:most])


def last_worked(build: Build) -> datetime | None:
    """When anything was last marked or read."""
    return max(_worked(build), default=None)


def _worked(build: Build) -> Iterator[datetime]:
    """Each moment something that still stands was marked or read."""
    yield from (mark.at for mark in build.facts.lines.values())
    yield from (one.at for readings in build.facts.readings.values() for one in readings.values())


def last_left(build: Build) -> Left | None:
    """The note left last."""
    return max(build.facts.of(LEFT).values(), key=lambda one: one.at, default=None)


def to_be_asked(survey: Survey) -> tuple[Line, ...]:
    """The lines to ask “still true?” about after a break; none once they were answered or the question was skipped."""
    worked = last_worked(survey.build)
    if worked is None or survey.now - worked < BREAK:
        return ()
    back = [one.at for one in survey.build.facts.of(RESUMED).values()]
    return () if any(at >= worked for at in back) else last_marked(survey.build)


def long_pause(survey: Survey) -> datetime | None:
    """When work stopped last for months, up to now or to when it was taken up again; None where it never did."""
    marked = [mark.at for mark in survey.build.facts.lines.values()]
    if not _stops([*marked, survey.now]):  # readings can only shorten a pause, and there are thousands of them
        return None
    return max(_stops([*_worked(survey.build), survey.now]), default=None)


def _stops(times: Iterable[datetime]) -> list[datetime]:
    """The moments after which nothing was done for months."""
    return [before for before, after in pairwise(sorted(times)) if after - before >= LONG_PAUSE]


def not_known_final(survey: Survey, since: datetime) -> tuple[Line, ...]:
    """The lines nobody may trust since before a long pause: begun, doubted, or signed without the second look."""
    marks = survey.build.facts.lines
    return tuple(
        line
        for line in survey.build.lines
        if line.id in marks and marks[line.id].at <= since and _not_final(survey, line)
    )


def _not_final(survey: Survey, line: Line) -> bool:
    if survey.done(line):
        return line.step.second_look and not survey.seen_twice(line)
    return survey.state(line) in (State.STARTED, State.LOOK_AGAIN, State.STOPPED)
