"""The states of a line and of a place."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.marks import State
from app.words.say import Sentence

TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {State: {state: state.word for state in State}}
