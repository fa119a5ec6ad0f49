"""The verbs for paper: the traveller and the build record."""

from pathlib import Path

import click

from app.assembly.standing.survey import Survey
from app.cli.opening import check_stage, open_build
from app.cli.options import build_name, folder
from app.cli.saying import this_moment, verb
from app.cli.trouble import Trouble
from app.words.journal import told

PAPERS = ["A4", "Letter"]


@click.command()
@folder
@build_name
@click.option("--out", required=True, type=click.Path(path_type=Path, dir_okay=False), metavar="FILE")
@click.option("--stage", "stages", type=int, multiple=True, metavar="N", help="Only this stage; may be repeated.")
@click.option("--open", "only_open", is_flag=True, help="Only the lines that are open.")
@click.option("--steps/--no-steps", default=True, help="With or without the step sheets for bolts, readings and lash.")
@click.option("--paper", type=click.Choice(PAPERS, case_sensitive=False), default="A4")
@verb
def traveller(
    folder: Path, build_name: str, out: Path, stages: tuple[int, ...], only_open: bool, steps: bool, paper: str
) -> None:
    """Print the sheet to a PDF to take to the engine."""
    from app.paper.pdf.pen import PaperError
    from app.paper.traveller.traveller import write_traveller

    now = this_moment()
    with open_build(folder, build_name, write=True) as (workshop, build):
        for stage in stages:
            check_stage(build, stage)
        number = workshop.printed(build)[0] + 1
        survey = Survey(build, now)
        try:
            pages = write_traveller(
                out, survey, number=number, stages=stages, only_open=only_open, steps=steps, paper=paper
            )
        except PaperError as error:
            raise Trouble([str(error)]) from error
        workshop.keep_print(build, number, now)
    click.echo(f"{out}: print {number}, {pages} sheets")


@click.command()
@folder
@build_name
@click.option("--out", required=True, type=click.Path(path_type=Path, dir_okay=False), metavar="FILE")
@click.option("--paper", type=click.Choice(PAPERS, case_sensitive=False), default="A4")
@verb
def record(folder: Path, build_name: str, out: Path, paper: str) -> None:
    """Write the build record to a PDF: what is inside, every reading, decision and concession, who and when."""
    from app.paper.record.record import write_record

    with open_build(folder, build_name) as (workshop, build):
        entries = [one for written in workshop.journal(build) for one in told(build, written.deed)]
        pages = write_record(out, Survey(build, this_moment()), entries, paper=paper)
    click.echo(f"{out}: {pages} sheets")
