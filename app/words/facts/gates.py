"""Gates gone through, and what was gone on with in writing."""

from app.assembly.said.gates import CONCESSION, GATE
from app.words.telling import Telling

TELLING = Telling(
    GATE,
    words=lambda _build, _subject, one: f"passed by {one.by}",
    named=lambda build, subject: build.gate(subject.key).title,
)
TELLING_CONCESSION = Telling(CONCESSION, words=lambda _build, _subject, one: one.text)
