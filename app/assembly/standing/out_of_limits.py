"""Readings out of their limits that nobody decided about: they keep a line from Done, and are a loose end."""

from app.assembly.lines import Line
from app.assembly.standing.survey import Judged, Survey
from app.trade.verdict import Verdict

# The loose end a concession speaks of.
READING_OUT = "reading-out"


def undecided_out(survey: Survey, line: Line) -> tuple[Judged, ...]:
    """The readings out of limits that no concession speaks of: one written before the reading knew nothing of it."""
    out = survey.with_verdict(line, Verdict.OUT)
    return tuple(one for one in out if not survey.taken_on(line, READING_OUT, one.reading.at))
