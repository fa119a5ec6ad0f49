"""Saying what a verb comes to: values as lines or JSON, and no in one line."""

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import wraps
from typing import Any, NoReturn

import click

from app.assembly.said.refusal import NotReady, Refused
from app.cli.trouble import Trouble
from app.store.errors import StoreError
from app.words.ends import shut_why
from app.words.say import refusal as say_refusal
from app.words.say import say
from app.words.telling import Values


@contextmanager
def _telling() -> Iterator[None]:
    try:
        yield
    except NotReady as refusal:
        raise Trouble([say_refusal(refusal), *(_reason_line(reason) for reason in refusal.reasons)]) from refusal
    except Refused as refusal:
        raise Trouble([say_refusal(refusal)]) from refusal
    except StoreError as trouble:
        raise Trouble([str(trouble)]) from trouble
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
    harm = say(reason.harm).removesuffix(".")
    return f"{reason.line} {shut_why(reason)}. {say(reason.clears)}. If nobody does: {harm}."


def verb(function: Callable[..., Any]) -> Callable[..., Any]:
    """A verb whose refusals come out as one line each."""

    @wraps(function)
    def told_well(*args: Any, **kwargs: Any) -> Any:
        with _telling():
            return function(*args, **kwargs)

    return told_well


def this_moment() -> datetime:
    """This moment with its zone."""
    return datetime.now().astimezone()


def print_values(values: list[Values], as_json: bool, line: Callable[[Values], str]) -> None:
    """Print values as one array of objects, or each as its line."""
    if as_json:
        click.echo(json.dumps(values, ensure_ascii=False, indent=1))
        return
    for value in values:
        click.echo(line(value))
