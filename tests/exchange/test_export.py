"""A build in plain values: the keys scripts rely on, and what stands behind them."""

import json
from datetime import datetime

import pytest

from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.assembly.said.phrase import phrase
from app.assembly.standing.gates import gate_standings
from app.assembly.standing.waits import NotYet, Waiting, WaitKind
from app.exchange import export
from app.exchange.phrases import phrase_values
from app.words.journal import told
from app.words.telling import Values
from tests.plans import EVENING, Bench

SHEET = "line step stage title state spec source places readings hold gate needs option marks"
ENDS = "rule line gate places since why harm clears"
GATES = "gate title ready passed reasons"
READY = "line ready waits_for"
WAITS = "what kind args line until relation text"
JOURNAL = "at by event line old new why kind args"


@pytest.fixture
def bench() -> Bench:
    """A build in the middle of things: one of everything that can be told."""
    bench = Bench()
    bench.work("measure-bores")
    for place, below in (("1", "oil"), ("2", "nothing"), ("3", "unknown")):
        bench.read("probe-holes", below, place)
    bench.done("probe-holes")
    bench.tick("seal-studs", "1")
    bench.later("rag-in", before="try-pan", why="no rags")
    bench.read("end-float", "0.40 mm")
    bench.concede("end-float", "used as it is")
    bench.part("oil", Holding.ON_ORDER)
    return bench


def _sheet(bench: Bench) -> dict[str, Values]:
    return {value["step"]: value for value in export.sheet_values(bench.survey, bench.build.lines)}


def _has(values: list[Values], keys: str) -> None:
    assert values
    for value in values:
        assert set(keys.split()) <= set(value)
    assert json.loads(json.dumps(values)) == values, "plain values only"


def test_every_list_has_the_keys_scripts_rely_on(bench: Bench) -> None:
    ends = bench.ends()
    _has(list(_sheet(bench).values()), SHEET)
    _has(export.loose_end_values(ends), ENDS)
    _has(export.gate_values(gate_standings(bench.survey, ends)), GATES)
    _has(export.ready_values(bench.survey), READY)
    _has([one for value in export.ready_values(bench.survey) for one in value["waits_for"]], WAITS)
    _has(export.journal_values([one for deed in bench.deeds for one in told(bench.build, deed)]), JOURNAL)


def test_the_journal_gives_the_programs_reasons_as_kind_and_arguments_too() -> None:
    bench = Bench()
    bench.work("end-float")
    deed = bench.mark("torque-mains", State.LOOK_AGAIN)
    (moved,) = (one for one in export.journal_values(told(bench.build, deed)) if one["kind"])
    assert moved["kind"] == "was-opened"
    assert moved["args"]["line"] == "1.07"
    assert moved["args"]["state"] == {"kind": "look-again", "args": {}}
    assert moved["why"] == "1.07 Torque the mains: was opened (Look again)"


def test_a_line_says_its_figure_and_where_it_is_from(bench: Bench) -> None:
    sheet = _sheet(bench)
    bores = sheet["measure-bores"]
    assert (bores["line"], bores["stage"], bores["spec"], bores["source"]) == (
        "1.02",
        1,
        "80.00 to 80.03 mm",
        "General workshop practice",
    )
    assert sheet["torque-mains"]["spec"] == "", "a figure to be entered"
    assert sheet["torque-mains"]["source"] is None
    assert sheet["clean-block"]["spec"] is None, "no figure is wanted"
    assert sheet["count-inside"]["spec"] == "tray empty"


def test_a_line_says_its_places_readings_and_marks(bench: Bench) -> None:
    sheet = _sheet(bench)
    assert sheet["seal-studs"]["places"] == ["1", "3"]
    (float_,) = sheet["end-float"]["readings"]
    assert (float_["place"], float_["round"], float_["value"], float_["verdict"]) == ("engine", 1, "0.40 mm", "Out")
    own, tick = sheet["seal-studs"]["marks"]
    assert (own["place"], own["state"], tick["place"], tick["state"]) == (None, "started", "1", "done")
    (put_off,) = sheet["rag-in"]["marks"]
    assert (put_off["state"], put_off["before"], put_off["why"]) == ("later", "1.09", "no rags")
    assert sheet["end-float"]["conceded"] == ["used as it is"]


def test_a_reading_from_before_a_disturbance_says_so() -> None:
    bench = Bench()
    bench.work("end-float")
    assert [one["disturbed_since"] for one in _sheet(bench)["end-float"]["readings"]] == [False]
    bench.mark("torque-mains", State.LOOK_AGAIN, "cap 2 was off")
    assert [one["disturbed_since"] for one in _sheet(bench)["end-float"]["readings"]] == [True]


def test_a_line_says_what_it_needs_by_number_and_what_it_holds(bench: Bench) -> None:
    sheet = _sheet(bench)
    assert sheet["measure-bores"]["needs"] == ["1.01"]
    assert (sheet["count-inside"]["hold"], sheet["count-inside"]["gate"]) == (True, "close-bottom")
    assert (sheet["fit-pan"]["act"], sheet["fit-pan"]["gate"]) == ("close-bottom", None)


def test_a_gate_is_ready_only_while_it_is_shut_and_nothing_keeps_it_so() -> None:
    bench = Bench()
    first, second = export.gate_values(gate_standings(bench.survey, bench.ends()))
    assert (first["ready"], first["passed"]) == (False, None)
    assert [reason["line"] for reason in first["reasons"]] == ["1.04", "1.08", "1.11", "1.12"]
    bench.work("count-inside")
    first, second = export.gate_values(gate_standings(bench.survey, bench.ends()))
    assert (first["ready"], first["reasons"]) == (True, [])
    bench.pass_gate("A")
    first, second = export.gate_values(gate_standings(bench.survey, bench.ends()))
    assert first["ready"] is False
    assert datetime.fromisoformat(first["passed"]).tzinfo is not None
    assert second["ready"] is False


def test_what_is_ready_lists_only_open_lines_and_says_what_each_waits_for(bench: Bench) -> None:
    ready = {value["step"]: value for value in export.ready_values(bench.survey)}
    assert "clean-block" not in ready
    assert ready["seal-studs"]["ready"]
    assert [one["what"] for one in ready["fit-pan"]["waits_for"]] == ["gate", "hold"]
    assert {one["what"] for one in ready["fill-oil"]["waits_for"]} == {"line", "hold", "part"}
    assert [one["what"] for one in ready["torque-mains"]["waits_for"]] == ["figure"]
    assert not ready["rag-in"]["ready"]
    assert ready["rag-in"]["waits_for"][0]["text"] == "put off to before 1.09: no rags"


def test_a_cure_says_when_it_ends() -> None:
    bench = Bench()
    bench.work("fit-pan")
    ready = {value["step"]: value for value in export.ready_values(bench.survey)}
    (cure,) = ready["fill-oil"]["waits_for"]
    assert (cure["what"], cure["line"]) == ("cure", "2.01")
    begun = bench.build.facts.lines["fit-pan"].at
    assert (datetime.fromisoformat(cure["until"]) - begun).total_seconds() == 24 * 3600


def test_a_wait_is_told_as_data_beside_its_sentence(bench: Bench) -> None:
    ready = {value["step"]: value["waits_for"] for value in export.ready_values(bench.survey)}
    line = next(one for one in ready["fill-oil"] if one["what"] == "line")
    assert (line["kind"], line["relation"]) == ("line", "needs")
    assert line["text"] == f"{line['args']['number']} {line['args']['do']}" == "2.01 Fit the pan with sealant"
    gate, hold = ready["fit-pan"]
    assert (gate["kind"], gate["relation"], gate["args"]) == ("gate", "act", {"title": "Close the bottom"})
    assert (hold["kind"], hold["relation"]) == ("hold", "hold")
    (figure,) = ready["torque-mains"]
    assert (figure["kind"], figure["relation"], figure["args"]) == ("figure", None, {})


def test_the_arguments_of_a_phrase_are_plain_values_with_times_in_iso() -> None:
    cure = Waiting(phrase(WaitKind.CURE, number="1.01", because="it cures"), "1.01", EVENING)
    values = phrase_values(phrase(NotYet.BEGUN, number="1.02", waits=(cure.whole,), more=0))
    assert json.loads(json.dumps(values)) == values
    (until,) = values["args"]["waits"]
    assert until["kind"] == "until"
    assert datetime.fromisoformat(until["args"]["until"]) == EVENING
    assert until["args"]["what"] == {"kind": "cure", "args": {"number": "1.01", "because": "it cures"}}


def test_times_carry_their_zone(bench: Bench) -> None:
    bench.mark("clean-block", State.LOOK_AGAIN)
    for value in export.loose_end_values(bench.ends()):
        assert datetime.fromisoformat(value["since"]).tzinfo is not None
