"""The plan that ships: whole under every option, workable to its end, and loud where priming or sealing is skipped."""

from itertools import product

import pytest

from app.assembly.lines import Line
from app.assembly.make import make_blank
from app.assembly.plan.check import faults
from app.assembly.plan.order import needed
from app.assembly.plan.steps import Measured, Plan, Role
from app.assembly.rules import hole_unsealed, not_primed
from app.assembly.said.marks import State
from app.assembly.standing.gates import gate_standings
from app.sheet.rows import GRAVE, LineRow, stage_sheet
from app.words.say import say
from tests.cases.story import shipped
from tests.length import Sample
from tests.plans import Bench, build_from, good_value
from tests.refused import refused

PLAN: Plan = shipped("four-ohv")
OPTIONS = [(option.id, choice.id) for option in PLAN.options for choice in option.choices]
# The defaults, and each answer turned by itself.
ONE_TURNED = [{}, *({option: choice} for option, choice in OPTIONS)]
SEALED = ("seal-cover-bolts", "seal-through-studs", "seal-flywheel-bolts")


def _lines(options: dict[str, str]) -> tuple[Line, ...]:
    return make_blank(PLAN, options).lines


# --- what the plan is made of


def test_the_plan_has_no_fault() -> None:
    assert faults(PLAN) == []


@pytest.mark.parametrize("options", ONE_TURNED, ids=str)
def test_every_choice_gives_a_whole_build(options: dict[str, str]) -> None:
    lines = _lines(options)
    ids = [line.id for line in lines]
    assert len(lines) >= 150
    assert len(set(ids)) == len(ids)
    holds = [line for line in lines if line.step.hold]
    assert 12 <= len(holds) <= len(lines) / 15
    for gate in PLAN.gates:
        assert [line.id for line in lines if line.step.gate == gate.id], f"{gate.id} has nothing that keeps it shut"
        assert [line.id for line in lines if line.step.act == gate.id], f"{gate.id} has no act"


@pytest.mark.parametrize("options", ONE_TURNED, ids=str)
def test_every_choice_leaves_a_way_out_for_what_went_in(options: dict[str, str]) -> None:
    lines = _lines(options)
    for line in lines:
        for item in line.step.puts_in:
            outs = [other for other in lines if item.id in other.step.takes_out]
            assert outs, f"nothing takes {item.id} out"
            assert outs[0].position > line.position
        for part in line.step.parts:
            if part.fit is not None and part.fit.value == "trial":
                later = lines[line.position + 1 :]
                on_or_off = [
                    o for o in later if part.id in o.step.takes_off or any(p.id == part.id for p in o.step.parts)
                ]
                assert on_or_off, f"{part.id} is tried on and never comes off"


@pytest.mark.parametrize("options", ONE_TURNED, ids=str)
def test_nothing_needs_what_stands_behind_it(options: dict[str, str]) -> None:
    """So the sheet can be worked from top to bottom."""
    lines = _lines(options)
    at = {line.id: line.position for line in lines}
    for line in lines:
        assert all(at[need.step] < line.position for need in needed(line.step)), line.id
        assert all(at[hidden] < line.position for hidden in line.step.hides), line.id
        assert all(at[when.step] < line.position for when in line.step.when), line.id


def test_every_combination_of_choices_keeps_all_gate_lines_of_its_parts() -> None:
    choices = [[(option.id, choice.id) for choice in option.choices] for option in PLAN.options]
    always = {step.id for step in PLAN.steps() if step.gate and not any(when.option for when in step.when)}
    sample = Sample(0.1)
    for combination in product(*choices):
        if sample.takes():
            assert always <= {line.id for line in _lines(dict(combination))}


def test_all_seven_gates_stand_in_order() -> None:
    assert [gate.letter for gate in PLAN.gates] == list("ABCDEFG")
    assert [gate.id for gate in PLAN.gates] == [
        "close-bottom",
        "close-top",
        "prime",
        "crank",
        "start",
        "drive",
        "normal-use",
    ]


def test_every_gate_line_and_hold_names_the_harm() -> None:
    for step in PLAN.steps():
        if step.gate or step.hold:
            assert step.harm.endswith("."), step.id
            assert step.gate, "a hold keeps a gate shut too"


def test_a_given_figure_has_its_source_and_a_makers_figure_is_left_open() -> None:
    for step in PLAN.steps():
        if step.spec is not None and step.spec.limits and step.spec.kind.value not in ("see", "choice", "text"):
            assert step.spec.source, step.id
    left_open = [
        step
        for step in PLAN.steps()
        if step.spec is not None
        and not step.spec.limits
        and step.spec.kind not in (Measured.SEE, Measured.CHOICE, Measured.TEXT)
    ]
    assert len(left_open) >= 20


def test_a_cure_is_waited_for_somewhere_and_says_what_cures() -> None:
    waits = [need for step in PLAN.steps() for need in needed(step) if need.wait]
    assert waits
    assert all(need.because for need in waits)


def test_a_line_fits_on_its_row() -> None:
    for step in PLAN.steps():
        assert len(step.do) <= 60, step.id
        assert step.do[0].isupper(), step.id


# --- a new build


@pytest.mark.parametrize("options", ONE_TURNED, ids=str)
def test_a_new_build_has_hardly_a_loose_end(options: dict[str, str]) -> None:
    bench = Bench(PLAN, options)
    ends = bench.ends()
    assert {end.rule for end in ends} <= {"spec-empty"}
    assert len(ends) <= 5
    assert any(bench.survey.ready(line) for line in bench.build.lines)


# --- worked to its end


@pytest.mark.parametrize(
    "options",
    [
        {},
        {
            "rear-seal": "one-piece",
            "lifters": "flat-hydraulic",
            "pump-drive": "crank-nose",
            "rod-bolts": "stretch",
            "head-nuts": "torque-angle",
            "retorque": "forbidden",
            "liners": "wet",
            "flywheel-side": "free",
            "depth": "essential",
        },
        {"lifters": "roller-solid", "pump-drive": "crank-nose"},
        {"lifters": "roller-hydraulic", "liners": "wet", "depth": "essential"},
    ],
    ids=["default", "all turned", "roller solid", "roller hydraulic"],
)
@pytest.mark.parametrize("below", ["nothing", "oil", "unknown"])
def test_a_build_worked_from_top_to_bottom_ends_clean(options: dict[str, str], below: str) -> None:
    bench = Bench(PLAN, options)
    _work_all(bench, below)
    assert [line.number for line in bench.build.lines if bench.survey.open(line)] == []
    assert list(bench.build.facts.gates) == [gate.id for gate in PLAN.gates]
    assert bench.ends() == ()


def _work_all(bench: Bench, below: str, until: str = "", skip: tuple[str, ...] = ()) -> None:
    for line in bench.build.lines:
        if line.id == until:
            return
        if line.id in skip:
            continue
        if line.step.role is Role.HOLE_FINDING:
            for place in line.places:
                bench.read(line.number, below, place.id)
        bench.work_line(line)


# --- what must be impossible to miss


def _rows(bench: Bench, step: str) -> LineRow:
    ends = bench.ends()
    survey = bench.survey
    line = bench.line(step)
    stage = next(stage for stage in bench.build.stages if stage.number == line.stage)
    sheet = stage_sheet(survey, ends, gate_standings(survey, ends), stage)
    return next(row for row in sheet.rows if isinstance(row, LineRow) and row.id == step)


def _said(row: LineRow) -> str:
    return "".join(run.text for run in row.second)


def test_priming_skipped_is_on_the_line_in_the_loose_ends_and_at_the_gate() -> None:
    bench = Bench(PLAN)
    _work_all(bench, "nothing", until="prime-pressure")
    after = bench.build.lines[bench.line("prime-pressure").position + 1 :]
    begun = next(line for line in after if not bench.survey.stops_start(line))
    bench.mark(begun.number, State.STARTED)
    assert bench.found("not-primed") == ["prime-pressure"]
    assert bench.ends()[0].rule == "not-primed", "the gravest stands first"
    row = _rows(bench, "prime-pressure")
    assert row.striped
    assert _said(row).startswith(GRAVE[not_primed.ID])
    reason = next(one for one in bench.gate("crank").reasons if one.step == "prime-pressure")
    assert "not-primed" in reason.rules
    assert "bearings and lobes are gone" in say(reason.harm)
    with refused("the hold"):
        bench.done(begun.number)


def test_priming_conceded_still_shows_on_its_line() -> None:
    bench = Bench(PLAN)
    _work_all(bench, "nothing", until="prime-pressure")
    bench.concede("prime-pressure", "no drill in the house")
    assert bench.found("not-primed") == ["prime-pressure"]
    assert bench.found("concession-open") == ["prime-pressure"]
    row = _rows(bench, "prime-pressure")
    assert row.striped
    assert row.conceded


@pytest.mark.parametrize("seal", SEALED)
def test_sealing_skipped_is_on_the_line_in_the_loose_ends_and_at_the_gate(seal: str) -> None:
    bench = Bench(PLAN)
    _work_all(bench, "oil", until=seal)
    line = bench.line(seal)
    after = bench.build.lines[line.position + 1 :]
    nearest = next(other for other in after if other.step.role is Role.HOLE_CLOSE)
    with refused(f"waits for .*{line.step.do}"):
        bench.mark(nearest.number, State.STARTED)
    bench.mark(seal, State.STOPPED, "the tube has gone hard")
    places = tuple(place.id for place in line.places)
    (end,) = [end for end in bench.ends() if end.rule == "hole-unsealed"]
    assert (end.line.id, end.places) == (seal, places)
    row = _rows(bench, seal)
    assert row.striped
    assert _said(row).startswith(GRAVE[hole_unsealed.ID])
    gate = line.step.gate
    reason = next(one for one in bench.gate(gate).reasons if one.step == seal)
    assert "hole-unsealed" in reason.rules
    assert reason.places == places


def test_a_sealing_line_gone_round_in_writing_stays_striped_to_the_end() -> None:
    bench = Bench(PLAN)
    _work_all(bench, "oil", until="seal-cover-bolts")
    bench.concede("seal-cover-bolts", "dry for now")
    _work_all(bench, "oil", until="seal-pan-corners", skip=("seal-cover-bolts", *_done_lines(bench)))
    assert bench.found("hole-unsealed") == ["seal-cover-bolts"]
    assert _rows(bench, "seal-cover-bolts").striped


def _done_lines(bench: Bench) -> tuple[str, ...]:
    return tuple(line.id for line in bench.build.lines if not bench.survey.open(line))


def test_good_values_are_in_the_middle_of_their_figures() -> None:
    bench = Bench(PLAN)
    line = next(line for line in bench.build.lines if line.id == "explain-left-over")
    assert bench.survey.bounds(line) is not None
    assert good_value(bench.survey, line)
    assert build_from(make_blank(PLAN, {})).lines == bench.build.lines
