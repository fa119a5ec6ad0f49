"""How the steps of a plan hang together: each relation gives its row, and all who ask read the same rows."""

from collections.abc import Iterator, Mapping
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.assembly.build import Build
from app.assembly.plan.order import Delay, Link, Relations, Row, gate_at, gate_end, named_by, rows, stated
from app.assembly.plan.steps import Gate, Need, Plan, Step, Temporary, Turn, When, While, wanted
from app.assembly.said.marks import State
from app.assembly.said.refusal import Refused
from app.assembly.standing.survey import Survey
from app.assembly.standing.waits import Waiting, WaitKind, Wants
from tests.cases.story import SHIPPED, Told, shipped
from tests.plans import Bench, small_plan

A, B, C, D = (Step(id=name, do=f"Do {name}") for name in "abcd")
RAG = Temporary("rag", "Rag", "in the bores")
CLAY = Temporary("clay", "Clay", "on the piston", turning_ok=True)
SHUT = Gate("shut", "A", "Shut", "first", "", "")
START = Gate("start", "B", "Start", "first", "", "")


def _step(name: str, **fields: object) -> Step:
    return Step(id=name, do=f"Do {name}", **fields)  # type: ignore[arg-type]


RELATIONS: dict[str, tuple[list[Step], list[Row]]] = {
    "a bare need": ([A, _step("x", needs=("a",))], [Row("a", "x", Link.NEEDS)]),
    "a need with its times and why": (
        [A, _step("x", needs=(Need("a", "24 h", "3 days", "the sealant cures"),))],
        [Row("a", "x", Link.NEEDS, Delay("24 h"), Delay("3 days"), why="the sealant cures")],
    ),
    "before": ([_step("x", before=("a",)), A], [Row("x", "a", Link.BEFORE)]),
    "what is hidden": ([A, _step("x", hides=("a",))], [Row("a", "x", Link.HIDES)]),
    "disturbs": ([A, _step("x", disturbs=("a",))], [Row("x", "a", Link.DISTURBS)]),
    "undoing disturbs": ([A, _step("x", undoing_disturbs=("a",))], [Row("x", "a", Link.UNDOING_DISTURBS)]),
    "a shared bolt, both ways": (
        [A, _step("x", shares=("a",))],
        [Row("x", "a", Link.SHARES), Row("a", "x", Link.SHARES)],
    ),
    "a shared bolt that both name": (
        [_step("a", shares=("x",)), _step("x", shares=("a",))],
        [Row("a", "x", Link.SHARES), Row("x", "a", Link.SHARES)],
    ),
    "what floats": ([_step("x", latest=("a",)), A], [Row("x", "a", Link.LATEST)]),
    "a trial": ([_step("x", trial_of="a"), A], [Row("x", "a", Link.TRIAL_OF)]),
    "a stand-in": ([_step("x", stands_in_for="a"), A], [Row("x", "a", Link.STANDS_IN)]),
    "a spell": (
        [A, _step("x", not_while=(While("a", "b", "skin forms"),)), B],
        [Row("b", "x", Link.SPELL, why="skin forms", after="a")],
    ),
    "a condition": (
        [A, _step("x", when=(When(("oil", "unknown"), step="a"),), places="studs")],
        [Row("a", "x", Link.CONDITION, any_of=("oil", "unknown"))],
    ),
    "a condition place by place": (
        [_step("a", places="studs"), _step("x", when=(When(("oil",), step="a"),), places="studs")],
        [Row("a", "x", Link.CONDITION, place="studs", any_of=("oil",))],
    ),
    "an option is no relation": ([A, _step("x", when=(When(("full",), option="depth"),))], []),
    "holds, each up to the next": (
        [A, _step("h", hold=True), B, _step("k", hold=True), C],
        [Row("h", "b", Link.HOLD), Row("h", "k", Link.HOLD), Row("k", "c", Link.HOLD)],
    ),
    "what goes in, and who turns meanwhile": (
        [_step("i", puts_in=(RAG,)), _step("t", turns=Turn.HAND), _step("o", takes_out=("rag",), turns=Turn.HAND)],
        [
            Row("i", "o", Link.COMES_OUT, place="in the bores", thing="rag"),
            Row("o", "t", Link.INSIDE, place="in the bores", after="i", thing="rag"),
        ],
    ),
    "what is put in to be turned": (
        [_step("i", puts_in=(CLAY,)), _step("t", turns=Turn.HAND), _step("o", takes_out=("clay",))],
        [Row("i", "o", Link.COMES_OUT, place="on the piston", thing="clay")],
    ),
    "a stand-in, where power turns": (
        [_step("s", stands_in_for="a"), _step("t", turns=Turn.STARTER), _step("u", turns=Turn.HAND), A],
        [Row("s", "a", Link.STANDS_IN), Row("a", "t", Link.FOR_GOOD, after="s")],
    ),
}


@pytest.mark.parametrize("what", RELATIONS)
def test_each_relation_gives_its_row(what: str) -> None:
    steps, wanted_rows = RELATIONS[what]
    assert rows(steps, ()) == tuple(wanted_rows)


def test_each_kind_of_relation_is_among_those_looked_at() -> None:
    seen = {row.kind for _, some in RELATIONS.values() for row in some}
    assert seen | {Link.GATE, Link.ACT} == set(Link)


def test_gates_are_kept_shut_by_their_lines_and_by_the_gate_in_front() -> None:
    steps = [_step("x", gate="shut"), _step("y", act="start")]
    assert rows(steps, (SHUT, START)) == (
        Row("x", gate_end("shut"), Link.GATE),
        Row(gate_end("start"), "y", Link.ACT),
        Row(gate_end("shut"), gate_end("start"), Link.GATE),
    )
    assert gate_at(gate_end("shut")) == "shut"
    assert gate_at("shut") == "", "a step may be called as a gate is"


def test_relations_to_steps_that_are_not_there_are_left_out() -> None:
    steps = [_step("x", needs=("gone",), shares=("gone",), gate="gone", not_while=(While("x", "gone"),)), A]
    assert rows(steps, ()) == ()


def test_a_row_names_what_its_step_does_not_stand_for() -> None:
    (spell,) = stated(_step("x", not_while=(While("a", "b"),)))
    assert named_by(_step("x"), spell) == ("a", "b")
    (own,) = stated(_step("x", needs=("x",)))
    assert named_by(_step("x"), own) == ("x",), "the step names itself"


def test_a_delay_is_kept_as_written_and_as_a_time() -> None:
    assert Delay("24 h").length == timedelta(hours=24)
    assert Delay("20 min").length == timedelta(minutes=20)


def test_rows_are_found_by_both_ends_kind_by_kind() -> None:
    order = Relations(rows([A, B, _step("x", hides=("a",), needs=("b", "a"))], ()))
    assert [(row.kind, row.start) for row in order.into("x", Link.NEEDS, Link.HIDES)] == [
        (Link.NEEDS, "b"),
        (Link.NEEDS, "a"),
        (Link.HIDES, "a"),
    ]
    assert [row.kind for row in order.into("x", Link.HIDES, Link.NEEDS)] == [Link.HIDES, Link.NEEDS, Link.NEEDS]
    assert [row.kind for row in order.out_of("a", Link.NEEDS, Link.HIDES)] == [Link.NEEDS, Link.HIDES]
    assert order.into("a", Link.NEEDS) == ()


@given(st.lists(st.booleans(), min_size=1, max_size=40))
def test_every_step_behind_a_hold_has_one_way_back_to_each_hold_in_front(holds: list[bool]) -> None:
    steps = [_step(f"s{number}", hold=hold) for number, hold in enumerate(holds)]
    order = Relations(rows(steps, ()))
    for number, step in enumerate(steps):
        back, at = [], step.id
        while order.into(at, Link.HOLD):
            ((at),) = [row.start for row in order.into(at, Link.HOLD)]
            back.append(at)
        assert back == [f"s{n}" for n in reversed(range(number)) if holds[n]]


# --- all read the same rows


def _option_sets(plan: Plan) -> Iterator[Mapping[str, str]]:
    """The usual answers, and each other answer alone."""
    usual = {option.id: option.default for option in plan.options}
    yield usual
    for option in plan.options:
        yield from ({**usual, option.id: choice.id} for choice in option.choices if choice.id != option.default)


SETS = [(name, options) for name in SHIPPED for options in _option_sets(shipped(name))]
# What the plan has no row for: what a person said, and the figure of the line's own.
NO_ROW = (WaitKind.SYMPTOM, WaitKind.PART, WaitKind.FIGURE, WaitKind.DECISION, WaitKind.PUT_OFF)


@pytest.mark.parametrize(("name", "options"), SETS)
def test_the_rows_of_a_build_are_those_of_its_plan(name: str, options: Mapping[str, str]) -> None:
    """But for holds, whose reach ends elsewhere, and needs taken over from what was left out."""
    plan, build = shipped(name), Bench(shipped(name), options).build
    of_plan = set(rows(plan.steps(), plan.gates))
    left_out = {step.id for step in plan.steps() if not wanted(step, options)}
    for row in build.order.rows:
        if row.kind is Link.NEEDS and row not in of_plan:
            passed_on = {one.end for one in of_plan if one.kind is Link.NEEDS and one.start == row.start}
            assert passed_on & left_out, row
        elif row.kind is not Link.HOLD:
            assert row in of_plan
    for row in of_plan:
        if row.kind is not Link.HOLD and not left_out & {row.start, row.end, row.after}:
            assert row in build.order.rows


@pytest.mark.parametrize(("name", "options"), SETS)
def test_on_the_way_through_a_plan_every_wait_has_its_row(name: str, options: Mapping[str, str]) -> None:
    told = Told(shipped(name), dict(options))
    for line in told.build.lines:
        if line.position % 20 == 0:
            _waits_and_rows_agree(told.survey)
        told.work_line(line)
    _waits_and_rows_agree(told.survey)


@given(st.lists(st.tuples(st.integers(0, 99), st.sampled_from(list(State))), max_size=25))
def test_whatever_is_marked_every_wait_has_its_row(marks: list[tuple[int, State]]) -> None:
    bench = Bench(small_plan())
    lines = bench.build.lines
    for where, state in marks:
        try:
            bench.mark(lines[where % len(lines)].number, state, "because", before=lines[-1].number)
        except Refused:
            continue
    _waits_and_rows_agree(bench.survey)


def _waits_and_rows_agree(survey: Survey) -> None:
    for line in survey.build.lines:
        waits = survey.waits(line)
        for waiting in waits:
            _has_its_row(survey.build, line.id, waiting)
        found = {waiting.row for waiting in waits}
        for row in survey.build.order.into(line.id, Link.NEEDS, Link.CONDITION, Link.LATEST, Link.HIDES):
            assert (row in found) or survey.closed(survey.build.by_id[row.start]), row
        for row in survey.build.order.into(line.id, Link.HOLD):
            held = any(waiting.said.kind is WaitKind.HOLD for waiting in waits)
            assert held or survey.closed(survey.build.by_id[row.start]), row


def _has_its_row(build: Build, line: str, waiting: Waiting) -> None:
    row = waiting.row
    if row is None:
        own = waiting.said.kind is WaitKind.INSIDE and not waiting.line
        assert waiting.said.kind in NO_ROW or own, waiting
        return
    assert row in build.order.rows
    if waiting.line and waiting.said.kind is not WaitKind.INSIDE:
        assert build.by_number[waiting.line].id == row.start
    if row.kind is Link.HOLD:
        assert build.by_id[row.start].position < build.by_id[line].position
    else:
        assert row.end == line


def test_a_wait_for_an_earlier_hold_is_told_by_the_row_that_leads_back_to_it(told: Bench) -> None:
    told.work("prime")
    told.mark("count-inside", State.LOOK_AGAIN)
    (wait,) = [one for one in told.survey.waits(told.line("first-crank")) if one.wants is Wants.HOLD]
    assert wait.row == Row("count-inside", "prime", Link.HOLD)
    assert wait.line == told.line("count-inside").number


@pytest.fixture
def told() -> Bench:
    """A build of the small plan."""
    return Bench()
