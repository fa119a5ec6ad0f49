"""Second looks."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.said.second_look import SEEN, Seen
from app.assembly.standing.survey import Survey
from app.words.lines import line_values
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def second_looks(survey: Survey) -> Table:
    """Each second look beside the first: who signed, who looked again, and both readings at each place."""
    rows: list[tuple[str, ...]] = []
    for (step, _), seen in survey.build.facts.of(SEEN).items():
        line = survey.build.by_id.get(step)
        if line is None:
            continue
        mark = survey.build.facts.lines.get(step)
        first = f"{mark.state.word}, {mark.by} {clock(mark.at)}" if mark else "not signed"
        holds = "" if survey.seen_twice(line) else ", before it was signed again"
        rows.append((line.number, line.step.do, "", first, f"{seen.by} {clock(seen.at)}{holds}"))
        rows += _both_readings(survey, line, seen)
    columns = (
        Column("Line", 14, 700),
        Column("What", 51),
        Column("Place", 27),
        Column("First", 45),
        Column("Second look", 43),
    )
    return Table("Second looks", columns, tuple(rows), "")


def _both_readings(survey: Survey, line: Line, seen: Seen) -> Iterator[tuple[str, ...]]:
    readings = survey.build.facts.readings.get(line.id, {})
    titles = {place.id: place.title for place in line.places}
    for value in seen.values:
        place, _, text = value.partition("=")
        first = readings.get((place, 1))
        yield line.number, "", titles.get(place, place), first.text if first else "", text


def second_look_values(survey: Survey) -> list[Values]:
    """The lines that want a second look and those that had one; first readings stay hidden."""
    seen = survey.build.facts.of(SEEN)
    return [
        line_values(line)
        | {
            "state": survey.state(line).value,
            "signed_by": survey.build.facts.lines[line.id].by if survey.done(line) else None,
            "seen": seen_values(survey, line),
        }
        for line in survey.build.lines
        if line.step.second_look or (line.id, "") in seen
    ]


def seen_values(survey: Survey, line: Line) -> Values | None:
    """The second look that counts for a line as it is signed off now; None where there is none."""
    one = survey.build.facts.of(SEEN).get((line.id, ""))
    if one is None or not survey.seen_twice(line):
        return None
    return {"by": one.by, "at": time_text(one.at), "values": list(one.values)}


TELLING = Telling(
    SEEN,
    words=lambda _build, _subject, one: f"seen by {one.by}{': ' + ', '.join(one.values) if one.values else ''}",
    values=second_look_values,
    record=(Section(Part.WORKED, 2, lambda survey, _: (second_looks(survey),)),),
)
