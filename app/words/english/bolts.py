"""What an attempt at a stud came to; torques in N·m and stretches in mm, as they were written."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.bolts import Tried
from app.assembly.said.phrase import Phrase
from app.words.say import Sentence, say

_REACHED = "{torque} N·m came before the stretch and the torque were both within"


def _at_place(place: str, because: Phrase | None) -> str:
    return f"{place}: {say(because).rstrip('.')}" if because is not None else place


TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    Tried: {
        Tried.AS_WRITTEN: "{text}",
        Tried.AT_PLACE: _at_place,
        Tried.KEEP_GOING: "{torque} N·m and {stretch} mm are not there yet: keep going, and read the stretch often.",
        Tried.REPLACE: f"{_REACHED} for the second time: replace the stud.",
        Tried.SLACKENED: "slackened to try again",
        Tried.SLACKEN_GROUP: f"{_REACHED}: slacken all of the group and try once more.",
        Tried.TOO_LONG: "{stretch} mm is over the {most} mm allowed at {torque} N·m: replace the stud.",
        Tried.WITHIN: "{torque} N·m and {stretch} mm are both within: leave it, and never pull a good stud further.",
    }
}
