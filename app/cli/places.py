"""The verbs for measuring: readings, what is worked out from them, the cam's events, and the stops lash is set from."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.build import Build
from app.assembly.deeds.cam import CAM_NAMES
from app.assembly.deeds.find import find_line, find_place
from app.assembly.said import actions as a
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.lash_stops import is_lash
from app.assembly.standing.size_words import said_of
from app.assembly.standing.sizes import doubtful
from app.assembly.standing.survey import Survey
from app.cli.doing import do, said, who
from app.cli.opening import list_values, open_build
from app.cli.options import as_json, at, build_name, by, by_if_done, folder, line_number
from app.cli.saying import print_values, this_moment, verb
from app.exchange import export_places as export
from app.exchange.measuring_tables import growth_over_steel
from app.trade.verdict import Verdict
from app.words.say import say
from app.words.telling import Values
from app.words.understood import value_understood


@click.command()
@folder
@build_name
@line_number
@click.argument("place", metavar="PLACE")
@click.argument("value", metavar="VALUE")
@by
@click.option("--round", "turn", type=int, default=1, metavar="N")
@click.option("--tool", default="", metavar="ID", help="The tool it was read with, as `tool` knows it.")
@click.option(
    "--temperature", default="", metavar="VALUE", help="How warm part and gauge were, if not at 20 °C: 31 °C."
)
@click.option("--judge", is_flag=True, help="Exit with 1 where the value is Out.")
@at
@verb
def read(
    folder: Path,
    build_name: str,
    line: str,
    place: str,
    value: str,
    by: str,
    turn: int,
    tool: str,
    temperature: str,
    judge: bool,
    at: datetime | None,
) -> int:
    """Write a reading at a place of a line (“-” for a line with one place)."""
    growth = 0.0
    if temperature:
        with open_build(folder, build_name) as (_, build):
            growth = _growth(build, line)

    def action(when: datetime) -> a.TakeReading:
        return a.TakeReading(line, place, value, by, when, turn, ".", tool, temperature, growth)

    build = do(folder, build_name, action, at)
    survey = Survey(build, at or this_moment())
    target = find_line(build, line)
    found = value_understood(survey, target, find_place(survey, target, place).id, value)
    if found.words:
        click.echo(f"  {found.words}")
    for one in doubtful(survey, target):
        if one.place is not None and one.place.id == find_place(survey, target, place).id:
            click.echo(f"  {say(said_of(one))}")
    return 1 if judge and found.verdict is Verdict.OUT else 0


def _growth(build: Build, line: str) -> float:
    measure = find_line(build, line).step.measure
    return growth_over_steel(measure.material if measure is not None else "")


@click.command("rub-out")
@folder
@build_name
@line_number
@click.argument("place", metavar="PLACE")
@by
@click.option("--round", "turn", type=int, default=1, metavar="N")
@verb
def rub_out(folder: Path, build_name: str, line: str, place: str, by: str, turn: int) -> None:
    """Take a reading away again; the journal keeps it."""
    do(folder, build_name, lambda when: a.RubOutReading(line, place, by, when, turn), None)


@click.command()
@folder
@build_name
@click.argument("line", metavar="LINE", required=False)
@as_json
@verb
def results(folder: Path, build_name: str, line: str | None, as_json: bool) -> None:
    """Show what is worked out from readings: clearances, sums, taper, out-of-round, spread; of LINE, or of all."""
    with open_build(folder, build_name) as (_, build):
        survey = Survey(build, this_moment())
        lines = [find_line(build, line)] if line is not None else build.lines
        found = [{"line": one.number} | value for one in lines for value in export.result_values(survey, one)]
    print_values(found, as_json, _result_line)


def _result_line(value: Values) -> str:
    if value["hidden"]:
        return f"{value['line']}  {value['place']} {value['result']}  hidden until its second look"
    if value["value"] is None:
        return f"{value['line']}  {value['place']} {value['result']}  still to read: {', '.join(value['missing'])}"
    verdict = f"  {value['verdict']}" if value["verdict"] else ""
    return f"{value['line']}  {value['place']} {value['result']}  {value['sum'] or value['value']}{verdict}"


@click.command()
@folder
@build_name
@click.argument("line", metavar="LINE", required=False)
@as_json
@verb
def lash(folder: Path, build_name: str, line: str | None, as_json: bool) -> None:
    """Show the crank stops and the valves set at each; with LINE, what was read there too."""
    with open_build(folder, build_name) as (_, build):
        survey = Survey(build, this_moment())
        target = find_line(build, line) if line is not None else None
        if target is not None and not is_lash(target):
            raise Refused(phrase(RefusalKind.SETS_NO_LASH, line=target.number))
        try:
            found = export.stop_values(survey, target)
        except ValueError as error:
            raise Refused(phrase(RefusalKind.TOLD_BY_A_SUM, matter=str(error))) from error
    print_values(found, as_json, _stop_line)


def _stop_line(value: Values) -> str:
    head = f"Stop {value['stop']}  crank at {value['crank_deg']:g}°, safe {value['back_deg']:.0f}° back and "
    head += f"{value['forward_deg']:.0f}° on" + (", by a general cam" if value["general_cam"] else "")
    rows = [
        f"  {one['valve']:<6} {one['margin_deg']:>4.0f}° off its lift  {', '.join(one['read'])}".rstrip()
        for one in value["valves"]
    ]
    return "\n".join([head, *rows])


@click.command()
@folder
@build_name
@by_if_done
@click.option("--say", multiple=True, metavar="NAME=VALUE", help=f"What the card says: {', '.join(CAM_NAMES)}.")
@at
@as_json
@verb
def cam(
    folder: Path, build_name: str, by: str | None, say: tuple[str, ...], at: datetime | None, as_json: bool
) -> None:
    """Say when the valves open and close, as the cam's card has it; without --say, show it."""
    if not say:
        list_values(folder, build_name, export.cam_values, as_json, _cam_line)
        return
    typed, initials = said(say, CAM_NAMES, "a card says"), who(by)
    do(folder, build_name, lambda when: a.SayCam(typed, initials, when), at, as_json=as_json)


def _cam_line(value: Values) -> str:
    return "  ".join(f"{name} {text}" for name, text in value["typed"].items()) + f"  {value['by']}"
