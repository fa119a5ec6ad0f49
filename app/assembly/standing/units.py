"""The unit in force on a line: what a bare number means there, and what is shown, printed and asked for."""

from app.assembly.lines import Line
from app.assembly.standing.survey import Survey
from app.assembly.standing.verdicts import plan_unit, unit_in_force


def unit_at(survey: Survey, line: Line, place: str = "") -> str:
    """The unit of the figure that stands at a place of a line; the plan's own while there is none, "" where none is."""
    bounds = survey.bounds(line)
    return plan_unit(survey.build, line) if bounds is None else unit_in_force(line.step, bounds, place)


def figure_unit(survey: Survey, line: Line) -> str:
    """The unit a figure typed without one is meant in: that of the figure that stands, else the plan's."""
    bounds = survey.bounds(line)
    said = "" if bounds is None else bounds.own.unit
    return said or plan_unit(survey.build, line)
