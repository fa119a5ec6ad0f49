"""All loose ends of the worked build, against a loop of plain Python over the same facts."""

import statistics
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

from msgspec.structs import fields, replace

from app.assembly.build import Build
from app.assembly.rules import loose_ends
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK
from app.assembly.standing.survey import Survey
from app.store.workshop import Workshop
from tests.benchmarks import worked
from tests.benchmarks.figure import Figure, against

RUNS = 15
NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
FIRST, AFTER_A_MARK = 10, 6


def measure() -> Iterator[Figure]:
    """The median of several looks, each with a loop beside it: from nothing known, and after one mark."""
    with Workshop.open_at(worked.worked(), now=NOW, write=False) as shop:
        build = shop.load(1)
    looks, marks, floors = [], [], []
    for number in range(RUNS):
        floors.append(_spent(lambda: _looped(build)))
        build.worked_out.clear()
        looks.append(_spent(lambda: _look(build)))
        marked = _marked(build, number)
        marks.append(_spent(lambda marked=marked: _look(marked)))  # type: ignore[misc]
    floor = statistics.median(floors)
    yield against("all loose ends to a loop over the facts", statistics.median(looks), floor, FIRST)
    yield against("loose ends after a mark to a loop over the facts", statistics.median(marks), floor, AFTER_A_MARK)


def _marked(build: Build, number: int) -> Build:
    line = next(one for one in build.lines[number:] if one.id in build.facts.lines)
    mark = replace(build.facts.lines[line.id], why=str(number))
    return build.after(Deed(Verb.MARK, "MK", NOW, (Entry(EventName.MARK, Subject(MARK, line.id), None, mark),)))


def _looped(build: Build) -> int:
    """Every field of every fact looked at once."""
    facts: list[Any] = list(build.facts.all().values())
    return sum(getattr(fact, one.name) is not None for fact in facts for one in fields(fact))


def _look(build: Build) -> None:
    assert loose_ends(Survey(build, NOW))


def _spent(job: Callable[[], object]) -> float:
    begun = time.perf_counter()
    job()
    return (time.perf_counter() - begun) * 1000
