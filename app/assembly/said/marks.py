"""Marks: the state a line was put in, and the ticks of its places."""

import re
from datetime import datetime
from enum import Enum

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Spot, Values
from app.assembly.said.older import read_up
from app.assembly.said.phrase import Phrase, phrase, phrase_values
from app.assembly.said.reasons import Because


class State(Enum):
    """What a line can be. The value is what is typed; `word` is what is shown."""

    TO_DO = "to-do"
    STARTED = "started"
    DONE = "done"
    LATER = "later"
    NOT_NEEDED = "not-needed"
    STOPPED = "stopped"
    LOOK_AGAIN = "look-again"

    @property
    def word(self) -> str:
        """The state as a person reads it: “Look again”."""
        return self.value.replace("-", " ").capitalize()


class Mark(Struct, frozen=True):
    """The state a line was put in, by whom and when; Done is the sign-off.

    A reading older than `known_from` was taken before something that disturbed the line and counts no more. `meanwhile`
    says how a thing put off looks until then: finger-tight, a tag, an empty hole. `why` is what the person wrote, and
    `because` why the program put the line so.
    """

    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    was_ready: bool = True
    disturbed_by: str = ""
    meanwhile: str = ""
    known_from: datetime | None = None
    because: Phrase | None = None


class Tick(Struct, frozen=True):
    """One place of a many-alike line marked; `together` says it was ticked in one stroke with others."""

    state: State
    by: str
    at: datetime
    together: bool = False


# What a mark said for the program before form 2, in its own English.
_OLD = (
    (r"(?P<line>\d+\.\w+) (?P<do>.*): was done after it", Because.DONE_AFTER),
    (r"(?P<line>\d+\.\w+) (?P<do>.*): is no longer known", Because.NOT_KNOWN),
    (r"(?P<line>\d+\.\w+) (?P<do>.*): is To do again", Because.TO_DO_AGAIN),
    (r"doubted on coming back\.", Because.DOUBTED_ON_COMING_BACK),
    (r"its figure is (?P<figure>.*) now\.", Because.FIGURE_IS_NOW),
    (r"the engine has (?P<count>\d+) (?P<what>.*) now\.", Because.ENGINE_HAS_NOW),
    (r"the joint was slackened: (?P<why>.*)\.", Because.JOINT_SLACKENED),
    (r"the value at (?P<place>.*) was rubbed out\.", Because.VALUE_RUBBED_OUT),
    (r"(?P<place>.*) reads (?P<value>.*), out of limits\.", Because.READS_OUT),
    (r"second look: (?P<values>.*) out of limits\.", Because.SECOND_LOOK_OUT),
    (r"(?P<tool>.*) was found wrong\.", Because.FOUND_WRONG),
    (r"(?P<what>.*) was opened\.", Because.THING_OPENED),
    (r"(?P<what>.*)\.", Because.OPENED),
)
_OPENED = re.compile(r"(?P<line>\d+\.\w+) (?P<do>.*): was opened \((?P<state>.*)\)", re.DOTALL)


def _because(values: Values) -> Values:
    """Form 1 kept the program's reasons as sentences where a person's stand: on lines it had made Look again itself."""
    at, known_from, text = (values.get(name) for name in ("at", "known_from", "why"))
    if values.get("state") != State.LOOK_AGAIN.value or known_from is None or known_from != at or not text:
        return values | {"because": None}
    found = _OPENED.fullmatch(text)
    state = next((one for one in State if found and one.word == found["state"]), None)
    if found is not None and state is not None:
        args = {"line": found["line"], "do": found["do"], "state": phrase(state)}
        return values | {"why": "", "because": phrase_values(Phrase(Because.WAS_OPENED, args))}
    return values | {"why": "", "because": read_up(text, _OLD, Because.AS_WRITTEN)}


MARK = FactKind("line", Mark, Key.STEP, spot=Spot.NONE, shelf="lines", table="line_mark", form=2, read_up={1: _because})


TICK = FactKind("tick", Tick, Key.STEP, shelf="ticks", table="tick")
