"""The sums as verbs: text, one object of values, and one line when something is wrong."""

import json
import subprocess
import sys

import pytest

from app.cli.main import run
from app.cli.sums import NAMES
from app.sheet.sums import SUMS
from app.sheet.sums.sum import Sum


def arguments(one: Sum) -> list[str]:
    """The example of a sum, as it is given to its verb."""
    return [one.id, *(word for key, text in one.example.items() for word in (f"--{key.replace('_', '-')}", text))]


def test_every_sum_is_a_verb() -> None:
    assert tuple(one.id for one in SUMS) == NAMES


@pytest.mark.parametrize("one", SUMS, ids=lambda one: one.id)
def test_a_sum_is_told_in_plain_lines(one: Sum, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        run(arguments(one))
    told = capsys.readouterr()
    assert left.value.code == 0
    assert "Where this is from" in told.out
    assert told.err == ""


@pytest.mark.parametrize("one", SUMS, ids=lambda one: one.id)
def test_json_is_one_object(one: Sum, capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        run([*arguments(one), "--json"])
    assert left.value.code == 0
    assert json.loads(capfd.readouterr().out)["given"].items() >= dict(one.example).items()


@pytest.mark.parametrize("one", SUMS, ids=lambda one: one.id)
def test_bad_input_is_one_line_that_names_its_option(one: Sum, capsys: pytest.CaptureFixture[str]) -> None:
    option = f"--{next(iter(one.example)).replace('_', '-')}"
    with pytest.raises(SystemExit) as left:
        run([*arguments(one), option, "☹"])
    told = capsys.readouterr()
    assert left.value.code == 2
    assert told.out == ""
    assert told.err.startswith(f"firstcrank: {option}: ")
    assert told.err.count("\n") == 1


def test_a_verb_says_what_it_asks(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        run(["wrench", "--help"])
    told = capsys.readouterr().out
    assert "--run-on" in told
    assert "For example: firstcrank wrench" in told


def test_the_program_starts_without_the_sums() -> None:
    words = "import sys, app.cli.main, app.cli.sums; "
    words += "print([m for m in sys.modules if m.startswith(('app.sheet.sums', 'highspy', 'numpy'))])"
    told = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
