"""Where a part is, and how it is on."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.parts import Fitted, Holding
from app.words.say import Sentence

TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    Fitted: {fit: fit.value for fit in Fitted},
    Holding: {holding: holding.value.replace("-", " ") for holding in Holding},
}
