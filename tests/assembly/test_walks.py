"""Whatever a person does, in whatever order: only refusals, an exact journal, an undo that leaves nothing behind."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.plan.steps import Plan, Trust
from app.assembly.rules import RULES, loose_ends
from app.assembly.said import actions as a
from app.assembly.said.actions import (
    Action,
    Concede,
    EnterFigure,
    MarkLine,
    PassGate,
    RubOutReading,
    SayPart,
    TakeReading,
    TickPlace,
)
from app.assembly.said.deeds import Deed, EventName
from app.assembly.said.facts import Facts
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.parts import Fitted, Holding
from app.assembly.said.refusal import NotReady, Refused
from app.assembly.standing.gates import gate_standings
from app.assembly.standing.gates_ahead import gate_lines
from app.assembly.standing.remembered import must_be_remembered, to_be_asked
from app.assembly.standing.survey import Survey
from app.assembly.standing.waiting import own_waits
from app.words.journal import told
from app.words.say import refusal, say
from tests.cases.story import SHIPPED as NAMES
from tests.cases.story import shipped
from tests.length import at_most
from tests.plans import EVENING, Bench, small_plan
from tests.refused import refused

SMALL = small_plan()
SHIPPED = {name: shipped(name) for name in NAMES}
CONDITIONS = ((), ("cycles:1",), ("date:2026-03-03",), ("distance:100 km", "hours:2 h"))
VALUES = ("0.12 mm", "0.9 mm", "7 thou", "80.01 mm", "350 kPa", "20 kPa", "oil", "nothing", "unknown", "many", "61 N·m")
WALK = settings(max_examples=at_most(150, 30), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
LONG_WALK = settings(WALK, max_examples=at_most(15, 3))

# A walk is drawn as plain numbers, so that a failing one shrinks well; each turns into an action on the build at hand.
Move = tuple[int, int, int, int]
moves = st.lists(
    st.tuples(st.integers(0, 29), st.integers(0, 400), st.integers(0, 40), st.integers(0, 3)), min_size=25, max_size=80
)


def _mark(bench: Bench, where: int, how: int, hours: int) -> Action:
    lines = bench.build.lines
    line = lines[where % len(lines)]
    before = lines[min(len(lines) - 1, line.position + 1 + how % 5)].number
    state = list(State)[how % len(State)]
    return MarkLine(line.number, state, "AB", bench.now + timedelta(hours=hours), "because", before, together=True)


def _done(bench: Bench, where: int, how: int, hours: int) -> Action:
    lines = bench.build.lines
    open_ones = [line for line in lines if bench.survey.open(line)] or list(lines)
    line = open_ones[where % min(3, len(open_ones))]
    return MarkLine(line.number, State.DONE, "AB", bench.now + timedelta(hours=25 * hours), together=True)


def _place(bench: Bench, where: int, how: int) -> tuple[str, str]:
    line = bench.build.lines[where % len(bench.build.lines)]
    return line.number, line.places[how % len(line.places)].id


def _action(bench: Bench, move: Move) -> Action:
    kind, where, how, hours = move
    line, place = _place(bench, where, how)
    gate = bench.build.gates[how % len(bench.build.gates)].id
    parts = [part.id for one in bench.build.lines for part in one.step.parts]
    value = VALUES[how % len(VALUES)]
    conceded = {reason.line: "taken on" for reason in bench.gate(bench.survey.next_gate or gate).reasons}
    makers: list[Callable[[], Action]] = [
        lambda: _mark(bench, where, how, hours),
        lambda: _mark(bench, where, how, hours),
        lambda: _done(bench, where, how, hours),
        lambda: _done(bench, where, how, hours),
        lambda: _done(bench, where, how, hours),
        lambda: TakeReading(line, place, value, "AB", bench.now, 1 + hours % 2),
        lambda: TickPlace(line, place, list(State)[how % 3], "AB", bench.now),
        lambda: EnterFigure(line, value, "manual", "AB", bench.now),
        lambda: SayPart(parts[where % len(parts)], list(Holding)[how % 3], "AB", bench.now),
        lambda: Concede(line, "taken on", "AB", bench.now),
        lambda: RubOutReading(line, place, "AB", bench.now),
        lambda: PassGate(bench.survey.next_gate or gate, "AB", bench.now, conceded if hours else {}),
        *_further(bench, move, line, place),
    ]
    return makers[kind % len(makers)]()


def _further(bench: Bench, move: Move, line: str, place: str) -> list[Callable[[], Action]]:
    """What the plan does not foresee; much of it is refused, all of it in words."""
    _, where, how, hours = move
    build, now, key = bench.build, bench.now, str(1 + how % 3)
    events, options = [*build.happenings, "flood"], [*build.plan_options]
    groups, fasteners = [*build.groups, ""], [*build.fasteners, ""]
    parts = [part.id for one in build.lines for part in one.step.parts]
    option, group = options[where % len(options)], groups[where % len(groups)]
    measured = [one for one in build.lines if one.reads and one.step.spec] or list(build.lines)
    asked = measured[where % 4 * 5 % len(measured)]
    value = f"0.{how} {(asked.step.spec and asked.step.spec.unit) or 'mm'}"
    at = asked.places[how % len(asked.places)].id
    hole = [one.id for one in build.places_of(group)] or [place]
    return [
        lambda: a.Happen(events[where % len(events)], "AB", now),
        lambda: a.OpenUp("a plug", "AB", now, line if hours else "", place if hours > 1 else "", disturbs=(line,)),
        lambda: a.PutIn("one more look", line, "AB", now, disturbs=(build.lines[-1 - how % 3].number,)),
        lambda: a.Find("a noise", "AB", now, line, symptom=hours == 0),
        lambda: a.DecideFinding(f"f{key}", list(Disposition)[how % 7], "so", "AB", now, "oil", CONDITIONS[hours]),
        lambda: a.PutTemporary("rag", "chest", "AB", now, 1 + how % 2, hours == 1, hours == 2),
        lambda: a.TakeOut(f"t{key}", "AB", now, 1 + hours % 2),
        lambda: a.DescribeHole(group, hole[how % len(hole)], "AB", now, opens_to="oil"),
        lambda: a.FitPart(parts[where % len(parts)], list(Fitted)[how % 3], "AB", now),
        lambda: a.CountTightenings(fasteners[where % len(fasteners)], "", how % 4, "AB", now),
        lambda: a.LookSecond(
            line, "CD" if hours else "AB", now, {one.id: value for one in build.by_number[line].places}
        ),
        lambda: a.LogRun("AB", now, float(hours), 50.0 * how, hours),
        lambda: a.OfferFigure(asked.id, value, "book", list(Trust)[how % 7], "AB", now),
        lambda: a.ChooseFigure(asked.id, f"c{key}", "so", "AB", now),
        lambda: a.KeepTool(f"W{key}", "Wrench", "AB", now, "10 to 100 N·m", checked=now if hours else None),
        lambda: TakeReading(asked.id, at, value, "AB", now, tool=f"W{key}"),
        lambda: a.ToolWrong(f"W{key}", "AB", now),
        lambda: a.ChooseOption(option.id, option.choices[how % len(option.choices)].id, "AB", now),
        lambda: a.Leave("later", "AB", now),
        lambda: a.Resume("AB", now, doubted=(line,) if hours else ()),
    ]


def _walk(plan: Plan, steps: list[Move], start: str) -> Bench:
    """Work a while in good order, then do whatever the moves say; anything but a refusal is a fault."""
    bench = Bench(plan)
    said: list[str] = []
    if start:
        bench.work(start)
    for move in steps:
        try:
            bench.act(_action(bench, move))
        except Refused as error:
            said.append(refusal(error))
    assert all(sentence.strip() and "\n" not in sentence for sentence in said)
    return bench


def _check(bench: Bench) -> None:
    _replaying_the_journal_tells_the_facts(bench)
    _all_ends_can_be_told(bench.build, bench)
    _no_rule_hides_what_another_finds(bench)
    _a_passed_gate_was_closed_or_conceded(bench)
    _undoing_everything_leaves_nothing(bench)


def _replaying_the_journal_tells_the_facts(bench: Bench) -> None:
    played = Facts()
    for deed in bench.deeds:
        for entry in deed.entries:
            assert played.get(entry.subject) == entry.old
            played = played.after((entry,), 0)
    assert played.all() == bench.build.facts.all()


def _all_ends_can_be_told(build: Build, bench: Bench) -> None:
    survey = bench.survey
    ends = loose_ends(survey)
    for end in ends:
        assert say(end.why)
        assert say(end.clears)
        assert end.gate == "" or build.gate(end.gate)
    gate_standings(survey, ends)
    for line in build.lines:
        survey.waits(line)
        own_waits(survey.build, line)
    assert all(must_be_remembered(survey))
    assert set(to_be_asked(survey)) <= set(build.lines)
    assert len({line.number for line in build.lines}) == len(build.lines)
    for deed in bench.deeds:
        assert told(build, deed)


def _no_rule_hides_what_another_finds(bench: Bench) -> None:
    survey = bench.survey
    alone = [end for rule in RULES for end in loose_ends(survey, (rule,))]
    assert sorted((end.rule, end.line.number, say(end.why)) for end in alone) == sorted(
        (end.rule, end.line.number, say(end.why)) for end in loose_ends(survey)
    )


def _a_passed_gate_was_closed_or_conceded(bench: Bench) -> None:
    """At the moment of passing: play the deeds again and look just before each passage."""
    again = Bench(SHIPPED.get(bench.build.plan_id, SMALL))
    for deed in bench.deeds:
        passed = [entry.subject.key for entry in deed.entries if entry.event is EventName.PASS]
        for gate in passed:
            conceded = {entry.subject.key for entry in deed.entries if entry.event is EventName.CONCESSION}
            survey = Survey(again.build, deed.at)
            for line in gate_lines(survey, gate):
                assert survey.closed(line) or line.id in conceded
        again.build = again.build.after(deed)


def _undoing_everything_leaves_nothing(bench: Bench) -> None:
    stood = bench.build.facts.all()
    for deed in reversed(bench.deeds):
        bench.undo(deed)
    assert bench.build.facts.all() == {}
    for deed in bench.deeds:
        bench.redo(deed)
    assert bench.build.facts.all() == stood


@WALK
@given(steps=moves)
def test_any_walk_over_a_small_build(steps: list[Move]) -> None:
    _check(_walk(SMALL, steps, ""))


@WALK
@given(steps=moves, start=st.sampled_from(["probe-holes", "end-float", "count-inside", "prime", "read-lash"]))
def test_any_walk_from_somewhere_in_a_small_build(steps: list[Move], start: str) -> None:
    _check(_walk(SMALL, steps, start))


@LONG_WALK
@given(steps=moves, ahead=st.integers(0, 150))
@pytest.mark.parametrize("plan", sorted(SHIPPED))
def test_any_walk_over_a_shipped_plan(plan: str, steps: list[Move], ahead: int) -> None:
    lines = Bench(SHIPPED[plan]).build.lines
    _check(_walk(SHIPPED[plan], steps, lines[min(ahead, len(lines) - 1)].id if ahead else ""))


# --- undo, seen closely


def test_undo_puts_back_exactly_what_stood_along_a_chain() -> None:
    bench = Bench()
    bench.work("end-float")
    stood = bench.build.facts.all()
    deed = bench.mark("torque-mains", State.LOOK_AGAIN, "cap 2 was off")
    assert {entry.subject.key for entry in deed.entries} == {"torque-mains", "end-float"}
    bench.undo()
    assert bench.build.facts.all() == stood


def test_undo_of_a_passage_shuts_the_gate_and_takes_its_concessions() -> None:
    bench = Bench()
    bench.work("torque-mains")
    bench.done("try-pan", "pan-off", "rag-out", "count-inside")
    bench.pass_gate("A", {"1.08": "felt by hand"})
    bench.undo()
    assert bench.held_by("close-bottom") == ["end-float"]
    assert "end-float" not in bench.build.facts.concessions
    with pytest.raises(NotReady):
        bench.pass_gate("A")


def test_a_deed_written_over_cannot_be_taken_back() -> None:
    bench = Bench()
    first = bench.mark("clean-block", State.STARTED)
    bench.done("clean-block")
    with refused(r"“1\.01 Started” cannot be changed back: something has been written over it"):
        bench.undo(first)


def test_taking_a_mark_away_and_undoing_it_come_to_the_same() -> None:
    bench = Bench()
    bench.done("clean-block")
    bench.undo()
    undone = bench.build.facts.all()
    bench.done("clean-block")
    bench.mark("clean-block", State.TO_DO)
    assert bench.build.facts.all() == undone == {}


def test_deciding_changes_nothing_by_itself() -> None:
    bench = Bench()
    deed: Deed = decide(bench.build, MarkLine("1.01", State.DONE, "AB", EVENING))
    assert deed.entries
    assert bench.build.facts.all() == {}
