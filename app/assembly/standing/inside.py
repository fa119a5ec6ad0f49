"""What lies in the engine that must come out again: the plan's rags and plugs, and what was put in on the way."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.order import Link, Row
from app.assembly.said.marks import State
from app.assembly.said.temporary import ITEM

_WENT_IN = (State.STARTED, State.DONE, State.STOPPED, State.LOOK_AGAIN)


class Inside(NamedTuple):
    """A temporary thing that is in: the number of the line that put it in, the step that takes it out, "" for none."""

    key: str
    pieces: int
    name: str
    where: str
    line: str
    out_line: str
    turning_ok: bool
    lost: bool
    since: datetime

    @property
    def words(self) -> str:
        """How many of what are where."""
        return f"{self.pieces} × {self.name}, {self.where}"


def things_inside(build: Build) -> tuple[Inside, ...]:
    """Every temporary thing that is in the engine: the plan's, and those put in on the way."""
    return (*_plan_items(build), *_own_items(build))


def _plan_items(build: Build) -> Iterator[Inside]:
    marks = build.facts.lines
    for line in build.lines:
        mark = marks.get(line.id)
        if not line.step.puts_in or mark is None or mark.state not in _WENT_IN:
            continue
        ways_out = {row.thing: build.by_id[row.end] for row in build.order.out_of(line.id, Link.COMES_OUT)}
        for item in line.step.puts_in:
            out = ways_out.get(item.id)
            if out is None or (out is line and mark.state is State.LOOK_AGAIN):
                continue
            if out.id not in marks or marks[out.id].state is not State.DONE:
                what = (item.id, item.count, item.name, item.where)
                yield Inside(*what, line.number, out.id, item.turning_ok, False, mark.at)


def _own_items(build: Build) -> Iterator[Inside]:
    for (key, _), item in build.facts.of(ITEM).items():
        if item.out_at is None:
            what = (key, item.count, item.name, item.where)
            yield Inside(*what, "", "", item.turning_ok, item.lost, item.at)


def in_the_way(build: Build, inside: Iterable[Inside], line: Line) -> Iterator[tuple[Inside, Row | None]]:
    """What of all that is in must be out before a line turns the engine, each with the relation that says so."""
    for thing in inside:
        if thing.turning_ok:
            continue
        if thing.line:
            yield from ((thing, row) for row in build.order.into(line.id, Link.INSIDE) if _about(build, row, thing))
        else:
            yield thing, None


def _about(build: Build, row: Row, thing: Inside) -> bool:
    """Whether a row is of a thing the plan puts in, as its own line did."""
    put_in = build.by_number[thing.line].id
    return (row.thing, row.after, row.start) == (thing.key, put_in, thing.out_line)
