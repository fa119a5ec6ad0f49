"""Parts: where each is, and how it is on."""

from app.assembly.build import Build
from app.assembly.said.parts import FIT, PART, PartFit
from app.words.telling import Telling, Values, by_its_part
from app.words.times import time_text


def fit_values(build: Build) -> list[Values]:
    """Each part of the plan, and how it was said to be on apart from the plan's own lines."""
    said = build.facts.of(FIT)
    names = {part.id: part.name for line in build.lines for part in line.step.parts}
    return [
        {"part": part, "name": name} | _fit(said.get((part, "")))
        for part, name in sorted(names.items(), key=lambda pair: pair[0])
    ]


def _fit(one: PartFit | None) -> Values:
    if one is None:
        return {"fit": None, "by": None, "at": None, "why": None}
    return {"fit": one.fit.value, "by": one.by, "at": time_text(one.at), "why": one.why or None}


TELLING = Telling(PART, words=lambda _build, _subject, one: one.holding.value, named=by_its_part)
TELLING_FIT = Telling(FIT, words=lambda _build, _subject, one: one.fit.value, named=by_its_part, values=fit_values)
