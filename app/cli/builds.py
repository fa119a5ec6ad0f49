"""The verbs for builds: making one, listing them, opening the window on them."""

from pathlib import Path

import click

from app.assembly.make import make_blank
from app.cli.options import as_json, folder, pairs
from app.cli.plans import plan_path
from app.cli.saying import print_values, this_moment, verb
from app.cli.trouble import Trouble
from app.store.database import FILE
from app.store.workshop import Workshop


@click.command()
@folder
@click.option("--plan", "plan_name", required=True, metavar="PLAN", help="A plan's name, or the path of a plan file.")
@click.option("--name", required=True, help="What to call the build.")
@click.option("--option", "options", multiple=True, metavar="K=V", help="An answer to one of the plan's options.")
@click.option("--by", default="", metavar="AB", help="Initials of who makes it.")
@verb
def new(folder: Path, plan_name: str, name: str, options: tuple[str, ...], by: str) -> None:
    """Make a build from a plan, and the workshop around it if there is none in DIR yet."""
    from app.exchange.plan_file import PlanError, parse_plan, read_text

    path = plan_path(plan_name)
    try:
        text = read_text(path)
        blank = make_blank(parse_plan(text, path.name), dict(pairs(options, "--option")))
    except PlanError as error:
        raise Trouble(str(error).splitlines()) from error
    with _workshop_for(folder) as workshop:
        build = workshop.make_build(name, blank, text, by=by, now=this_moment())
    click.echo(f"{build.key}  {build.name}: {len(build.lines)} lines in {len(build.stages)} stages")


def _workshop_for(folder: Path) -> Workshop:
    if (folder / FILE).exists():
        return Workshop.open_at(folder, now=this_moment())
    return Workshop.create(folder, name=folder.resolve().name, now=this_moment())


@click.command()
@folder
@as_json
@verb
def builds(folder: Path, as_json: bool) -> None:
    """List the builds of a workshop."""
    with Workshop.open_at(folder, now=this_moment(), write=False) as workshop:
        values = [
            {"build": one.key, "name": one.name, "plan": one.plan, "made": one.made.astimezone().isoformat()}
            | {"lines": one.lines, "done": one.done}
            | {"last": one.last.astimezone().isoformat() if one.last else None}
            for one in workshop.builds()
        ]
    print_values(
        values, as_json, lambda v: f"{v['build']}  {v['name']}, {v['plan']}, {v['done']} of {v['lines']} lines Done"
    )


@click.command("open")
@folder
@verb
def open_verb(folder: Path) -> int:
    """Open the window on the workshop in DIR."""
    from app.desk.main import open_window

    return open_window(folder)
