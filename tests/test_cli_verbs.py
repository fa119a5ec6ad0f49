"""The table of verbs: what it says of a verb before it is loaded is what the verb says of itself."""

from importlib import import_module
from pathlib import Path

import click
import pytest

from app.cli import main as program
from app.cli.main import VERBS, main

CONTEXT = click.Context(main)
# Longer than any first sentence, so that none is cut.
WHOLE = 1000


@pytest.mark.parametrize("name", sorted(VERBS))
def test_the_table_says_of_each_verb_what_its_own_words_say(name: str) -> None:
    verb = main.get_command(CONTEXT, name)
    assert verb is not None
    assert (verb.name, verb.get_short_help_str(WHOLE)) == (name, VERBS[name].help)


def test_every_verb_that_is_written_stands_in_the_table() -> None:
    room = Path(program.__file__).parent
    found: dict[str, str] = {}
    for path in room.glob("[a-z]*.py"):
        values = list(vars(import_module(f"app.cli.{path.stem}")).values())
        inner = [one for group in values if isinstance(group, tuple) for one in group]
        found |= {one.name or "": path.stem for one in (*values, *inner) if isinstance(one, click.Command)}
    del found["main"]
    assert found == {name: known.module for name, known in VERBS.items()}


# Verbs that list something, or say what they came to with the lines they moved.
TELLING = (
    *("bolt", "bolts", "builds", "cam", "check-plan", "count", "decide", "fit", "found", "gates", "happened", "health"),
    *("hole", "journal", "lash", "leave", "loose-ends", "opened", "option", "plans", "put-in", "ran", "ready"),
    *("results", "resume", "second-look", "sheet", "slacken", "source", "temporary", "tool"),
)


@pytest.mark.parametrize("name", TELLING)
def test_a_verb_that_tells_something_tells_it_as_json_too(name: str) -> None:
    verb = main.get_command(CONTEXT, name)
    assert verb is not None
    assert any("--json" in one.opts for one in verb.params)


def test_an_unknown_verb_is_none() -> None:
    assert main.get_command(CONTEXT, "polish") is None
