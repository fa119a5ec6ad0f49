"""The verbs for measuring: readings with their gauge and warmth, what comes of them, lash stop by stop, the cam."""

from typing import Any

import pytest

from app.exchange.measuring_tables import growth_over_steel
from tests.test_cli import Cli, cli  # noqa: F401  the fixture

B = "Four"
AB = ("--by", "AB")
CARD = ("--say", "ivo=15°", "--say", "ivc=50°", "--say", "evo=50°", "--say", "evc=15°")


@pytest.fixture
def garage(cli: Cli) -> Cli:  # noqa: F811
    """A workshop with one build of a shipped plan, solid lifters in it."""
    cli.did("new", "--plan", "four-ohv", "--name", B, "--option", "lifters=flat-solid")
    return cli


def _line(garage: Cli, step: str) -> dict[str, Any]:
    return next(line for line in garage.json("sheet", B) if line["step"] == step)


def _to_be_begun(garage: Cli, step: str) -> dict[str, Any]:
    """A line with all that it waits for taken on in writing, so that it can be written on."""
    line = _line(garage, step)
    waits = next(value for value in garage.json("ready", B) if value["line"] == line["line"])["waits_for"]
    for number in dict.fromkeys(one["line"] for one in waits if one["what"] == "line"):
        garage.did("concede", B, number, "for the test", *AB)
    return line


def test_a_clearance_is_worked_out_from_what_was_read(garage: Cli) -> None:
    line = _to_be_begun(garage, "main-clearance")
    bore, journal = line["places"][:2]
    garage.did("spec", B, line["line"], "0.04 to 0.07 mm", "--source", "Workshop book", *AB)
    garage.did("read", B, line["line"], bore, "54.02 mm", *AB)
    first = garage.json("results", B, line["line"])[0]
    assert (first["value"], first["missing"]) == (None, [journal.split(" ", 1)[1]])
    garage.did("read", B, line["line"], journal, "53.97 mm", *AB)
    found = garage.json("results", B, line["line"])[0]
    assert found["verdict"] == "In"
    assert found["sum"].startswith("54.02 - 53.97 = 0.05 mm")
    assert found["parts"] == {bore.split(" ", 1)[1]: "54.02 mm", journal.split(" ", 1)[1]: "53.97 mm"}
    assert found in garage.json("results", B)
    assert _line(garage, "main-clearance")["results"][0] == {key: found[key] for key in found if key != "line"}
    assert "54.02 - 53.97 = 0.05 mm" in garage.did("results", B, line["line"])


def test_a_gauge_s_doubt_is_kept_with_what_is_read_with_it(garage: Cli) -> None:
    garage.did("tool", B, "BG", "bore gauge", "--doubt", "± 0.004 mm", *AB)
    assert garage.json("tool", B, "list")[0]["doubt"] == "± 0.004 mm"
    line = _to_be_begun(garage, "measure-bores")
    garage.did("read", B, line["line"], line["places"][0], "86.01 mm", "--tool", "BG", "--temperature", "31 °C", *AB)
    reading = _line(garage, "measure-bores")["readings"][0]
    assert (reading["tool"], reading["doubt"], reading["celsius"]) == ("BG", 0.004, 31.0)


def test_as_many_rounds_are_read_as_a_person_reads_and_none_is_left_out(garage: Cli) -> None:
    line = _to_be_begun(garage, "measure-bores")
    place = line["places"][0]
    garage.did("read", B, line["line"], place, "86.01 mm", *AB)
    assert "there is no round 3" in garage.no("read", B, line["line"], place, "86.02 mm", "--round", "3", *AB)
    garage.did("read", B, line["line"], place, "86.02 mm", "--round", "2", *AB)
    garage.did("read", B, line["line"], place, "86.03 mm", "--round", "3", *AB)
    read = [(one["round"], one["value"]) for one in _line(garage, "measure-bores")["readings"]]
    assert read == [(1, "86.01 mm"), (2, "86.02 mm"), (3, "86.03 mm")]


def test_a_doubt_that_is_no_size_is_refused(garage: Cli) -> None:
    assert "write it such as ± 0.01 mm" in garage.no("tool", B, "BG", "gauge", "--doubt", "some", *AB)


def test_the_stops_are_shown_with_the_valves_set_at_each(garage: Cli) -> None:
    """US Army TM 5-3895-383-24 p. 6-60 (read): No 1 firing I 1,2 E 1,3; one turn later I 3,4 E 2,4."""
    assert all(stop["general_cam"] for stop in garage.json("lash", B))
    garage.did("cam", B, *CARD, *AB)
    stops = garage.json("lash", B)
    assert [{one["valve"] for one in stop["valves"]} for stop in stops] == [
        {"in1", "in2", "ex1", "ex3"},
        {"in3", "in4", "ex2", "ex4"},
    ]
    assert all(one["margin_deg"] >= 20 for stop in stops for one in stop["valves"])
    assert garage.json("cam", B)[0]["ivc_deg"] == 50.0
    assert "ivo 15°" in garage.did("cam", B)


def test_a_lash_line_shows_what_was_read_at_each_stop(garage: Cli) -> None:
    line = _to_be_begun(garage, "lash-reread")
    garage.did("read", B, line["line"], "in1", "0.25 mm", *AB)
    read = {one["valve"]: one["read"] for stop in garage.json("lash", B, line["line"]) for one in stop["valves"]}
    assert read["in1"] == ["0.25 mm"]
    assert sum(map(len, read.values())) == 1


def test_what_sets_no_lash_is_refused(garage: Cli) -> None:
    line = _line(garage, "main-clearance")["line"]
    assert "sets no lash" in garage.no("lash", B, line)


def test_a_cam_with_an_event_missing_is_refused(garage: Cli) -> None:
    assert "exhaust closes is missing" in garage.no("cam", B, *CARD[:-2], *AB)
    assert "nothing a card says" in garage.no("cam", B, "--say", "colour=red", *AB, code=2)


def test_what_the_tables_do_not_have_grows_as_steel_does() -> None:
    """Handbook figures (in resources/tables/expansion.toml, each with its source)."""
    assert growth_over_steel("grey cast iron") < 0 < growth_over_steel("aluminium")
    assert growth_over_steel("") == growth_over_steel("unobtainium") == 0.0
