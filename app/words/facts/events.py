"""Events that befell the build."""

from app.assembly.build import Build
from app.assembly.said.events import EVENT, Event
from app.assembly.said.kinds import Subject
from app.assembly.standing.survey import Survey
from app.words.row import Row, Words, group
from app.words.table import WHEN, WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def events(build: Build) -> Table:
    """What befell the build, and which lines hang on it."""
    rows = []
    for one in build.facts.of(EVENT).values():
        happening = build.happenings[one.what]
        lines = ", ".join(build.by_id[step].number for step in happening.disturbs if step in build.by_id)
        rows.append((clock(one.at), one.by, happening.title, one.note, lines))
    columns = (WHEN, WHO, Column("What happened", 52, 700), Column("Note", 48), Column("Lines it touches", 34))
    return Table("Events", columns, tuple(rows), "")


def happening_values(build: Build) -> list[Values]:
    """The events the plan knows: what each makes unknown, and when it befell this build."""
    befell = build.facts.of(EVENT).values()
    return [
        {
            "event": one.id,
            "title": one.title,
            "note": one.note or None,
            "disturbs": [build.by_id[step].number for step in one.disturbs if step in build.by_id],
            "happened": [
                {"at": time_text(event.at), "by": event.by, "note": event.note or None}
                for event in befell
                if event.what == one.id
            ],
        }
        for one in build.happenings.values()
    ]


def _words(_build: Build, _subject: Subject, one: Event) -> str:
    return f"{one.what}: {one.note}" if one.note else one.what


def event_rows(survey: Survey) -> list[Row]:
    """What befell the build, and what could."""
    told = [
        Row(
            "", survey.build.happenings[one.what].title, second=(Words(one.note),), right=f"{one.by}, {one.at:%d %b %Y}"
        )
        for one in survey.build.facts.of(EVENT).values()
    ]
    known = [
        Row(
            one.id,
            one.title,
            second=(Words(one.note),) if one.note else (),
            middle=f"{len(one.disturbs)} lines hang on it",
        )
        for one in survey.build.happenings.values()
    ]
    return group("Happened", told) + group("Say that it happened", known)


TELLING = Telling(
    EVENT,
    words=_words,
    values=happening_values,
    rows=event_rows,
    record=(Section(Part.FOUND, 2, lambda survey, _: (events(survey.build),)),),
)
