"""The verbs that mark a line, and take the last thing done back or put it back."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.said.actions import MarkLine, TickPlace
from app.assembly.said.marks import State
from app.cli.doing import do
from app.cli.opening import open_build
from app.cli.options import at, build_name, by, folder, line_number
from app.cli.saying import this_moment, verb
from app.words.deeds import label

STATES = [state.value for state in State]


@click.command()
@folder
@build_name
@line_number
@click.argument("state", type=click.Choice(STATES))
@by
@click.option("--why", default="", metavar="TEXT")
@click.option("--before", default="", metavar="LINE", help="Later: the line it must come before.")
@click.option(
    "--waits-for", default="", metavar="WHAT", help="Later: a line, a part, date:2026-05-01, tool:W1 or person:CD."
)
@click.option("--meanwhile", default="", metavar="TEXT", help="Later: how it looks until then (finger-tight, a tag).")
@click.option("--place", default="", metavar="PLACE", help="Only this place of a many-alike line.")
@at
@verb
def mark(
    folder: Path,
    build_name: str,
    line: str,
    state: str,
    by: str,
    why: str,
    before: str,
    waits_for: str,
    meanwhile: str,
    place: str,
    at: datetime | None,
) -> None:
    """Mark a line. Done ticks the places of a many-alike line that are still open, together."""

    def action(when: datetime) -> MarkLine | TickPlace:
        if place:
            return TickPlace(line, place, State(state), by, when)
        return MarkLine(line, State(state), by, when, why, before, waits_for, together=True, meanwhile=meanwhile)

    do(folder, build_name, action, at)


@click.command()
@folder
@build_name
@by
@verb
def undo(folder: Path, build_name: str, by: str) -> None:
    """Take back the last thing done."""
    with open_build(folder, build_name, write=True) as (workshop, build):
        click.echo(f"Undone: {label(*workshop.undo(build, by=by, now=this_moment()))}")


@click.command()
@folder
@build_name
@by
@verb
def redo(folder: Path, build_name: str, by: str) -> None:
    """Put back what was taken back last."""
    with open_build(folder, build_name, write=True) as (workshop, build):
        click.echo(f"Done again: {label(*workshop.redo(build, by=by, now=this_moment()))}")
