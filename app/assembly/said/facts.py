"""The facts that stand of a build: a value, whose successor shares with it what did not change."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from itertools import count
from types import MappingProxyType
from typing import Any, NamedTuple, Protocol, TypeVar

from msgspec import Struct, field
from msgspec.structs import replace

from app.assembly.said.figures import Figure
from app.assembly.said.gates import Concession, Passage
from app.assembly.said.kinds import FactKind, Spot, Subject, every_kind
from app.assembly.said.marks import Mark, Tick
from app.assembly.said.parts import PartSaid
from app.assembly.said.readings import Reading

F = TypeVar("F")
K = TypeVar("K")
NOTHING: Mapping[Any, Any] = MappingProxyType({})
# No two facts ever share a version, on whichever successor of a build they stand.
_VERSIONS = count(1)


def _none() -> Mapping[Any, Any]:
    return NOTHING


class Fact(Protocol):
    """Anything said of a build: by whom, and when it was done or seen."""

    @property
    def by(self) -> str:
        """The initials of who said it."""

    @property
    def at(self) -> datetime:
        """When it was done."""


class Dated(NamedTuple):
    """A fact with what it is said of and its number in the journal: that of the deed which wrote it."""

    subject: Subject
    fact: Fact
    number: int


class Put(Protocol):
    """What is put in place: an entry of a deed, or a row that was read."""

    @property
    def subject(self) -> Subject:
        """What it is said of."""

    @property
    def new(self) -> Fact | None:
        """What stands from now on; None takes away what stood."""


class Facts(Struct, frozen=True):
    """Every fact that stands, by what it is about. `versions` tells for each key which change of it this is.

    Kinds that are asked for all the time have a shelf of their own; the others stand in `others`, by key and place.
    `numbers` holds for each subject the journal number of the deed that wrote what stands.
    """

    lines: Mapping[str, Mark] = field(default_factory=_none)
    ticks: Mapping[str, Mapping[str, Tick]] = field(default_factory=_none)
    readings: Mapping[str, Mapping[tuple[str, int], Reading]] = field(default_factory=_none)
    figures: Mapping[str, Figure] = field(default_factory=_none)
    parts: Mapping[str, PartSaid] = field(default_factory=_none)
    gates: Mapping[str, Passage] = field(default_factory=_none)
    concessions: Mapping[str, Mapping[str, Concession]] = field(default_factory=_none)
    others: Mapping[FactKind[Any], Mapping[tuple[str, str], Any]] = field(default_factory=_none)
    numbers: Mapping[Subject, int] = field(default_factory=_none)
    versions: Mapping[str, int] = field(default_factory=_none)

    def __eq__(self, other: object) -> bool:
        """Whether the same is said, whichever deeds said it."""
        if not isinstance(other, Facts):
            return NotImplemented
        return all(getattr(self, name) == getattr(other, name) for name in _SAID)

    def get(self, subject: Subject) -> Any:
        """The fact that stands of a subject, None where none does."""
        kind, key, place, turn = subject
        if not kind.shelf:
            return self.others.get(kind, NOTHING).get((key, place))
        shelf = getattr(self, kind.shelf)
        if kind.spot is Spot.NONE:
            return shelf.get(key)
        return shelf.get(key, NOTHING).get(place if kind.spot is Spot.PLACE else (place, turn))

    def standing(self, step: str, place: str, turn: int) -> Reading | None:
        """A reading that still says something: none from before its line was last disturbed."""
        reading = self.readings.get(step, NOTHING).get((place, turn))
        mark = self.lines.get(step)
        known_from = mark.known_from if mark is not None else None
        return None if reading is not None and known_from is not None and reading.at < known_from else reading

    def of(self, kind: FactKind[F]) -> Mapping[tuple[str, str], F]:
        """The facts of a kind without a shelf of its own, by key and place."""
        return self.others.get(kind, NOTHING)

    def after(self, put: Iterable[Put], number: int) -> "Facts":
        """The facts once these are put in place by the deed of that journal number; what did not change is shared."""
        return self.filled({number: put})

    def filled(self, put: Mapping[int, Iterable[Put]]) -> "Facts":
        """These facts and what each deed, by its journal number, put in place."""
        change = _Change(self)
        for number, found in put.items():
            for one in found:
                change.put(one.subject, one.new, number)
        return change.done()

    def all(self) -> dict[Subject, Fact]:
        """Every standing fact by its subject: what a replay of the journal must equal."""
        return dict(self._all())

    def dated(self) -> Iterator[Dated]:
        """Every standing fact in the order it was done, and where that is the same, written."""
        found = (Dated(subject, fact, self.numbers.get(subject, 0)) for subject, fact in self._all())
        return iter(sorted(found, key=lambda one: (one.fact.at, one.number)))

    def _all(self) -> Iterator[tuple[Subject, Fact]]:
        for kind in every_kind().values():
            if not kind.shelf:
                yield from ((Subject(kind, key, place), fact) for (key, place), fact in self.of(kind).items())
                continue
            for key, found in getattr(self, kind.shelf).items():
                if kind.spot is Spot.NONE:
                    yield Subject(kind, key), found
                elif kind.spot is Spot.PLACE:
                    yield from ((Subject(kind, key, place), fact) for place, fact in found.items())
                else:
                    yield from ((Subject(kind, key, place, turn), fact) for (place, turn), fact in found.items())


_SAID = tuple(name for name in Facts.__struct_fields__ if name not in ("numbers", "versions"))


class _Change:
    """Facts on their way to their successor: each shelf is copied when it is first written to, and only then."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts
        self._shelves: dict[str, dict[Any, Any]] = {}
        self._inner: dict[tuple[Any, ...], dict[Any, Any]] = {}

    def put(self, subject: Subject, fact: Fact | None, number: int) -> None:
        """Let a fact stand; None takes away what stood."""
        kind, key, place, turn = subject
        if not kind.shelf:
            _set(self._in("others", kind), (key, place), fact)
        elif kind.spot is Spot.NONE:
            _set(self._shelf(kind.shelf), key, fact)
        else:
            _set(self._in(kind.shelf, key), place if kind.spot is Spot.PLACE else (place, turn), fact)
        _set(self._shelf("numbers"), subject, number if fact is not None else None)
        self._shelf("versions")[key] = next(_VERSIONS)

    def done(self) -> Facts:
        """The successor; a shelf of a key with nothing left on it goes."""
        for (name, key), inner in self._inner.items():
            if not inner:
                del self._shelves[name][key]
        return replace(self._facts, **self._shelves)

    def _shelf(self, name: str) -> dict[Any, Any]:
        if name not in self._shelves:
            self._shelves[name] = dict(getattr(self._facts, name))
        return self._shelves[name]

    def _in(self, name: str, key: Any) -> dict[Any, Any]:
        if (name, key) not in self._inner:
            self._inner[name, key] = self._shelf(name)[key] = dict(self._shelf(name).get(key, NOTHING))
        return self._inner[name, key]


def _set(shelf: dict[K, Any], key: K, value: Any) -> None:
    if value is None:
        shelf.pop(key, None)
    else:
        shelf[key] = value
