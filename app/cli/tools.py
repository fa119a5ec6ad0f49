"""The verb for the tools that read and tighten."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.deeds.tools import TOOL_SORTS
from app.assembly.said import actions as a
from app.cli.doing import do, who
from app.cli.opening import list_values
from app.cli.options import LIST, Moment, as_json, at, build_name, by_if_done, folder, preview
from app.cli.saying import verb
from app.words.facts.tools import tool_values
from app.words.telling import Values


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
        list_values(folder, build_name, lambda survey: tool_values(survey.build), as_json, _tool_line)
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
