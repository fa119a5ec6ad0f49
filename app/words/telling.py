"""How each kind of fact is told: one description a kind, in the module of app/words/facts that has its kind's name."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from enum import Enum
from functools import cache
from importlib import import_module
from typing import Any, Generic, TypeVar

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.deeds import EventName, Verb
from app.assembly.said.kinds import FactKind, Key, Subject, every_kind
from app.assembly.said.phrase import Phrase
from app.assembly.standing.survey import Survey
from app.words.row import Row
from app.words.table import Table

F = TypeVar("F")
Values = dict[str, Any]


class Told(Struct, frozen=True):
    """One entry of the journal in words. `line` is "" where no line is meant.

    `because` is the reason where the program gave it; `why` says it, or what a person wrote.
    """

    at: datetime
    by: str
    event: EventName | Verb
    line: str
    what: str
    old: str
    new: str
    why: str
    because: Phrase | None = None


class Part(Enum):
    """The parts of the record that facts stand in, in their order."""

    FOUND = 1
    FIGURES = 2
    WORKED = 3
    KEPT = 4


class Section(Struct, frozen=True):
    """Tables of the record: in which part they stand, where among those of other kinds, and how they are made."""

    part: Part
    order: int
    tables: Callable[[Survey, Sequence[Told]], Iterable[Table]]


Named = Callable[[Build, Subject], str]


def by_its_line(build: Build, subject: Subject) -> str:
    """What is to be done at the line a fact is about; one that an option took away is told all the same."""
    return told_of_line(build, subject, lambda line: line.step.do)


def told_of_line(build: Build, subject: Subject, words: Callable[[Line], str]) -> str:
    """The words for the line of a subject, where it is in the build; else what it was to do, or its id."""
    line = build.by_id.get(subject.key)
    if line is not None:
        return words(line)
    return next((one.step.do for one in build.plan_lines if one.id == subject.key), subject.key)


def by_its_place(build: Build, subject: Subject) -> str:
    """As `by_its_line`, with the place where the line has several."""

    def words(line: Line) -> str:
        place = next((place.title for place in line.places if place.id == subject.place), subject.place)
        return f"{line.step.do}, {place}" if len(line.places) > 1 else line.step.do

    return told_of_line(build, subject, words)


def by_its_part(build: Build, subject: Subject) -> str:
    """The name of the part a fact is about."""
    parts = (part for line in build.lines for part in line.step.parts)
    return next((part.name for part in parts if part.id == subject.key), subject.key)


class Telling(Struct, Generic[F], frozen=True, eq=False):
    """How a kind of fact is told.

    `words` says one in the journal, `named` what it is about; `nothing` is said where none stands. `values` gives
    what is listed as plain data, `rows` what a list on the screen shows, and `record` its sections in the build record.
    """

    kind: FactKind[F]
    words: Callable[[Build, Subject, F], str]
    named: Named | None = None
    nothing: str = ""
    values: Callable[..., list[Values]] | None = None
    rows: Callable[..., list[Row]] | None = None
    record: tuple[Section, ...] = ()

    def what(self, build: Build, subject: Subject) -> str:
        """What an entry of this kind is about."""
        if self.named is not None:
            return self.named(build, subject)
        return by_its_line(build, subject) if self.kind.key is Key.STEP else f"{self.kind.name} {subject.key}"


@cache
def telling(kind: FactKind[F]) -> Telling[F]:
    """How a kind is told; raises LookupError for one that nobody described."""
    module = import_module(f"{__package__}.facts.{kind.fact.__module__.rpartition('.')[2]}")
    for one in vars(module).values():
        if isinstance(one, Telling) and one.kind is kind:
            return one
    raise LookupError(f"no telling of {kind!r}")


def record_tables(part: Part, survey: Survey, entries: Sequence[Told]) -> Iterator[Table]:
    """The tables of one part of the record that facts bring, in their order."""
    found = [section for kind in every_kind().values() for section in telling(kind).record if section.part is part]
    for section in sorted(found, key=lambda one: one.order):
        yield from section.tables(survey, entries)
