"""The units a person thinks in."""

from app.assembly.said.units import UNITS_SAID
from app.words.telling import Telling

TELLING = Telling(
    UNITS_SAID,
    words=lambda _build, _subject, one: one.system or "as the plan",
    named=lambda _build, _subject: "Units shown first",
)
