"""Loose ends in words: each has its sentences, and they follow number, case and the clock of the computer."""

import os
import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from app.assembly.rules import RULES
from app.assembly.said.marks import State
from app.assembly.said.phrase import phrase
from app.assembly.standing.ends import OWN_HARM, End, Outcome, Shutting
from app.words.english import ends
from app.words.say import say

NOON = datetime(2025, 11, 27, 18, 30, tzinfo=UTC)
# A part of a sentence, not an end of its own.
PARTS = {End.MOVED_BY}


@pytest.fixture
def _stockholm() -> Iterator[None]:
    before = os.environ.get("TZ")
    os.environ["TZ"] = "Europe/Stockholm"
    time.tzset()
    yield
    if before is None:
        del os.environ["TZ"]
    else:
        os.environ["TZ"] = before
    time.tzset()


def test_every_end_says_why_what_happens_and_what_clears_it() -> None:
    assert set(ends.WHY) == set(End)
    assert set(ends.HARM) == set(ends.CLEARS) == set(End) - PARTS
    assert set(End) >= OWN_HARM
    for kinds in (End, Outcome, Shutting):
        assert set(ends.TABLES[kinds]) == set(kinds)


def test_every_rule_is_called_something() -> None:
    assert set(ends.RULES) == {rule.id for rule in RULES}


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (1, "Crank-nose bolt is used once, and nobody wrote that this is new"),
        (8, "Rod bolts are used once, and nobody wrote that these are new"),
    ],
)
def test_one_bolt_is_and_several_are(count: int, said: str) -> None:
    title = "Crank-nose bolt" if count == 1 else "Rod bolts"
    assert say(phrase(End.BOLT_NOT_NEW, title=title, count=count)) == said


@pytest.mark.parametrize(("part", "count", "verb"), [("Cylinder head", 1, "is"), ("Old rod bolts", 8, "are")])
def test_one_part_is_and_several_are_on_for_a_look(part: str, count: int, verb: str) -> None:
    said = f"{part} {verb} on for a look only, not sealed, not final"
    assert say(phrase(End.TRIAL_ONLY, part=part, count=count, ways=("5.09",))) == said
    assert say(phrase(End.TRIAL_SAID, part=part, count=count, key="head")) == said


@pytest.mark.parametrize(("times", "said"), [(1, "once"), (3, "3 times")])
def test_times_are_counted_as_people_count(times: int, said: str) -> None:
    end = phrase(End.COUNT_REACHED, title="Rod bolts", times=times, limit=2)
    assert say(end) == f"Rod bolts: tightened {said}, 2 is the most they stand"


@pytest.mark.usefixtures("_stockholm")
def test_times_are_local_and_short() -> None:
    shut = phrase(Shutting.OPEN, state=State.TO_DO, hold=True, until=NOON)
    assert say(shut) == "Hold, To do, waits until Thu 27 Nov 19:30"
    assert say(phrase(End.CLOCK_AHEAD, at=NOON)) == "Signed for Thu 27 Nov 2025 19:30, which is still to come"


def test_the_plan_s_own_words_become_part_of_a_sentence() -> None:
    assert say(phrase(Outcome.AS_PLANNED, text="A seal leaks.")) == "a seal leaks"
    assert say(phrase(Outcome.AS_PLANNED, text="PTFE tape sheds.")) == "PTFE tape sheds"


def test_what_clears_an_end_names_its_line() -> None:
    end = phrase(End.PUT_OFF, before="4.07", why="no bolt", meanwhile="")
    assert say(phrase(Outcome.CLEARS, end=end, number="3.02")) == "Do 3.02 before 4.07"
