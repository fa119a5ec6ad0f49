"""The verbs for rags, caps and tools that go in for a while, and for the holes they close."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.said import actions as a
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.cli.doing import do, need, who
from app.cli.opening import list_values
from app.cli.options import LIST, as_json, at, build_name, by_if_done, folder
from app.cli.saying import verb
from app.words.facts.holes import hole_values
from app.words.facts.temporary import item_values
from app.words.telling import Values

IN, OUT, LOST = "in", "out", "lost"


OPENS_TO = ["oil", "coolant", "air", "nothing", "unknown"]


@click.command()
@folder
@build_name
@click.argument("what", type=click.Choice([IN, OUT, LOST, LIST]), default=LIST)
@click.argument("name", metavar="NAME-OR-ITEM", required=False)
@by_if_done
@click.option("--where", default="", metavar="PLACE", help="In, lost: where it is, or was seen last.")
@click.option("--count", type=int, default=1, metavar="N")
@click.option("--turning-ok", is_flag=True, help="In: the engine may be turned with it in (clay, checking springs).")
@at
@as_json
@verb
def temporary(
    folder: Path,
    build_name: str,
    what: str,
    name: str | None,
    by: str | None,
    where: str,
    count: int,
    turning_ok: bool,
    at: datetime | None,
    as_json: bool,
) -> None:
    """A rag, cap or tool goes in, comes out or is lost; list shows what is in and what was."""
    if what == LIST:
        list_values(folder, build_name, item_values, as_json, _item_line)
        return
    need(name is not None, f"Missing argument: say what is {what}.")
    thing, initials = name or "", who(by)

    def action(when: datetime) -> a.PutTemporary | a.TakeOut:
        if what == OUT:
            return a.TakeOut(thing, initials, when, count)
        return a.PutTemporary(thing, where, initials, when, count, turning_ok, lost=what == LOST)

    do(folder, build_name, action, at, as_json=as_json)


def _item_line(value: Values) -> str:
    out = f"  comes out at {value['out_line']}" if value["out_line"] else ""
    return f"{value['item']}  {value['state']:<4}  {value['count']} × {value['name']}, {value['where']}{out}"


@click.command()
@folder
@build_name
@click.argument("group", metavar="GROUP", default="")
@click.argument("place", metavar="PLACE", default="")
@by_if_done
@click.option("--opens-to", type=click.Choice(OPENS_TO), default=None)
@click.option("--thread", metavar="TEXT")
@click.option("--depth", metavar="TEXT")
@click.option("--closed-with", metavar="TEXT", help="Plug, stud, bolt, sender, gasket.")
@click.option("--length", metavar="TEXT", help="The length that fits.")
@click.option("--compound", metavar="TEXT")
@click.option("--refits", metavar="AB", help="Who sees to it that it is closed again.")
@at
@as_json
@verb
def hole(
    folder: Path,
    build_name: str,
    group: str,
    place: str,
    by: str | None,
    at: datetime | None,
    as_json: bool,
    **details: str | None,
) -> None:
    """Say what is known of a hole; without details, show the map of holes."""
    known = {name: text for name, text in details.items() if text is not None}
    if not known:
        list_values(folder, build_name, lambda survey: _holes(survey, group, place), as_json, _hole_line)
        return
    need(bool(group and place), "Missing argument 'GROUP' or 'PLACE': say which hole it is.")
    initials = who(by)
    do(folder, build_name, lambda when: a.DescribeHole(group, place, initials, when, **known), at, as_json=as_json)


def _holes(survey: Survey, group: str, place: str) -> list[Values]:
    known = survey.build.groups
    if group and group not in known:
        raise Refused(phrase(RefusalKind.NO_HOLES, group=group, known=tuple(known)))
    found = hole_values(survey, group, place)
    if place and not found:
        places = tuple(one.id for one in survey.build.places_of(group))
        raise Refused(phrase(RefusalKind.NO_HOLE, group=group, place=place, known=places))
    return found


def _hole_line(value: Values) -> str:
    words = [value[key] for key in ("thread", "depth", "closed_with", "length", "compound", "refits") if value[key]]
    hidden = f", hidden by {value['hidden_by']}" if value["hidden_by"] else ""
    state = "closed" if value["closed"] else "open"
    return (
        f"{value['group']} {value['place']}  {state}, opens to {value['opens_to']}{hidden}  {', '.join(words)}".rstrip()
    )
