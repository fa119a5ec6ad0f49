"""What all verbs share: opening a build, doing one thing to it, printing lists, and saying no in one line."""

import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import wraps
from pathlib import Path
from typing import Any, NoReturn

import click

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.said.actions import Action
from app.assembly.said.refusal import NotReady, Refused
from app.assembly.standing.survey import Survey
from app.exchange.export_further import Values, deed_values
from app.store.errors import StoreError
from app.store.workshop import Workshop
from app.words.say import refusal, told

# A time outside these is a slip of the keys, and cannot be told in every zone.
FIRST_YEAR, LAST_YEAR = 1970, 2200
LIST = "list"


class Trouble(Exception):
    """Something a person can mend; `lines` are printed, one each."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = tuple(lines)


def complain(lines: Iterable[str]) -> None:
    """Say each line on standard error."""
    for line in lines:
        click.echo(f"firstcrank: {line}", err=True)


@contextmanager
def _telling() -> Iterator[None]:
    try:
        yield
    except NotReady as error:
        raise Trouble([refusal(error), *(_reason_line(reason) for reason in error.reasons)]) from error
    except Refused as error:
        raise Trouble([refusal(error)]) from error
    except StoreError as error:
        raise Trouble([str(error)]) from error
    except BrokenPipeError:
        _leave_quietly()
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        raise Trouble([f"{where}{error.strerror or error}. Nothing was changed."]) from error


def _leave_quietly() -> NoReturn:
    """The reader went away (… | head): what was to be done is done, and there is nobody to say it to."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(0)


def _reason_line(reason: Any) -> str:
    return f"{reason.line} {told(reason.why)}. {reason.clears}. If nobody does: {reason.harm.removesuffix('.')}."


def verb(function: Callable[..., Any]) -> Callable[..., Any]:
    """A verb whose refusals come out as one line each."""

    @wraps(function)
    def told_well(*args: Any, **kwargs: Any) -> Any:
        with _telling():
            return function(*args, **kwargs)

    return told_well


class Moment(click.ParamType[datetime]):
    """A time as typed: ISO 8601, in this computer's zone where none is given."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """Read the time or say how one is written."""
        if isinstance(value, datetime):
            return value
        try:
            at = datetime.fromisoformat(value.strip())
        except ValueError:
            self.fail(f"“{value}” is not a time; write it as 2026-03-14T19:30.", param, ctx)
        if not FIRST_YEAR <= at.year <= LAST_YEAR:
            self.fail(f"“{value}” is not in the years {FIRST_YEAR} to {LAST_YEAR}.", param, ctx)
        return at.astimezone()


folder = click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
build_name = click.argument("build_name", metavar="BUILD")
line_number = click.argument("line", metavar="LINE")
by = click.option("--by", required=True, metavar="AB", help="Initials of who did it.")
by_if_done = click.option(
    "--by", metavar="AB", help="Initials of who did it; without anything to do they are not asked."
)
why = click.option("--why", default="", metavar="TEXT")
at = click.option("--at", type=Moment(), metavar="TIME", help="When it was done, if not now.")
as_json = click.option("--json", "as_json", is_flag=True, help="Print one array of objects.")
preview = click.option("--preview", is_flag=True, help="Only say what would become Look again; change nothing.")


def this_moment() -> datetime:
    """This moment with its zone."""
    return datetime.now().astimezone()


@contextmanager
def open_build(directory: Path, name: str, *, write: bool = False) -> Iterator[tuple[Workshop, Build]]:
    """A workshop and one of its builds, by name or number."""
    with Workshop.open_at(directory, now=this_moment(), write=write) as workshop:
        yield workshop, workshop.load(workshop.find(name))


def print_values(values: list[Values], as_json: bool, line: Callable[[Values], str]) -> None:
    """Print values as one array of objects, or each as its line."""
    if as_json:
        click.echo(json.dumps(values, ensure_ascii=False, indent=1))
        return
    for value in values:
        click.echo(line(value))


def list_values(
    folder: Path, name: str, values: Callable[[Survey], list[Values]], as_json: bool, line: Callable[[Values], str]
) -> None:
    """Print what a build lists at this moment."""
    with open_build(folder, name) as (_, build):
        found = values(Survey(build, this_moment()))
    print_values(found, as_json, line)


def pairs(words: Iterable[str], option: str) -> Iterator[tuple[str, str]]:
    """NAME=VALUE words of an option, each cut in two."""
    for word in words:
        key, equals, value = word.partition("=")
        if not equals or not key.strip():
            raise click.BadParameter(f"“{word}” is not written as NAME=VALUE.", param_hint=option)
        yield key.strip(), value.strip()


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
) -> None:
    """Decide an action, write it unless it is only looked at, and say what it comes to and what it moves."""
    moment = this_moment()
    with open_build(folder, name, write=not preview) as (workshop, build):
        deed = decide(build, action(when or moment))
        value = deed_values(build, deed)
        if not preview:
            workshop.commit(build, deed, now=moment)
    print_values([value], as_json, _would_line if preview else say or _did_line)
    if when is not None and when > moment:
        complain([f"{when.isoformat(timespec='minutes')} is still to come; look at the clock."])


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
