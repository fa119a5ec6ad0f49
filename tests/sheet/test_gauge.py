"""A band against its limits, with the figures under the posts."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.sheet.drawing import Drawing
from app.sheet.gauge import gauge_drawing
from tests.sheet.raster import black_pixels

figures = st.floats(min_value=-1000, max_value=1000)


def posts(drawing: Drawing) -> list[float]:
    """Where the limits stand: upright lines from 4 to 20."""
    return [
        shape.commands[0][1][0]
        for shape in drawing.shapes
        if len(shape.commands) == 2 and (shape.commands[0][1][1], shape.commands[1][1][1]) == (4.0, 20.0)
    ]


@given(low=figures, span=st.floats(0.01, 100), reading=figures, doubt=st.floats(0, 5), width=st.floats(80, 600))
def test_each_figure_stands_under_its_post(low: float, span: float, reading: float, doubt: float, width: float) -> None:
    drawing = gauge_drawing("in", (reading - doubt, reading + doubt), (low, low + span), width)
    assert [label.x for label in drawing.labels] == pytest.approx(posts(drawing), abs=1e-3)
    assert [label.text for label in drawing.labels] == [f"{low:g}", f"{low + span:g}"]
    assert all(label.y > 24 for label in drawing.labels)
    assert all(0 <= x <= width for s in drawing.shapes for _, numbers in s.commands for x in numbers[::2])


@pytest.mark.parametrize("limits", [(0.3, None), (None, 0.3), (0.3, 0.3)])
def test_one_limit_has_one_figure(limits: tuple[float | None, float | None]) -> None:
    drawing = gauge_drawing("out", (0.2, 0.25), limits, 160, "mm")
    assert [(label.x, label.text) for label in drawing.labels] == [(80, "0.3 mm")]
    assert set(posts(drawing)) == {80}


def test_the_unit_stands_after_the_last_figure() -> None:
    drawing = gauge_drawing("in", (0.33, 0.37), (0.3, 0.45), 160, "mm")
    assert [label.text for label in drawing.labels] == ["0.3", "0.45 mm"]


def test_in_out_and_undecided_are_told_apart_in_one_bit() -> None:
    drawn = [
        black_pixels(gauge_drawing(kind, band, (0.3, 0.45), 80).shapes, 80, 80.0)
        for kind, band in (("in", (0.35, 0.39)), ("out", (0.50, 0.54)), ("undecided", (0.43, 0.47)))
    ]
    assert all(len(a ^ b) > 25 for n, a in enumerate(drawn) for b in drawn[n + 1 :])


@pytest.mark.parametrize(
    ("kind", "band", "limits", "width", "says"),
    [
        ("in", (0.1, 0.2), (None, None), 160.0, "without a limit"),
        ("so-so", (0.1, 0.2), (0.1, None), 160.0, "not a verdict"),
        ("in", (0.1, 0.2), (0.4, 0.3), 160.0, "change them over"),
        ("in", (math.nan, 0.2), (0.1, 0.3), 160.0, "not finite"),
        ("in", (0.1, 0.2), (0.1, 0.3), 79.0, "80 or more"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    kind: str, band: tuple[float, float], limits: tuple[float | None, float | None], width: float, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        gauge_drawing(kind, band, limits, width)
