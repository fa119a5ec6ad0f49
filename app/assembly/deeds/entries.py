"""The entries that several deeds make, and what they all check."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import count, islice
from typing import Any

from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.make import letters
from app.assembly.plan.places import Place
from app.assembly.said.counts import COUNT, Tightened
from app.assembly.said.deeds import Entry, EventName
from app.assembly.said.facts import Fact
from app.assembly.said.kinds import FactKind, Subject
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.said.phrase import phrase
from app.assembly.said.put_in import EXTRA
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.assembly.standing.waits import NotYet, Waiting, not_yet


def once(entries: list[Entry]) -> tuple[Entry, ...]:
    """The entries without a second one about the same thing: two findings may open the same line."""
    first: dict[Subject, Entry] = {}
    for entry in entries:
        first.setdefault(entry.subject, entry)
    return tuple(first.values())


def begin(survey: Survey, line: Line, by: str, at: datetime) -> Entry:
    """The mark that a line is begun; refused while it cannot be."""
    refuse_waiting(line, NotYet.BEGUN, survey.stops_start(line))
    return entry(survey.build, EventName.BEGUN, Subject(MARK, line.id), Mark(State.STARTED, by, at))


def refuse_waiting(line: Line, what: NotYet, waits: tuple[Waiting, ...]) -> None:
    """Refuse with the first few things waited for; the rest is counted, and stands in the line's tray."""
    said = not_yet(line.number, what, waits)
    if said is not None:
        raise Refused(said)


def entry(build: Build, event: EventName, subject: Subject, new: Fact | None) -> Entry:
    return Entry(event, subject, build.facts.get(subject), new)


def tightened(build: Build, line: Line, places: Iterable[Place], by: str, at: datetime) -> Iterator[Entry]:
    """One more tightening of each bolt a line tightens, trials included.

    A line that is written by main or rod tightens all bolts there are once it is Done, each of them once.
    """
    fasteners = build.fasteners.get(line.step.tightens)
    if fasteners is None:
        return
    counts = build.facts.of(COUNT)
    own = line.step.places == fasteners.places
    for place in places if own else build.places_of(fasteners.places):
        before = counts.get((fasteners.id, place.id))
        last = before or Tightened(0, by, at)
        fact = replace(last, times=last.times + 1, by=by, at=at)
        yield entry(build, EventName.TIGHTENED, Subject(COUNT, fasteners.id, place.id), fact)


def check_order(survey: Survey, line: Line, at: datetime) -> None:
    """What is written about a line later may not be dated earlier: waits and concessions go by these times."""
    mark = survey.build.facts.lines.get(line.id)
    if mark is not None and at < mark.at:
        raise Refused(
            phrase(RefusalKind.OLDER_THAN_THE_MARK, line=line.number, state=phrase(mark.state), marked=mark.at, at=at)
        )


def free_number(build: Build, after: Line) -> str:
    """The line's number with the next letter that no line has, nor ever had."""
    base = after.number.rstrip("abcdefghijklmnopqrstuvwxyz")
    taken = {line.number for line in build.plan_lines}
    taken |= {extra.number for extra in build.facts.of(EXTRA).values()}
    return next(f"{base}{letters(n)}" for n in range(1000) if f"{base}{letters(n)}" not in taken)


def next_key(build: Build, kind: FactKind[Any], letter: str, skipped: int = 0) -> str:
    """The next key of a kind: f1, f2, and on, or the one so many further."""
    taken = {key for key, _ in build.facts.of(kind)}
    free = (f"{letter}{n}" for n in count(1) if f"{letter}{n}" not in taken)
    return next(islice(free, skipped, None))
