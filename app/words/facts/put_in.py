"""Lines of the person's own."""

from app.assembly.lines import doing
from app.assembly.said.put_in import EXTRA
from app.assembly.standing.survey import Survey
from app.words.lines import line_number, line_values
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def extras(survey: Survey) -> Table:
    """Lines that were put in, and what was opened on the way."""
    said = survey.build.facts.of(EXTRA)
    rows = []
    for line in survey.build.lines:
        if line.extra is not None:
            one = said[line.id, ""]
            mark = survey.build.facts.lines.get(line.id)
            closed = f"{mark.state.word}, {mark.by} {clock(mark.at)}" if mark else "still to do"
            place = f", {one.place}" if one.place else ""
            rows.append(
                (line.number, f"{doing(one)}{place}", one.kind.value, one.why, f"{one.by} {clock(one.at)}", closed)
            )
    columns = (
        Column("Line", 15, 700),
        Column("What", 54),
        Column("", 18),
        Column("Why", 37),
        Column("By", 23),
        Column("Stands at", 33),
    )
    return Table("Opened on the way, or put in", columns, tuple(rows), "")


def extra_values(survey: Survey) -> list[Values]:
    """The lines a person put in: to close what was opened, and steps the plan forgot."""
    extras = survey.build.facts.of(EXTRA)
    return [
        line_values(line)
        | {
            "extra": line.extra.value,
            "state": survey.state(line).value,
            "place": extras[line.id, ""].place or None,
            "why": extras[line.id, ""].why or None,
            "disturbs": [line_number(survey.build, step) or step for step in extras[line.id, ""].disturbs],
            "by": extras[line.id, ""].by,
            "at": time_text(extras[line.id, ""].at),
        }
        for line in survey.build.lines
        if line.extra is not None
    ]


TELLING = Telling(
    EXTRA,
    words=lambda _build, _subject, one: f"{one.number} {doing(one)}",
    values=extra_values,
    record=(Section(Part.FOUND, 4, lambda survey, _: (extras(survey),)),),
)
