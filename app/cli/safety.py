"""The verbs for safety: a checked copy, and looking the workshop over."""

from datetime import datetime
from pathlib import Path

import click

from app.cli.options import as_json, folder
from app.cli.saying import print_values, this_moment, verb
from app.cli.trouble import Trouble
from app.store.workshop import Workshop
from app.words.times import moment_of_year


@click.command()
@folder
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@verb
def backup(folder: Path, file: Path) -> None:
    """Copy the workshop's database to a new file, checked."""
    with Workshop.open_at(folder, now=this_moment(), write=False) as workshop:
        workshop.back_up(file)
    click.echo(f"{file}: written and checked")


@click.command()
@folder
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@verb
def restore(folder: Path, file: Path) -> None:
    """Go back to a backup: FILE, checked, takes the place of the workshop's database, which is set aside."""
    from app.store.restore import restore as put_back

    done = put_back(folder, file, now=this_moment())
    click.echo(f"{folder}: back to {file}, checked")
    click.echo(f"  the last deed was {_moment(done.before)}, and is {_moment(done.now)}")
    for one in done.aside:
        click.echo(f"  set aside: {one}")


def _moment(at: datetime | None) -> str:
    return moment_of_year(at) if at is not None else "not to be read"


@click.command()
@folder
@as_json
@verb
def health(folder: Path, as_json: bool) -> None:
    """Check the file, its links, and that each build's journal tells exactly its state."""
    with Workshop.open_at(folder, now=this_moment(), write=False) as workshop:
        findings = workshop.health()
    print_values(
        [{"check": one.check, "ok": one.ok, "text": one.text} for one in findings],
        as_json,
        lambda v: f"{'sound' if v['ok'] else 'WRONG'}  {v['check']}: {v['text']}",
    )
    if not all(one.ok for one in findings):
        raise Trouble([f"{folder} is not sound; put the newest backup in its place, and keep a copy of this one."])
