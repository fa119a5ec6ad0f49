"""Values written at places."""

from app.assembly.build import Build
from app.assembly.said.kinds import Subject
from app.assembly.said.readings import READING, Reading
from app.words.telling import Telling, by_its_place


def _words(_build: Build, subject: Subject, one: Reading) -> str:
    return one.text if not subject.place or subject.place == "engine" else f"{subject.place} {one.text}"


TELLING = Telling(READING, words=_words, named=by_its_place)
