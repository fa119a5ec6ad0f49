"""Every kind of thing there is to say has its sentence, and whoever says it gives what the sentence wants."""

import ast
import inspect
import string
from collections.abc import Iterator
from enum import Enum
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest

import app
from app.words import english
from app.words.say import Sentence

Tables = dict[type[Enum], dict[Enum, Sentence]]


def _tables() -> Iterator[tuple[type[Enum], dict[Enum, Sentence]]]:
    for module in iter_modules(english.__path__):
        tables: Tables = getattr(import_module(f"{english.__name__}.{module.name}"), "TABLES", {})
        yield from tables.items()


SENTENCES = dict(_tables())


@pytest.mark.parametrize("kinds", SENTENCES, ids=lambda kinds: kinds.__name__)
def test_every_kind_has_its_sentence_in_the_module_of_its_name(kinds: type[Enum]) -> None:
    assert set(SENTENCES[kinds]) == set(kinds)
    home = import_module(f"app.words.english.{kinds.__module__.rpartition('.')[2]}")
    assert kinds in home.TABLES


def _phrases() -> Iterator[tuple[str, str, frozenset[str], str]]:
    """Each `phrase(Kinds.MEMBER, name=…)` in the program, with where it stands."""
    root = Path(app.__file__).parent
    for path in sorted(root.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            match node:
                case ast.Call(
                    func=ast.Name(id="phrase"),
                    args=[ast.Attribute(value=ast.Name(id=kinds), attr=member)],
                    keywords=given,
                ):
                    names = frozenset(one.arg or "" for one in given)
                    yield kinds, member, names, f"{path.relative_to(root)}:{node.lineno}"


def _wanted(sentence: Sentence) -> set[str] | None:
    """The arguments a sentence names; None for a function that takes any."""
    if isinstance(sentence, str):
        return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}
    given = inspect.signature(sentence).parameters.values()
    if any(one.kind is inspect.Parameter.VAR_KEYWORD for one in given):
        return None
    return {one.name for one in given if one.default is inspect.Parameter.empty}


def test_whoever_says_something_gives_what_the_sentence_wants() -> None:
    by_name = {kinds.__name__: sentences for kinds, sentences in SENTENCES.items()}
    checked, wrong = 0, []
    for kinds, member, given, where in _phrases():
        if kinds not in by_name or "" in given:  # "": arguments handed on together
            continue
        sentences = {kind.name: sentence for kind, sentence in by_name[kinds].items()}
        wanted = _wanted(sentences[member])
        checked += 1
        if wanted is not None and not wanted <= given:
            wrong.append(f"{where} {member} lacks {sorted(wanted - given)}")
    assert not wrong
    assert checked > 100


OURS = [kinds for kinds in SENTENCES if kinds.__module__.rpartition(".")[2] in ("refusals", "reasons", "labels")]


@pytest.mark.parametrize("kinds", OURS, ids=lambda kinds: kinds.__name__)
def test_nothing_has_a_sentence_that_nobody_says(kinds: type[Enum]) -> None:
    root = Path(app.__file__).parent
    texts = [path.read_text("utf-8") for path in root.rglob("*.py") if path.parent.name != "english"]
    assert [kind.name for kind in kinds if not any(f"{kinds.__name__}.{kind.name}" in text for text in texts)] == []
