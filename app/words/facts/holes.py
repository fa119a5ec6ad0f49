"""Holes."""

from collections.abc import Iterator

from app.assembly.build import Build
from app.assembly.plan.steps import Group
from app.assembly.said.holes import HOLE, Hole
from app.assembly.said.kinds import Subject
from app.assembly.standing.holes import HoleStanding, hole_map, is_holes
from app.assembly.standing.survey import UNKNOWN, Survey
from app.words.row import Row, Words
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Values


def holes(survey: Survey) -> Iterator[Table]:
    """The map of holes, one table for each pattern."""
    said = {group for group, _ in survey.build.facts.of(HOLE)}
    columns = (
        Column("Hole", 34, 700),
        Column("Thread, depth, length", 40),
        Column("Opens to", 20),
        Column("Closed with", 34),
        Column("Compound", 20),
        Column("Closed", 14, 700),
        Column("Hidden by", 18),
    )
    for group in survey.build.groups.values():
        if is_holes(group) or group.id in said:
            rows = tuple(_hole(one) for one in hole_map(survey, group))
            yield Table(f"Hole map: {group.title}", columns, rows, "")


def _hole(one: HoleStanding) -> tuple[str, ...]:
    known = (one.thread, one.depth and f"{one.depth} deep", one.length and f"takes {one.length}")
    closed_with = f"{one.closed_with}, {one.refits} refits it" if one.refits else one.closed_with
    return (
        one.place.title,
        ", ".join(word for word in known if word),
        one.opens_to,
        closed_with,
        one.compound,
        "yes" if one.closed else "no",
        one.hidden_by,
    )


def hole_values(survey: Survey, group: str = "", place: str = "") -> list[Values]:
    """The map of holes, or those of one pattern, or one of them; other patterns only where they are asked for."""
    groups = [one for one in survey.build.groups.values() if one.id == group or (not group and _has_holes(survey, one))]
    return [
        _hole_values(one, standing)
        for one in groups
        for standing in hole_map(survey, one)
        if place.casefold() in ("", standing.place.id.casefold())
    ]


def _has_holes(survey: Survey, group: Group) -> bool:
    return is_holes(group) or any(key == group.id for key, _ in survey.build.facts.of(HOLE))


def _hole_values(group: Group, one: HoleStanding) -> Values:
    return {
        "group": group.id,
        "place": one.place.id,
        "thread": one.thread or None,
        "depth": one.depth or None,
        "opens_to": one.opens_to,
        "closed_with": one.closed_with or None,
        "length": one.length or None,
        "compound": one.compound or None,
        "refits": one.refits or None,
        "closed": one.closed,
        "hidden_by": one.hidden_by or None,
    }


def _words(_build: Build, _subject: Subject, one: Hole) -> str:
    words = (one.thread, one.depth, one.opens_to, one.closed_with, one.length, one.compound, one.refits)
    return ", ".join(word for word in words if word)


def hole_rows(survey: Survey) -> list[Row]:
    """The map of holes, group by group."""
    rows: list[Row] = []
    for group in survey.build.groups.values():
        if not is_holes(group):
            continue
        holes = hole_map(survey, group)
        closed = sum(hole.closed for hole in holes)
        rows.append(Row("", group.title, heading=True, right=f"{closed} of {len(holes)} closed"))
        rows += [_hole_row(group.id, hole) for hole in holes]
    return rows


def _hole_row(group: str, hole: HoleStanding) -> Row:
    known = (hole.thread, hole.depth and f"{hole.depth} deep", hole.length and f"takes {hole.length}")
    words = [word for word in (*known, hole.compound, hole.refits and f"{hole.refits} refits it") if word]
    opens = "what it opens to is unknown" if hole.opens_to == UNKNOWN else f"opens to {hole.opens_to}"
    runs = [Words(f"{opens}. ", "stop" if hole.wet and not hole.closed else "quiet", bold=hole.wet)]
    words += [f"hidden by {hole.hidden_by}"] if hole.hidden_by else []
    return Row(
        key=f"{group}/{hole.place.id}",
        title=hole.place.title,
        second=(*runs, Words(", ".join(words))),
        middle="closed" if hole.closed else "open",
        right=hole.closed_with,
    )


TELLING = Telling(
    HOLE,
    words=_words,
    named=lambda build, subject: f"{build.groups[subject.key].title}, {subject.place}",
    values=hole_values,
    rows=hole_rows,
    record=(Section(Part.WORKED, 6, lambda survey, _: holes(survey)),),
)
