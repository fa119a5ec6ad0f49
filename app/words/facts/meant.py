"""How figures and readings of a line are meant."""

from app.assembly.build import Build
from app.assembly.said.kinds import Subject
from app.assembly.said.meant import UNDER, WIDTH, SaidWidth
from app.words.telling import Telling


def _width(_build: Build, _subject: Subject, one: SaidWidth) -> str:
    return f"{one.figure}: {one.source}"


TELLING = Telling(WIDTH, words=_width)
TELLING_UNDER = Telling(UNDER, words=lambda _build, _subject, one: one.text or "not said")
