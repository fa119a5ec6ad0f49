"""What a line knows goes into the fields of its sum: each such sum can be worked, or says what is still missing."""

from pathlib import Path

import pytest

from app.assembly.plan.steps import BenchSum
from app.assembly.said import actions as a
from app.exchange.measuring_tables import measuring_tables
from app.sheet.line_sum import sum_of
from app.sheet.sums import SUMS
from app.sheet.sums.from_line import fields_of
from app.sheet.sums.sum import Answer, Shelf, Sum, SumError
from app.trade.shipped_tables import shipped_tables
from tests.cases.story import Told, story

PLANS = Path(__file__).parents[2] / "resources" / "plans"
CARD = {"ivo": "15°", "ivc": "50°", "evo": "50°", "evc": "15°", "lift": "0.050 in"}


def _sum(key: BenchSum) -> Sum:
    return next(one for one in SUMS if one.id == key.value)


def _answer(told: Told, step: str, **more: str) -> Answer:
    line = told.line(step)
    wanted = sum_of(line)
    assert wanted is not None
    shelf = Shelf(shipped_tables(), measuring_tables())
    defaults = {ask.key: ask.default or (ask.choices[0] if ask.choices else "") for ask in _sum(wanted).asks}
    return _sum(wanted).answer(defaults | fields_of(told.survey, line) | more, shelf)


def _words(answer: Answer) -> str:
    return " ".join(run.text for section in answer.sections for item in section.items for run in item.runs)


def test_every_sum_a_plan_may_name_is_one_at_the_bench() -> None:
    assert {one.value for one in BenchSum} <= {one.id for one in SUMS}


@pytest.mark.parametrize("plan", sorted(path.stem for path in PLANS.glob("*.toml")))
def test_what_is_filled_in_belongs_to_fields_of_that_sum(plan: str) -> None:
    told = story(plan)
    lines = [line for line in told.build.lines if sum_of(line) is not None]
    assert lines
    for line in lines:
        wanted = sum_of(line)
        assert wanted is not None
        assert set(fields_of(told.survey, line)) <= {ask.key for ask in _sum(wanted).asks}


def test_cranking_pressures_are_judged_from_what_was_read() -> None:
    """One cylinder 25 % under the highest: low by every rule of the tables (75 % and 20 % rules, in health.toml)."""
    told = story(before="cranking-compression")
    for place, text in zip("1234", ("12 bar", "12 bar", "9 bar", "12 bar"), strict=True):
        told.read("cranking-compression", text, place)
    fields = fields_of(told.survey, told.line("cranking-compression"))
    assert fields["cranking"] == "1 1200 kPa; 2 1200 kPa; 3 900 kPa; 4 1200 kPa"
    words = _words(_answer(told, "cranking-compression"))
    assert "3" in words
    assert "low" in words


def test_clearances_go_to_the_shells_as_they_were_worked_out() -> None:
    told = story(before="main-clearance")
    told.figure("main-clearance", "0.040 to 0.070 mm")
    told.read("main-clearance", "54.080 mm", "1 bore")
    told.read("main-clearance", "54.000 mm", "1 journal")
    fields = fields_of(told.survey, told.line("main-clearance"))
    assert fields == {"now": "1 0.08 mm", "band": "0.04 to 0.07 mm"}
    answer = _answer(told, "main-clearance", fitted="1.490 mm", sizes="red 1.490; blue 1.505 mm")
    assert "blue" in str(answer.values), "a shell 15 thousandths thicker brings 0.080 to 0.050"


def test_the_crank_stops_are_those_of_the_build_s_own_cam() -> None:
    told = story(lifters="flat-solid")
    told.act(a.SayCam(CARD, "AB", told.now))
    fields = fields_of(told.survey, told.line("set-lash"))
    assert (fields["order"], fields["cam"], fields["lift"]) == ("1-3-4-2", "15 50 50 15", "0.050 in")
    assert "in1" in str(_answer(told, "set-lash").values)


def test_the_card_goes_to_the_degree_wheel() -> None:
    told = story()
    told.act(a.SayCam(CARD, "AB", told.now))
    answer = _answer(told, "degree-cam", readings="60, 145.5")
    assert "0.050 in" in str(answer.values["given"])


def test_nothing_is_made_up_for_what_the_line_does_not_know() -> None:
    told = story(before="ring-gaps")
    with pytest.raises(SumError, match="Bore"):
        _answer(told, "ring-gaps")
