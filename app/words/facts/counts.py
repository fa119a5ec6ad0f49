"""Tightenings of each bolt, and what it measured."""

from collections.abc import Iterator

from app.assembly.build import Build
from app.assembly.plan.places import Place
from app.assembly.said.counts import COUNT, Tightened
from app.assembly.standing.survey import Survey
from app.trade.notation import write_magnitude
from app.words.row import Row, Words
from app.words.table import WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock


def tightenings(build: Build) -> Table:
    """How often each bolt was tightened, the places with the same count in one row."""
    counts = build.facts.of(COUNT)
    rows = []
    for fasteners in build.fasteners.values():
        limit = str(fasteners.limit) if fasteners.limit else ""
        places = build.places_of(fasteners.places)
        alike: dict[str, list[Place]] = {}
        for place in places:
            if (fasteners.id, place.id) in counts:
                one = counts[fasteners.id, place.id]
                alike.setdefault(", ".join([str(one.times), *_measured(one)]), []).append(place)
        for times, at in alike.items():
            last = max((counts[fasteners.id, place.id] for place in at), key=lambda one: one.at)
            named = "all" if len(at) == len(places) else ", ".join(place.title for place in at)
            rows.append((fasteners.title, named, times, limit, last.by, clock(last.at)))
    columns = (
        Column("Fasteners", 32, 700),
        Column("Which", 58),
        Column("Times, measured", 28, 700),
        Column("At most", 16),
        WHO,
        Column("Last counted", 34),
    )
    return Table("Tightenings", columns, tuple(rows), "")


def count_values(build: Build) -> list[Values]:
    """How often each bolt that is counted has been tightened, how many it has left, and what it measured."""
    counts = build.facts.of(COUNT)
    return [
        {"fasteners": one.id, "title": one.title, "place": place.id, "times": count.times if count else 0}
        | {"limit": one.limit or None, "left": one.limit - (count.times if count else 0) if one.limit else None}
        | {"policy": one.policy or None, "length_mm": count.length_mm if count else None}
        | {"free_mm": count.free_mm if count else None, "neck_mm": count.neck_mm if count else None}
        for one in build.fasteners.values()
        for place in build.places_of(one.places)
        for count in (counts.get((one.id, place.id)),)
    ]


def fastener_rows(survey: Survey) -> list[Row]:
    """Bolts that stand only so many tightenings, and how many each has had."""
    counts = survey.build.facts.of(COUNT)
    rows: list[Row] = []
    for one in survey.build.fasteners.values():
        limit = f"at most {one.limit} times" if one.limit else "no limit"
        rows.append(Row("", one.title, heading=True, right=limit))
        for place in survey.build.places_of(one.places):
            said = counts.get((one.id, place.id))
            times = said.times if said else 0
            over = bool(one.limit) and times > one.limit
            second = (Words("too often: fit a new one", "stop", bold=True),) if over else (Words(one.policy),)
            rows.append(
                Row(
                    f"{one.id}/{place.id}",
                    place.title,
                    second=second,
                    middle="tightened once" if times == 1 else f"tightened {times} times",
                    right=", ".join(_measured(said)) if said else "",
                )
            )
    return rows


def _measured(one: Tightened) -> Iterator[str]:
    """What a bolt measured, in words."""
    if one.length_mm is not None:
        yield f"{write_magnitude(one.length_mm, 'mm')} long"
    if one.free_mm is not None and one.neck_mm is not None:
        yield f"neck {write_magnitude(one.neck_mm, 'mm')} of {write_magnitude(one.free_mm, 'mm')}"


TELLING = Telling(
    COUNT,
    words=lambda _build, _subject, one: ", ".join([f"{one.times} times", *_measured(one)]),
    named=lambda build, subject: f"{build.fasteners[subject.key].title}, {subject.place}",
    values=count_values,
    rows=fastener_rows,
    record=(Section(Part.WORKED, 3, lambda survey, _: (tightenings(survey.build),)),),
)
