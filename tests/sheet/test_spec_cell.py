"""The spec column says the whole figure: how it is meant, and each kind of place's own."""

import pytest

from app.sheet.rows import LineRow, line_row
from tests.cases.story import story


@pytest.mark.parametrize(
    ("step", "figure", "lead", "text"),
    [
        ("lash-cold", "IN .012 in EX .014 in cold", "cold", "in 0.012 in; ex 0.014 in"),
        ("hot-oil-pressure", "at least 10 psi at 900 rpm", "at 900 rpm, at least", "10 psi"),
        ("end-float", "at most 0.20 mm", "at most", "0.20 mm"),
        ("measure-bores", "86.00 to 86.02 mm; taper: at most 0.01 mm", "", "86.00 to 86.02 mm"),
        ("torque-rocker-posts", "20 N·m + 90°, oiled", "threads oiled", "20 N·m + 90°"),
        ("torque-rocker-posts", "40 N·m; slacken; 20 N·m + 90°", "", "40 N·m; slacken; 20 N·m + 90°"),
    ],
)
def test_the_spec_column_says_the_whole_figure(step: str, figure: str, lead: str, text: str) -> None:
    told = story("four-ohv", before=step)
    told.figure(step, figure)
    row = line_row(told.survey, told.line(step))
    assert isinstance(row, LineRow)
    assert row.spec is not None
    assert (row.spec.lead, row.spec.figure) == (lead, text)
