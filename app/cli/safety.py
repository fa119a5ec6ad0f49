"""The verbs for safety: a checked copy, and looking the workshop over."""

from pathlib import Path

import click

from app.cli.options import as_json, folder
from app.cli.saying import print_values, this_moment, verb
from app.cli.trouble import Trouble
from app.store.workshop import Workshop


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
