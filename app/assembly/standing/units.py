"""The unit in force on a line: what a bare number means there, and what is shown, printed and asked for."""

from app.assembly.lines import Line
from app.assembly.standing.survey import Survey
from app.assembly.standing.verdicts import unit_in_force


def unit_at(survey: Survey, line: Line, place: str = "") -> str:
    """The unit of the figure that stands at a place of a line; the plan's own while there is none, "" where none is."""
    return unit_in_force(line.step, survey.bounds(line), place)
