"""The verbs that look: the sheet, what is ready, and what was done."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.standing.survey import Survey
from app.cli.opening import check_stage, open_build
from app.cli.options import Moment, as_json, build_name, folder
from app.cli.saying import print_values, this_moment, verb
from app.exchange import export
from app.words.journal import told
from app.words.telling import Values
from app.words.times import in_words


@click.command()
@folder
@build_name
@click.option("--stage", type=int, metavar="N", help="Only this stage.")
@click.option("--as-of", "as_of_time", type=Moment(), metavar="TIME", help="As it was known at this time, if not now.")
@as_json
@verb
def sheet(folder: Path, build_name: str, stage: int | None, as_of_time: datetime | None, as_json: bool) -> None:
    """Show the sheet: each line with its state, spec and what was written."""
    with open_build(folder, build_name) as (workshop, build):
        if as_of_time is not None:
            from app.assembly.deeds.past import as_of  # the past is seldom asked for

            build = as_of(build, workshop.journal(build), as_of_time)
        survey = Survey(build, as_of_time or this_moment())
        lines = [line for line in build.lines if stage in (None, line.stage)]
        check_stage(build, stage)
        values = export.sheet_values(survey, lines)
    print_values(values, as_json, _sheet_line)


def _sheet_line(value: Values) -> str:
    written = ", ".join(
        f"{one['place']} was {one['value']}"
        if one["disturbed_since"]
        else f"{one['place']} {one['value']} {one['verdict']}"
        for one in value["readings"]
    )
    hold = "HOLD " if value["hold"] else ""
    spec = f"  [{value['spec'] or 'figure to be entered'}]" if value["spec"] is not None else ""
    return f"{value['line']:>6}  {value['state']:<10}  {hold}{value['title']}{spec}  {written}".rstrip()


@click.command()
@folder
@build_name
@click.option("--at", type=Moment(), metavar="TIME", help="As of this time, if not now.")
@as_json
@verb
def ready(folder: Path, build_name: str, at: datetime | None, as_json: bool) -> None:
    """Show which open lines can be started now, and what each other one waits for."""
    with open_build(folder, build_name) as (_, build):
        values = export.ready_values(Survey(build, at or this_moment()))
    print_values(values, as_json, _ready_line)


def _ready_line(value: Values) -> str:
    waits = "; ".join(
        f"{one['text']}{', until ' + in_words(one['until']) if one['until'] else ''}" for one in value["waits_for"]
    )
    return f"{value['line']:>6}  {'ready' if value['ready'] else 'waits for ' + waits}  {value['title']}"


@click.command()
@folder
@build_name
@as_json
@verb
def journal(folder: Path, build_name: str, as_json: bool) -> None:
    """Show everything that was done, oldest first."""
    with open_build(folder, build_name) as (workshop, build):
        entries = [one for written in workshop.journal(build) for one in told(build, written.deed)]
    print_values(
        export.journal_values(entries),
        as_json,
        _journal_line,
    )


def _journal_line(value: Values) -> str:
    changed = f"{value['old']} -> {value['new']}  {value['why']}".rstrip()
    return f"{in_words(value['at']):<20}  {value['by']:<4} {value['event']:<10} {value['line'] or '':>6}  {changed}"
