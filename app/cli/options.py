"""The arguments and options that verbs share."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import click

# A time outside these is a slip of the keys, and cannot be told in every zone.
FIRST_YEAR, LAST_YEAR = 1970, 2200
LIST = "list"


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


disturbs = click.option(
    "--disturbs", multiple=True, metavar="LINE", help="A line whose result is thereby no longer known; repeat for more."
)


def pairs(words: Iterable[str], option: str) -> Iterator[tuple[str, str]]:
    """NAME=VALUE words of an option, each cut in two."""
    for word in words:
        key, equals, value = word.partition("=")
        if not equals or not key.strip():
            raise click.BadParameter(f"“{word}” is not written as NAME=VALUE.", param_hint=option)
        yield key.strip(), value.strip()
