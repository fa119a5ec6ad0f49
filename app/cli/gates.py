"""The verbs for gates: what keeps each gate shut, going through, going on in writing."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.build import Build
from app.assembly.rules import loose_ends
from app.assembly.said.actions import Concede, PassGate
from app.assembly.standing.gates import GateStanding, gate_standings
from app.assembly.standing.survey import Survey
from app.cli.doing import do
from app.cli.opening import open_build
from app.cli.options import Moment, as_json, at, build_name, by, folder, line_number, pairs
from app.cli.saying import print_values, this_moment, verb
from app.exchange import export
from app.words.telling import Values
from app.words.times import in_words


@click.command()
@folder
@build_name
@click.option("--at", type=Moment(), metavar="TIME", help="As of this time, if not now.")
@as_json
@verb
def gates(folder: Path, build_name: str, at: datetime | None, as_json: bool) -> None:
    """Show each gate, ready or not, and everything that keeps it shut."""
    with open_build(folder, build_name) as (_, build):
        values = export.gate_values(_standings(build, at or this_moment()))
    print_values(values, as_json, _gate_line)


def _standings(build: Build, now: datetime) -> tuple[GateStanding, ...]:
    survey = Survey(build, now)
    return gate_standings(survey, loose_ends(survey))


def _gate_line(value: Values) -> str:
    if value["passed"]:
        state = f"passed {in_words(value['passed'])} by {value['by']}"
        state += f", in writing without {', '.join(value['conceded'])}" if value["conceded"] else ""
    else:
        state = "ready" if value["ready"] else "shut"
    held = "\n".join(f"    {one['line']:>6}  {one['why']}" for one in value["reasons"])
    return f"{value['letter']}  {value['title']} ({value['gate']}): {state}" + (f"\n{held}" if held else "")


@click.command()
@folder
@build_name
@line_number
@click.argument("text", metavar="TEXT")
@by
@click.option("--before", default="", metavar="LINE", help="The line it must be cleared before.")
@at
@verb
def concede(folder: Path, build_name: str, line: str, text: str, by: str, before: str, at: datetime | None) -> None:
    """Decide in writing to go on although a line is open."""
    do(folder, build_name, lambda when: Concede(line, text, by, when, before), at)


@click.command("pass")
@folder
@build_name
@click.argument("gate", metavar="GATE")
@by
@click.option("--concede", "concessions", multiple=True, metavar="LINE=TEXT", help="Go on without this line, and why.")
@at
@verb
def pass_gate(
    folder: Path, build_name: str, gate: str, by: str, concessions: tuple[str, ...], at: datetime | None
) -> None:
    """Go through a gate; each line still open needs its own written reason."""
    written = dict(pairs(concessions, "--concede"))
    do(folder, build_name, lambda when: PassGate(gate, by, when, written), at)
