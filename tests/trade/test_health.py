"""Compression, leakage and oil: each rule answers for itself, with its source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.exchange.measuring_tables import measuring_tables
from app.trade.health import (
    dip_change_mm,
    falling_with_speed,
    judge_compression,
    judge_each_cylinder,
    judge_leakage,
    judge_oil,
    leak_percent,
    low_alike,
    lowest_allowed_kpa,
    oil_pressure_least_kpa,
    oil_shot,
    orifice_mm,
    underfill_litres,
)
from app.trade.measuring_tables import CompressionKind
from app.trade.quantity import UNITS
from app.trade.verdict import Verdict
from tests.trade.refusals import refuses

PSI = UNITS["psi"].to_base
TABLES = measuring_tables()
pressures = st.dictionaries(st.integers(1, 8), st.floats(100, 2000), min_size=2, max_size=8)


# --- Laws


@given(pressures, st.floats(1.1, 3))
def test_a_share_rule_does_not_care_for_the_scale_of_the_gauge(readings: dict[int, float], times: float) -> None:
    shares = [rule for rule in TABLES.compression if rule.kind is CompressionKind.SHARE_OF_HIGHEST]
    edge = min(readings.values()) / max(readings.values())
    if any(abs(edge - rule.value) < 1e-6 for rule in shares):
        return
    before = [answer.verdict for answer in judge_compression(readings, shares)]
    after = judge_compression({cylinder: times * kpa for cylinder, kpa in readings.items()}, shares)
    assert [answer.verdict for answer in after] == before


@given(pressures)
def test_a_stricter_share_never_passes_what_a_milder_one_refuses(readings: dict[int, float]) -> None:
    shares = sorted(
        (rule for rule in TABLES.compression if rule.kind is CompressionKind.SHARE_OF_HIGHEST), key=lambda r: r.value
    )
    verdicts = [answer.verdict for answer in judge_compression(readings, shares)]
    assert verdicts == sorted(verdicts, key=lambda verdict: verdict is Verdict.OUT)


@given(st.floats(100, 1000), st.floats(0, 1))
def test_leakage_and_what_is_held_make_the_whole(supply: float, share: float) -> None:
    assert leak_percent(supply, supply * share) + share * 100 == pytest.approx(100)


@given(st.floats(-500, 500), st.floats(-30, 30))
def test_a_dipstick_reads_as_much_too_high_on_one_side_as_too_low_on_the_other(middle: float, angle: float) -> None:
    assert dip_change_mm(middle, angle) == pytest.approx(-dip_change_mm(-middle, angle))
    assert dip_change_mm(middle, angle) == pytest.approx(-dip_change_mm(middle, -angle))
    assert dip_change_mm(0, angle) == dip_change_mm(middle, 0) == 0


# --- Examples


def test_the_rules_disagree_and_stand_side_by_side() -> None:
    readings = {1: PSI(150), 2: PSI(110), 3: PSI(148), 4: PSI(145)}
    answers = {answer.rule: answer for answer in judge_compression(readings, TABLES.compression)}
    assert {rule: answer.verdict for rule, answer in answers.items()} == {
        "lowest at least 70 % of highest": Verdict.IN,
        "none under 100 psi": Verdict.IN,
        "lowest at least 75 % of highest": Verdict.OUT,
        "at most 98 kPa apart": Verdict.OUT,
        "within 10 %": Verdict.OUT,
    }
    assert answers["within 10 %"].sentence == ("Cylinder 2 has 73% of cylinder 1, the highest; at least 90% is wanted.")
    assert all(answer.source for answer in answers.values())


def test_the_least_pressure_is_in_at_its_limit() -> None:
    (least,) = [rule for rule in TABLES.compression if rule.kind is CompressionKind.LEAST]
    assert judge_compression({1: PSI(100), 2: PSI(120)}, [least])[0].verdict is Verdict.IN
    assert judge_compression({1: PSI(99), 2: PSI(120)}, [least])[0].verdict is Verdict.OUT
    assert judge_compression({1: 0.0, 2: 0.0}, [least])[0].verdict is Verdict.OUT


def test_the_lowest_cylinder_alone_is_judged_as_all_together() -> None:
    readings = {1: PSI(150), 2: PSI(110), 3: PSI(140)}
    each = judge_each_cylinder(readings, TABLES.compression)
    assert each[2] == judge_compression(readings, TABLES.compression)
    assert {answer.verdict for answer in each[1]} == {Verdict.IN}


def test_cylinders_low_alike_share_their_cause() -> None:
    assert low_alike({1: 500, 2: 520}, [1, 2]).startswith("All cylinders are low and alike")
    assert low_alike({1: 500, 2: 520}, [1]) == low_alike({1: 300, 2: 520}, [1, 2]) == ""


def test_each_rule_of_oil_tells_of_the_speed_with_least_to_spare() -> None:
    ten, seven = judge_oil({1000: PSI(12), 3000: PSI(25)}, TABLES.oil)  # 30 psi and 21 psi at 3000 rpm
    assert (ten.verdict, seven.verdict) == (Verdict.OUT, Verdict.IN)
    assert ten.sentence == "At 3000 rpm it has 172 kPa; at least 207 kPa is wanted."
    assert judge_oil({3000: PSI(30)}, TABLES.oil)[0].verdict is Verdict.IN


def test_an_oil_shot_tells_rings_from_valves_from_gasket() -> None:
    found = oil_shot({1: 500, 2: 520, 3: 510, 4: 400}, {1: 700, 2: 525, 3: 512, 4: 405}, [(1, 2), (2, 3), (3, 4)])
    assert found == (
        "Cylinder 1 rose with oil: look at its rings and bore.",
        "Neighbours 2 and 3 are both low and stayed so: look at the gasket between them.",
        "Neighbours 3 and 4 are both low and stayed so: look at the gasket between them.",
    )
    assert oil_shot({4: 400}, {4: 405}) == ("Cylinder 4 stayed low with oil: look at its valves.",)


@pytest.mark.parametrize(
    ("percent", "verdict"),
    [
        ({1: 6, 2: 9}, Verdict.IN),
        ({1: 12, 2: 13}, Verdict.UNDECIDED),
        ({1: 3, 2: 9}, Verdict.OUT),
        ({1: 20, 2: 21}, Verdict.OUT),
    ],
)
def test_street_leakage(percent: dict[int, float], verdict: Verdict) -> None:
    street = [rule for rule in TABLES.leak if rule.id == "street engine"]
    assert judge_leakage(percent, street)[0].verdict is verdict


def test_an_aircraft_cylinder_at_60_of_80_just_passes() -> None:
    rule = [rule for rule in TABLES.leak if rule.id.startswith("aircraft")]
    assert judge_leakage({1: leak_percent(PSI(80), PSI(60))}, rule)[0].verdict is Verdict.IN
    assert judge_leakage({1: leak_percent(PSI(80), PSI(59))}, rule)[0].verdict is Verdict.OUT


def test_oil() -> None:
    ten, seven = TABLES.oil
    assert oil_pressure_least_kpa(3000, ten) == pytest.approx(PSI(30))
    assert oil_pressure_least_kpa(3000, seven) == pytest.approx(PSI(21))
    # By hand: 150 mm towards the low end at 5 degrees reads 13.1 mm high; over 600 cm² that is 0.79 L too little
    assert dip_change_mm(150, 5) == pytest.approx(13.12, abs=0.01)
    assert underfill_litres(150, 5, 600) == pytest.approx(0.787, abs=0.001)
    assert "stop, and look at the pickup" in falling_with_speed([(3000, 200), (1000, 150), (2000, 300)])
    assert falling_with_speed([(1000, 150), (2000, 300), (3000, 298)]) == ""


def test_the_orifice_changes_at_five_inches() -> None:
    assert [round(orifice_mm(bore * 25.4), 4) for bore in (4.99, 5.00)] == [1.016, 1.524]


def test_bad_input_is_refused_in_one_sentence() -> None:
    refuses(lambda: judge_compression({1: 900}, TABLES.compression), "at least two readings")
    refuses(lambda: judge_compression({1: 900, 2: -5}, TABLES.compression), "The pressure of cylinder 2")
    refuses(lambda: judge_each_cylinder({1: 900}, TABLES.compression), "at least two readings")
    refuses(lambda: judge_oil({}, TABLES.oil), "no oil pressure to judge")
    refuses(lambda: judge_oil({1000: -5}, TABLES.oil), "The pressure at 1000 rpm must be 0 or more")
    refuses(lambda: lowest_allowed_kpa(1000, 70), "must lie between 0 and 1, not 70")
    refuses(lambda: oil_shot({1: 500}, {2: 600}), "read each of them both ways")
    refuses(lambda: leak_percent(550, 600), "read both gauges again")
    refuses(lambda: judge_leakage({}, TABLES.leak), "test at least one cylinder")
    refuses(lambda: judge_leakage({3: 120}, TABLES.leak), "The leakage of cylinder 3 must be 0 to 100 %")
    refuses(lambda: dip_change_mm(100, 45), "set the engine level")
    refuses(lambda: underfill_litres(100, 5, 0), "The oil’s surface must be more than 0 cm²")
    refuses(lambda: orifice_mm(0), "The bore must be more than 0 mm")
