"""A build is a value: its successor shares with it, and nothing that holds one sees it change."""

import threading
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.deeds.past import as_of
from app.assembly.deeds.preview import as_one, preview
from app.assembly.rules import loose_ends
from app.assembly.said.actions import Action, ChooseOption, MarkLine, OpenUp, TakeReading
from app.assembly.said.deeds import Deed, Written
from app.assembly.said.kinds import every_kind
from app.assembly.said.marks import State
from app.assembly.said.refusal import Refused
from app.assembly.standing.changes import changes
from app.assembly.standing.survey import Survey
from app.trade.verdict import Verdict
from tests.plans import EVENING, Bench


@pytest.fixture
def bench() -> Bench:
    return Bench()


def _read(bench: Bench, text: str) -> Deed:
    return decide(bench.build, TakeReading("1.02", "1", text, "AB", bench.now))


def test_a_mark_leaves_the_build_it_was_made_on_as_it_was(bench: Bench) -> None:
    before = bench.build
    stood = before.facts.all()
    bench.work("end-float")
    assert bench.build is not before
    assert before.facts.all() == stood == {}
    assert before.number < bench.build.number


def test_neither_build_nor_facts_can_be_written_to(bench: Bench) -> None:
    bench.work("clean-block")
    with pytest.raises(AttributeError, match="immutable type"):
        bench.build.facts = bench.build.facts  # type: ignore[misc]
    with pytest.raises(AttributeError, match="immutable type"):
        bench.build.facts.lines = {}  # type: ignore[misc]


def test_what_did_not_change_is_shared(bench: Bench) -> None:
    bench.work("end-float")
    before = bench.build
    bench.done("try-pan")
    assert bench.build.facts.readings is before.facts.readings
    assert bench.build.by_id is before.by_id
    assert bench.build.facts.lines is not before.facts.lines


def test_two_successors_of_one_build_keep_their_own_verdicts(bench: Bench) -> None:
    """Each is told its own verdict, however often and in whichever order the two are asked."""
    bench.work("clean-block")
    good = bench.build.after(_read(bench, "80.01 mm"))
    bad = bench.build.after(_read(bench, "81 mm"))
    for _ in range(2):
        for build, verdict in ((good, Verdict.IN), (bad, Verdict.OUT)):
            judged = Survey(build, bench.now).judged(build.by_id["measure-bores"])
            assert [one.verdict for one in judged] == [verdict]


def test_looking_on_another_thread_while_marks_are_made_tells_what_was_there(bench: Bench) -> None:
    bench.work("end-float")
    held, now = bench.build, bench.now
    expected = [(end.rule, end.line.number) for end in loose_ends(Survey(held, now))]
    seen: list[list[tuple[str, str]]] = []
    failed: list[BaseException] = []

    def look() -> None:
        try:
            seen.extend([(end.rule, end.line.number) for end in loose_ends(Survey(held, now))] for _ in range(30))
        except BaseException as error:
            failed.append(error)
            raise

    worker = threading.Thread(target=look)
    worker.start()
    turn = 0
    while worker.is_alive():
        turn += 1
        bench.read("measure-bores", f"80.0{turn % 3} mm", "1")
    worker.join()
    assert failed == []
    assert all(found == expected for found in seen)


def test_each_fact_carries_when_it_was_done_and_its_number_in_the_journal(bench: Bench) -> None:
    bench.work("end-float")
    dated = list(bench.build.facts.dated())
    assert len(dated) == len(bench.build.facts.all())
    assert [one.fact.at for one in dated] == sorted(one.fact.at for one in dated)
    numbered = {number: {entry.subject for entry in deed.entries} for number, deed in enumerate(bench.deeds, 1)}
    assert all(one.subject in numbered[one.number] for one in dated)


def test_every_kind_is_described_once_and_its_facts_are_frozen() -> None:
    kinds = every_kind()
    assert len({kind.fact for kind in kinds.values()}) == len(kinds) >= 24
    for kind in kinds.values():
        assert kind.fact.__struct_config__.frozen, kind.name
        assert {"by", "at"} <= set(kind.fact.__struct_fields__), kind.name


# --- previews


def test_a_preview_decides_each_action_on_what_those_before_it_come_to(bench: Bench) -> None:
    now = bench.now
    actions: list[Action] = [
        MarkLine("1.01", State.DONE, "AB", now),
        MarkLine("1.03", State.DONE, "AB", now),
        TakeReading("1.02", "1", "80.01 mm", "AB", now),
        TakeReading("1.02", "2", "80.01 mm", "AB", now),
        MarkLine("1.02", State.DONE, "AB", now),
    ]
    seen = preview(bench.build, actions)
    assert [action for action, _ in seen.refused] == [actions[1]]
    assert len(seen.deeds) == 4
    assert seen.after.facts.lines["measure-bores"].state is State.DONE
    assert bench.build.facts.all() == {}


def test_a_preview_is_kept_and_undone_as_one_deed(bench: Bench) -> None:
    before = bench.build
    now = bench.now
    actions = [MarkLine("1.01", State.DONE, "AB", now), TakeReading("1.02", "1", "80.01 mm", "AB", now)]
    seen = preview(before, actions)
    deed = as_one(seen.deeds, seen.deeds[-1])
    bench.build = before.after(deed)
    assert bench.build.facts.all() == seen.after.facts.all()
    bench.undo(deed)
    assert bench.build.facts.all() == before.facts.all()


def test_a_preview_says_what_comes_goes_and_opens(bench: Bench) -> None:
    bench.work("end-float")
    opened = preview(bench.build, [OpenUp("cap 2", "AB", bench.now, "torque-mains")]).changes
    assert "torque-mains" in [line.id for line in opened.reopened]
    short = preview(bench.build, [ChooseOption("depth", "short", "AB", bench.now)]).changes
    assert [line.id for line in short.going] == ["measure-bores"]
    assert short.coming == ()
    assert changes(bench.build, bench.build).reopened == ()


MOVES = st.lists(st.tuples(st.integers(0, 12), st.sampled_from(list(State))), max_size=12)


@settings(max_examples=40, deadline=None)
@given(MOVES)
def test_deeds_made_one_undo_to_just_what_stood(moves: list[tuple[int, State]]) -> None:
    bench = Bench()
    bench.work("end-float")
    before = bench.build
    lines = before.lines
    actions = [MarkLine(lines[at % len(lines)].number, state, "AB", bench.now, "so", "2.03") for at, state in moves]
    seen = preview(before, actions)
    if not seen.deeds:
        return
    deed = as_one(seen.deeds, seen.deeds[0])
    bench.build = before.after(deed)
    assert bench.build.facts.all() == seen.after.facts.all()
    bench.undo(deed)
    assert bench.build.facts.all() == before.facts.all()


# --- the past


def _journal(bench: Bench) -> list[Written]:
    return [Written(number, deed, deed.at + timedelta(days=1)) for number, deed in enumerate(bench.deeds, 1)]


def _builds(bench: Bench) -> list[Build]:
    played = Bench().build
    return [played := played.after(deed) for deed in bench.deeds]


def test_a_build_can_be_had_as_it_was_after_any_deed(bench: Bench) -> None:
    bench.work("end-float")
    bench.act(ChooseOption("depth", "short", "AB", bench.now))
    journal = _journal(bench)
    for number, build in enumerate(_builds(bench), 1):
        past = as_of(bench.build, journal, number)
        assert past.facts == build.facts
        assert past.options == build.options
        assert [line.number for line in past.lines] == [line.number for line in build.lines]


def test_a_moment_takes_what_was_written_by_then_whenever_it_was_done(bench: Bench) -> None:
    bench.done("clean-block")
    journal = _journal(bench)
    done, written = bench.deeds[0].at, journal[0].written
    assert as_of(bench.build, journal, done).facts.all() == {}
    assert as_of(bench.build, journal, written).facts.all() == bench.build.facts.all()
    assert as_of(bench.build, journal, EVENING - timedelta(days=1)).number == 0


def test_a_refused_action_changes_nothing(bench: Bench) -> None:
    before = bench.build
    with pytest.raises(Refused):
        bench.done("measure-bores")
    assert bench.build is before
