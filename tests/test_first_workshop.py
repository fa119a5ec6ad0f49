"""A workshop of the program's first form: it opens sound, and its builds tell what they told then, word for word."""

import json
from collections.abc import Iterator
from difflib import unified_diff
from typing import Any

import pytest

from app.store.workshop import Workshop
from tests.fixtures import tellings
from tests.fixtures.make_expected import EXPECTED, unpack

BUILDS = (1, 2, 3)
SHOWN = 60


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """A copy, brought up to date by opening it."""
    folder = tmp_path_factory.mktemp("first workshop")
    unpack(folder)
    with tellings.open_workshop(folder) as workshop:
        yield workshop


@pytest.fixture(autouse=True)
def _world_time() -> Iterator[None]:
    with tellings.world_time():
        yield


def _differences(was: str, told: str) -> str:
    """What is told otherwise, line by line; "" where nothing is."""
    lines = list(unified_diff(was.splitlines(), told.splitlines(), "was told", "is told", lineterm="", n=2))
    left_out = [f"… and {len(lines) - SHOWN} lines more"] if len(lines) > SHOWN else []
    return "\n".join(lines[:SHOWN] + left_out)


def _of_then(told: Any, was: Any) -> Any:
    """What is told now, without what has come beside what was told then."""
    if isinstance(told, dict) and isinstance(was, dict):
        return {key: _of_then(value, was[key]) for key, value in told.items() if key in was}
    if isinstance(told, list) and isinstance(was, list):
        return [_of_then(*both) for both in zip(told, was, strict=False)] + told[len(was) :]
    return told


def _as_lines(values: Any) -> str:
    return json.dumps(values, ensure_ascii=False, indent=1, sort_keys=True)


def test_it_opens_sound_with_all_its_builds(workshop: Workshop) -> None:
    assert tellings.unsound(workshop) == []
    assert sorted(tellings.build_names(workshop)) == list(BUILDS)


@pytest.mark.parametrize("kind", tellings.VALUES)
@pytest.mark.parametrize("build", BUILDS)
def test_a_build_tells_the_same_values(workshop: Workshop, build: int, kind: str) -> None:
    was = json.loads((EXPECTED / f"{build}-{kind}.json").read_text("utf-8"))
    told = json.loads(json.dumps(tellings.VALUES[kind](workshop, workshop.load(build))))
    told = _of_then(told, was)
    if told != was:
        pytest.fail(_differences(_as_lines(was), _as_lines(told)))


@pytest.mark.parametrize("paper", tellings.WORDS)
@pytest.mark.parametrize("build", BUILDS)
def test_its_papers_say_the_same_words(workshop: Workshop, build: int, paper: str) -> None:
    was = (EXPECTED / f"{build}-{paper}.txt").read_text("utf-8")
    told = tellings.WORDS[paper](workshop, workshop.load(build))
    if told != was:
        pytest.fail(_differences(was, told))


def test_every_file_of_what_was_told_is_held_against_something() -> None:
    known = {f"{build}-{kind}.json" for build in BUILDS for kind in tellings.VALUES}
    known |= {f"{build}-{paper}.txt" for build in BUILDS for paper in tellings.WORDS}
    assert {path.name for path in EXPECTED.iterdir()} == known
