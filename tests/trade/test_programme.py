"""Tightening step by step: read, held against falling torques, and written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.trade.figure import Target
from app.trade.notation import (
    Ambiguous,
    NotationError,
    read_figure,
    read_programme,
    read_spec,
    write_limits,
    write_programme,
)
from app.trade.programme import (
    Again,
    Angle,
    NewBolt,
    Programme,
    Slacken,
    Step,
    Stretch,
    Torque,
    Wait,
    falls,
)
from app.trade.quantity import Kind, Limits, TorqueTurn


def torque(nm: float) -> Torque:
    return Torque(Limits(Kind.TORQUE, nm, nm, nm, "N·m", f"{nm:g} N·m"))


def angle(degrees: float, spare: float = 0.0) -> Angle:
    return Angle(degrees, degrees - spare, degrees + spare)


def _bare(step: Step) -> object:
    """A step without how it was typed."""
    if isinstance(step, Torque | Stretch):
        limits = step.limits
        return type(step), limits.kind, limits.low, limits.high, limits.target
    return step


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("tighten to 60 N·m, slacken, 30 N·m, 90°", (torque(60), Slacken(), torque(30), angle(90))),
        (
            "40 N·m; slacken 180°; 20 N·m + 90° ± 5°; wait 10 min; again",
            (torque(40), Slacken(180), torque(20), angle(90, 5), Wait(600), Again()),
        ),
        ("Stage 1: 30 Nm Stage 2: 60 Nm Stage 3: 90°", (torque(30), torque(60), angle(90))),
        ("1st stage 30 Nm 2nd stage 60 Nm", (torque(30), torque(60))),
        ("30 N·m then 60 N·m then 2 x 90°", (torque(30), torque(60), angle(90), angle(90))),
        ("30 N·m; 60 N·m; 85° to 95°", (torque(30), torque(60), angle(90, 5))),
        ("30 N·m; 90°; new bolts; 30 N·m; 90°", (torque(30), angle(90), NewBolt(), torque(30), angle(90))),
        ("30 N·m; back off 1/4 turn; 20 N·m", (torque(30), Slacken(90), torque(20))),
        ("30 N·m / 90° / 90°; wait 30 s", (torque(30), angle(90), angle(90), Wait(30))),
    ],
)
def test_reading_a_programme(text: str, steps: tuple[Step, ...]) -> None:
    read = read_programme(text)
    assert list(map(_bare, read.steps)) == list(map(_bare, steps))
    assert read.text == text


def test_a_stretch_is_a_step() -> None:
    read = read_programme("20 N·m; stretch 0.15 to 0.17 mm")
    last = read.steps[-1]
    assert isinstance(last, Stretch)
    assert (last.limits.low, last.limits.high) == (0.15, 0.17)


def test_the_unit_of_a_later_torque_holds_for_those_before_it() -> None:
    read = read_programme("30; 60 lbf·ft; 90°")
    assert [step.limits.unit for step in read.steps if isinstance(step, Torque)] == ["lbf·ft", "lbf·ft"]


@pytest.mark.parametrize("text", ["60 N·m, 30 N·m, 90°", "60 N·m + 90°; 30 N·m", "60 N·m; wait 10 min; 30 N·m"])
def test_a_torque_that_falls_is_asked_about(text: str) -> None:
    with pytest.raises(Ambiguous, match="goes down from 60 N·m to 30 N·m") as caught:
        read_programme(text)
    for choice in caught.value.choices:
        read = read_programme(text.replace(caught.value.part, choice))
        assert not list(falls(read))


@pytest.mark.parametrize(
    "text",
    ["", "tighten", "slacken 90 mm", "60 N·m; wait", "60 N·m; wait 5 mm", "60 N·m; -90°", "; ".join(["60 N·m"] * 40)],
)
def test_what_is_no_programme_is_refused(text: str) -> None:
    with pytest.raises(NotationError):
        read_programme(text)


def test_a_simple_tightening_stays_a_torque_and_its_turns() -> None:
    for text in ("25 N·m + 90°", "20-25 N·m + 85° to 95° + 45°"):
        meant = read_figure(text, Kind.TORQUE).meant
        assert isinstance(meant, TorqueTurn)
        assert meant == read_spec(text, Kind.TORQUE)


def test_more_than_a_torque_and_its_turns_is_no_torque_turn() -> None:
    read = read_figure("40 N·m; slacken; 20 N·m + 90°", Kind.TORQUE).meant
    assert isinstance(read, Programme)
    assert read.torque_turn() is None
    final = read.final_torque()
    assert final is not None
    assert final.target == 20
    assert isinstance(read_figure("40 N·m", Kind.TORQUE).meant, Target)


def test_again_is_everything_since_the_last_time() -> None:
    read = read_programme("20 N·m; 90°; again; slacken; 10 N·m; again")
    names = [type(step).__name__ for step in read.unrolled()]
    assert names == ["Torque", "Angle", "Torque", "Angle", "Slacken", "Torque", "Slacken", "Torque"]


def test_conditions_hold_for_the_whole_programme() -> None:
    oiled = read_figure("40 N·m; slacken; 20 N·m + 90°, oiled", Kind.TORQUE)
    assert oiled.conditions.threads.value == "oiled"
    assert isinstance(oiled.meant, Programme)
    assert len(oiled.meant.steps) == 4


NM = st.integers(1, 400)
STEPS = st.one_of(
    NM.map(lambda nm: torque(float(nm))),
    st.tuples(st.integers(20, 360), st.integers(0, 9)).map(lambda pair: angle(float(pair[0]), float(pair[1]))),
    st.one_of(st.none(), st.integers(1, 360).map(float)).map(Slacken),
    st.integers(1, 100_000).map(lambda seconds: Wait(float(seconds))),
    st.just(NewBolt()),
    st.just(Again()),
    st.integers(1, 50).map(
        lambda many: Stretch(Limits(Kind.LENGTH, many / 100, (many + 2) / 100, None, "mm", "")),
    ),
)


@given(st.lists(STEPS, min_size=1, max_size=8))
def test_what_is_written_reads_back_as_it_was(steps: list[Step]) -> None:
    programme = Programme(tuple(steps), "")
    text = write_programme(programme)
    if list(falls(programme)):
        with pytest.raises(Ambiguous):
            read_programme(text)
        return
    again = read_programme(text)
    assert len(again.steps) == len(steps)
    for one, other in zip(again.steps, steps, strict=True):
        if isinstance(one, Torque | Stretch) and isinstance(other, Torque | Stretch):
            assert write_limits(one.limits) == write_limits(other.limits)
        else:
            assert one == other


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        read = read_programme(text, unit="N·m")
    except NotationError:
        return
    assert read.steps
    assert write_programme(read)
