"""The crank dial and the map of the valves: everything stands where its crank angle says."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.assembly.said.marks import State
from app.sheet.draw.dial import ValveRow, dial_drawing, lifted, valve_map
from app.sheet.draw.drawing import Drawing
from app.sheet.draw.shapes import Path, placed
from app.trade.valves import CYCLE_DEG, CamEvents, Engine, lift_arc, margin, safe_span, settable, valves_of
from app.trade.verdict import Verdict
from tests.sheet.raster import black_pixels

WIDE = 360.0
ENGINE = Engine((1, 3, 4, 2), (180.0,) * 4)
CAM = CamEvents(37, 83, 81, 39)
degrees = st.floats(min_value=0, max_value=719.9)


def rows_at(stop_deg: float) -> tuple[ValveRow, ...]:
    return tuple(
        ValveRow(
            key=valve,
            title=f"{valve[2:]} {'intake' if valve.startswith('in') else 'exhaust'}",
            intake=valve.startswith("in"),
            arc=lift_arc(ENGINE, CAM, valve),
            margin_deg=margin(ENGINE, CAM, valve, stop_deg),
            offered=settable(ENGINE, CAM, valve, stop_deg),
            other="" if settable(ENGINE, CAM, valve, stop_deg) else "stop 2",
        )
        for valve in valves_of(ENGINE)
    )


def words(drawing: Drawing) -> set[str]:
    return {label.text for label in drawing.labels}


def ends(path: Path) -> tuple[tuple[float, float], tuple[float, float]]:
    first, last = path.commands[0][1], path.commands[-1][1]
    return (first[0], first[1]), (last[-2], last[-1])


def angle(point: tuple[float, float]) -> float:
    """The crank angle of a point of the dial, 0 at the top and clockwise."""
    return math.degrees(math.atan2(point[0] - WIDE / 2, WIDE / 2 - point[1])) % 360


def same_angle(a: float, b: float) -> bool:
    return abs((a - b + 180) % 360 - 180) < 1e-6


# --- the dial


def span_of(drawing: Drawing) -> Path:
    """The broad arc outside the circle."""
    return next(shape for shape in drawing.shapes if shape.stroke == 8.0)


@given(stop=degrees, back=st.floats(1, 170), forward=st.floats(1, 170))
def test_the_span_ends_where_it_is_asked_to(stop: float, back: float, forward: float) -> None:
    start, end = ends(span_of(dial_drawing(stop, back, forward, width=WIDE)))
    assert same_angle(angle(start), stop - back)
    assert same_angle(angle(end), stop + forward)


@given(stop=degrees, back=st.floats(0, 400), forward=st.floats(0, 400))
def test_the_span_lies_outside_the_circle_and_everything_inside_the_drawing(
    stop: float, back: float, forward: float
) -> None:
    drawing = dial_drawing(stop, back, forward, width=WIDE)
    for shape in drawing.shapes:
        for _, numbers in shape.commands:
            for x, y in zip(numbers[::2], numbers[1::2], strict=True):
                assert 0 <= x <= WIDE
                assert 0 <= y <= WIDE
    for shape in (one for one in drawing.shapes if one.stroke == 8.0):
        for point in ends(shape):
            assert math.dist(point, (WIDE / 2, WIDE / 2)) - 4.0 > 150 + 1.25


@given(stop=degrees)
def test_the_hand_points_to_the_crank_angle(stop: float) -> None:
    drawing = dial_drawing(stop, 30, 30, width=WIDE)
    heads = [shape for shape in drawing.shapes if shape.filled and len(shape.commands) == 4]
    tips = [(shape.commands[0][1][0], shape.commands[0][1][1]) for shape in heads]
    furthest = max(tips, key=lambda tip: math.dist(tip, (WIDE / 2, WIDE / 2)))
    assert same_angle(angle(furthest), stop)


def test_there_is_a_tick_every_15_degrees_and_the_quarters_are_the_longest() -> None:
    lines = [ends(shape) for shape in dial_drawing(0, 97, 97, width=WIDE).shapes if len(shape.commands) == 2]
    ticks = {
        round(angle(a)): math.dist(a, b)
        for a, b in lines
        if abs(math.dist(a, (WIDE / 2, WIDE / 2)) - 150) < 0.01 and math.dist(a, b) < 20
    }
    assert sorted(ticks) == list(range(0, 360, 15))
    quarter, twelfth, small = ticks[90], ticks[30], ticks[15]
    assert quarter > twelfth > small


def test_the_words_say_the_turn_how_far_off_is_safe_and_the_quarters() -> None:
    first = dial_drawing(0, 97.4, 97.4, width=WIDE)
    assert {"safe to stand", "97° either way", "crank at 0°, first turn", "90°", "180°", "270°"} <= words(first)
    second = dial_drawing(540, 40, 120.9, width=WIDE)
    assert {"40° back, 120° on", "crank at 540°, second turn", "0°"} <= words(second)
    assert "180°" not in words(second), "the hand lies over it"
    assert "anywhere" in words(dial_drawing(90, 200, 200, width=WIDE))
    assert first.targets[0].spoken == "crank at 0°, first turn, safe to stand 97° either way"


@given(stop=degrees)
def test_no_word_is_crossed_by_the_hand(stop: float) -> None:
    drawing = dial_drawing(stop, 97, 97, width=WIDE)
    turn = math.radians(stop)
    for label in drawing.labels:
        half = len(label.text) * label.size * 0.27
        for along in range(-26, 151, 2):
            x, y = WIDE / 2 + along * math.sin(turn), WIDE / 2 - along * math.cos(turn)
            assert abs(x - label.x) > half or abs(y - label.y) > label.size * 0.33


def test_the_span_is_what_the_trade_works_out() -> None:
    offered = [row.key for row in rows_at(0) if row.offered]
    back, forward = safe_span(ENGINE, CAM, offered, 0.0, 0.0)
    assert "97° back, 99° on" in words(dial_drawing(0, back, forward, width=WIDE))


@pytest.mark.parametrize(
    ("stop", "back", "forward", "width", "says"),
    [
        (-1.0, 1.0, 1.0, 360.0, "take whole cycles off"),
        (721.0, 1.0, 1.0, 360.0, "not at 721°"),
        (math.nan, 1.0, 1.0, 360.0, "not at nan°"),
        (0.0, -1.0, 1.0, 360.0, "-1° off its stop"),
        (0.0, 1.0, math.inf, 360.0, "inf° off its stop"),
        (0.0, 1.0, 1.0, 0.0, "more than 0"),
    ],
)
def test_a_dial_that_cannot_be_is_refused(stop: float, back: float, forward: float, width: float, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        dial_drawing(stop, back, forward, width=width)


# --- the map


@given(opens=degrees, lasts=st.floats(min_value=0, max_value=719))
def test_a_lift_that_runs_past_the_end_begins_anew_and_none_of_it_is_lost(opens: float, lasts: float) -> None:
    pieces = lifted((opens, lasts))
    assert all(0 <= start <= end <= CYCLE_DEG for start, end in pieces)
    assert sum(end - start for start, end in pieces) == pytest.approx(lasts, abs=1e-9)
    assert any(start == opens for start, _ in pieces) or lasts < 1e-9
    assert len(pieces) == (2 if opens + lasts > CYCLE_DEG else 1)


def test_a_lift_outside_the_cycle_is_refused() -> None:
    for arc in ((-1.0, 200.0), (721.0, 200.0), (0.0, -5.0), (math.nan, 1.0)):
        with pytest.raises(ValueError, match="not of one cycle"):
            lifted(arc)


@pytest.mark.parametrize(("width", "row_height"), [(883.0, 44.0), (480.0, 32.0)])
@pytest.mark.parametrize("paper", [True, False])
def test_every_row_can_be_pressed_over_its_whole_height(width: float, row_height: float, paper: bool) -> None:
    rows = rows_at(0)
    drawing = valve_map(rows, 0, width=width, row_height=row_height, paper=paper)
    assert [target.key for target in drawing.targets] == [row.key for row in rows]
    for target in drawing.targets:
        assert (target.right - target.left, target.bottom - target.top) == (width, row_height)
        assert drawing.target_at(width / 2, (target.top + target.bottom) / 2) == target.key
    assert drawing.target_at(width / 2, 5) == ""


def test_a_row_says_its_margin_its_value_and_where_else_it_is_set() -> None:
    rows = [
        replace(row, value="0.25", state=State.DONE, verdict=Verdict.IN) if row.key == "in1" else row
        for row in rows_at(0)
    ]
    drawing = valve_map(rows, 0, width=883, row_height=44)
    assert {"1 intake", "97°", "143°", "0.25", "open", "stop 2", "Margin", "720°"} <= words(drawing)
    by_text = {label.text: label for label in drawing.labels}
    assert by_text["0.25"].ink == "ink"
    assert by_text["stop 2"].ink == "quiet"
    spoken = {target.key: target.spoken for target in drawing.targets}
    assert spoken["in1"] == "1 intake, margin 97°, done, 0.25"
    assert spoken["ex2"] == "2 exhaust, not at this stop, stop 2"


def test_on_paper_only_a_done_valve_carries_its_mark() -> None:
    def drawn(state: State, *, paper: bool) -> int:
        rows = (replace(rows_at(0)[0], state=state),)
        return len(valve_map(rows, 0, width=883, row_height=44, paper=paper).shapes)

    assert drawn(State.STARTED, paper=True) == drawn(State.TO_DO, paper=True)
    assert drawn(State.STARTED, paper=False) > drawn(State.TO_DO, paper=False)
    assert drawn(State.DONE, paper=True) > drawn(State.TO_DO, paper=True)


def strip(rows: tuple[ValveRow, ...], stop_deg: float) -> frozenset[tuple[float, float]]:
    """The black pixels of one row, drawn on paper with three dots to a unit, below the head."""
    drawing = valve_map(rows, stop_deg, width=480, row_height=32, paper=True)
    box = 32.0 + 2
    # One square of the map after the other: its left end lies at 175, its right one at 252.
    return black_pixels(placed(drawing.shapes, -190.0, -30.0), 100, box)


def test_solid_and_hatched_bars_and_an_empty_row_are_told_apart_in_one_bit() -> None:
    intake = ValveRow("in1", "1 intake", True, (100.0, 300.0), 90.0, False)
    exhaust, none = replace(intake, intake=False), replace(intake, arc=(0.0, 0.0))
    solid, hatched, empty = (len(strip((row,), 0.0)) for row in (exhaust, intake, none))
    assert solid > 1.5 * hatched > 4 * empty


def test_the_crank_shows_on_a_solid_bar_too() -> None:
    row = ValveRow("ex1", "1 exhaust", False, (0.0, 700.0), -5.0, False)
    # At 720 x (207 - 175) / 77 degrees the line stands at 207, 17 units into the square that is drawn.
    here, away = strip((row,), 720 * 32 / 77), strip((row,), 0.0)
    middle = 47
    at = sorted(x for x, y in here if y == middle)
    assert len(at) < len([1 for _, y in away if y == middle]), "white ground beside it"
    assert len({x for x, y in here if y == 8}) > len({x for x, y in away if y == 8}), "it runs beyond the bar"


@pytest.mark.parametrize(("width", "row_height"), [(479.0, 44.0), (883.0, 31.0)])
def test_too_small_a_map_is_refused(width: float, row_height: float) -> None:
    with pytest.raises(ValueError, match="480 in width and 32 for each row"):
        valve_map(rows_at(0), 0, width=width, row_height=row_height)


def test_a_map_without_valves_has_its_head_and_legend_only() -> None:
    drawing = valve_map((), 0, width=883, row_height=44)
    assert drawing.targets == ()
    assert "exhaust lifted" in words(drawing)
