"""The verbs for figures: entering one, and putting figures beside each other."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import click
from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.deeds.find import find_line
from app.assembly.lines import Line
from app.assembly.plan.steps import Trust
from app.assembly.said import actions as a
from app.assembly.said.actions import EnterFigure
from app.assembly.standing.size_words import said_of
from app.assembly.standing.sizes import doubtful
from app.assembly.standing.survey import Survey
from app.assembly.standing.widths import offered, target_of
from app.cli.doing import do, need, who
from app.cli.opening import list_values
from app.cli.options import as_json, at, build_name, by, by_if_done, folder, line_number, why
from app.cli.saying import this_moment, verb
from app.trade.conditions import UNSAID
from app.trade.figure import Width
from app.trade.notation import write_limits
from app.trade.quantity import SYSTEMS, Limits
from app.words.facts.figures import candidate_values
from app.words.say import say
from app.words.telling import Values
from app.words.understood import bounds_understood


@click.command()
@folder
@build_name
@line_number
@click.argument("text", metavar="TEXT")
@click.option("--source", required=True, metavar="TEXT", help="Where the figure is from, with its edition.")
@click.option("--by", default="", metavar="AB")
@at
@verb
def spec(folder: Path, build_name: str, line: str, text: str, source: str, by: str, at: datetime | None) -> None:
    """Enter the figure a line is held against, and where it is from."""
    build = do(folder, build_name, lambda when: EnterFigure(line, text, source, by or "?", when), at)
    _echo_figure(build, find_line(build, line))


def _echo_figure(build: Build, line: Line) -> None:
    """Say what the figure in force was taken for, and what is still to be said of it."""
    bounds = Survey(build, this_moment()).bounds(line)
    assert bounds is not None  # one was entered just now
    click.echo(f"  {bounds_understood(bounds)}")
    for one in doubtful(Survey(build, this_moment()), line):
        if one.place is None:
            click.echo(f"  {say(said_of(one))}")
    if bounds.conditions != UNSAID and line.reads:
        click.echo(f"  judged are only readings that say so, or a line that does: `under {line.number} ...`")
    if target_of(build, line) is not None:
        names = [f"{one.name} ({_span(one.width, bounds.own)})" for one in offered(build, line)]
        offers = f"{', '.join(names)}, or " if names else ""
        ask = f"say how far from it is still right, `width {line.number} ...`"
        click.echo(f"  a single figure: {ask}: {offers}± a size")


def _span(width: Width, of: Limits) -> str:
    return write_limits(replace(of, low=width.low, high=width.high, target=None))


@click.command()
@folder
@build_name
@line_number
@click.argument("text", metavar="WIDTH")
@click.option("--source", default="", metavar="TEXT", help="Where the width is from; an offer brings its own.")
@by
@at
@verb
def width(folder: Path, build_name: str, line: str, text: str, source: str, by: str, at: datetime | None) -> None:
    """Say how far from a line's single figure is still right: “± 4 %”, “6 to 8 thou”, an offer or a tool by name."""
    build = do(folder, build_name, lambda when: a.SayWidth(line, text, by, when, source), at)
    _echo_figure(build, find_line(build, line))


@click.command()
@folder
@build_name
@line_number
@click.argument("text", metavar="HOW")
@by
@at
@verb
def under(folder: Path, build_name: str, line: str, text: str, by: str, at: datetime | None) -> None:
    """Say how all is read on a line: hot, cold, at 90 °C, at 2000 rpm; “” takes it back."""
    do(folder, build_name, lambda when: a.SayUnder(line, text, by, when), at)


@click.command()
@folder
@build_name
@click.argument("system", type=click.Choice([*SYSTEMS, "plan"]))
@by
@at
@verb
def units(folder: Path, build_name: str, system: str, by: str, at: datetime | None) -> None:
    """Say which units come first where no figure says any: metric, inch, or the plan's own."""
    said = "" if system == "plan" else system
    do(folder, build_name, lambda when: a.PreferUnits(said, by, when), at)


TRUSTS = {one.name.lower().replace("_", "-"): one for one in Trust}


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
    return candidate_values(survey.build, find_line(survey.build, line) if line else None)


def _candidate_line(value: Values) -> str:
    words = [value[key] for key in ("source", "edition", "dated") if value[key]]
    figure = f"{value['line'] or value['step']}  {value['figure']}  {value['text']}"
    return f"{figure}  {', '.join(words)} ({value['trust']}){'  chosen' if value['chosen'] else ''}"
