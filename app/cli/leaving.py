"""The verbs for leaving the work and coming back to it."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.deeds.decide import decide
from app.assembly.said import actions as a
from app.assembly.standing.survey import Survey
from app.cli.doing import do, need, who
from app.cli.opening import list_values, open_build
from app.cli.options import as_json, at, build_name, by_if_done, folder, preview
from app.cli.saying import print_values, this_moment, verb
from app.words.facts.leaving import remembered_values, resume_values
from app.words.telling import Values
from app.words.times import in_words


@click.command()
@folder
@build_name
@by_if_done
@click.option("--note", default="", metavar="TEXT")
@at
@as_json
@verb
def leave(folder: Path, build_name: str, by: str | None, note: str, at: datetime | None, as_json: bool) -> None:
    """Leave the work with a note, and print what must be remembered; without --by, only print it."""
    need(by is not None or not note, "Missing option '--by'.")
    with open_build(folder, build_name, write=by is not None) as (workshop, build):
        values = remembered_values(Survey(build, at or this_moment()))
        if by is not None:
            workshop.commit(build, decide(build, a.Leave(note, by, at or this_moment())), now=this_moment())
    print_values(values, as_json, lambda value: str(value["text"]))


@click.command()
@folder
@build_name
@by_if_done
@click.option("--true", "confirmed", multiple=True, metavar="LINE", help="Still true; repeat for more.")
@click.option("--doubt", "doubted", multiple=True, metavar="LINE", help="To look at again; repeat for more.")
@at
@preview
@as_json
@verb
def resume(
    folder: Path,
    build_name: str,
    by: str | None,
    confirmed: tuple[str, ...],
    doubted: tuple[str, ...],
    at: datetime | None,
    preview: bool,
    as_json: bool,
) -> None:
    """Come back and say which of the last lines are still true; without --by, show the note left and what to ask."""
    if by is None and not (confirmed or doubted):
        list_values(folder, build_name, resume_values, as_json, _resume_line)
        return
    initials = who(by, preview=preview)

    def action(when: datetime) -> a.Resume:
        return a.Resume(initials, when, confirmed, doubted)

    do(folder, build_name, action, at, as_json=as_json, preview=preview)


def _resume_line(value: Values) -> str:
    left = value["left"]
    note = (
        [f"{left['by']} left on {in_words(left['at'])}: {left['note'] or 'no note'}"] if left else ["No note was left."]
    )
    items = [f"  {text}" for text in left["items"]] if left else []
    asked = [f"{one['line']:>6}  {one['state']:<10}  still true? {one['title']}" for one in value["ask"]]
    doubtful = [
        f"{one['line']:>6}  {one['state']:<10}  not known to be final: {one['title']}" for one in value["not_final"]
    ]
    return "\n".join([*note, *items, *asked, *doubtful])
