"""All loose ends of a large build, from nothing known to all of them found."""

import statistics
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from app.assembly.build import Build
from app.assembly.rules import loose_ends
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK
from app.assembly.standing.survey import Survey
from tests.benchmarks.builds import NOW, large_build
from tests.benchmarks.figure import Figure


def measure() -> Iterator[Figure]:
    """The median of several looks: from nothing known at two sizes, and after one mark, most of it known."""
    yield _first_look(300, 3000, 10)
    yield _first_look(400, 5000, 20)
    yield _after_a_mark(400, 5000, 5)


def _first_look(lines: int, readings: int, limit: float) -> Figure:
    build = large_build(lines, readings)
    times = []
    for _ in range(15):
        build.worked_out.clear()
        times.append(_look(build))
    name = f"all loose ends, {lines} lines, {readings:,} readings"
    return Figure(name, round(statistics.median(times), 2), None, None, limit)


def _after_a_mark(lines: int, readings: int, limit: float) -> Figure:
    build = large_build(lines, readings)
    _look(build)
    times = []
    for number in range(30):
        line = build.lines[number]
        mark = replace(build.facts.lines[line.id], why=str(number))
        build = build.after(Deed(Verb.MARK, "MK", NOW, (Entry(EventName.MARK, Subject(MARK, line.id), None, mark),)))
        times.append(_look(build))
    return Figure(f"one mark looked at anew, {lines} lines", round(statistics.median(times), 2), None, None, limit)


def _look(build: Build) -> float:
    begun = time.perf_counter()
    found = loose_ends(Survey(build, NOW + timedelta(days=1)))
    spent = (time.perf_counter() - begun) * 1000
    assert found
    return spent
