"""Single figures: the widths the trade gives them, and that nothing is judged without one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.figure import How, Target
from app.trade.notation import read_figure
from app.trade.quantity import Kind
from app.trade.targets import is_far, widths_offered, with_tool, with_width


def target(text: str, kind: Kind = Kind.LENGTH) -> Target:
    meant = read_figure(text, kind).meant
    assert isinstance(meant, Target)
    return meant


@pytest.mark.parametrize(
    ("text", "kind", "widths"),
    [
        ("0.20 mm", Kind.LENGTH, [(0.175, 0.225)]),  # one step of 0.05 mm between blades: common practice
        ("0.008 in", Kind.LENGTH, [(0.1905, 0.2159), (0.1778, 0.2286)]),  # 0.0005 in and 0.001 in either side
        ("100 N·m", Kind.TORQUE, [(96, 104)]),  # 4 %: ISO 6789:2003 type II class A
        ("10 N·m", Kind.TORQUE, [(9.4, 10.6)]),  # 6 % to 10 N·m: the same
        ("0 N·m", Kind.TORQUE, []),
        ("5000 N·m", Kind.TORQUE, []),
        ("0.01 mm", Kind.LENGTH, []),
        ("350 kPa", Kind.PRESSURE, []),
    ],
)
def test_the_widths_the_trade_gives(text: str, kind: Kind, widths: list[tuple[float, float]]) -> None:
    offered = widths_offered(target(text, kind))
    assert [(one.low, one.high) for one in offered] == [pytest.approx(width) for width in widths]
    assert all(one.source for one in offered)
    assert {one.how for one in offered} <= {How.BLADE, How.WRENCH}


@pytest.mark.parametrize(
    ("size", "far"), [(0.20, False), (0.15, False), (0.26, False), (0.27, True), (0.13, True), (5.0, True)]
)
def test_what_no_width_could_hold_is_far(size: float, far: bool) -> None:
    assert is_far(size, 0.20, Kind.LENGTH) is far
    assert not is_far(size, 0.20, Kind.TEMPERATURE), "a temperature may lie anywhere about its figure"


def test_what_a_tool_is_said_to_be_off_makes_a_width() -> None:
    wide = with_tool(target("50 N·m", Kind.TORQUE), 3.0, "its certificate")
    assert wide.width is not None
    assert (wide.width.low, wide.width.high, wide.width.how) == (47.0, 53.0, How.TOOL)


@pytest.mark.parametrize("ends", [(0.21, 0.30), (0.10, 0.19), (0.20, 0.20)])
def test_a_width_holds_its_target(ends: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="between the two ends"):
        with_width(target("0.20 mm"), *ends, "said")


@pytest.mark.parametrize("off", [0.0, -1.0, float("nan")])
def test_a_tool_that_is_off_by_nothing_makes_no_width(off: float) -> None:
    with pytest.raises(ValueError, match="more than 0"):
        with_tool(target("50 N·m", Kind.TORQUE), off, "its certificate")


@given(st.floats(0.05, 1500), st.sampled_from([("mm", Kind.LENGTH), ("in", Kind.LENGTH), ("N·m", Kind.TORQUE)]))
def test_every_width_offered_holds_its_figure(value: float, unit: tuple[str, Kind]) -> None:
    one = target(f"{value:.3f} {unit[0]}", unit[1])
    for width in widths_offered(one):
        assert 0 <= width.low < one.value < width.high
