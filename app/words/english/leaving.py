"""What must be remembered on leaving the work."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.leaving import Remembered
from app.words.say import Sentence

TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    Remembered: {
        Remembered.AS_WRITTEN: "{text}",
        Remembered.HALF_TICKED: "{line} in hand, not to be trusted, {ticked} of {of} ticked: {do}",
        Remembered.IN_HAND: "{line} in hand, not to be trusted: {do}",
        Remembered.LOST: "Lost: {thing}",
        Remembered.STANDS_IN: "{line} only stands in for another line: {do}",
        Remembered.STILL_IN: "Still in: {thing}",
        Remembered.STILL_OPEN: "{line} still open: {do}",
    }
}
