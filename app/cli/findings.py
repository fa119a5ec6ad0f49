"""The verbs for what was found, and what was decided about it."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.said import actions as a
from app.assembly.said.findings import Disposition
from app.cli.doing import do, need, who
from app.cli.opening import list_values
from app.cli.options import as_json, at, build_name, by, by_if_done, folder
from app.cli.saying import verb
from app.words.facts.findings import finding_values
from app.words.telling import Values

DECISIONS = {one.value.replace(" ", "-"): one for one in Disposition if one is not Disposition.OPEN}


@click.command()
@folder
@build_name
@click.argument("line", metavar="LINE", required=False)
@click.argument("text", metavar="TEXT", required=False)
@by_if_done
@click.option("--place", default="", metavar="PLACE")
@click.option("--measured", default="", metavar="VALUE", help="What was measured.")
@click.option("--symptom", is_flag=True, help="Noticed, cause not known: a hold until it is explained.")
@at
@as_json
@verb
def found(
    folder: Path,
    build_name: str,
    line: str | None,
    text: str | None,
    by: str | None,
    place: str,
    measured: str,
    symptom: bool,
    at: datetime | None,
    as_json: bool,
) -> None:
    """Write down what was found at a line and print its key; without LINE, list what was found and decided."""
    if line is None:
        list_values(folder, build_name, lambda survey: finding_values(survey.build), as_json, _finding_line)
        return
    need(text is not None, "Missing argument 'TEXT': say what was found.")
    initials = who(by)

    def action(when: datetime) -> a.Find:
        return a.Find(text or "", initials, when, line, place, measured, symptom)

    do(folder, build_name, action, at, as_json=as_json, say=lambda value: f"{value['key']}  {value['did']}")


def _finding_line(value: Values) -> str:
    what = f"{'symptom: ' if value['symptom'] else ''}{value['what']}"
    place = f" {value['place']}" if value["place"] else ""
    measured = f", {value['measured']}" if value["measured"] else ""
    decided = f"{value['decision']} by {value['decided_by']}: {value['why']}" if value["decision"] else "not decided"
    return f"{value['finding']:>4}  {value['line'] or value['step']}{place}  {what}{measured}  {decided}"


@click.command("decide")
@folder
@build_name
@click.argument("finding", metavar="FINDING")
@click.argument("decision", type=click.Choice(list(DECISIONS)))
@click.option("--why", required=True, metavar="TEXT")
@by
@click.option("--watch", default="", metavar="TEXT", help="What to keep an eye on.")
@click.option(
    "--reopens", multiple=True, metavar="COND", help="What reopens it: event:cam-changed, distance:500 miles."
)
@at
@as_json
@verb
def decide_verb(
    folder: Path,
    build_name: str,
    finding: str,
    decision: str,
    why: str,
    by: str,
    watch: str,
    reopens: tuple[str, ...],
    at: datetime | None,
    as_json: bool,
) -> None:
    """Decide about a finding, why, what to watch, and what would reopen it."""

    def action(when: datetime) -> a.DecideFinding:
        return a.DecideFinding(finding, DECISIONS[decision], why, by, when, watch, reopens)

    do(folder, build_name, action, at, as_json=as_json)
