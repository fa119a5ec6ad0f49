"""The verbs for second looks and for running."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.said import actions as a
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.conditions import MM_PER_KM
from app.cli.doing import do, who
from app.cli.opening import list_values
from app.cli.options import LIST, as_json, at, build_name, by_if_done, folder, pairs
from app.cli.saying import verb
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind
from app.words.facts.running import run_values
from app.words.facts.second_look import second_look_values
from app.words.telling import Values
from app.words.times import in_words


@click.command("second-look")
@folder
@build_name
@click.argument("line", metavar="LINE", required=False)
@by_if_done
@click.option("--value", "values", multiple=True, metavar="PLACE=VALUE", help="What you read there; repeat for more.")
@at
@as_json
@verb
def second_look(
    folder: Path,
    build_name: str,
    line: str | None,
    by: str | None,
    values: tuple[str, ...],
    at: datetime | None,
    as_json: bool,
) -> None:
    """Look a second time at a line that is Done; without LINE, list the lines that want it."""
    if line is None:
        list_values(folder, build_name, second_look_values, as_json, _second_look_line)
        return
    read, initials = dict(pairs(values, "--value")), who(by)
    do(folder, build_name, lambda when: a.LookSecond(line, initials, when, read), at, as_json=as_json)


def _second_look_line(value: Values) -> str:
    seen = f"seen by {value['seen']['by']}" if value["seen"] else "no second look yet"
    return f"{value['line']:>6}  {value['state']:<10}  {value['title']}  {seen}"


@click.command()
@folder
@build_name
@click.argument("what", type=click.Choice([LIST]), required=False)
@by_if_done
@click.option("--hours", default="", metavar="H", help="Hours run: 2.5, or 40 min.")
@click.option("--distance", default="", metavar="TEXT", help="With its unit: 500 miles, 800 km.")
@click.option("--heat-cycles", type=click.IntRange(0, 10_000), default=0, metavar="N")
@click.option("--note", default="", metavar="TEXT")
@at
@as_json
@verb
def ran(
    folder: Path,
    build_name: str,
    what: str | None,
    by: str | None,
    hours: str,
    distance: str,
    heat_cycles: int,
    note: str,
    at: datetime | None,
    as_json: bool,
) -> None:
    """Write down a spell of running; list shows the sums and the follow-ups that are due."""
    if what == LIST or not (by is not None or hours or distance or heat_cycles or note):
        list_values(folder, build_name, run_values, as_json, _run_line)
        return
    initials = who(by)
    run_hours = _amount(hours, Kind.TIME, "h") / 3600
    run_km = _amount(distance, Kind.LENGTH) / MM_PER_KM

    def action(when: datetime) -> a.LogRun:
        return a.LogRun(initials, when, run_hours, run_km, heat_cycles, note)

    do(folder, build_name, action, at, as_json=as_json)


def _amount(text: str, kind: Kind, unit: str | None = None) -> float:
    """What was typed, in the base unit of its kind; 0 for nothing."""
    if not text:
        return 0.0
    try:
        return read_quantity(text, kind, unit=unit).magnitude
    except NotationError as error:
        raise Refused(phrase(RefusalKind.TOLD_BY_A_SUM, matter=str(error))) from error


def _run_line(value: Values) -> str:
    sums = f"{value['hours']:g} h, {value['distance_km']:g} km, {value['heat_cycles']} heat cycles"
    runs = [
        f"  {in_words(one['at'])}  {one['hours']:g} h, {one['distance_km']:g} km  {one['by']}" for one in value["runs"]
    ]
    due = [f"{one['line']:>6}  {one['why']}: {one['title']}" for one in value["due"]]
    return "\n".join([sums, *runs, *due])
