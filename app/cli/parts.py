"""The verbs for parts: where each is, how it is on, and how often its bolts were tightened."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.said import actions as a
from app.assembly.said.actions import SayPart
from app.assembly.said.parts import Fitted, Holding
from app.cli.doing import do, need, who
from app.cli.opening import list_values
from app.cli.options import LIST, as_json, at, build_name, by, by_if_done, folder, why
from app.cli.saying import verb
from app.words.facts.counts import count_values
from app.words.facts.parts import fit_values
from app.words.telling import Values


@click.command()
@folder
@build_name
@click.argument("part", metavar="PART")
@click.argument("holding", type=click.Choice([one.value for one in Holding]))
@by
@click.option("--why", default="", metavar="TEXT")
@at
@verb
def part(folder: Path, build_name: str, part: str, holding: str, by: str, why: str, at: datetime | None) -> None:
    """Say whether a part is here, on order or missing."""
    do(folder, build_name, lambda when: SayPart(part, Holding(holding), by, when, why), at)


@click.command()
@folder
@build_name
@click.argument("part", metavar="PART", required=False)
@click.argument("how", type=click.Choice([one.value for one in Fitted]), required=False)
@by_if_done
@why
@at
@as_json
@verb
def fit(
    folder: Path,
    build_name: str,
    part: str | None,
    how: str | None,
    by: str | None,
    why: str,
    at: datetime | None,
    as_json: bool,
) -> None:
    """Say that a part is on to look and measure, on for good, or off again; without PART, list the parts."""
    if part is None:
        list_values(folder, build_name, lambda survey: fit_values(survey.build), as_json, _fit_line)
        return
    need(how is not None, "Missing argument 'trial|final|off'.")
    initials = who(by)
    do(folder, build_name, lambda when: a.FitPart(part, Fitted(how), initials, when, why), at, as_json=as_json)


def _fit_line(value: Values) -> str:
    return f"{value['part']}  {value['name']}  {value['fit'] or ''}".rstrip()


@click.command()
@folder
@build_name
@click.argument("fasteners", metavar="FASTENERS", default=LIST)
@click.argument("times", metavar="TIMES", type=int, required=False)
@by_if_done
@click.option("--place", default="", metavar="PLACE", help="Only this bolt.")
@click.option("--length", default="", metavar="LENGTH", help="How long it is: 60.12 mm.")
@click.option("--free", default="", metavar="LENGTH", help="Its thread's diameter where it was free: 9.86 mm.")
@click.option("--neck", default="", metavar="LENGTH", help="Its thread's diameter where it is thinnest: 9.80 mm.")
@why
@at
@as_json
@verb
def count(
    folder: Path,
    build_name: str,
    fasteners: str,
    times: int | None,
    by: str | None,
    place: str,
    length: str,
    free: str,
    neck: str,
    why: str,
    at: datetime | None,
    as_json: bool,
) -> None:
    """Write how often bolts were tightened so far, the machine shop's included; list shows the counts."""
    if fasteners == LIST:
        list_values(folder, build_name, lambda survey: count_values(survey.build), as_json, _count_line)
        return
    need(times is not None, "Missing argument 'TIMES': 0 for new bolts, or how often they were tightened.")
    initials = who(by)

    def action(when: datetime) -> a.CountTightenings:
        return a.CountTightenings(fasteners, place, times or 0, initials, when, why, length, free, neck)

    do(folder, build_name, action, at, as_json=as_json)


def _count_line(value: Values) -> str:
    most = f" of {value['limit']}" if value["limit"] else ""
    policy = f"  {value['policy']}" if value["policy"] else ""
    return f"{value['fasteners']} {value['place']}  {value['times']}{most}{policy}"
