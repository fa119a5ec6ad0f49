"""The verbs for what the plan does not foresee: opened, put in, befallen, chosen anew."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.said import actions as a
from app.cli.doing import do, need, who
from app.cli.opening import list_values
from app.cli.options import as_json, at, build_name, by, by_if_done, disturbs, folder, preview, why
from app.cli.saying import verb
from app.words.facts.events import happening_values
from app.words.facts.options import option_values
from app.words.facts.put_in import extra_values
from app.words.telling import Values
from app.words.times import in_words


@click.command()
@folder
@build_name
@click.argument("text", metavar="TEXT", required=False)
@by_if_done
@click.option("--line", default="", metavar="LINE", help="A line of the plan that is thereby open again.")
@click.option("--place", default="", metavar="PLACE")
@click.option("--after", default="", metavar="LINE", help="The line it belongs behind, if not the one marked last.")
@why
@disturbs
@at
@preview
@as_json
@verb
def opened(
    folder: Path,
    build_name: str,
    text: str | None,
    by: str | None,
    line: str,
    place: str,
    after: str,
    why: str,
    disturbs: tuple[str, ...],
    at: datetime | None,
    preview: bool,
    as_json: bool,
) -> None:
    """Say that something was slackened, opened or removed; without TEXT, list the lines put in between."""
    if text is None:
        list_values(folder, build_name, extra_values, as_json, _extra_line)
        return
    initials = who(by, preview=preview)

    def action(when: datetime) -> a.OpenUp:
        return a.OpenUp(text, initials, when, line, place, after, why, disturbs)

    do(folder, build_name, action, at, as_json=as_json, preview=preview)


def _extra_line(value: Values) -> str:
    place = f", {value['place']}" if value["place"] else ""
    return f"{value['line']:>6}  {value['state']:<10}  {value['title']}{place}  ({value['extra']})"


@click.command("put-in")
@folder
@build_name
@click.argument("after", metavar="AFTER")
@click.argument("text", metavar="TEXT")
@by
@why
@disturbs
@at
@as_json
@verb
def put_in(
    folder: Path,
    build_name: str,
    after: str,
    text: str,
    by: str,
    why: str,
    disturbs: tuple[str, ...],
    at: datetime | None,
    as_json: bool,
) -> None:
    """Put a step the plan forgot behind the line AFTER."""
    do(folder, build_name, lambda when: a.PutIn(text, after, by, when, why, disturbs), at, as_json=as_json)


@click.command()
@folder
@build_name
@click.argument("event", metavar="EVENT", required=False)
@by_if_done
@click.option("--note", default="", metavar="TEXT")
@at
@preview
@as_json
@verb
def happened(
    folder: Path,
    build_name: str,
    event: str | None,
    by: str | None,
    note: str,
    at: datetime | None,
    preview: bool,
    as_json: bool,
) -> None:
    """Say that something befell the build; without EVENT, list the events the plan knows."""
    if event is None:
        list_values(folder, build_name, lambda survey: happening_values(survey.build), as_json, _happening_line)
        return
    initials = who(by, preview=preview)
    do(folder, build_name, lambda when: a.Happen(event, initials, when, note), at, as_json=as_json, preview=preview)


def _happening_line(value: Values) -> str:
    befell = f"  happened {', '.join(in_words(one['at']) for one in value['happened'])}" if value["happened"] else ""
    return f"{value['event']}  {value['title']}: {', '.join(value['disturbs'])}{befell}"


@click.command()
@folder
@build_name
@click.argument("name", metavar="NAME", required=False)
@click.argument("choice", metavar="CHOICE", required=False)
@by_if_done
@why
@at
@preview
@as_json
@verb
def option(
    folder: Path,
    build_name: str,
    name: str | None,
    choice: str | None,
    by: str | None,
    why: str,
    at: datetime | None,
    preview: bool,
    as_json: bool,
) -> None:
    """Answer an option of the plan anew, and see what comes, goes and reopens; without NAME, list them."""
    if name is None:
        list_values(folder, build_name, lambda survey: option_values(survey.build), as_json, _option_line)
        return
    need(choice is not None, "Missing argument 'CHOICE'.")
    chosen, initials = choice or "", who(by, preview=preview)

    def action(when: datetime) -> a.ChooseOption:
        return a.ChooseOption(name, chosen, initials, when, why)

    do(folder, build_name, action, at, as_json=as_json, preview=preview)


def _option_line(value: Values) -> str:
    choices = f" ({', '.join(value['choices'])})" if value["choices"] else ""
    return f"{value['option']}={value['choice']}  {value['ask']}{choices}"
