"""Leaving the work and coming back to it."""

from app.assembly.build import Build
from app.assembly.said.kinds import Subject
from app.assembly.said.leaving import LEFT, RESUMED, Left, Resumed
from app.assembly.standing.remembered import last_left, long_pause, must_be_remembered, not_known_final, to_be_asked
from app.assembly.standing.survey import Survey
from app.words.lines import line_values
from app.words.say import say
from app.words.table import WHEN, WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def notes_left(build: Build) -> Table:
    """What was written each time the work was left, and what was to be remembered then."""
    rows = [
        (clock(one.at), one.by, one.note, "; ".join(say(item) for item in one.items))
        for one in build.facts.of(LEFT).values()
    ]
    columns = (WHEN, WHO, Column("Note", 62, 700), Column("To be remembered", 72))
    return Table("Notes on leaving", columns, tuple(rows), "")


def remembered_values(survey: Survey) -> list[Values]:
    """What must be remembered on leaving, one object each."""
    return [{"text": say(one)} for one in must_be_remembered(survey)]


def resume_values(survey: Survey) -> list[Values]:
    """One object: the note left last, the lines to ask about, and after months what is not known to be final."""
    left = last_left(survey.build)
    since = long_pause(survey)
    return [
        {
            "left": _left(left) if left else None,
            "ask": [line_values(line) | {"state": survey.state(line).value} for line in to_be_asked(survey)],
            "stood_since": time_text(since),
            "not_final": [
                line_values(line) | {"state": survey.state(line).value}
                for line in (not_known_final(survey, since) if since is not None else ())
            ],
        }
    ]


def _left(left: Left) -> Values:
    return {"note": left.note, "by": left.by, "at": time_text(left.at), "items": [say(one) for one in left.items]}


def _resumed(_build: Build, _subject: Subject, one: Resumed) -> str:
    if not one.confirmed and not one.doubted:
        return "skipped the question"
    return f"{len(one.confirmed)} still true, {len(one.doubted)} doubted"


TELLING = Telling(
    LEFT,
    words=lambda _build, _subject, one: one.note or "left",
    values=remembered_values,
    record=(Section(Part.KEPT, 4, lambda survey, _: (notes_left(survey.build),)),),
)
TELLING_BACK = Telling(RESUMED, words=_resumed, values=resume_values)
