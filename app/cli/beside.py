"""The verbs for what the plan does not foresee: found, opened, lost, fitted, offered, changed; leaving and coming back.

A verb that also lists does so when it is given nothing to do; then it asks for no initials.
"""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.deeds.decide import decide
from app.assembly.said import actions as a
from app.assembly.said.findings import Disposition
from app.assembly.said.parts import Fitted
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.cli.shared import (
    LIST,
    as_json,
    at,
    build_name,
    by,
    by_if_done,
    do,
    folder,
    list_values,
    need,
    open_build,
    preview,
    print_values,
    this_moment,
    verb,
    who,
    why,
)
from app.exchange import export_further as export
from app.exchange.export_further import Values

DECISIONS = {one.value.replace(" ", "-"): one for one in Disposition if one is not Disposition.OPEN}
OPENS_TO = ["oil", "coolant", "air", "nothing", "unknown"]
IN, OUT, LOST = "in", "out", "lost"

disturbs = click.option(
    "--disturbs", multiple=True, metavar="LINE", help="A line whose result is thereby no longer known; repeat for more."
)


# --- found and decided


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
        list_values(folder, build_name, lambda survey: export.finding_values(survey.build), as_json, _finding_line)
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


# --- opened, put in, befallen


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
        list_values(folder, build_name, export.extra_values, as_json, _extra_line)
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
        list_values(folder, build_name, lambda survey: export.happening_values(survey.build), as_json, _happening_line)
        return
    initials = who(by, preview=preview)
    do(folder, build_name, lambda when: a.Happen(event, initials, when, note), at, as_json=as_json, preview=preview)


def _happening_line(value: Values) -> str:
    befell = f"  happened {', '.join(one['at'] for one in value['happened'])}" if value["happened"] else ""
    return f"{value['event']}  {value['title']}: {', '.join(value['disturbs'])}{befell}"


# --- parts, temporary things, holes, bolts


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
        list_values(folder, build_name, lambda survey: export.fit_values(survey.build), as_json, _fit_line)
        return
    need(how is not None, "Missing argument 'trial|final|off'.")
    initials = who(by)
    do(folder, build_name, lambda when: a.FitPart(part, Fitted(how), initials, when, why), at, as_json=as_json)


def _fit_line(value: Values) -> str:
    return f"{value['part']}  {value['name']}  {value['fit'] or ''}".rstrip()


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
        list_values(folder, build_name, export.item_values, as_json, _item_line)
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
    found = export.hole_values(survey, group, place)
    if place and not found:
        raise Refused(
            phrase(
                RefusalKind.NO_HOLE,
                group=group,
                place=place,
                known=tuple(one.id for one in survey.build.places_of(group)),
            )
        )
    return found


def _hole_line(value: Values) -> str:
    words = [value[key] for key in ("thread", "depth", "closed_with", "length", "compound", "refits") if value[key]]
    hidden = f", hidden by {value['hidden_by']}" if value["hidden_by"] else ""
    state = "closed" if value["closed"] else "open"
    return (
        f"{value['group']} {value['place']}  {state}, opens to {value['opens_to']}{hidden}  {', '.join(words)}".rstrip()
    )


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
        list_values(folder, build_name, lambda survey: export.count_values(survey.build), as_json, _count_line)
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


# --- options, leaving, coming back


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
        list_values(folder, build_name, lambda survey: export.option_values(survey.build), as_json, _option_line)
        return
    need(choice is not None, "Missing argument 'CHOICE'.")
    chosen, initials = choice or "", who(by, preview=preview)

    def action(when: datetime) -> a.ChooseOption:
        return a.ChooseOption(name, chosen, initials, when, why)

    do(folder, build_name, action, at, as_json=as_json, preview=preview)


def _option_line(value: Values) -> str:
    choices = f" ({', '.join(value['choices'])})" if value["choices"] else ""
    return f"{value['option']}={value['choice']}  {value['ask']}{choices}"


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
        values = export.remembered_values(Survey(build, at or this_moment()))
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
        list_values(folder, build_name, export.resume_values, as_json, _resume_line)
        return
    initials = who(by, preview=preview)

    def action(when: datetime) -> a.Resume:
        return a.Resume(initials, when, confirmed, doubted)

    do(folder, build_name, action, at, as_json=as_json, preview=preview)


def _resume_line(value: Values) -> str:
    left = value["left"]
    note = [f"{left['by']} left on {left['at']}: {left['note'] or 'no note'}"] if left else ["No note was left."]
    items = [f"  {text}" for text in left["items"]] if left else []
    asked = [f"{one['line']:>6}  {one['state']:<10}  still true? {one['title']}" for one in value["ask"]]
    doubtful = [
        f"{one['line']:>6}  {one['state']:<10}  not known to be final: {one['title']}" for one in value["not_final"]
    ]
    return "\n".join([*note, *items, *asked, *doubtful])


VERBS = (found, decide_verb, opened, put_in, happened, fit, temporary, hole, count, option, leave, resume)
