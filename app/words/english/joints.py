"""Which figure of a joint a table gave."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.joints import TakenFrom
from app.words.say import Sentence

_FROM = " ({edition}; {source}; {known})"

TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    TakenFrom: {
        TakenFrom.AS_WRITTEN: "{text}",
        TakenFrom.FRICTION: "K {low} to {high} for {state} threads ({source}; {known})",
        TakenFrom.PRESSURE: "{name}: at most {mpa} MPa under the head" + _FROM,
        TakenFrom.PROOF: "{name}: proof {mpa} MPa" + _FROM,
        TakenFrom.TENSILE: "{name}: tensile {mpa} MPa" + _FROM,
    }
}
