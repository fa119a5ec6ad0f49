"""Temporary things, in and out."""

from collections.abc import Iterator

from app.assembly.build import Build
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import Mark, State
from app.assembly.said.temporary import ITEM, Item
from app.assembly.standing.survey import Survey
from app.words.lines import line_number
from app.words.row import Row, Words, group
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def in_and_out(survey: Survey) -> Table:
    """Every temporary thing that ever went in, and when it came out."""
    rows = [*_plan_items(survey), *_own_items(survey.build)]
    columns = (Column("Thing", 76, 700), Column("In", 52), Column("Out", 52))
    return Table("Temporary things, in and out", columns, tuple(rows), "")


_WENT_IN = (State.STARTED, State.DONE, State.STOPPED, State.LOOK_AGAIN)


def _plan_items(survey: Survey) -> Iterator[tuple[str, ...]]:
    marks = survey.build.facts.lines
    ways_out = {item: line for line in survey.build.lines for item in line.step.takes_out}
    inside = {(thing.key, thing.line) for thing in survey.inside}
    for line in survey.build.lines:
        mark = marks.get(line.id)
        if mark is None or mark.state not in _WENT_IN:
            continue
        for item in line.step.puts_in:
            out = ways_out.get(item.id)
            out_mark = marks.get(out.id) if out is not None else None
            if out is None or out_mark is None or (item.id, line.number) in inside:
                came = "still in"
            else:
                came = f"{out.number}, {_signed(out_mark)}"
            yield f"{item.count} × {item.name}, {item.where}", f"{line.number}, {_signed(mark)}", came


def _signed(mark: Mark) -> str:
    return f"{mark.by} {clock(mark.at)}"


def _own_items(build: Build) -> Iterator[tuple[str, ...]]:
    for (key, _), one in build.facts.of(ITEM).items():
        kept = "lost" if one.lost else "still in"
        out = f"{'found, ' if one.lost else ''}{one.out_by} {clock(one.out_at)}" if one.out_at else kept
        yield f"{one.count} × {one.name}, {one.where} ({key})", f"{one.by} {clock(one.at)}", out


def item_values(survey: Survey) -> list[Values]:
    """The temporary things: those of the plan that are in, then all that were put in or lost on the way."""
    own = survey.build.facts.of(ITEM)
    return [*_plan_item_values(survey), *(_item(key, one) for (key, _), one in own.items())]


def _item(key: str, one: Item) -> Values:
    return {
        "item": key,
        "name": one.name,
        "count": one.count,
        "where": one.where,
        "state": "out" if one.out_at else "lost" if one.lost else "in",
        "turning_ok": one.turning_ok,
        "line": None,
        "out_line": None,
        "by": one.by,
        "at": time_text(one.at),
        "out_by": one.out_by or None,
        "out_at": time_text(one.out_at),
    }


def _plan_item_values(survey: Survey) -> Iterator[Values]:
    known = {item.id: item for line in survey.build.lines for item in line.step.puts_in}
    for inside in survey.inside:
        item = known.get(inside.key) if inside.line else None
        if item is not None:
            yield {
                "item": item.id,
                "name": item.name,
                "count": item.count,
                "where": item.where,
                "state": "in",
                "turning_ok": item.turning_ok,
                "line": inside.line,
                "out_line": line_number(survey.build, inside.out_line),
                "by": survey.build.facts.lines[survey.build.by_number[inside.line].id].by,
                "at": time_text(inside.since),
                "out_by": None,
                "out_at": None,
            }


def _words(_build: Build, _subject: Subject, one: Item) -> str:
    state = "out" if one.out_at else "lost" if one.lost else "in"
    return f"{one.count} × {one.name}, {one.where}, {state}"


def temporary_rows(survey: Survey) -> list[Row]:
    """What is in now, and what was in and came out."""
    inside = [
        Row(
            key=thing.out_line or thing.key,
            title=thing.words,
            number=thing.key if not thing.out_line else "",
            second=(Words("Lost. Nothing is started until it is found. ", "stop", bold=True),) if thing.lost else (),
            middle=f"out at {survey.build.by_id[thing.out_line].number}" if thing.out_line else "",
            right=f"since {thing.since.astimezone():%a %d %b}",
        )
        for thing in survey.inside
    ]
    gone = [
        Row("", f"{one.count} × {one.name}, {one.where}", number=key, right=f"{one.out_by}, {one.out_at:%d %b %Y}")
        for (key, _), one in survey.build.facts.of(ITEM).items()
        if one.out_at is not None
    ]
    return group("In the engine now", inside) + group("Out again", gone)


TELLING = Telling(
    ITEM,
    words=_words,
    values=item_values,
    rows=temporary_rows,
    record=(Section(Part.KEPT, 1, lambda survey, _: (in_and_out(survey),)),),
)
