"""Lines as they are named beside other things."""

from app.assembly.build import Build
from app.assembly.lines import Line
from app.words.telling import Values


def line_values(line: Line) -> Values:
    """A line by number, step and title."""
    return {"line": line.number, "step": line.id, "title": line.step.do}


def line_number(build: Build, step: str) -> str | None:
    """The number of a step's line; None where it is not in the build."""
    return build.by_id[step].number if step in build.by_id else None
