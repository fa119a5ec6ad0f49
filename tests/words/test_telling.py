"""Each kind of fact is described once: its words, what is listed of it, and its place in the record."""

from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any

import pytest

from app.assembly.said.kinds import FactKind, every_kind
from app.words import facts
from app.words.telling import Part, Telling, telling

KINDS = tuple(every_kind().values())


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_kind_has_its_telling_in_the_module_of_its_name(kind: FactKind[Any]) -> None:
    found = telling(kind)
    assert found.kind is kind
    module = kind.fact.__module__.rpartition(".")[2]
    assert found in vars(import_module(f"app.words.facts.{module}")).values()


def test_no_telling_stands_without_its_kind() -> None:
    told = [
        one
        for module in iter_modules([str(Path(facts.__file__).parent)])
        for one in vars(import_module(f"{facts.__name__}.{module.name}")).values()
        if isinstance(one, Telling)
    ]
    assert len(told) == len(KINDS)
    assert {one.kind for one in told} == set(KINDS)


def test_a_kind_that_nobody_described_is_told_as_such() -> None:
    class Hat:
        by, at = "AB", datetime(2026, 3, 1, tzinfo=UTC)

    Hat.__module__ = "app.assembly.said.marks"
    with pytest.raises(LookupError, match="no telling of <hat>"):
        telling(FactKind("hat", Hat))


def test_the_sections_of_the_record_have_one_order() -> None:
    places = [(section.part, section.order) for kind in KINDS for section in telling(kind).record]
    assert len(set(places)) == len(places)
    assert {part for part, _ in places} == set(Part)
