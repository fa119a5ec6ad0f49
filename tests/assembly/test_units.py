"""The unit in force: that of the figure that stands; it says what a bare number means, and what is shown and asked."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.assembly.plan.steps import How, Measure
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.assembly.standing.verdicts import bounds_of, result_unit, unit_in_force
from app.exchange.plan_file import parse_plan
from app.trade.quantity import UNITS, Kind
from app.trade.verdict import Verdict
from app.words.understood import figure_understood, value_understood
from tests.cases.story import SHIPPED, story
from tests.plans import SMALL, Bench

INCH_MM = 25.4  # exact, NIST SP 811


@pytest.fixture
def bench() -> Bench:
    found = Bench()
    found.work("torque-mains")
    return found


def test_while_there_is_no_figure_the_plan_s_unit_is_in_force() -> None:
    bench = Bench()
    assert unit_at(bench.survey, bench.line("torque-mains")) == "N·m"


@pytest.mark.parametrize(
    ("figure", "typed", "magnitude_mm", "verdict"),
    [
        ("at most 0.008 in", "0.012", 0.012 * INCH_MM, Verdict.OUT),
        ("at most 0.008 in", "0.007", 0.007 * INCH_MM, Verdict.IN),
        ("2 to 10 thou", "7", 0.007 * INCH_MM, Verdict.IN),
        ("0.05 to 0.25 mm", "0.012", 0.012, Verdict.OUT),
    ],
)
def test_a_bare_number_means_the_unit_of_the_figure(
    bench: Bench, figure: str, typed: str, magnitude_mm: float, verdict: Verdict
) -> None:
    bench.figure("end-float", figure)
    bench.read("end-float", typed)
    (judged,) = bench.survey.judged(bench.line("end-float"))
    assert judged.reading.magnitude == pytest.approx(magnitude_mm)
    assert judged.verdict is verdict


def test_readings_keep_their_own_unit_when_the_figure_s_unit_changes(bench: Bench) -> None:
    bench.figure("end-float", "at most 0.008 in")
    bench.read("end-float", "0.007")
    bench.figure("end-float", "at most 0.20 mm")
    (judged,) = bench.survey.judged(bench.line("end-float"))
    assert (judged.reading.unit, judged.verdict) == ("in", Verdict.IN)
    assert unit_at(bench.survey, bench.line("end-float")) == "mm"


def test_a_torque_in_pound_feet_is_read_in_pound_feet(bench: Bench) -> None:
    bench.figure("torque-mains", "at most 9 lbf·ft")
    found = value_understood(bench.survey, bench.line("torque-mains"), "1", "10")
    assert found.words == "10 lbf·ft = 13.6 N·m: Out, at most 9 lbf·ft"


@pytest.mark.parametrize(
    ("plan_unit", "figure", "parts", "result"),
    [
        ("mm", "1.5 to 2.5 thou", "in", "thou"),
        ("mm", "0.0015 to 0.0025 in", "in", "in"),
        ("mm", "0.04 to 0.07 mm", "mm", "mm"),
        ("mm", "40 to 70 µm", "mm", "µm"),
    ],
)
def test_parts_of_a_result_are_read_in_whole_units(plan_unit: str, figure: str, parts: str, result: str) -> None:
    """Nobody reads a bore in thousandths because its clearance is given in them."""
    told = story(before="main-clearance")
    line = told.line("main-clearance")
    assert line.step.spec is not None
    assert line.step.spec.unit == plan_unit
    told.figure("main-clearance", figure)
    bounds = told.survey.bounds(line)
    assert unit_in_force(line.step, bounds, "1 bore") == parts
    assert result_unit(line.step.spec.unit if line.step.spec else "", bounds, "1") == result


def test_a_clearance_in_thousandths_says_its_sum_in_inches() -> None:
    told = story(before="main-clearance")
    told.figure("main-clearance", "1.5 to 2.5 thou")
    told.read("main-clearance", "2.4505", "1 bore")
    told.read("main-clearance", "2.4485", "1 journal")
    result = next(one for one in told.survey.worked(told.line("main-clearance")) if one.size is not None)
    assert result.words == "2.4505 - 2.4485 in = 2 thou, 1.5 to 2.5 thou wanted"
    assert result.verdict is Verdict.IN


def test_a_figure_says_what_it_was_taken_for() -> None:
    bench = Bench()
    line = bench.line("end-float")
    survey = Survey(bench.build, bench.now)
    assert figure_understood(survey, line, "at most 0.008 in").words == "at most 0.008 in = at most 0.2032 mm"
    assert not figure_understood(survey, line, "soon").good


@pytest.mark.parametrize("plan", SHIPPED)
def test_every_figured_line_of_every_plan_takes_figures_of_the_other_system(plan: str) -> None:
    """Whatever the plan is written in, an inch figure makes bare numbers inches, and a metric one millimetres."""
    told = story(plan)
    for line in told.build.lines:
        spec = line.step.spec
        if spec is None or spec.kind.value != Kind.LENGTH.value or line.step.measure is not None:
            continue
        for text, unit in (("at most 0.008 in", "in"), ("at most 0.20 mm", "mm"), ("7 to 9 thou", "thou")):
            told.figure(line.id, text)
            assert {unit_at(told.survey, line, place.id) for place in line.places} == {unit}, line.number


@given(st.sampled_from([unit.id for unit in UNITS.values() if unit.kind is Kind.TORQUE]), st.integers(1, 400))
def test_whatever_unit_a_torque_figure_has_is_in_force(unit: str, size: int) -> None:
    step = next(one for one in parse_plan(SMALL).steps() if one.id == "torque-mains")
    assert step.spec is not None
    bounds = bounds_of(replace(step.spec, limits=f"at most {size} {unit}"), None, {})
    assert unit_in_force(step, bounds) == unit


def test_a_count_has_no_unit() -> None:
    step = next(one for one in parse_plan(SMALL).steps() if one.spec is not None)
    assert step.spec is not None
    counted = replace(step, spec=replace(step.spec, unit=""), measure=Measure(points=("a", "b"), how=How.SUM))
    assert unit_in_force(counted, None) == ""
