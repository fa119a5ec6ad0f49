"""The marks of lines and places."""

from app.assembly.build import Build
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, TICK, Mark
from app.words.telling import Telling, by_its_place


def _mark(build: Build, _subject: Subject, one: Mark) -> str:
    late = build.by_id.get(one.before)
    return f"{one.state.value} before {late.number}" if late else one.state.value


TELLING = Telling(MARK, words=_mark, nothing="to-do")
TELLING_TICK = Telling(
    TICK,
    words=lambda _build, subject, one: f"{subject.place} {one.state.value}",
    named=by_its_place,
    nothing="to-do",
)
