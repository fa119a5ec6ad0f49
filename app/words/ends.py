"""Loose ends, and what shuts a gate, as a person reads them."""

from app.assembly.said.refusal import Shut
from app.words.english import ends as english
from app.words.say import say


def title(rule: str) -> str:
    """What a rule is called, by its id."""
    return english.RULES[rule][0]


def matters(rule: str) -> str:
    """Why anybody should care about what a rule finds, by its id."""
    return english.RULES[rule][1]


def shut_why(shut: Shut) -> str:
    """Everything that is the matter with a line that keeps a gate shut."""
    return "; ".join(dict.fromkeys(say(one) for one in shut.why))
