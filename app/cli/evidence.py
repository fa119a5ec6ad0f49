"""The verbs for the evidence: second looks, running, figures beside each other, and the tools that read them."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from app.assembly.deeds.find import find_line
from app.assembly.deeds.tools import TOOL_SORTS
from app.assembly.plan.steps import Trust
from app.assembly.said import actions as a
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.conditions import MM_PER_KM
from app.assembly.standing.survey import Survey
from app.cli.shared import (
    LIST,
    Moment,
    as_json,
    at,
    build_name,
    by_if_done,
    do,
    folder,
    list_values,
    need,
    pairs,
    preview,
    verb,
    who,
    why,
)
from app.exchange import export_further as export
from app.exchange.export_further import Values
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind

TRUSTS = {one.name.lower().replace("_", "-"): one for one in Trust}


# --- second looks, running


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
        list_values(folder, build_name, export.second_look_values, as_json, _second_look_line)
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
        list_values(folder, build_name, export.run_values, as_json, _run_line)
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
    runs = [f"  {one['at']}  {one['hours']:g} h, {one['distance_km']:g} km  {one['by']}" for one in value["runs"]]
    due = [f"{one['line']:>6}  {one['why']}: {one['title']}" for one in value["due"]]
    return "\n".join([sums, *runs, *due])


# --- figures and tools


@click.command()
@folder
@build_name
@click.argument("line", metavar="LINE", required=False)
@click.argument("text", metavar="TEXT", required=False)
@by_if_done
@click.option("--source", default="", metavar="TEXT", help="Where the figure stands.")
@click.option("--trust", type=click.Choice(list(TRUSTS)), default=None)
@click.option("--edition", default="", metavar="TEXT")
@click.option("--dated", default="", metavar="DATE", help="The date that stands in it.")
@click.option("--converted-by", default="", metavar="AB", help="Who turned it into other units.")
@click.option("--choose", default="", metavar="C", help="Choose this one of the figures offered, with --why.")
@why
@at
@as_json
@verb
def source(
    folder: Path,
    build_name: str,
    line: str | None,
    text: str | None,
    by: str | None,
    choose: str,
    at: datetime | None,
    as_json: bool,
    **more: Any,
) -> None:
    """Put a figure beside the others for a line, or choose one of them; with neither, list them."""
    if text is None and not choose:
        list_values(folder, build_name, lambda survey: _candidates(survey, line), as_json, _candidate_line)
        return
    need(not (text and choose), "Give either TEXT or --choose.")
    initials = who(by)
    do(folder, build_name, _figure_action(line or "", text or "", initials, choose, more), at, as_json=as_json)


def _figure_action(
    line: str, text: str, by: str, choose: str, more: dict[str, Any]
) -> Callable[[datetime], a.OfferFigure | a.ChooseFigure]:
    if choose:
        return lambda when: a.ChooseFigure(line, choose, more["why"], by, when)
    need(more["trust"] is not None, f"Missing option '--trust'. Choose from {', '.join(TRUSTS)}.")
    need(bool(more["source"]), "Missing option '--source'.")
    said = {name: more[name] for name in ("edition", "dated", "converted_by")}
    return lambda when: a.OfferFigure(line, text, more["source"], TRUSTS[more["trust"]], by, when, **said)


def _candidates(survey: Survey, line: str | None) -> list[Values]:
    return export.candidate_values(survey.build, find_line(survey.build, line) if line else None)


def _candidate_line(value: Values) -> str:
    words = [value[key] for key in ("source", "edition", "dated") if value[key]]
    figure = f"{value['line'] or value['step']}  {value['figure']}  {value['text']}"
    return f"{figure}  {', '.join(words)} ({value['trust']}){'  chosen' if value['chosen'] else ''}"


@click.command()
@folder
@build_name
@click.argument("tool", metavar="ID", default=LIST)
@click.argument("name", metavar="NAME", default="")
@by_if_done
@click.option("--range", "span", default="", metavar="TEXT", help="What it reads: 10 to 60 N·m.")
@click.option("--graduation", default="", metavar="TEXT")
@click.option("--kind", "sort", type=click.Choice(TOOL_SORTS), help="How it tells what it reads.")
@click.option("--lever", default="", metavar="LENGTH", help="A wrench's drive to where it is held: 420 mm.")
@click.option("--cycles", type=int, metavar="N", help="How often it was used since its check.")
@click.option("--doubt", default="", metavar="TEXT", help="How far a reading with it is to be trusted: ± 0.004 mm.")
@click.option("--checked", type=Moment(), metavar="DATE", help="When it was last checked.")
@click.option("--wrong", is_flag=True, help="It was found wrong: what it measured is no longer known.")
@click.option("--note", default="", metavar="TEXT")
@at
@preview
@as_json
@verb
def tool(
    folder: Path,
    build_name: str,
    tool: str,
    name: str,
    by: str | None,
    span: str,
    graduation: str,
    sort: str | None,
    lever: str,
    cycles: int | None,
    doubt: str,
    checked: datetime | None,
    wrong: bool,
    note: str,
    at: datetime | None,
    preview: bool,
    as_json: bool,
) -> None:
    """Enter a wrench or gauge, a check of it, or that it was found wrong; list shows them."""
    if tool == LIST:
        list_values(folder, build_name, lambda survey: export.tool_values(survey.build), as_json, _tool_line)
        return
    initials = who(by, preview=preview)

    def action(when: datetime) -> a.KeepTool | a.ToolWrong:
        if wrong:
            return a.ToolWrong(tool, initials, when, note)
        return a.KeepTool(tool, name, initials, when, span, graduation, checked, sort or "", lever, cycles, doubt)

    do(folder, build_name, action, at, as_json=as_json, preview=preview)


def _tool_line(value: Values) -> str:
    lever = f"lever {value['lever']}" if value["lever"] else ""
    words = [word for word in (value["range"], value["graduation"], value["doubt"], value["kind"], lever) if word]
    checked = f"checked {value['checked'][:10]}" if value["checked"] else "never checked"
    wrong = f", found wrong {value['wrong_at'][:10]}" if value["wrong_at"] else ""
    return f"{value['tool']}  {value['name']}  {', '.join([*words, checked])}{wrong}"


VERBS = (second_look, ran, source, tool)
