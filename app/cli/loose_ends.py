"""The verb for loose ends: what is open that will bite."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.deeds.find import find_gate
from app.assembly.rules import loose_ends
from app.assembly.standing.survey import Survey
from app.cli.opening import open_build
from app.cli.options import Moment, as_json, build_name, folder
from app.cli.saying import print_values, this_moment, verb
from app.exchange import export
from app.words.telling import Values


@click.command("loose-ends")
@folder
@build_name
@click.option("--gate", metavar="G", help="Only what bites at this gate.")
@click.option("--at", type=Moment(), metavar="TIME", help="As of this time, if not now.")
@as_json
@verb
def loose_ends_verb(folder: Path, build_name: str, gate: str | None, at: datetime | None, as_json: bool) -> None:
    """Show what is open that will bite, at which gate, the harm, and what clears it."""
    with open_build(folder, build_name) as (_, build):
        wanted = find_gate(build, gate) if gate else None
        ends = loose_ends(Survey(build, at or this_moment()))
        values = export.loose_end_values(end for end in ends if wanted in (None, end.gate))
    print_values(values, as_json, _loose_end_line)


def _loose_end_line(value: Values) -> str:
    harm = value["harm"].removesuffix(".")
    why = value["why"].removesuffix(".")
    return f"{value['line']:>6}  {why}. {value['clears']}. If nobody does: {harm}. ({value['rule']})"
