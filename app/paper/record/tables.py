"""The record's table of what was worked out from readings."""

from app.assembly.standing.survey import Survey
from app.words.table import Column, Table


def results(survey: Survey) -> Table:
    """What was worked out from readings: each with the sum that led to it, and its verdict."""
    rows = []
    for line in survey.build.lines:
        title = line.step.do
        for one in survey.worked(line):
            if one.size is not None:
                verdict = one.verdict.value if one.verdict is not None else ""
                rows.append((line.number, title, one.place.title, one.text, one.words, verdict))
                title = ""
    columns = (
        Column("Line", 13, 700),
        Column("What", 38),
        Column("Result", 36),
        Column("Comes to", 22, 700),
        Column("From", 52),
        Column("Verdict", 19),
    )
    return Table("Worked out from the readings", columns, tuple(rows), "")
