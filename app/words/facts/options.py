"""Options answered anew."""

from collections.abc import Iterator

from app.assembly.build import ARRANGEMENT, Build
from app.assembly.deeds.options import CHANGEABLE
from app.assembly.said.options import OPTION, Chosen
from app.assembly.standing.survey import Survey
from app.words.row import Row, Words
from app.words.table import WHEN, WHO, Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, time_text


def options(build: Build) -> Table:
    """Options answered anew, and the engine laid out otherwise, in the middle of the build."""
    rows = [
        (
            _asked(build, key),
            _answer_before(build, key),
            _answer(build, key, one.choice),
            one.why,
            one.by,
            clock(one.at),
        )
        for (key, _), one in build.facts.of(OPTION).items()
    ]
    columns = (Column("Option", 44, 700), Column("Made with", 28), Column("Now", 28), Column("Why", 34), WHO, WHEN)
    return Table("Options changed", columns, tuple(rows), "")


def _asked(build: Build, key: str) -> str:
    if key.startswith(ARRANGEMENT):
        return f"How many: {key.removeprefix(ARRANGEMENT).replace('_', ' ')}?"
    return next((option.ask for option in build.plan_options if option.id == key), key)


def _answer_before(build: Build, key: str) -> str:
    if key.startswith(ARRANGEMENT):
        return str(getattr(build.made_as, key.removeprefix(ARRANGEMENT)))
    return _answer(build, key, build.made_with.get(key, ""))


def _answer(build: Build, key: str, choice: str) -> str:
    choices = next((option.choices for option in build.plan_options if option.id == key), ())
    return next((one.title for one in choices if one.id == choice), choice)


def option_values(build: Build) -> list[Values]:
    """The plan's options as they are answered now, then the counts of the engine's arrangement."""
    changed = build.facts.of(OPTION)
    options = [
        {
            "option": one.id,
            "ask": one.ask,
            "choice": build.options.get(one.id, one.default),
            "choices": {choice.id: choice.title for choice in one.choices},
            "made_with": build.made_with.get(one.id, one.default),
        }
        for one in build.plan_options
    ]
    return [one | _chosen(changed.get((one["option"], ""))) for one in (*options, *_counts(build))]


def _counts(build: Build) -> Iterator[Values]:
    for name in CHANGEABLE if build.arrangement is not None else ():
        yield {
            "option": f"{ARRANGEMENT}{name}",
            "ask": f"How many: {name.replace('_', ' ')}?",
            "choice": str(getattr(build.arrangement, name)),
            "choices": {},
            "made_with": str(getattr(build.made_as, name)),
        }


def _chosen(one: Chosen | None) -> Values:
    if one is None:
        return {"by": None, "at": None, "why": None}
    return {"by": one.by, "at": time_text(one.at), "why": one.why or None}


def option_rows(survey: Survey) -> list[Row]:
    """The plan's questions and the answers in force."""
    build = survey.build
    rows = []
    for option in build.plan_options:
        chosen = build.options.get(option.id, option.default)
        title = next((choice.title for choice in option.choices if choice.id == chosen), chosen)
        rows.append(Row(option.id, option.ask, second=(Words(option.note),) if option.note else (), middle=title))
    if build.arrangement is not None:
        rows.append(Row("", "How the engine is laid out", heading=True))
        rows += [
            Row(
                f"{ARRANGEMENT}{name}",
                name.replace("_", " ").capitalize(),
                middle=str(getattr(build.arrangement, name)),
            )
            for name in CHANGEABLE
        ]
    return rows


TELLING = Telling(
    OPTION,
    words=lambda _build, _subject, one: one.choice,
    values=option_values,
    rows=option_rows,
    record=(Section(Part.FOUND, 3, lambda survey, _: (options(survey.build),)),),
)
