"""What a person can mend, said in one line each."""

from collections.abc import Iterable

import click


class Trouble(Exception):
    """Something a person can mend; `lines` are printed, one each."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = tuple(lines)


def complain(lines: Iterable[str]) -> None:
    """Say each line on standard error."""
    for line in lines:
        click.echo(f"firstcrank: {line}", err=True)
