"""The verbs for what the plan does not foresee: what each does, lists, refuses, and moves."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.exchange.plan_file import parse_plan
from tests.plans import SMALL
from tests.test_cli import Cli, cli  # noqa: F401  the fixture
from tests.workshops import JUST_NOW, put_workshop

B = "Hill climber"
AB = ("--by", "AB")

HEAD_END = '\n[[stages]]\nid = "inside"'
EXTRAS = """
[[fasteners]]
id = "main-bolts"
title = "Main bolts"
places = "mains"
limit = 2
policy = "new after two"

[[happenings]]
id = "engine-tipped"
title = "The engine was tipped over"
disturbs = ["end-float"]
"""


def _plan_text() -> str:
    """The small plan with bolts that are counted, holes, an event, a second look, turning and a follow-up."""
    changes = {
        HEAD_END: EXTRAS + HEAD_END,
        'each = "Stud"\ncount = 3': 'each = "Stud"\ncount = 3\nthread = "M10"\nclosed_with = "stud"\n'
        'finding = "probe-holes"\nclosing = "run-studs-in"\nhidden_by = "fit-pan"',
        'disturbs = ["end-float"]\nspec': 'tightens = "main-bolts"\ndisturbs = ["end-float"]\nspec',
        'do = "Write the crank end float"': 'do = "Write the crank end float"\nsecond_look = true\nturns = "hand"',
        'do = "Run each stud in"': 'do = "Run each stud in"\nfixed = "studs"',
        'act = "crank"': 'act = "crank"\nrole = "first-start"',
        "any_time = true": 'any_time = true\nfollow_up = { after = "500 miles" }',
    }
    text = SMALL
    for old, new in changes.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


@pytest.fixture
def garage(cli: Cli) -> Cli:  # noqa: F811
    """A workshop with one small build."""
    put_workshop(Path(cli.folder), plan=_plan_text(), build=B, by="", made=JUST_NOW)
    return cli


def _line(garage: Cli, step: str) -> dict[str, Any]:
    return next(line for line in garage.json("sheet", B) if line["step"] == step)


def _ends(garage: Cli) -> set[tuple[str, str]]:
    return {(end["rule"], end["step"]) for end in garage.json("loose-ends", B)}


def _torqued(garage: Cli) -> None:
    """Mains torqued and end float read: something for events and openings to undo."""
    garage.did("mark", B, "1.01", "done", *AB)
    garage.did("spec", B, "1.07", "61 N·m", "--source", "Manual")
    garage.did("mark", B, "1.07", "done", *AB)
    garage.did("read", B, "1.08", "-", "0.12 mm", *AB)
    garage.did("mark", B, "1.08", "done", *AB)


# --- found and decided


def test_a_finding_is_written_decided_and_comes_back_when_its_condition_is_met(garage: Cli) -> None:
    _torqued(garage)
    said = garage.did("found", B, "1.08", "thrust face scored", "--measured", "0.02 mm", *AB)
    assert said == "f1  1.08 found: thrust face scored (f1)\n"
    assert ("finding-open", "end-float") in _ends(garage)
    garage.did(
        "decide", B, "f1", "use-as-is", "--why", "polished", "--watch", "float", "--reopens", "distance:500 miles", *AB
    )
    (one,) = garage.json("found", B)
    assert (one["finding"], one["line"], one["measured"], one["symptom"]) == ("f1", "1.08", "0.02 mm", False)
    assert (one["decision"], one["decided_by"], one["why"]) == ("use-as-is", "AB", "polished")
    assert (one["watch"], one["reopens"]) == ("float", ["distance:500 miles"])
    assert "use-as-is by AB: polished" in garage.did("found", B)
    assert {rule for rule, _ in _ends(garage)} & {"finding-open", "decision-reopened"} == set()
    garage.did("ran", B, "--distance", "510 miles", *AB)
    assert ("decision-reopened", "end-float") in _ends(garage)


def test_a_symptom_holds_what_comes_after_until_it_is_explained(garage: Cli) -> None:
    garage.did("found", B, "1.01", "the wrench felt wrong", "--symptom", *AB)
    assert "the symptom f1" in garage.no("mark", B, "1.09", "done", *AB)
    assert "is a symptom" in garage.no("decide", B, "f1", "use-as-is", "--why", "it will do", *AB)
    garage.did("decide", B, "f1", "explained", "--why", "the socket had split", *AB)
    garage.did("mark", B, "1.09", "done", *AB)


def test_undo_takes_a_finding_back(garage: Cli) -> None:
    garage.did("found", B, "1.01", "a crack", *AB)
    assert "found: a crack" in garage.did("undo", B, *AB)
    assert garage.json("found", B) == []


# --- opened, put in, befallen


def test_what_is_opened_is_seen_before_it_is_done_and_makes_a_line_to_close_it(garage: Cli) -> None:
    _torqued(garage)
    words = ("sump plug", "--after", "1.04", "--place", "rear", "--why", "to drain", "--disturbs", "1.08")
    (would,) = garage.json("opened", B, *words, "--preview")
    assert [(one["line"], one["why"]) for one in would["look_again"]] == [("1.08", "sump plug was opened.")]
    assert "Would be: 1.04a Close again: sump plug\n  1.08 Look again: " in garage.did("opened", B, *words, "--preview")
    assert garage.json("opened", B) == []
    assert _line(garage, "end-float")["state"] == "done"
    assert garage.did("opened", B, *words, *AB) == (
        "1.04a Close again: sump plug\n  1.08 Look again: sump plug was opened.\n"
    )
    (one,) = garage.json("opened", B)
    assert (one["line"], one["place"], one["why"], one["disturbs"]) == ("1.04a", "rear", "to drain", ["1.08"])
    extra = next(line for line in garage.json("sheet", B) if line["line"] == "1.04a")
    assert (extra["extra"], extra["title"], extra["state"]) == ("opened", "Close again: sump plug", "to-do")
    assert ("opened-not-closed", extra["step"]) in _ends(garage)
    garage.did("mark", B, "1.04a", "done", *AB)
    assert ("opened-not-closed", extra["step"]) not in _ends(garage)
    assert "1.04a  done" in garage.did("opened", B)


def test_a_line_of_the_plan_opened_says_what_else_is_no_longer_known(garage: Cli) -> None:
    _torqued(garage)
    preview = garage.did("opened", B, "cap 2 slackened", "--line", "1.07", "--place", "2", "--preview")
    assert [row.split()[0] for row in preview.splitlines()[1:]] == ["1.07", "1.08"]
    (moved,) = garage.json("opened", B, "cap 2 slackened", "--line", "1.07", "--place", "2", *AB)
    assert [one["line"] for one in moved["look_again"]] == ["1.07", "1.08"]
    assert _line(garage, "torque-mains")["state"] == "look-again"
    assert "nothing of it to open" in garage.no("opened", B, "x", "--line", "1.09", *AB)


def test_a_preview_that_moves_nothing_says_so(garage: Cli) -> None:
    assert "Nothing becomes Look again." in garage.did("opened", B, "a plug", "--preview")


def test_a_forgotten_step_stands_where_it_was_forgotten(garage: Cli) -> None:
    assert (
        garage.did("put-in", B, "1.07", "Stamp the caps", "--why", "they look alike", *AB) == "1.07a Stamp the caps\n"
    )
    (value,) = garage.json("put-in", B, "1.07", "Mark the rods", *AB)
    assert (value["line"], value["key"]) == ("1.07b", "x2")
    numbers = [line["line"] for line in garage.json("sheet", B)]
    assert numbers[numbers.index("1.07") :][:4] == ["1.07", "1.07a", "1.07b", "1.08"]
    assert _line(garage, "x1")["extra"] == "put in"


def test_an_event_is_listed_looked_at_and_written(garage: Cli) -> None:
    _torqued(garage)
    (known,) = garage.json("happened", B)
    assert (known["event"], known["disturbs"], known["happened"]) == ("engine-tipped", ["1.08"], [])
    assert "1.08 Look again" in garage.did("happened", B, "engine-tipped", "--preview")
    assert garage.json("happened", B)[0]["happened"] == []
    assert "1.08 Look again" in garage.did("happened", B, "engine-tipped", "--note", "off the stand", *AB)
    assert garage.json("happened", B)[0]["happened"][0]["note"] == "off the stand"
    assert "engine-tipped  The engine was tipped over: 1.08  happened " in garage.did("happened", B)


# --- parts, temporary things, holes, bolts


def test_a_part_tried_on_is_on_the_list_until_it_is_off_or_final(garage: Cli) -> None:
    assert {one["part"]: one["fit"] for one in garage.json("fit", B)} == {"oil": None, "pan": None}
    garage.did("fit", B, "pan", "trial", "--why", "to see the gap", *AB)
    assert ("trial-only", "fit-pan") in _ends(garage)
    garage.did("fit", B, "pan", "off", *AB)
    assert not any(rule == "trial-only" for rule, _ in _ends(garage))
    pan = next(one for one in garage.json("fit", B) if one["part"] == "pan")
    assert (pan["fit"], pan["by"], pan["name"]) == ("off", "AB", "Oil pan")
    assert "pan  Oil pan  off" in garage.did("fit", B)


def test_what_goes_in_comes_out_by_count_and_what_is_lost_stays_open(garage: Cli) -> None:
    garage.did("mark", B, "1.06", "done", *AB)
    assert garage.did("temporary", B, "in", "Tape", "--where", "on the ports", "--count", 4, *AB) == (
        "t1 in: 4 × Tape, on the ports\n"
    )
    garage.did("temporary", B, "lost", "10 mm socket", "--where", "near the valley", *AB)
    listed = {one["item"]: one for one in garage.json("temporary", B, "list")}
    assert set(listed) == {"bore-rag", "t1", "t2"}
    assert (listed["bore-rag"]["line"], listed["bore-rag"]["out_line"], listed["bore-rag"]["count"]) == (
        "1.06",
        "1.11",
        2,
    )
    assert (listed["t1"]["state"], listed["t2"]["state"]) == ("in", "lost")
    assert "4 × Tape, on the ports to come out" in garage.no("mark", B, "1.08", "started", *AB)
    assert "find the rest" in garage.no("temporary", B, "out", "t1", "--count", 3, *AB)
    garage.did("temporary", B, "out", "t1", "--count", 4, "--by", "CD")
    garage.did("temporary", B, "out", "t2", *AB)
    listed = {one["item"]: one for one in garage.json("temporary", B)}
    assert (listed["t1"]["state"], listed["t1"]["out_by"], listed["t2"]["state"]) == ("out", "CD", "out")
    assert "t1  out   4 × Tape, on the ports" in garage.did("temporary", B)


def test_the_map_of_holes_and_what_is_said_of_one(garage: Cli) -> None:
    holes = garage.json("hole", B)
    assert [set(one) for one in holes] == [
        {
            "group",
            "place",
            "thread",
            "depth",
            "opens_to",
            "closed_with",
            "length",
            "compound",
            "refits",
            "closed",
            "hidden_by",
        }
    ] * 3
    assert [(one["place"], one["opens_to"], one["closed"]) for one in holes] == [
        ("1", "unknown", False),
        ("2", "unknown", False),
        ("3", "unknown", False),
    ]
    garage.did("hole", B, "studs", "2", "--opens-to", "oil", "--depth", "22 mm", *AB)
    garage.did("hole", B, "studs", "2", "--compound", "sealant", "--refits", "CD", *AB)
    (one,) = garage.json("hole", B, "studs", "2")
    assert (one["thread"], one["opens_to"], one["depth"], one["compound"], one["refits"], one["hidden_by"]) == (
        "M10",
        "oil",
        "22 mm",
        "sealant",
        "CD",
        "2.01",
    )
    assert "studs 2  open, opens to oil, hidden by 2.01  M10, 22 mm, stud, sealant" in garage.did("hole", B, "studs")
    assert "it has 1, 2, 3" in garage.no("hole", B, "studs", "9")
    assert "There are no holes “ports”; there are studs." in garage.no("hole", B, "ports")


def test_tightenings_are_counted_trials_and_the_shop_s_included(garage: Cli) -> None:
    garage.did("count", B, "main-bolts", 2, "--why", "the machine shop", *AB)
    assert {one["left"] for one in garage.json("count", B, "list")} == {0}
    _torqued(garage)
    counts = garage.json("count", B)
    assert [(one["place"], one["times"], one["limit"], one["left"]) for one in counts] == [
        (place, 3, 2, -1) for place in "123"
    ]
    assert ("count-reached", "torque-mains") in _ends(garage)
    garage.did("count", B, "main-bolts", 0, "--place", "2", *AB)
    assert "main-bolts 2  0 of 2  new after two" in garage.did("count", B)


# --- second looks, running


def test_a_second_look_is_another_person_s_and_reads_anew(garage: Cli) -> None:
    _torqued(garage)
    assert _line(garage, "end-float")["second_look"] is True
    assert _line(garage, "end-float")["seen"] is None
    (wanted,) = garage.json("second-look", B)
    assert (wanted["line"], wanted["signed_by"], wanted["seen"]) == ("1.08", "AB", None)
    assert "another person's" in garage.no("second-look", B, "1.08", "--value", "engine=0.12 mm", *AB)
    assert "has no place “main 9”" in garage.no("second-look", B, "1.08", "--value", "main 9=1 mm", "--by", "CD")
    garage.did("second-look", B, "1.08", "--value", "-=0.13 mm", "--by", "CD")
    seen = _line(garage, "end-float")["seen"]
    assert (seen["by"], seen["values"]) == ("CD", ["engine=0.13 mm"])
    assert "seen by CD" in garage.did("second-look", B)
    assert ("second-look-missing", "end-float") not in _ends(garage)


def test_a_second_look_that_is_out_opens_the_line(garage: Cli) -> None:
    _torqued(garage)
    said = garage.did("second-look", B, "1.08", "--value", "Engine=0.90 mm", "--by", "CD")
    assert said.startswith("1.08 second look\n  1.08 Look again: second look: Engine 0.90 mm out of limits")


def test_running_adds_up_and_says_what_is_due(garage: Cli) -> None:
    for gate in ("close-bottom", "crank"):
        reasons = next(one for one in garage.json("gates", B) if one["gate"] == gate)["reasons"]
        words = [word for reason in reasons for word in ("--concede", f"{reason['line']}=for the test")]
        garage.did("pass", B, gate, *words, *AB)
    garage.did("mark", B, "first-crank", "done", *AB)
    garage.did("ran", B, "--hours", "90 min", "--heat-cycles", 2, *AB)
    assert garage.json("ran", B, "list")[0]["due"] == []
    garage.did("ran", B, "--distance", "500 miles", "--hours", "1.5", "--note", "to the coast", *AB)
    (sums,) = garage.json("ran", B)
    # 1 mile is 1.609344 km exactly (international yard and pound agreement, 1959; from memory).
    assert sums["distance_km"] == pytest.approx(500 * 1.609344)
    assert (sums["hours"], sums["heat_cycles"], len(sums["runs"])) == (pytest.approx(3.0), 2, 2)
    assert [one["step"] for one in sums["due"]] == ["adjust-idle"]
    assert "3 h, 804.672 km, 2 heat cycles" in garage.did("ran", B)


# --- figures and tools


def test_figures_beside_each_other_until_one_is_chosen(garage: Cli) -> None:
    garage.did(
        "source",
        B,
        "1.07",
        "61 N·m",
        "--source",
        "Manual",
        "--trust",
        "maker",
        "--edition",
        "4th",
        "--dated",
        "1998",
        *AB,
    )
    (value,) = garage.json("source", B, "1.07", "75 N·m", "--source", "A friend", "--trust", "advice", *AB)
    assert value["key"] == "c2"
    assert ("figures-disagree", "torque-mains") in _ends(garage)
    garage.did("source", B, "1.07", "--choose", "c1", "--why", "printed", *AB)
    first, second = garage.json("source", B, "1.07")
    assert (first["figure"], first["trust"], first["edition"], first["chosen"]) == (
        "c1",
        "engine maker's manual",
        "4th",
        True,
    )
    assert second["chosen"] is False
    assert len(garage.json("source", B)) == 2
    assert garage.json("source", B, "1.08") == []
    assert "1.07  c1  61 N·m  Manual, 4th, 1998 (engine maker's manual)  chosen" in garage.did("source", B, "1.07")
    assert _line(garage, "torque-mains")["source"] == "Manual, 4th, 1998"
    assert ("figures-disagree", "torque-mains") not in _ends(garage)


def test_a_tool_found_wrong_reopens_what_it_measured(garage: Cli) -> None:
    _torqued(garage)
    garage.did("tool", B, "W1", "Feeler set", "--range", "0.05 to 1 mm", "--checked", "2026-01-10", *AB)
    garage.did("read", B, "1.08", "-", "0.12 mm", "--tool", "W1", *AB)
    assert _line(garage, "end-float")["readings"][0]["tool"] == "W1"
    assert "1.08 Look again: Feeler set was found wrong" in garage.did("tool", B, "W1", "--wrong", "--preview")
    assert garage.json("tool", B)[0]["wrong_at"] is None
    garage.did("tool", B, "W1", "--wrong", "--note", "one leaf bent", *AB)
    assert _line(garage, "end-float")["state"] == "look-again"
    garage.did("tool", B, "W1", "--graduation", "0.05 mm", *AB)
    (one,) = garage.json("tool", B, "list")
    assert (one["tool"], one["name"], one["range"], one["graduation"]) == (
        "W1",
        "Feeler set",
        "0.05 to 1 mm",
        "0.05 mm",
    )
    assert one["wrong_at"] is not None
    assert one["note"] == "one leaf bent"
    assert "found wrong" in garage.did("tool", B)


# --- options, leaving, coming back


def test_an_option_says_what_comes_goes_and_reopens_before_and_after(garage: Cli) -> None:
    listed, *_ = garage.json("option", B)
    assert (listed["option"], listed["choice"], list(listed["choices"])) == ("depth", "full", ["full", "short"])
    (would,) = garage.json("option", B, "depth", "short", "--preview")
    assert ([one["line"] for one in would["goes"]], would["comes"]) == (["1.02"], [])
    assert garage.json("option", B)[0]["choice"] == "full"
    assert garage.did("option", B, "depth", "short", "--why", "no bore gauge", *AB) == (
        "option depth: short\n  1.02 goes: Measure each bore\n"
    )
    assert "1.02" not in {line["line"] for line in garage.json("sheet", B)}
    listed, *_ = garage.json("option", B)
    assert (listed["choice"], listed["made_with"], listed["why"]) == ("short", "full", "no bore gauge")
    assert "1.02 comes: Measure each bore" in garage.did("option", B, "depth", "full", *AB)
    assert "depth=full  How much do you want to measure? (full, short)" in garage.did("option", B)


def test_an_engine_laid_out_otherwise_says_which_lines_get_other_places(garage: Cli) -> None:
    _torqued(garage)
    (would,) = garage.json("option", B, "arrangement:mains", 5, "--preview")
    assert [one["line"] for one in would["other_places"]] == ["1.07"]
    said = garage.did("option", B, "arrangement:mains", 5, "--why", "another block", *AB)
    assert said.startswith("mains: 5\n  1.07 gets other places: Torque the mains\n  1.07 Look again: ")
    assert _line(garage, "torque-mains")["places"] == ["1", "2", "3", "4", "5"]
    mains = next(one for one in garage.json("option", B) if one["option"] == "arrangement:mains")
    assert (mains["choice"], mains["made_with"], mains["why"]) == ("5", "3", "another block")
    assert [one["place"] for one in garage.json("count", B)] == ["1", "2", "3", "4", "5"]


def test_nothing_breaks_where_an_option_takes_a_line_away_that_others_speak_of(garage: Cli) -> None:
    garage.did("mark", B, "1.01", "later", "--before", "1.02", "--why", "no bucket", "--meanwhile", "a tag", *AB)
    garage.did("found", B, "1.02", "a ridge", *AB)
    garage.did("concede", B, "1.02", "it runs", *AB)
    garage.did("option", B, "depth", "short", *AB)
    (mark,) = _line(garage, "clean-block")["marks"]
    assert (mark["before"], mark["meanwhile"]) == (None, "a tag")
    assert garage.json("found", B)[0]["line"] is None
    for verb in ("ready", "loose-ends", "gates", "journal", "found", "resume", "leave", "hole", "source"):
        garage.json(verb, B)
        garage.did(verb, B)
    assert garage.did("health").count("sound") == 3


def test_leaving_says_what_must_be_remembered_and_coming_back_asks(garage: Cli) -> None:
    _torqued(garage)
    garage.did("mark", B, "1.06", "started", *AB)
    assert [one["text"] for one in garage.json("leave", B)] == [
        "1.06 in hand, not to be trusted: Put a rag in each bore",
        "Still in: 2 × Rag, in the bores",
    ]
    assert garage.json("resume", B)[0]["left"] is None
    assert "Still in: 2 × Rag" in garage.did("leave", B, "--note", "cap 3 next", *AB)
    (back,) = garage.json("resume", B)
    assert (back["left"]["note"], back["left"]["by"], len(back["left"]["items"])) == ("cap 3 next", "AB", 2)
    assert back["ask"] == [], "minutes are no break"
    assert "AB left on " in garage.did("resume", B)


def test_after_months_the_last_lines_are_asked_and_what_is_not_final_is_named(garage: Cli) -> None:
    for line, state in (("1.01", "done"), ("1.09", "done"), ("1.06", "started"), ("1.04", "stopped")):
        words = ("--why", "a bad thread") if state == "stopped" else ()
        garage.did("mark", B, line, state, *words, *AB, "--at", "2025-01-10T20:00")
    (back,) = garage.json("resume", B)
    assert len(back["ask"]) == 3
    assert [one["line"] for one in back["not_final"]] == ["1.04", "1.06"]
    assert back["stood_since"].startswith("2025-01-10")
    shown = garage.did("resume", B)
    assert "still true?" in shown
    assert "not known to be final: Put a rag in each bore" in shown
    assert "1.01 Look again: doubted on coming back." in garage.did(
        "resume", B, "--true", "1.09", "--doubt", "1.01", *AB
    )
    assert garage.json("resume", B)[0]["ask"] == []


# --- the plan looked over


def test_a_plan_file_with_faults_leaves_with_one_and_names_each(cli: Cli, tmp_path: Path) -> None:  # noqa: F811
    path = tmp_path / "mine.toml"
    text = _plan_text().replace('act = "crank"\n', "").replace('"500 miles"', '"a while"')
    path.write_text(text, "utf-8")
    code, out, err = cli("check-plan", path)
    assert (code, out, len(err)) == (1, "", 2)
    assert "follow_up, after: “a while” is no time, distance or count" in err[1] + err[0]
    code, out, err = cli("check-plan", path, "--json")
    assert code == 1
    assert err == ["firstcrank: mine.toml has 2 faults."]
    assert {one["what"] for one in json.loads(out)} == {"fault"}
    assert "There is no plan" in cli.refused("check-plan", tmp_path / "none.toml")


def test_a_sound_plan_file_is_told_what_it_had_better_say_otherwise(cli: Cli, tmp_path: Path) -> None:  # noqa: F811
    path = tmp_path / "mine.toml"
    path.write_text(
        _plan_text().replace('id = "clean-block"', 'id = "clean-block"\nhold = true\nharm = "Grit."'), "utf-8"
    )
    code, out, _ = cli("check-plan", path, "--json")
    assert code == 0
    values = json.loads(out)
    assert {one["what"] for one in values} == {"advice"}
    assert any("clean-block" in one["text"] for one in values)
    code, out, _ = cli("check-plan", path)
    assert code == 0
    assert out.endswith("mine.toml: 19 lines, 3 holds, 2 gates, no faults\n")


# --- all of them


def test_what_a_line_says_for_scripts(garage: Cli) -> None:
    line = _line(garage, "end-float")
    assert (line["turns"], line["extra"], line["fixed"]) == ("hand", None, None)
    assert _line(garage, "run-studs-in")["fixed"] == "studs"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("found", B, "9.99", "x", *AB), "There is no line “9.99”"),
        (("found", B, "1.01", " ", *AB), "Say what was found."),
        (("found", B, "1.01", "x", "--place", "7", *AB), "has no place “7”"),
        (("found", B, "1.01", "x", "--by", ""), "Say who"),
        (("found", B, "1.01", "x" * 3000, *AB), "That text is 3000 letters long"),
        (("decide", B, "f7", "rework", "--why", "x", *AB), "There is no finding “f7”; there is none."),
        (("opened", B, " ", *AB), "Say what was opened."),
        (("opened", B, "x", "--disturbs", "9.99", *AB), "There is no line “9.99”"),
        (("opened", B, "x", "--place", "\udcff", *AB), "signs that are no letters"),
        (("put-in", B, "9.99", "x", *AB), "There is no line “9.99”"),
        (("happened", B, "flood", *AB), "The plan knows no event “flood”; it has engine-tipped."),
        (("fit", B, "wing", "off", *AB), "No line of this build needs a part “wing”."),
        (("temporary", B, "in", "Rag", *AB), "Say where it is."),
        (("temporary", B, "in", "Rag", "--where", "x", "--count", "0", *AB), "the count must be 1 to 1000"),
        (("temporary", B, "out", "t1", *AB), "in are: nothing"),
        (("hole", B, "studs", "9", "--thread", "M8", *AB), "has no hole “9”; it has 1, 2, 3."),
        (("hole", B, "studs", "1", "--thread", "\udcff", *AB), "signs that are no letters"),
        (("count", B, "rod-bolts", "1", *AB), "There are no fasteners “rod-bolts”; there are main-bolts."),
        (("count", B, "main-bolts", "1000", *AB), "1000 tightenings cannot be"),
        (("second-look", B, "1.08", "--by", "CD"), "a second look comes after it is Done"),
        (("ran", B, *AB), "A run needs hours, a distance or heat cycles"),
        (("ran", B, "--distance", "500", *AB), "“500” has no unit"),
        (("ran", B, "--hours", "-1 h", *AB), "-1 h"),
        (("ran", B, "--hours", "nan", *AB), "nan"),
        (("source", B, "1.07", "tight", "--source", "x", "--trust", "maker", *AB), "1.07: "),
        (("source", B, "1.01", "1 mm", "--source", "x", "--trust", "maker", *AB), "has no figure to offer one for"),
        (("source", B, "1.07", "--choose", "c1", "--why", "x", *AB), "has no figure “c1” to choose; it has none."),
        (("tool", B, "W1", *AB), "Say what the tool is."),
        (("tool", B, "W1", "--wrong", *AB), "There is no tool “W1”; there is none."),
        (("option", B, "colour", "red", *AB), "The plan has no option “colour”"),
        (("option", B, "depth", "full", *AB), "Option “depth” is full already."),
        (("resume", B, "--doubt", "9.99", *AB), "There is no line “9.99”"),
        (("leave", "Nobody's"), "There is no build “Nobody's”"),
    ],
)
def test_a_refusal_is_one_line_and_changes_nothing(garage: Cli, words: tuple[str, ...], said: str) -> None:
    assert said in garage.no(*words)
    assert len(garage.json("journal", B)) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("found", B, "1.01", *AB), "Missing argument 'TEXT'"),
        (("found", B, "1.01", "a crack"), "Missing option '--by'"),
        (("decide", B, "f1", "paint", "--why", "x", *AB), "'paint' is not one of"),
        (("decide", B, "f1", "rework", *AB), "Missing option '--why'"),
        (("opened", B, "a plug"), "Missing option '--by'"),
        (("fit", B, "pan", *AB), "trial|final|off"),
        (("fit", B, "pan", "loose", *AB), "'loose' is not one of"),
        (("temporary", B, "in", "--where", "x", *AB), "say what is in"),
        (("temporary", B, "in", "Rag", "--where", "x"), "Missing option '--by'"),
        (("temporary", B, "under"), "'under' is not one of"),
        (("hole", B, "studs", "1", "--opens-to", "sea", *AB), "'sea' is not one of"),
        (("hole", B, "studs", "--thread", "M8", *AB), "say which hole it is"),
        (("count", B, "main-bolts", *AB), "Missing argument 'TIMES'"),
        (("count", B, "main-bolts", "two", *AB), "not a valid int"),
        (("second-look", B, "1.08", "--value", "0.1 mm", *AB), "NAME=VALUE"),
        (("ran", B, "--heat-cycles", "-1", *AB), "-1"),
        (
            ("source", B, "1.07", "61 N·m", "--source", "x", *AB),
            "Missing option '--trust'. Choose from maker, bulletin",
        ),
        (("source", B, "1.07", "61 N·m", "--trust", "maker", *AB), "Missing option '--source'"),
        (("source", B, "1.07", "61 N·m", "--choose", "c1", *AB), "either TEXT or --choose"),
        (("tool", B, "W1", "Wrench", "--checked", "last year", *AB), "is not a time"),
        (("option", B, "depth", *AB), "Missing argument 'CHOICE'"),
        (("leave", B, "--note", "x"), "Missing option '--by'"),
        (("resume", B, "--doubt", "1.01"), "Missing option '--by'"),
    ],
)
def test_wrong_use_is_one_line_with_code_two(garage: Cli, words: tuple[str, ...], said: str) -> None:
    assert said in garage.no(*words, code=2)
    assert len(garage.json("journal", B)) == 1


def test_the_plan_of_these_tests_is_sound() -> None:
    assert len(list(parse_plan(_plan_text()).steps())) == 19


def test_a_walk_through_every_verb_leaves_a_journal_that_tells_what_stands(garage: Cli) -> None:
    """Each verb once, then all of it taken back."""
    _torqued(garage)
    deeds: list[Callable[[], str]] = [
        lambda: garage.did("found", B, "1.08", "scored", *AB),
        lambda: garage.did("decide", B, "f1", "rework", "--why", "polish", "--reopens", "line:1.08", *AB),
        lambda: garage.did("opened", B, "a plug", *AB),
        lambda: garage.did("put-in", B, "1.07", "Stamp the caps", *AB),
        lambda: garage.did("happened", B, "engine-tipped", *AB),
        lambda: garage.did("fit", B, "pan", "trial", *AB),
        lambda: garage.did("temporary", B, "in", "Rag", "--where", "here", *AB),
        lambda: garage.did("temporary", B, "out", "t1", *AB),
        lambda: garage.did("hole", B, "studs", "1", "--opens-to", "oil", *AB),
        lambda: garage.did("count", B, "main-bolts", 1, *AB),
        lambda: garage.did("ran", B, "--hours", "2", *AB),
        lambda: garage.did("source", B, "1.07", "61 N·m", "--source", "Manual", "--trust", "maker", *AB),
        lambda: garage.did("tool", B, "W1", "Wrench", *AB),
        lambda: garage.did("option", B, "depth", "short", *AB),
        lambda: garage.did("leave", B, "--note", "x", *AB),
        lambda: garage.did("resume", B, "--true", "1.07", *AB),
    ]
    before = garage.json("sheet", B)
    for deed in deeds:
        deed()
        assert garage.did("health").count("sound") == 3
    for _ in deeds:
        garage.did("undo", B, *AB)
    assert garage.json("sheet", B) == before
    assert garage.json("found", B) == garage.json("temporary", B) == garage.json("tool", B) == []


def test_what_a_bolt_measured_is_counted_with_it(garage: Cli) -> None:
    garage.did("count", B, "main-bolts", 2, "--place", "2", "--length", "60.12 mm", *AB)
    values = {value["place"]: value for value in garage.json("count", B) if value["fasteners"] == "main-bolts"}
    assert (values["2"]["times"], values["2"]["length_mm"]) == (2, 60.12)
    assert values["1"]["length_mm"] is None
    assert "told by two diameters" in garage.no("count", B, "main-bolts", 2, "--free", "9.86 mm", *AB)
