"""What lines wait for, in words: every kind has its sentence, and times and numbers are said as a person says them."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from enum import Enum

import pytest

from app.assembly.said.phrase import Arg, Phrase, phrase
from app.assembly.said.refusal import Refused
from app.assembly.standing.waits import NotYet, Waiting, WaitKind, WaitWords, Wants
from app.words.english.waits import TABLES
from app.words.say import refusal, say
from app.words.times import moment

AT = datetime(2026, 3, 3, 18, 30, tzinfo=UTC)
LINE: Mapping[str, Arg] = {"number": "1.04", "do": "Wash the block"}
SAID: dict[Enum, tuple[Mapping[str, Arg], str]] = {
    WaitKind.LINE: (LINE, "1.04 Wash the block"),
    WaitKind.FINDINGS: (LINE, "1.04 Wash the block: its findings decide"),
    WaitKind.FLOATS: (LINE, "1.04 Wash the block: it must not come after this"),
    WaitKind.HIDDEN: (LINE, "1.04 Wash the block: this hides it"),
    WaitKind.BETWEEN: (
        {**LINE, "after": "1.02", "because": ""},
        "1.04 Wash the block: nothing is turned between 1.02 and it",
    ),
    WaitKind.STOOD_IN: ({**LINE, "after": "1.02"}, "1.04 Wash the block: 1.02 only stands in for it"),
    WaitKind.AGAIN: (
        {"number": "1.04", "within": "24 h", "over": AT},
        f"1.04 to be done again, its 24 h were over on {moment(AT)}",
    ),
    WaitKind.CURE: ({"number": "1.04", "because": "the sealant cures"}, "1.04, the sealant cures"),
    WaitKind.INSIDE: (
        {"count": 2, "name": "Rag", "where": "in the bores"},
        "2 × Rag, in the bores to come out: nothing is turned with it in",
    ),
    WaitKind.GATE: ({"title": "Crank"}, "the gate “Crank” to be passed"),
    WaitKind.HOLD: (LINE, "the hold 1.04 to be opened: Wash the block"),
    WaitKind.SYMPTOM: (
        {"key": "f1", "number": "1.04", "what": "a knock"},
        "the symptom f1 at 1.04 to be explained: a knock",
    ),
    WaitKind.PART: ({"name": "Oil", "holding": "on-order"}, "Oil, on order"),
    WaitKind.FIGURE: ({}, "its figure to be entered, with the source"),
    WaitKind.DECISION: ({"why": "it binds"}, "a decision: it binds"),
    WaitKind.PUT_OFF: ({"before": "2.01", "why": "no bolt"}, "put off to before 2.01: no bolt"),
    WaitWords.UNTIL: ({"what": phrase(WaitKind.LINE, **LINE), "until": AT}, f"1.04 Wash the block, until {moment(AT)}"),
    NotYet.BEGUN: (
        {"number": "2.01", "waits": (phrase(WaitKind.LINE, **LINE),), "more": 0},
        "2.01 cannot be begun yet: it waits for 1.04 Wash the block.",
    ),
    NotYet.SIGNED_OFF: (
        {"number": "2.01", "waits": (phrase(WaitKind.LINE, **LINE), phrase(WaitKind.FIGURE)), "more": 3},
        "2.01 cannot be signed off yet: it waits for 1.04 Wash the block; its figure to be entered, with the source; "
        "and 3 more.",
    ),
    NotYet.TICKED: (
        {"number": "2.01", "waits": (phrase(WaitKind.GATE, title="Crank"),), "more": 0},
        "2.01 cannot be ticked yet: it waits for the gate “Crank” to be passed.",
    ),
    NotYet.TIGHTENED: (
        {"number": "2.01", "waits": (phrase(WaitKind.FIGURE),), "more": 0},
        "2.01 cannot be tightened yet: it waits for its figure to be entered, with the source.",
    ),
}


@pytest.mark.parametrize("kind", SAID, ids=lambda kind: f"{type(kind).__name__}.{kind.name}")
def test_each_kind_is_said_in_its_sentence(kind: Enum) -> None:
    args, sentence = SAID[kind]
    assert say(Phrase(kind, args)) == sentence


def test_no_kind_is_without_a_sentence() -> None:
    kinds = {kind for enum in (WaitKind, WaitWords, NotYet) for kind in enum}
    assert {kind for table in TABLES.values() for kind in table} == kinds == set(SAID)


@pytest.mark.parametrize(
    ("within", "were"), [("1 h", "its 1 h was over"), ("1 day", "its 1 day was over"), ("10 days", "its 10 days were")]
)
def test_a_time_that_is_over_is_said_after_its_number(within: str, were: str) -> None:
    assert were in say(phrase(WaitKind.AGAIN, number="1.04", within=within, over=AT))


def test_why_nothing_is_turned_is_said_where_the_plan_says_it() -> None:
    said = say(phrase(WaitKind.BETWEEN, **LINE, after="1.02", because="the seal is torn"))
    assert said.endswith("between 1.02 and it, the seal is torn")


def test_a_wait_without_a_why_is_called_a_wait() -> None:
    assert say(phrase(WaitKind.CURE, number="1.04", because="")) == "1.04, wait"


def test_only_a_wait_for_time_says_until_when() -> None:
    cure = Waiting(phrase(WaitKind.CURE, number="1.04", because="it cures"), "1.04", AT + timedelta(hours=1))
    assert say(cure.whole) == f"1.04, it cures, until {moment(AT + timedelta(hours=1))}"
    figure = Waiting(phrase(WaitKind.FIGURE))
    assert figure.whole is figure.said


def test_every_kind_of_wait_is_of_some_sort() -> None:
    assert {Waiting(phrase(kind)).wants for kind in WaitKind} == set(Wants)


def test_a_refusal_says_what_it_holds() -> None:
    assert refusal(Refused(phrase(WaitKind.FIGURE))) == "its figure to be entered, with the source"
