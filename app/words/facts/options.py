"""Options answered anew."""

from collections.abc import Iterator

from app.assembly.build import ARRANGEMENT, Build
from app.assembly.deeds.options import CHANGEABLE
from app.assembly.said.options import OPTION, Chosen
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


TELLING = Telling(
    OPTION,
    words=lambda _build, _subject, one: one.choice,
    values=option_values,
    record=(Section(Part.FOUND, 3, lambda survey, _: (options(survey.build),)),),
)
