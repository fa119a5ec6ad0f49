"""What is done about a finding."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.findings import Disposition
from app.words.say import Sentence

TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {Disposition: {one: one.value for one in Disposition}}
