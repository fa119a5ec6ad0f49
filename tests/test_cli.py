"""The same work without a window: every verb, what it prints, how it leaves, and how it says no."""

import json
import os
import re
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.plan.steps import Measured, Spec
from app.assembly.said import actions as a
from app.assembly.said.marks import State
from app.cli.main import run
from app.store.database import FILE
from app.store.workshop import Workshop
from tests.length import Sample
from tests.plans import SMALL, sound_figure
from tests.workshops import JUST_NOW, put_workshop

ROOT = Path(__file__).parents[1]
SHEET = {
    "line",
    "step",
    "stage",
    "title",
    "state",
    "spec",
    "source",
    "places",
    "readings",
    "hold",
    "gate",
    "needs",
    "option",
    "marks",
}
ENDS = {"rule", "line", "gate", "places", "since", "why", "harm", "clears"}
GATES = {"gate", "title", "ready", "passed", "reasons"}
READY = {"line", "ready", "waits_for"}
JOURNAL = {"at", "by", "event", "line", "old", "new", "why"}


class Cli:
    """Runs verbs in this process; `did` fails the test unless the exit code is 0."""

    def __init__(self, capsys: pytest.CaptureFixture[str], folder: Path) -> None:
        self.capsys = capsys
        self.folder = str(folder)

    def __call__(self, *words: object) -> tuple[int, str, list[str]]:
        self.capsys.readouterr()
        with pytest.raises(SystemExit) as leave:
            run([str(word) for word in words])
        out, err = self.capsys.readouterr()
        assert "Traceback" not in err
        return int(leave.value.code or 0), out, err.splitlines()

    def did(self, verb: str, *words: object) -> str:
        code, out, err = self(verb, self.folder, *words)
        assert code == 0, err
        return out

    def json(self, verb: str, *words: object) -> list[dict[str, Any]]:
        values = json.loads(self.did(verb, *words, "--json"))
        assert isinstance(values, list)
        return values

    def refused(self, verb: str, *words: object, code: int = 1) -> str:
        """The one line that says why not; nothing stands on standard output."""
        left, out, err = self(verb, *words)
        assert (left, out) == (code, "")
        assert len(err) == 1, err
        assert err[0].startswith("firstcrank: ")
        return err[0].removeprefix("firstcrank: ")

    def no(self, verb: str, *words: object, code: int = 1) -> str:
        return self.refused(verb, self.folder, *words, code=code)


@pytest.fixture
def cli(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Cli:
    return Cli(capsys, tmp_path / "garage")


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "small.toml"
    path.write_text(SMALL, "utf-8")
    return path


@pytest.fixture
def garage(cli: Cli, plan: Path) -> Cli:
    """A workshop with one small build."""
    put_workshop(Path(cli.folder), plan=SMALL, build="Hill climber", by="", made=JUST_NOW)
    return cli


B = "Hill climber"


# --- plans, builds


def test_plans_come_with_their_options(cli: Cli) -> None:
    code, out, _ = cli("plans")
    assert code == 0
    assert "four-ohv  Four cylinders" in out
    assert "--option lifters=flat-solid|flat-hydraulic|roller-solid|roller-hydraulic" in out
    code, out, _ = cli("plans", "--json")
    plan = next(one for one in json.loads(out) if one["plan"] == "four-ohv")
    assert set(plan) == {"plan", "title", "edition", "lines", "summary", "options"}
    assert plan["options"]["depth"]["default"] == "full"


def test_a_new_build_says_its_number_its_lines_and_stages(cli: Cli, plan: Path) -> None:
    assert cli.did("new", "--plan", plan, "--name", B) == "1  Hill climber: 19 lines in 3 stages\n"


def test_a_build_is_made_with_its_options_and_listed(cli: Cli) -> None:
    cli.did("new", "--plan", "four-ohv", "--name", "Special", "--option", "depth=essential", "--option", "liners=wet")
    (build,) = cli.json("builds")
    assert set(build) == {"build", "name", "plan", "made", "lines", "done", "last"}
    assert (build["build"], build["name"], build["done"]) == (1, "Special", 0)
    steps = {line["step"] for line in cli.json("sheet", "special")}
    assert "clamp-liners" in steps
    assert "compression-as-found" not in steps
    assert "Special, Four cylinders" in cli.did("builds")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--plan", "nine-ohv", "--name", "X"), "There is no plan “nine-ohv”; there is four-ohc, four-ohv"),
        (("--plan", "four-ohv", "--name", "X", "--option", "colour=red"), "The plan has no option “colour”"),
        (("--plan", "four-ohv", "--name", "X", "--option", "depth=deep"), "it is one of full, essential"),
        (("--plan", "four-ohv", "--name", " "), "A build needs a name"),
        (("--plan", "four-ohv", "--name", "x" * 5000), "A build needs a name"),
    ],
)
def test_a_build_that_cannot_be_made_is_told(cli: Cli, words: tuple[str, ...], said: str) -> None:
    assert said in cli.no("new", *words)


def test_an_option_not_written_as_a_pair_is_wrong_use(cli: Cli) -> None:
    assert "NAME=VALUE" in cli.no("new", "--plan", "four-ohv", "--name", "X", "--option", "depth", code=2)
    assert not Path(cli.folder).exists()


def test_the_same_name_is_not_given_twice(garage: Cli, plan: Path) -> None:
    assert "another name" in garage.no("new", "--plan", plan, "--name", "HILL climber")
    garage.did("new", "--plan", plan, "--name", "Second")
    assert len(garage.json("builds")) == 2


def test_a_bad_plan_file_is_told_fault_by_fault(cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(
        SMALL.replace('do = "Wash the block"', "do = 7").replace("cylinders = 2", 'cylinders = "x"'), "utf-8"
    )
    code, out, err = cli("new", cli.folder, "--plan", path, "--name", "X")
    assert (code, out, len(err)) == (1, "", 2)
    assert all(line.startswith("firstcrank: mine.toml: ") for line in err)
    assert not Path(cli.folder).exists(), "no workshop is left behind for a build that was not made"


# --- looking


def test_the_sheet_as_text_and_as_values(garage: Cli) -> None:
    sheet = garage.json("sheet", B)
    assert [set(line) >= SHEET for line in sheet] == [True] * 19
    text = garage.did("sheet", B)
    assert "  1.01  to-do       Wash the block" in text
    assert "  1.07  to-do       Torque the mains  [figure to be entered]" in text
    assert "HOLD Count everything out" in text
    assert len(text.splitlines()) == 19
    assert [line["line"] for line in garage.json("sheet", "1", "--stage", 2)] == ["2.01", "2.02", "2.03", "2.04"]
    assert garage.no("sheet", B, "--stage", 9) == "There is no stage 9; the stages run from 1 to 3."


def test_what_is_ready_and_what_waits(garage: Cli) -> None:
    ready = garage.json("ready", B)
    assert all(set(value) >= READY for value in ready)
    assert next(value for value in ready if value["line"] == "1.01")["ready"] is True
    text = garage.did("ready", B)
    assert "  1.01  ready  Wash the block" in text
    assert "  1.02  waits for 1.01 Wash the block  Measure each bore" in text


def test_a_cure_is_over_at_its_time(garage: Cli) -> None:
    for line in ("1.04", "1.08", "1.11", "1.12"):
        garage.did("concede", B, line, "for the test", "--by", "AB")
    garage.did("pass", B, "A", "--by", "AB", "--at", "2026-03-02T18:00")
    garage.did("mark", B, "2.01", "done", "--by", "AB", "--at", "2026-03-02T19:00")
    before = {v["line"]: v for v in garage.json("ready", B, "--at", "2026-03-03T18:59")}
    after = {v["line"]: v for v in garage.json("ready", B, "--at", "2026-03-03T19:00")}
    assert (before["2.02"]["ready"], after["2.02"]["ready"]) == (False, True)
    assert "until" in garage.did("ready", B, "--at", "2026-03-03T18:59")


def test_times_in_lines_are_local_and_short(garage: Cli) -> None:
    for line in ("1.04", "1.08", "1.11", "1.12"):
        garage.did("concede", B, line, "for the test", "--by", "AB")
    garage.did("pass", B, "A", "--by", "AB", "--at", "2031-03-02T18:00")
    garage.did("mark", B, "2.01", "done", "--by", "AB", "--at", "2031-03-02T19:00")
    assert "until Mon 03 Mar 2031 19:00" in garage.did("ready", B, "--at", "2031-03-03T18:59")
    assert "passed Sun 02 Mar 2031 18:00 by AB" in garage.did("gates", B)
    garage.did("leave", B, "--note", "cap 3 is next", "--by", "AB", "--at", "2031-03-02T20:00")
    assert "AB left on Sun 02 Mar 2031 20:00: cap 3 is next" in garage.did("resume", B)
    for said in (garage.did("journal", B), garage.did("gates", B), garage.did("resume", B)):
        assert not re.search(r"\d{4}-\d\d-\d\dT", said)


def test_the_sheet_can_be_shown_as_it_was_known_at_a_time(garage: Cli) -> None:
    before = datetime.now().astimezone()
    garage.did("mark", B, "1.01", "done", "--by", "AB", "--at", "2026-03-02T19:00")
    after = datetime.now().astimezone()
    garage.did("mark", B, "1.01", "look-again", "--by", "AB")

    def state(at: datetime) -> str:
        return str(garage.json("sheet", B, "--as-of", at.isoformat())[0]["state"])

    assert (state(before), state(after)) == ("to-do", "done"), "what counts is when it was written"
    assert garage.json("sheet", B)[0]["state"] == "look-again"


def test_loose_ends_as_text_as_values_and_by_gate(garage: Cli) -> None:
    assert garage.json("loose-ends", B) == []
    assert garage.did("loose-ends", B) == ""
    garage.did("mark", B, "1.06", "started", "--by", "AB")
    garage.did("concede", B, "crank-bolt", "no socket", "--by", "AB")
    ends = garage.json("loose-ends", B)
    assert all(set(end) >= ENDS for end in ends)
    assert {end["rule"] for end in ends} == {"temporary-in", "concession-open"}
    assert [end["rule"] for end in garage.json("loose-ends", B, "--gate", "A")] == ["temporary-in"]
    assert [end["rule"] for end in garage.json("loose-ends", B, "--gate", "crank")] == ["concession-open"]
    assert "If nobody does: a rag in a bore locks the crank. (temporary-in)" in garage.did("loose-ends", B)


def test_gates_say_what_keeps_them_shut(garage: Cli) -> None:
    first, _ = garage.json("gates", B)
    assert set(first) >= GATES
    assert [reason["line"] for reason in first["reasons"]] == ["1.04", "1.08", "1.11", "1.12"]
    text = garage.did("gates", B)
    assert "A  Close the bottom (close-bottom): shut\n      1.04  To do" in text


def test_the_journal_tells_who_when_what_and_why(garage: Cli) -> None:
    garage.did("mark", B, "1.06", "later", "--before", "1.09", "--why", "no rags", "--by", "AB")
    made, later = garage.json("journal", B)
    assert set(made) >= JOURNAL
    assert made["event"] == "made"
    assert (later["by"], later["line"], later["old"], later["new"], later["why"]) == (
        "AB",
        "1.06",
        "to-do",
        "later before 1.09",
        "no rags",
    )
    assert "to-do -> later before 1.09  no rags" in garage.did("journal", B)


# --- working


def test_marking_reading_and_entering_a_figure(garage: Cli) -> None:
    assert garage.did("mark", B, "1.1", "done", "--by", "AB") == "1.01 Done\n"
    said = "1.02 Cylinder 1 80.01 mm\n  80.01 mm = 3.15 in: In, 80.00 to 80.03 mm\n"
    assert garage.did("read", B, "1.02", "1", "80.01 mm", "--by", "AB") == said
    garage.did("read", B, "1.02", "Cylinder 2", "3.1504 in", "--by", "AB")
    garage.did("mark", B, "measure-bores", "done", "--by", "AB")
    said = "1.07 figure 25 N·m + 90°\n  25 N·m = 18.4 lbf·ft, then 90°\n"
    assert garage.did("spec", B, "1.07", "25 N·m + 90°", "--source", "Manual") == said
    garage.did("mark", B, "1.07", "started", "--by", "AB", "--place", "2")
    sheet = {line["line"]: line for line in garage.json("sheet", B)}
    assert [one["verdict"] for one in sheet["1.02"]["readings"]] == ["In", "In"]
    assert (sheet["1.07"]["spec"], sheet["1.07"]["source"], sheet["1.07"]["state"]) == (
        "25 N·m + 90°",
        "Manual",
        "started",
    )


def test_a_bare_value_is_in_the_unit_of_the_figure_and_says_so(garage: Cli) -> None:
    """“at most 0.008 in”, typed 0.012: it is no 0.012 mm, and it is Out."""
    for line in ("1.01", "1.07"):
        garage.did("concede", B, line, "for the test", "--by", "AB")
    garage.did("spec", B, "1.08", "at most 0.008 in", "--source", "Manual, p. 4")
    code, out, _ = garage("read", garage.folder, B, "1.08", "-", "0.012", "--by", "AB", "--judge")
    assert (code, out.splitlines()[1]) == (1, "  0.012 in = 0.3048 mm: Out, at most 0.008 in")
    code, _, _ = garage("read", garage.folder, B, "1.08", "-", "0.007", "--by", "AB", "--judge")
    assert code == 0
    (row,) = (one for one in garage.json("sheet", B) if one["line"] == "1.08")
    assert (row["unit"], row["readings"][0]["unit"], row["readings"][0]["verdict"]) == ("in", "in", "In")


def test_what_a_mark_opens_is_said(garage: Cli) -> None:
    garage.did("mark", B, "1.01", "done", "--by", "AB")
    garage.did("spec", B, "1.07", "61 N·m", "--source", "Manual")
    garage.did("mark", B, "1.07", "done", "--by", "AB")
    garage.did("read", B, "1.08", "-", "0.12 mm", "--by", "AB")
    garage.did("mark", B, "1.08", "done", "--by", "AB")
    said = garage.did("mark", B, "1.07", "look-again", "--by", "AB", "--why", "cap 2 was off")
    assert said == "1.07 Look again\n  1.08 Look again: 1.07 Torque the mains: was opened (Look again)\n"


def test_a_line_taken_back_and_put_again(garage: Cli) -> None:
    garage.did("mark", B, "1.01", "done", "--by", "AB")
    assert garage.did("undo", B, "--by", "AB") == "Undone: 1.01 Done\n"
    assert garage.no("undo", B, "--by", "AB") == "There is nothing to undo."
    assert garage.did("redo", B, "--by", "AB") == "Done again: 1.01 Done\n"
    assert garage.no("redo", B, "--by", "AB") == "There is nothing to redo."
    assert "1.08 cannot be begun yet: it waits for 1.07" in garage.no("read", B, "1.08", "-", "0.1 mm", "--by", "AB")
    garage.did("concede", B, "1.07", "for the test", "--by", "AB")
    garage.did("read", B, "1.08", "-", "0.1 mm", "--by", "AB")
    garage.did("rub-out", B, "1.08", "-", "--by", "AB")
    assert "no value to rub out" in garage.no("rub-out", B, "1.08", "-", "--by", "AB")


def test_a_part_on_order_is_waited_for(garage: Cli) -> None:
    assert garage.did("part", B, "oil", "on-order", "--by", "AB") == "Oil on order\n"
    waits = next(value for value in garage.json("ready", B) if value["line"] == "2.02")["waits_for"]
    assert "part" in {one["what"] for one in waits}


def test_a_shut_gate_names_every_line_one_to_a_row(garage: Cli) -> None:
    code, out, err = garage("pass", garage.folder, B, "A", "--by", "AB")
    assert (code, out) == (1, "")
    assert err[0].startswith("firstcrank: “Close the bottom” is shut, held by 1.04, 1.08, 1.11, 1.12: close each one")
    assert [row.split()[1] for row in err[1:]] == ["1.04", "1.08", "1.11", "1.12"]
    words = [word for line in ("1.04", "1.08", "1.11", "1.12") for word in ("--concede", f"{line}=so be it")]
    assert garage.did("pass", B, "A", "--by", "AB", *words) == "Close the bottom passed\n"
    assert "in writing without 1.04, 1.08, 1.11, 1.12" in garage.did("gates", B)


def test_a_time_still_to_come_is_taken_with_a_word_about_the_clock(garage: Cli) -> None:
    later = datetime.now().astimezone() + timedelta(days=2)
    at = later.isoformat(timespec="minutes")
    code, out, err = garage("mark", garage.folder, B, "1.01", "done", "--by", "AB", "--at", at)
    assert (code, out) == (0, "1.01 Done\n")
    assert err == [f"firstcrank: {later:%a %d %b %Y %H:%M} is still to come; look at the clock."]
    assert [end["rule"] for end in garage.json("loose-ends", B)][-1] == "clock-ahead"
    assert "older than that" in garage.no("mark", B, "1.01", "look-again", "--by", "AB", "--at", "2026-01-01")


# --- saying no


@pytest.mark.parametrize(
    ("verb", "words", "said"),
    [
        (
            "mark",
            (B, "9.99", "done", "--by", "AB"),
            "There is no line “9.99” in this build; its lines run from 1.01 to 3.03.",
        ),
        ("mark", (B, "1.02", "done", "--by", "AB"), "1.02 cannot be signed off yet: it waits for 1.01 Wash the block"),
        ("mark", (B, "1.06", "stopped", "--by", "AB"), "1.06 Stopped needs a why."),
        ("mark", (B, "1.06", "later", "--by", "AB", "--why", "x"), "1.06 Later needs the line it must come before."),
        ("mark", (B, "1.01", "done", "--by", ""), "Say who: initials are needed, for example --by AB."),
        ("mark", (B, "1.06", "stopped", "--by", "AB", "--why", "x" * 100_000), "That text is 100000 letters long"),
        ("mark", (B, "1.06", "stopped", "--by", "AB", "--why", "\udcff"), "signs that are no letters"),
        ("read", (B, "1.08", "main 7", "1 mm", "--by", "AB"), "1.08 has no place “main 7”; it is for engine."),
        (
            "read",
            (B, "1.08", "-", "rather loose", "--by", "AB"),
            "1.08 Engine: “rather loose” cannot be read as a length",
        ),
        ("read", (B, "1.08", "-", "1 mm", "--by", "AB", "--round", "4"), "there is no round 4"),
        ("spec", (B, "1.08", "tight", "--source", "Manual"), "1.08: "),
        ("spec", (B, "1.08", "1 mm", "--source", " "), "say where the figure is from"),
        ("part", (B, "flux", "here", "--by", "AB"), "No line of this build needs a part “flux”."),
        ("pass", (B, "Z", "--by", "AB"), "There is no gate “Z”; there are close-bottom, crank."),
        ("pass", (B, "B", "--by", "AB"), "cannot be passed while “Close the bottom” in front of it is shut"),
        ("loose-ends", (B, "--gate", "Z"), "There is no gate “Z”"),
        ("concede", (B, "1.06", " ", "--by", "AB"), "going on anyway needs a written reason"),
        ("sheet", ("Nobody's",), "There is no build “Nobody's” in this workshop; there is 1 “Hill climber”."),
        ("sheet", ("x" * 3000,), "There is no build “xxx"),
        ("sheet", ("\udcff",), "There is no build"),
    ],
)
def test_a_refusal_is_one_line_and_changes_nothing(garage: Cli, verb: str, words: tuple[str, ...], said: str) -> None:
    assert said in garage.no(verb, *words)
    assert len(garage.json("journal", B)) == 1


@pytest.mark.parametrize(
    ("verb", "words", "said"),
    [
        ("mark", (B, "1.01", "fettled", "--by", "AB"), "'fettled' is not one of"),
        ("mark", (B, "1.01", "done"), "Missing option '--by'"),
        ("mark", (B, "1.01"), "Missing argument"),
        ("mark", (B, "1.01", "done", "--by", "AB", "--at", "yesterday"), "“yesterday” is not a time; write it as"),
        ("mark", (B, "1.01", "done", "--by", "AB", "--at", "2026-02-30"), "is not a time"),
        ("mark", (B, "1.01", "done", "--by", "AB", "--at", "0001-01-01"), "is not in the years 1970 to 2200"),
        ("mark", (B, "1.01", "done", "--by", "AB", "--at", "9999-12-31T23:59-12:00"), "is not in the years"),
        ("mark", (B, "1.01", "done", "--by", "AB", "--at", ""), "is not a time"),
        ("read", (B, "1.08", "-", "1 mm", "--by", "AB", "--round", "x"), "not a valid int"),
        ("sheet", (B, "--stage", "x"), "not a valid int"),
        ("spec", (B, "1.08", "1 mm"), "Missing option '--source'"),
        ("pass", (B, "A", "--by", "AB", "--concede", "1.04"), "NAME=VALUE"),
        ("part", (B, "oil", "somewhere", "--by", "AB"), "'somewhere' is not one of"),
        (
            "sheet",
            (
                B,
                "--jason",
            ),
            "No such option",
        ),
        ("traveller", (B,), "Missing option '--out'"),
    ],
)
def test_wrong_use_is_one_line_with_code_two(garage: Cli, verb: str, words: tuple[str, ...], said: str) -> None:
    assert said in garage.no(verb, *words, code=2)


def test_an_unknown_verb_is_wrong_use(cli: Cli) -> None:
    assert "No such command 'polish'" in cli.refused("polish", code=2)


def test_help_and_version_are_no_errors(cli: Cli) -> None:
    code, out, err = cli("--help")
    assert (code, err) == (0, [])
    assert {"plans", "new", "mark", "read", "spec", "pass", "traveller", "record", "backup", "health"} <= set(
        out.split()
    )
    assert cli("--version")[0] == 0
    assert cli("mark", "--help")[0] == 0


def test_a_workshop_that_is_not_there_or_not_ours_is_told_by_every_verb(cli: Cli, tmp_path: Path) -> None:
    folder = Path(cli.folder)
    looks: list[tuple[str, ...]] = [("builds",), ("sheet", "1"), ("ready", "1"), ("loose-ends", "1"), ("gates", "1")]
    looks += [
        ("journal", "1"),
        ("health",),
        ("backup", str(tmp_path / "b.db")),
        ("mark", "1", "1.01", "done", "--by", "A"),
    ]
    looks += [("undo", "1", "--by", "A"), ("traveller", "1", "--out", str(tmp_path / "t.pdf"))]
    for look in looks:
        assert "There is no folder" in cli.no(*look)
    folder.mkdir()
    for look in looks:
        assert "holds no workshop" in cli.no(*look)
    (folder / FILE).write_text("shopping list", "utf-8")
    for look in looks:
        assert "workshop" in cli.no(*look)
    assert (folder / FILE).read_text("utf-8") == "shopping list"
    assert {path.name for path in tmp_path.iterdir()} == {"garage"}


def test_a_folder_name_longer_than_the_system_takes_is_told(cli: Cli, tmp_path: Path, plan: Path) -> None:
    long = tmp_path / ("x" * 300)
    assert "name too long" in cli.refused("new", long, "--plan", plan, "--name", "X").casefold()
    assert cli.refused("builds", long)


def test_a_file_in_the_place_of_the_folder_is_told(cli: Cli, plan: Path) -> None:
    assert cli.refused("new", plan, "--plan", plan, "--name", "X")
    assert "no folder" in cli.refused("builds", plan)


# --- safety


def test_a_backup_is_checked_and_never_written_over(garage: Cli, tmp_path: Path) -> None:
    target = tmp_path / "copy.db"
    assert garage.did("backup", target) == f"{target}: written and checked\n"
    assert "exists already" in garage.no("backup", target)
    said = garage.did("restore", target)
    assert f"back to {target}, checked" in said
    assert "set aside" in said
    assert "is not a workshop" in garage.no("restore", __file__) or "not a database" in garage.no("restore", __file__)
    assert "no folder" in garage.no("backup", tmp_path / "nowhere" / "copy.db")


def test_health_is_sound_until_somebody_meddles(garage: Cli) -> None:
    garage.did("mark", B, "1.01", "done", "--by", "AB")
    assert [line.split()[0] for line in garage.did("health").splitlines()] == ["sound"] * 3
    with closing(sqlite3.connect(Path(garage.folder) / FILE)) as connection, connection:
        connection.execute("UPDATE line_mark SET by = 'ZZ'")
    code, out, err = garage("health", garage.folder)
    assert code == 1
    assert "WRONG  journal: build “Hill climber”: 1 facts, 1 of them not as the journal tells" in out
    assert len(err) == 1
    code, out, _ = garage("health", garage.folder, "--json")
    assert (code, [one["ok"] for one in json.loads(out)]) == (1, [True, True, False])


# --- as a program


def _program(*words: str, **more: Any) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "app", *words], cwd=ROOT, capture_output=True, text=True, check=False, timeout=60, **more
    )


def test_as_a_program_it_leaves_with_its_code_and_its_line(garage: Cli) -> None:
    done = _program("mark", garage.folder, B, "1.01", "done", "--by", "AB")
    assert (done.returncode, done.stdout, done.stderr) == (0, "1.01 Done\n", "")
    refused = _program("mark", garage.folder, B, "1.06", "stopped", "--by", "AB")
    assert (refused.returncode, refused.stderr) == (1, "firstcrank: 1.06 Stopped needs a why.\n")
    wrong = _program("mark", garage.folder, B, "1.01", "--by", "AB")
    assert wrong.returncode == 2
    assert len(wrong.stderr.splitlines()) == 1


def test_bytes_that_are_no_text_are_told_and_not_traced(garage: Cli) -> None:
    words = [os.fsencode(word) for word in ("mark", garage.folder, B, "1.06", "stopped", "--by", "AB", "--why")]
    done = subprocess.run(
        [sys.executable, "-m", "app", *words, b"caf\xe9"], cwd=ROOT, capture_output=True, check=False, timeout=60
    )
    assert done.returncode == 1
    assert b"Traceback" not in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize("verb", [("sheet",), ("mark", "1.01", "done", "--by", "AB")])
def test_a_reader_that_goes_away_is_no_error_and_the_mark_is_kept(garage: Cli, verb: tuple[str, ...]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "app", verb[0], garage.folder, B, *verb[1:]],
        cwd=ROOT,
        stdout=writing,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        timeout=60,
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, "")
    if verb[0] == "mark":
        assert garage.json("journal", B)[-1]["new"] == "done"


# --- the whole job


class Walk:
    """Works a whole build through the verbs, a line at a time, at times that leave every cure behind."""

    def __init__(self, cli: Cli, build: str) -> None:
        self.cli = cli
        self.build = build
        self.sample = Sample(0.1)
        self._open: tuple[Workshop, Build] | None = None
        # It ends some days before now: months of standing would be a loose end.
        self.now = datetime.now().astimezone() - timedelta(hours=25) * len(self.lines()) - timedelta(days=20)

    def do(self, verb: str, *words: object) -> str:
        self.now += timedelta(minutes=1)
        self.let_go()
        return self.cli.did(verb, self.build, *words, "--at", self.now.isoformat())

    def by(self, verb: str, *words: object) -> str:
        return self.do(verb, *words, "--by", "AB")

    def lines(self, stage: int | None = None) -> list[dict[str, Any]]:
        return self.cli.json("sheet", self.build, *(("--stage", stage) if stage else ()))

    def line(self, line: dict[str, Any], value: Callable[[dict[str, Any], str], str]) -> None:
        """Figure, readings and mark of one line: by the verbs where it is in the sample, else as the verbs do it."""
        self.now += timedelta(hours=25)
        if not self.sample.takes():
            self._quickly(line, value)
            return
        if line["spec"] == "":
            self.do("spec", line["line"], _sound(line), "--source", "Maker's manual, 4th edition", "--by", "AB")
        if line["reads"]:
            for turn in range(1, line["rounds"] + 1):
                for place in line["places"]:
                    self.by("read", line["line"], place, value(line, place), "--round", turn)
        self.by("mark", line["line"], "done")
        if line["second_look"]:
            places = line["places"] if line["reads"] else []
            words = [word for place in places for word in ("--value", f"{place}={value(line, place)}")]
            self.do("second-look", line["line"], *words, "--by", "JT")

    def _quickly(self, line: dict[str, Any], value: Callable[[dict[str, Any], str], str]) -> None:
        """The same in one go: opening the workshop for each verb is what takes the time."""
        number, now = line["line"], self.now
        places = {place: value(line, place) for place in line["places"]} if line["reads"] else {}
        actions: list[a.Action] = []
        if line["spec"] == "":
            actions.append(a.EnterFigure(number, _sound(line), "Maker's manual, 4th edition", "AB", now))
        for turn in range(1, line["rounds"] + 1):
            actions += [a.TakeReading(number, place, text, "AB", now, turn) for place, text in places.items()]
        actions.append(a.MarkLine(number, State.DONE, "AB", now, together=True))
        if line["second_look"]:
            actions.append(a.LookSecond(number, "JT", now, places))
        if self._open is None:
            workshop = Workshop.open_at(Path(self.cli.folder), now=now)
            self._open = workshop, workshop.load(workshop.find(self.build))
        workshop, build = self._open
        for action in actions:
            build = workshop.commit(build, decide(build, action), now=now)
        self._open = workshop, build

    def let_go(self) -> None:
        """Leave the workshop to the verbs."""
        if self._open is not None:
            self._open[0].close()
            self._open = None


def _sound(line: dict[str, Any]) -> str:
    return sound_figure(line["step"], line["title"], Spec(Measured(line["kind"]), unit=line["unit"]))


def _good(line: dict[str, Any], place: str) -> str:
    if line["kind"] == "text":
        return "as it should be"
    if line["kind"] == "choice":
        return "oil" if "oil" in line["choices"] else str(line["choices"][0])
    if line["kind"] == "number":
        return "0"
    low, high = (float(end) for end in _sound(line).removesuffix(f" {line['unit']}").split(" to "))
    middle = (low + high) / 2
    if line["measure"] and line["measure"]["how"] == "difference":
        first = place.endswith(f" {line['measure']['points'][0]}")
        return f"{50 + middle if first else 50:.4f} {line['unit']}"
    return "25 min" if line["step"] == "break-in-flat" else f"{middle:.4g} {line['unit']}"


def test_a_whole_build_from_bare_block_to_normal_use(cli: Cli, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    options = ["--option", "depth=essential", "--option", "flywheel-side=free"]
    cli.did("new", "--plan", "four-ohv", "--name", "Special", *options, "--by", "AB")
    walk = Walk(cli, "Special")
    request.addfinalizer(walk.let_go)
    gates = {gate["gate"]: gate for gate in cli.json("gates", "Special")}
    bars = [gate for gate in gates if not gates[gate]["ready"]]
    assert len(bars) == 7
    passed: list[str] = []
    prime = next(line for line in walk.lines() if line["step"] == "prime-pressure")["line"]
    for number in range(1, max(line["stage"] for line in walk.lines()) + 1):
        lines = {line["step"]: line for line in walk.lines(number)}
        for step in lines:
            line = lines[step]
            if line["act"] and line["act"] not in passed:
                walk.by("pass", line["act"])
                passed.append(line["act"])
            if line["state"] == "not-needed":
                continue
            if step == "prime-pressure":
                _skip_the_priming(walk, prime, passed)
            if step == "coolant-test":
                _concede_and_take_back(walk, line["line"])
            walk.line(line, _good)
            if line["kind"] == "choice":  # its findings may call off lines and places of this very stage
                lines |= {line["step"]: line for line in walk.lines(number)}
    walk.let_go()
    assert passed == bars
    assert [end for end in cli.json("loose-ends", "Special") if end["blocks"]] == []
    assert all(line["state"] in ("done", "not-needed") for line in walk.lines())
    _on_paper(cli, tmp_path)
    assert cli.did("health").count("sound") == 3
    assert cli.json("builds")[0]["done"] == sum(line["state"] == "done" for line in walk.lines())


def _skip_the_priming(walk: Walk, prime: str, passed: list[str]) -> None:
    """Go past it, and be told on every side."""
    cli = walk.cli
    after = [value for value in cli.json("ready", "Special") if value["line"] > prime]
    begun = next(one["line"] for one in after if not {"line", "cure", "gate"} & {w["what"] for w in one["waits_for"]})
    walk.by("mark", begun, "started")
    assert cli.json("loose-ends", "Special")[0]["rule"] == "not-primed"
    assert f"the hold {prime}" in cli.no("mark", "Special", begun, "done", "--by", "AB")
    code, _, err = cli("pass", cli.folder, "Special", "crank", "--by", "AB")
    assert code == 1
    assert any(row.startswith(f"firstcrank: {prime} Oil is not primed") for row in err)
    assert passed[-1] == "prime"
    cli.did("undo", "Special", "--by", "AB")
    assert not any(end["rule"] == "not-primed" for end in cli.json("loose-ends", "Special"))


def _concede_and_take_back(walk: Walk, line: str) -> None:
    """Go on in writing, see that it stays in sight, and think better of it."""
    cli = walk.cli
    walk.by("concede", line, "the tester is lent out")
    assert [end["line"] for end in cli.json("loose-ends", "Special") if end["rule"] == "concession-open"] == [line]
    gate = next(gate for gate in cli.json("gates", "Special") if gate["gate"] == "crank")
    assert line not in [reason["line"] for reason in gate["reasons"]]
    assert cli.did("undo", "Special", "--by", "AB") == f"Undone: {line} go on in writing\n"


def _on_paper(cli: Cli, tmp_path: Path) -> None:
    sheet, record = tmp_path / "traveller.pdf", tmp_path / "record.pdf"
    assert "print 1" in cli.did("traveller", "Special", "--out", sheet, "--paper", "Letter")
    assert len(PdfReader(sheet).pages) > 5
    cli.did("traveller", "Special", "--out", tmp_path / "stage.pdf", "--stage", 8)
    cli.did("record", "Special", "--out", record)
    assert "Special" in PdfReader(record).pages[0].extract_text()
