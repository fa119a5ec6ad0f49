"""The rows of what is kept beside the sheet, as each kind of fact tells them."""

from typing import Any

from app.assembly.lines import Line
from app.assembly.said.kinds import FactKind
from app.assembly.standing.survey import Survey
from app.desk.pages.list_page import ListRow
from app.sheet.rows import Run
from app.words.row import Row
from app.words.telling import telling


def told_rows(kind: FactKind[Any], survey: Survey, *about: Line) -> list[ListRow]:
    """What is listed of a kind of fact; of a line alone where one is given. Raises LookupError for one with no list."""
    rows = telling(kind).rows
    if rows is None:
        raise LookupError(f"nothing is listed of {kind!r}")
    return [_shown(one) for one in rows(survey, *about)]


def _shown(row: Row) -> ListRow:
    second = tuple(Run(one.text, one.ink, one.bold) for one in row.second)
    return ListRow(
        row.key,
        row.title,
        heading=row.heading,
        number=row.number,
        second=second,
        middle=row.middle,
        right=row.right,
    )
