"""The verbs for the sums at the bench: each is made from what its sum asks, and needs no workshop.

The sums are loaded when one of their verbs is run or described, not when the program starts.
"""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click

from app.cli.saying import verb

if TYPE_CHECKING:
    from app.sheet.sums.sum import Answer, Ask, Shelf, Sum

NAMES = (
    "wrench",
    "threads",
    "joint",
    "stretch",
    "pattern",
    "valves",
    "shim",
    "ratio",
    "piston",
    "degree",
    "gap",
    "match",
    "shells",
    "plug",
    "pressures",
    "oil",
    "verdict",
    "unit",
)


class SumVerb(click.Command):
    """One sum as a verb: an option for each thing it asks."""

    @property
    def sum(self) -> "Sum":
        """The sum behind the verb."""
        from app.sheet.sums import SUMS

        return next(one for one in SUMS if one.id == self.name)

    def get_params(self, ctx: click.Context) -> list[click.Parameter]:
        """The options, from what the sum asks."""
        options = [_option(ask) for ask in self.sum.asks]
        as_json = click.Option(["--json", "as_json"], is_flag=True, help="Print one object of values.")
        return [*options, as_json, *super().get_params(ctx)]

    def get_short_help_str(self, limit: int = 45) -> str:
        """What the sum is about, for the list of verbs."""
        about = self.sum.about
        return about if len(about) <= limit else f"{about[: limit - 3].rstrip()}..."

    def format_help_text(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """What the sum is about, and an example that works."""
        given = " ".join(f"--{_spelled(key)} {text!r}" for key, text in self.sum.example.items())
        formatter.write_paragraph()
        with formatter.indentation():
            formatter.write_text(self.sum.about)
            formatter.write_paragraph()
            formatter.write_text(f"For example: firstcrank {self.name} {given}")

    def invoke(self, ctx: click.Context) -> Any:
        """Work the sum and print it."""
        return _work(self.sum, **ctx.params)


def _option(ask: "Ask") -> click.Option:
    words = [
        f"{ask.label}{f': {ask.hint}' if ask.hint else ''}.",
        *([f"{', '.join(ask.choices)}."] if ask.choices else []),
    ]
    return click.Option(
        [f"--{_spelled(ask.key)}", ask.key],
        required=not ask.optional and not ask.default,
        default=ask.default,
        show_default=bool(ask.default),
        metavar="TEXT",
        help=" ".join(words),
    )


def _spelled(key: str) -> str:
    return key.replace("_", "-")


@verb
def _work(one: "Sum", *, as_json: bool, **typed: str) -> None:
    from app.sheet.sums.sum import SumError

    try:
        with _only_ours():
            answer = one.answer({key: text for key, text in typed.items() if text}, _shelf())
    except SumError as error:
        raise click.UsageError(f"--{_spelled(error.key)}: {error}") from error
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    if as_json:
        click.echo(json.dumps(answer.values, ensure_ascii=False, indent=1))
    else:
        click.echo("\n".join(_lines(answer)))


def _shelf() -> "Shelf":
    from app.exchange.measuring_tables import measuring_tables
    from app.sheet.sums.sum import Shelf
    from app.trade.shipped_tables import shipped_tables

    return Shelf(shipped_tables(), measuring_tables())


@contextmanager
def _only_ours() -> Iterator[None]:
    """Keep standard output to our own words: HiGHS prints its name there as it starts, whatever it is told."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _lines(answer: "Answer") -> Iterator[str]:
    for section in answer.sections:
        if section.heading and section.items:
            yield section.heading
        for item in section.items:
            yield f"  {''.join(run.text for run in item.runs)}"


VERBS = tuple(SumVerb(name) for name in NAMES)
