"""Settings with an adapter, how far to trust them, and which wrench to take."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.trade.quantity import UNITS
from app.trade.wrench import (
    Adapter,
    Wrench,
    WrenchKind,
    choose,
    doubt_at_bolt,
    iso_tolerance,
    lowest_sure_nm,
    rounded_setting,
    torque_at_bolt,
    wrench_setting,
)

CLICK = Wrench("the click wrench", 20, 200, 1, "N·m", 30, 100, 400, WrenchKind.CLICK)
BEAM = Wrench("the beam wrench", 0, 200, 5, "N·m", 30, 100, 400, WrenchKind.BEAM)

torques = st.floats(1, 180)
levers = st.floats(100, 1000)
shares_of_lever = st.floats(0, 0.9)
angles = st.floats(-360, 360)


# Hand-made figures on T L / (L + E cos a), US Army TM 9-254 para 4-1 (read)
@pytest.mark.parametrize(
    ("angle", "set_nm"),
    [(0, 80.0), (45, 84.977), (60, 88.889), (90, 100.0), (120, 114.286), (135, 121.474), (180, 133.333), (270, 100.0)],
)
def test_an_adapter_of_a_quarter_of_the_lever_at_any_angle(angle: float, set_nm: float) -> None:
    assert wrench_setting(100, 400, 100, angle) == pytest.approx(set_nm, abs=0.001)


@given(torques, levers, shares_of_lever, angles)
def test_set_and_deliver_gives_the_torque_back(torque: float, lever: float, share: float, angle: float) -> None:
    adapter = lever * share
    setting = wrench_setting(torque, lever, adapter, angle)
    assert torque_at_bolt(setting, lever, adapter, angle) == pytest.approx(torque, rel=1e-9)


@given(torques, levers, shares_of_lever)
def test_a_square_adapter_changes_nothing(torque: float, lever: float, share: float) -> None:
    assert wrench_setting(torque, lever, lever * share, 90) == torque


@given(torques, levers, st.floats(0.01, 0.9), st.floats(0, 179), st.floats(1, 90))
def test_the_setting_rises_as_the_adapter_is_folded_back(
    torque: float, lever: float, share: float, angle: float, more: float
) -> None:
    back = min(angle + more, 180)
    assert wrench_setting(torque, lever, lever * share, angle) < wrench_setting(torque, lever, lever * share, back)


@given(torques, levers, st.floats(0, 500), st.floats(1, 500))
def test_the_longer_the_adapter_straight_ahead_the_lower_the_setting(
    torque: float, lever: float, adapter: float, more: float
) -> None:
    assert wrench_setting(torque, lever, adapter + more) < wrench_setting(torque, lever, adapter)


@given(torques, levers, shares_of_lever, angles)
def test_inches_in_give_the_same_as_millimetres_in(torque: float, lever: float, share: float, angle: float) -> None:
    inch = UNITS["in"]
    in_inches = wrench_setting(torque, inch.from_base(lever), inch.from_base(lever * share), angle)
    assert in_inches == pytest.approx(wrench_setting(torque, lever, lever * share, angle), rel=1e-9)


@pytest.mark.parametrize(
    ("torque", "lever", "adapter", "angle", "said"),
    [
        (50, 0, 40, 0, "lever has to be longer than 0 mm"),
        (50, -300, 40, 0, "lever has to be longer than 0 mm"),
        (50, 300, -40, 0, "adapter has to be 0 mm or longer"),
        (50, 300, 300, 180, "folded back reaches past the hand"),
        (50, 300, 350, 180, "folded back reaches past the hand"),
        (50, 300, 40, math.nan, "angle has to be a number"),
        (0, 300, 40, 0, "more than 0 N·m"),
        (-5, 300, 40, 0, "more than 0 N·m"),
        (2500, 300, 40, 0, "check the unit"),
        (math.nan, 300, 40, 0, "more than 0 N·m"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    torque: float, lever: float, adapter: float, angle: float, said: str
) -> None:
    for function in (wrench_setting, torque_at_bolt):
        with pytest.raises(ValueError, match=said) as refusal:
            function(torque, lever, adapter, angle)
        assert str(refusal.value).endswith(".")
        assert str(refusal.value).count(". ") == 0


def test_a_setting_is_rounded_to_the_scale_and_says_what_that_gives() -> None:
    setting = rounded_setting(61, CLICK, Adapter(50))
    assert setting.exact_nm == pytest.approx(61 * 400 / 450)
    assert setting.set_nm == 54
    assert setting.at_bolt_nm == pytest.approx(54 * 450 / 400)


@given(st.floats(10, 150), st.floats(0.1, 5), st.floats(0, 200), angles)
def test_rounding_is_never_off_by_more_than_half_a_step(
    torque: float, step: float, adapter: float, angle: float
) -> None:
    wrench = replace(CLICK, graduation_nm=step)
    setting = rounded_setting(torque, wrench, Adapter(adapter, angle))
    assert abs(setting.set_nm - setting.exact_nm) <= step / 2 * (1 + 1e-9)
    given_at_bolt = torque_at_bolt(setting.exact_nm, 400, adapter, angle)
    assert given_at_bolt == pytest.approx(torque, rel=1e-9)


def test_no_lever_no_adapter_unless_it_stands_square() -> None:
    unmeasured = replace(CLICK, lever_mm=None)
    with pytest.raises(ValueError, match="needs its lever"):
        rounded_setting(60, unmeasured, Adapter(50))
    assert rounded_setting(60, unmeasured, Adapter(50, 90)).set_nm == 60
    assert rounded_setting(60, unmeasured).set_nm == 60


@pytest.mark.parametrize(
    ("wrench", "said"),
    [
        (replace(CLICK, graduation_nm=0), "graduation"),
        (replace(CLICK, high_nm=0), "scale that goes up"),
        (replace(CLICK, unit="mm"), "not a unit of torque"),
    ],
)
def test_a_scale_that_cannot_be_is_refused(wrench: Wrench, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        rounded_setting(60, wrench)


def test_the_tolerance_steps_at_10_newton_metres() -> None:
    # ISO 6789:2003 type II class A, quoted in a tool maker's manual (read)
    assert [iso_tolerance(torque) for torque in (5, 10, 10.01, 100)] == [0.06, 0.06, 0.04, 0.04]


def test_nothing_is_promised_below_a_fifth_of_full_scale() -> None:
    assert lowest_sure_nm(200) == pytest.approx(40)  # US Army TM 1-1500-204-23-9 table 8-1 (read)


def test_the_doubt_at_the_bolt_by_hand() -> None:
    # 80 N·m set, L 400, E 100: 4 % of 80 x 1.25 = 4; half of 1 x 1.25 = 0.625; 80 / 400 x 2 mm = 0.4
    doubt = doubt_at_bolt(rounded_setting(100, CLICK, Adapter(100)), CLICK, Adapter(100, doubt_mm=2))
    assert (doubt.wrench_nm, doubt.rounding_nm, doubt.adapter_nm) == pytest.approx((4, 0.625, 0.4))
    assert doubt.likely_nm == pytest.approx(math.sqrt(4**2 + 0.625**2 + 0.4**2))
    assert doubt.worst_nm == pytest.approx(5.025)


def test_the_adapters_doubt_is_what_the_length_makes() -> None:
    setting = rounded_setting(100, CLICK, Adapter(100))
    doubt = doubt_at_bolt(setting, CLICK, Adapter(100), lever_doubt_mm=1)
    moved = torque_at_bolt(80, 400, 100) - torque_at_bolt(80, 401, 100)
    assert doubt.adapter_nm == pytest.approx(moved, rel=0.01)


@given(st.floats(40, 150), st.floats(0, 100), angles, st.floats(0, 5))
def test_the_likely_doubt_never_passes_the_worst(torque: float, length: float, angle: float, doubt_mm: float) -> None:
    adapter = Adapter(length, angle, doubt_mm)
    doubt = doubt_at_bolt(rounded_setting(torque, CLICK, adapter), CLICK, adapter)
    parts = (doubt.wrench_nm, doubt.rounding_nm, doubt.adapter_nm)
    assert max(parts) <= doubt.likely_nm * (1 + 1e-12)
    assert doubt.likely_nm <= doubt.worst_nm * (1 + 1e-12)


def test_a_negative_doubt_is_refused() -> None:
    with pytest.raises(ValueError, match="doubt about a length"):
        doubt_at_bolt(rounded_setting(100, CLICK), CLICK, Adapter(10, doubt_mm=-1))


def test_the_wrench_nearest_its_middle_goes_first() -> None:
    small = replace(CLICK, name="the small one", low_nm=5, high_nm=50, graduation_nm=0.5)
    large = replace(CLICK, name="the large one", low_nm=60, high_nm=340)
    ranked = choose([large, small, CLICK], 110)
    assert [choice.wrench.name for choice in ranked] == ["the click wrench", "the large one", "the small one"]
    assert [choice.usable for choice in ranked] == [True, True, False]
    assert ranked[0].sentences == ("Set the click wrench to 110 N·m: the bolt gets 110 N·m.",)
    assert ranked[2].sentences == ("the small one ends at 50 N·m, and 110 N·m is needed.",)


@pytest.mark.parametrize(
    ("wrench", "torque", "usable", "said"),
    [
        (CLICK, 10, False, "starts at 20 N·m"),
        (CLICK, 30, False, "not sure below 40 N·m, 20 % of its scale"),
        (CLICK, 45, True, "best between 30 % and 80 %"),
        (CLICK, 190, True, "best between 30 % and 80 %"),
        (CLICK, 201, False, "ends at 200 N·m"),
        (replace(CLICK, graduation_nm=20), 100, True, "more than a tenth"),
        (replace(CLICK, kind=WrenchKind.ELECTRONIC, graduation_nm=2), 100, True, "more than a quarter"),
        (replace(CLICK, days_since_check=400), 100, True, "more than 12 months"),
        (replace(CLICK, cycles_since_check=6000), 100, True, "more than 5000"),
        (replace(CLICK, days_since_check=None), 100, True, "Nobody knows"),
        (replace(CLICK, lever_mm=None), 100, True, "Set the click wrench"),
    ],
)
def test_each_reason_has_its_sentence(wrench: Wrench, torque: float, usable: bool, said: str) -> None:
    (choice,) = choose([wrench], torque)
    assert choice.usable is usable
    assert any(said in sentence for sentence in choice.sentences)
    assert all(sentence.endswith(".") for sentence in choice.sentences)


def test_of_two_good_wrenches_the_one_nearer_its_middle_goes_first() -> None:
    # 100 N·m is 50 % of one scale and 77 % of the other; the best band is 30 to 80 %, its middle 55 %
    ranked = choose([replace(CLICK, name="the smaller", high_nm=130), CLICK], 100)
    assert [choice.wrench.name for choice in ranked] == ["the click wrench", "the smaller"]


@pytest.mark.parametrize("torque", [60, 160])
def test_the_best_band_holds_its_ends(torque: float) -> None:
    (choice,) = choose([CLICK], torque)
    assert choice.sentences == (f"Set the click wrench to {torque} N·m: the bolt gets {torque} N·m.",)


def test_an_electronic_wrench_that_shows_enough_is_not_spoken_against() -> None:
    # A quarter of 4 % of 100 N·m is 1 N·m (ISO 6789-1:2017, read)
    (choice,) = choose([replace(CLICK, kind=WrenchKind.ELECTRONIC)], 100)
    assert choice.sentences == ("Set the click wrench to 100 N·m: the bolt gets 100 N·m.",)


@pytest.mark.parametrize("change", [{"days_since_check": 365}, {"cycles_since_check": 5000}, {"graduation_nm": 10}])
def test_a_wrench_just_within_its_limits_is_not_spoken_against(change: dict[str, Any]) -> None:
    (choice,) = choose([replace(CLICK, **change)], 100)
    assert len(choice.sentences) == 1


def test_another_unit_on_the_scale_is_said() -> None:
    in_pounds = replace(CLICK, unit="lbf·ft", graduation_nm=UNITS["lbf·ft"].to_base(1))
    (choice,) = choose([in_pounds], UNITS["lbf·ft"].to_base(60), "N·m")
    assert "reads lbf·ft and the spec is in N·m" in choice.sentences[0]
    assert "Set the click wrench to 60 lbf·ft" in choice.sentences[-1]


def test_a_beam_wrench_is_read_and_not_set() -> None:
    (choice,) = choose([BEAM], 100, adapter=Adapter(100))
    assert choice.sentences[-1] == (
        "Pull until the beam wrench reads 80 N·m with the adapter on: it does not click, and the bolt gets 100 N·m."
    )


def test_a_wrench_that_cannot_take_the_adapter_is_named_and_not_left_out() -> None:
    ranked = choose([replace(CLICK, name="the bare one", lever_mm=None), CLICK], 100, adapter=Adapter(50))
    assert [choice.wrench.name for choice in ranked] == ["the click wrench", "the bare one"]
    assert not ranked[1].usable
    assert ranked[1].setting is None


def test_a_spec_in_no_unit_of_torque_is_refused() -> None:
    with pytest.raises(ValueError, match="not a unit of torque"):
        choose([CLICK], 100, "mm")
