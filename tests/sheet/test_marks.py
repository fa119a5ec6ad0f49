"""The marks mean the same on a screen and in a one-colour print: told apart by shape alone."""

import itertools
import math

import pytest

from app.sheet.draw import marks
from app.sheet.draw.marks import STATES, Frame, frame, frame_on_paper, mark
from app.sheet.draw.shapes import Cap, Path, dot, parse, placed, polygon, rectangle
from app.sheet.draw.tokens import Token
from app.trade.verdict import Verdict
from tests.sheet.raster import black_pixels

# Pixels of a 24 px box that must differ; the least is a doubled side, 16 px long. Our own choice.
TOLD_APART_PX = 12

PAPER_150_DPI_PX = round(7.5 / 25.4 * 150)


def _box(kind: Frame, state: str, size_px: int) -> frozenset[tuple[float, float]]:
    return black_pixels(frame(kind, size_px) + mark(state, size_px), size_px)


@pytest.mark.parametrize("size_px", [24, 32, PAPER_150_DPI_PX])
def test_every_state_in_every_frame_is_told_apart_in_one_bit(size_px: int) -> None:
    boxes = {(kind, state): _box(kind, state, size_px) for kind in Frame for state in STATES}
    for one, other in itertools.combinations(boxes, 2):
        differing = len(boxes[one] ^ boxes[other])
        assert differing >= TOLD_APART_PX, f"{one} and {other} differ in {differing} pixels of {size_px}"


def test_no_state_at_16_px_looks_like_another() -> None:
    boxes = {state: _box(Frame.DO, state, 16) for state in STATES}
    for one, other in itertools.combinations(STATES, 2):
        assert len(boxes[one] ^ boxes[other]) >= 4, f"{one} and {other}"


@pytest.mark.parametrize(("kind", "doubled"), [(Frame.DO, 0), (Frame.READ, 1), (Frame.MANY, 2), (Frame.HOLD, 4)])
def test_a_frame_doubles_as_many_sides_as_its_kind_says(kind: Frame, doubled: int) -> None:
    black = black_pixels(frame(kind, 24), 24)
    middle = 12
    sides = {
        "left": sum((x, middle) in black for x in range(12)),
        "right": sum((x, middle) in black for x in range(12, 24)),
        "top": sum((middle, y) in black for y in range(12)),
        "bottom": sum((middle, y) in black for y in range(12, 24)),
    }
    assert sum(lines - 1 for lines in sides.values()) == doubled


@pytest.mark.parametrize("size_px", [12, 16, 24, 25, 32, 48, 75, 96])
@pytest.mark.parametrize("kind", list(Frame))
def test_frame_edges_lie_on_whole_pixels_at_every_size(kind: Frame, size_px: int) -> None:
    for path in frame(kind, size_px):
        assert path.stroke is not None
        width_px = path.stroke * size_px / 24
        assert width_px == pytest.approx(round(width_px))
        for _, numbers in path.commands:
            for number in numbers:
                centre_px = number * size_px / 24
                assert min((centre_px - width_px / 2) % 1, 1 - (centre_px - width_px / 2) % 1) < 1e-6 or (
                    # The free end of a side runs to an edge, not to the middle of a line.
                    min(centre_px % 1, 1 - centre_px % 1) < 1e-6
                )


@pytest.mark.parametrize(("size_px", "line_px"), [(12, 1), (24, 1), (25, 2), (48, 2), (72, 3), (96, 4)])
def test_frame_line_grows_with_the_box(size_px: int, line_px: int) -> None:
    (square,) = frame(Frame.DO, size_px)
    assert square.stroke == pytest.approx(line_px * 24 / size_px)


def test_frame_on_paper_is_five_millimetres_with_a_line_of_three_quarter_points() -> None:
    (square,) = frame_on_paper(Frame.DO)
    assert square.stroke is not None
    mm = 7.5 / 24
    assert square.stroke * mm / 25.4 * 72 == pytest.approx(0.75)
    left = min(numbers[0] for _, numbers in square.commands if numbers)
    right = max(numbers[0] for _, numbers in square.commands if numbers)
    assert (right - left + square.stroke) * mm == pytest.approx(5.0)


def test_to_do_leaves_the_box_empty() -> None:
    assert mark("to-do", 24) == ()


def test_done_is_started_with_one_more_leg() -> None:
    (started,), (done,) = mark("started", 24), mark("done", 24)
    assert done.commands[1:] == (("L", started.commands[0][1]), started.commands[1])


@pytest.mark.parametrize("size_px", [12, 16, 24])
def test_pen_marks_have_round_ends_and_printed_frames_do_not(size_px: int) -> None:
    for state in STATES:
        assert all(path.cap is Cap.ROUND for path in mark(state, size_px) if path.stroke is not None)
    for kind in Frame:
        assert all(path.cap is Cap.BUTT for path in frame(kind, size_px))


def test_an_unknown_state_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"finished.*not a state.*to-do, started, done"):
        mark("finished", 24)


@pytest.mark.parametrize("ink", ["text", "on_gate"])
def test_a_shut_gate_has_bars_across_and_an_open_one_a_gap(ink: Token) -> None:
    shut, opened = (marks.gate_glyph(shut=is_shut, ink="text") for is_shut in (True, False))
    middle = {(12, y) for y in range(24)}
    assert black_pixels(shut, 24) & middle
    assert not black_pixels(opened, 24) & middle
    assert {path.ink for path in marks.gate_glyph(shut=True, ink=ink)} == {ink}


def test_place_arrow_points_right() -> None:
    black = black_pixels(marks.place_arrow(), 24)
    assert (20, 12) in black
    assert (20, 5) not in black
    assert (3, 12) in black


def test_verdicts_are_told_apart_in_one_bit_and_by_token() -> None:
    drawn = {kind: black_pixels(marks.verdict(kind), 36, box=36.0) for kind in Verdict}
    for one, other in itertools.combinations(drawn, 2):
        assert len(drawn[one] ^ drawn[other]) >= TOLD_APART_PX
    assert (16, 12) in drawn[Verdict.IN]
    assert (30, 12) in drawn[Verdict.OUT]
    assert (25, 12) not in drawn[Verdict.UNDECIDED], "the diamond that cannot decide is hollow"
    assert marks.verdict(Verdict.OUT)[-1].ink == "stop"


def _across(shapes: tuple[Path, ...]) -> list[float]:
    """Return the x of each upright post in a verdict's drawing."""
    return [path.commands[0][1][0] for path in shapes if path.ink == "text"]


def _diamond_middle(shapes: tuple[Path, ...]) -> float:
    across = [numbers[0] for _, numbers in shapes[-1].commands if numbers]
    return (min(across) + max(across)) / 2


def test_verdict_to_scale_keeps_the_proportions() -> None:
    shapes = marks.verdict_to_scale(Verdict.IN, (0.34 - 0.02, 0.34 + 0.02), (0.30, 0.45), 120)
    low, high = _across(shapes)
    assert (_diamond_middle(shapes) - low) / (high - low) == pytest.approx((0.34 - 0.30) / 0.15)


@pytest.mark.parametrize("reading", [-50.0, 0.26, 0.9, 50.0])
def test_verdict_to_scale_keeps_a_far_reading_inside_the_drawing_on_its_own_side(reading: float) -> None:
    shapes = marks.verdict_to_scale(Verdict.OUT, (reading - 0.02, reading + 0.02), (0.30, 0.45), 120)
    low, high = _across(shapes)
    middle = _diamond_middle(shapes)
    assert 5.8 <= middle <= 120 - 5.8
    assert (middle < low) if reading < 0.30 else (middle > high)


def test_verdict_to_scale_with_one_limit_draws_one_post() -> None:
    shapes = marks.verdict_to_scale(Verdict.OUT, (0.06, 0.10), (None, 0.05), 100)
    (post,) = _across(shapes)
    assert _diamond_middle(shapes) > post


def test_verdict_to_scale_needs_a_limit() -> None:
    with pytest.raises(ValueError, match="without a limit"):
        marks.verdict_to_scale(Verdict.IN, (1.0, 2.0), (None, None), 100)


def test_wait_is_solid_up_to_now_and_dotted_after() -> None:
    start, solid, now, dots, end = marks.wait_bar(168, 0.4)
    at = 1 + 166 * 0.4
    assert solid.commands == (("M", (1.0, 12.0)), ("L", (at, 12.0)))
    assert now.commands[0][1][0] == pytest.approx(at)
    assert dots.dash == (0.1, 7.0)
    assert dots.cap is Cap.ROUND
    assert (start.ink, end.ink) == ("text", "text")


def test_a_wait_not_begun_has_no_solid_and_one_that_is_over_no_dots() -> None:
    assert not any(path.ink == "ink" and not path.dash for path in marks.wait_bar(168, 0.0))
    assert not any(path.dash for path in marks.wait_bar(168, 1.0))


def test_a_wait_past_the_end_of_the_sheet_ends_in_an_arrow_head() -> None:
    assert marks.wait_bar(168, 0.4, runs_on=True)[-1].filled


def test_a_concession_gets_its_ink_only_when_signed() -> None:
    assert {path.ink for path in marks.concession(signed=False)} == {"text"}
    assert marks.concession(signed=True)[-1].ink == "ink"


def test_stripes_cover_their_share_of_the_bar_and_stay_inside_it() -> None:
    bands = marks.stripes(14, 440, "stop")
    area = 0.0
    for band in bands:
        corners = [(numbers[0], numbers[1]) for _, numbers in band.commands if numbers]
        assert all(-1e-9 <= x <= 14 + 1e-9 and -1e-9 <= y <= 440 + 1e-9 for x, y in corners)
        ring = corners + corners[:1]
        area += abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in itertools.pairwise(ring))) / 2
    assert area / (14 * 440) == pytest.approx(4 / 7, abs=0.01)


def test_parse_turns_single_axis_lines_into_lines() -> None:
    assert parse("M1 2 H3 V4 Z L5 6") == (
        ("M", (1.0, 2.0)),
        ("L", (3.0, 2.0)),
        ("L", (3.0, 4.0)),
        ("Z", ()),
        ("L", (5.0, 6.0)),
    )


def test_parse_starts_again_at_the_start_point_after_closing() -> None:
    assert parse("M1 2 L3 4 Z H7")[-1] == ("L", (7.0, 2.0))


def test_parse_reads_repeated_numbers_commas_and_signs() -> None:
    assert parse("M0,0 1,-1 .5 2") == (("M", (0.0, 0.0)), ("L", (1.0, -1.0)), ("L", (0.5, 2.0)))
    assert parse("M0 0 C1 2 3 4 5 6") == (("M", (0.0, 0.0)), ("C", (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)))


@pytest.mark.parametrize("text", ["M1", "M1 2 L3", "1 2", "M1 2 A3", "M1 2 Q3 4 5 6", "M1 2 Z 3", "M1 2 l3 4", "M1 2;"])
def test_parse_refuses_what_it_does_not_know(text: str) -> None:
    with pytest.raises(ValueError, match="The path"):
        parse(text)


def test_dot_is_round_to_a_thousandth_of_its_radius() -> None:
    circle = dot(5, 7, 10, "ink")
    x0, y0 = circle.commands[0][1]
    for letter, numbers in circle.commands[1:-1]:
        assert letter == "C"
        x1, y1, x2, y2, x3, y3 = numbers
        for t in (0.25, 0.5, 0.75):
            s = 1 - t
            x = s**3 * x0 + 3 * s * s * t * x1 + 3 * s * t * t * x2 + t**3 * x3
            y = s**3 * y0 + 3 * s * s * t * y1 + 3 * s * t * t * y2 + t**3 * y3
            assert math.hypot(x - 5, y - 7) == pytest.approx(10, rel=1e-3)
        x0, y0 = x3, y3


def test_placed_scales_then_moves() -> None:
    (shape,) = placed((rectangle(1, 2, 3, 4, "text", stroke=1),), 10, 20, scale=2)
    assert shape.commands[0] == ("M", (12, 24))
    assert shape.stroke == 2
    (filled,) = placed((polygon(((0, 0), (1, 0), (0, 1)), "ink"),), 1, 1)
    assert filled.stroke is None
    assert filled.filled
