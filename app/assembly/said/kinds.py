"""What a fact is said of, and the kinds of facts there are.

Each kind is described once, beside its class: what it is called in the journal, what its key means, and which version
its form has. A kind is found by its name: every module of this folder that describes one is looked through.
"""

from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from functools import cache
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any, Generic, NamedTuple, TypeVar

from msgspec import Struct, field

# The modules of this folder that describe no kind of fact, and are not loaded to look for one.
NO_FACTS = frozenset({"actions", "deeds", "facts", "kinds", "phrase", "refusal"})

F = TypeVar("F")
Values = dict[str, Any]


class Key(Enum):
    """What the key of a kind's subject is: the id of a step, or something of its own."""

    STEP = "step"
    OWN = "own"


class Spot(Enum):
    """What tells apart the facts that share a key."""

    NONE = "none"
    PLACE = "place"
    ROUND = "round"


class UnknownForm(ValueError):
    """A fact in a kind or form that this program does not know: a newer one wrote it."""


class FactKind(Struct, Generic[F], frozen=True, eq=False):
    """One kind of fact. `name` is what the journal calls it; `shelf` names a shelf of its own in `Facts`.

    `table` names a table of its own on disk, with a column for each field; every other kind shares one.
    `form` counts the forms a fact had; `read_up` holds for each older form what makes its values those of the next.
    """

    name: str
    fact: type[F]
    key: Key = Key.OWN
    spot: Spot = Spot.PLACE
    shelf: str = ""
    table: str = ""
    form: int = 1
    read_up: Mapping[int, Callable[[Values], Values]] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"<{self.name}>"

    def refuse_newer(self, form: int) -> None:
        """Raise UnknownForm for a form that this program does not know."""
        if not 1 <= form <= self.form:
            raise UnknownForm(
                f"a fact of the kind “{self.name}” in form {form}, of which this program knows 1 to {self.form}"
            )

    def newest(self, values: Values, form: int) -> Values:
        """The values of an older form as the newest has them; raises UnknownForm for one from a newer program."""
        self.refuse_newer(form)
        for number in range(form, self.form):
            values = self.read_up[number](values)
        return values


class Subject(NamedTuple):
    """What a fact is said of: a step, part or gate by id, and where it matters a place and a round or gate."""

    kind: FactKind[Any]
    key: str
    place: str = ""
    round: int = 0


def kind_named(name: str) -> FactKind[Any]:
    """The kind the journal calls so; raises UnknownForm where there is none."""
    found = every_kind().get(name)
    if found is None:
        raise UnknownForm(f"a fact of a kind “{name}”, which this program does not know")
    return found


@cache
def every_kind() -> Mapping[str, FactKind[Any]]:
    """All kinds by name, as the modules of this folder describe them."""
    return {kind.name: kind for kind in _described()}


def _described() -> Iterator[FactKind[Any]]:
    for name in (module.name for module in iter_modules([str(Path(__file__).parent)])):
        if name not in NO_FACTS:
            found = vars(import_module(f"{__package__}.{name}")).values()
            yield from (one for one in found if isinstance(one, FactKind))
