"""Doing one thing to a build, and saying what it comes to and what it moves."""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from pathlib import Path

import click

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.said.actions import Action
from app.cli.opening import open_build
from app.cli.options import pairs
from app.cli.saying import print_values, this_moment
from app.cli.trouble import complain
from app.exchange.deeds import deed_values
from app.words.telling import Values
from app.words.times import moment_of_year


def said(words: Iterable[str], known: Iterable[str], what: str) -> dict[str, str]:
    """The NAME=VALUE words of --say; a name that is not known is told of, with those that are."""
    typed = dict(pairs(words, "--say"))
    unknown = [name for name in typed if name not in known]
    if unknown:
        raise click.BadParameter(f"“{unknown[0]}” is nothing {what}; it is one of {', '.join(known)}.")
    return typed


def who(by: str | None, *, preview: bool = False) -> str:
    """The initials given, where a verb that also lists is to do something; a mere look needs none."""
    if by is None and not preview:
        raise click.UsageError("Missing option '--by'.")
    return "?" if by is None else by


def need(given: bool, sentence: str) -> None:
    """Wrong use of a verb, in one sentence, where what is needed is not given."""
    if not given:
        raise click.UsageError(sentence)


def do(
    folder: Path,
    name: str,
    action: Callable[[datetime], Action],
    when: datetime | None,
    *,
    as_json: bool = False,
    preview: bool = False,
    say: Callable[[Values], str] | None = None,
) -> Build:
    """Decide an action, write it unless it is only looked at, and say what it comes to; gives the build then."""
    moment = this_moment()
    with open_build(folder, name, write=not preview) as (workshop, build):
        deed = decide(build, action(when or moment))
        value = deed_values(build, deed)
        if not preview:
            build = workshop.commit(build, deed, now=moment)
    print_values([value], as_json, _would_line if preview else say or _did_line)
    if when is not None and when > moment:
        complain([f"{moment_of_year(when)} is still to come; look at the clock."])
    return build


def _did_line(value: Values) -> str:
    return "\n".join([value["did"], *_moved_lines(value)])


def _would_line(value: Values) -> str:
    moved = [*_moved_lines(value)] or ["  Nothing becomes Look again."]
    return "\n".join([f"Would be: {value['did']}", *moved])


def _moved_lines(value: Values) -> Iterator[str]:
    """What a deed moves besides itself: lines that come, go, or become Look again."""
    yield from (f"  {one['line']} comes: {one['title']}" for one in value["comes"])
    yield from (f"  {one['line']} goes: {one['title']}" for one in value["goes"])
    yield from (f"  {one['line']} gets other places: {one['title']}" for one in value["other_places"])
    yield from (f"  {one['line']} Look again: {one['why']}" for one in value["look_again"])
