"""The verbs for bolts: what is known of a joint, each bolt's passes, and slackening to begin again."""

from datetime import datetime
from pathlib import Path

import click

from app.assembly.deeds.decide import decide
from app.assembly.deeds.find import find_line
from app.assembly.lines import Line
from app.assembly.said import actions as a
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.joints import described
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import SAID, joint_of
from app.cli.doing import do, said, who
from app.cli.opening import list_values, open_build
from app.cli.options import as_json, at, build_name, by, by_if_done, folder, line_number, preview
from app.cli.saying import print_values, this_moment, verb
from app.exchange.deeds import deed_values
from app.trade.shipped_tables import shipped_tables
from app.words.facts.bolts import bolt_values
from app.words.facts.joints import joint_values
from app.words.telling import Values


@click.command()
@folder
@build_name
@click.argument("line", metavar="LINE", required=False)
@by_if_done
@click.option("--say", multiple=True, metavar="NAME=VALUE", help=f"What is known of the joint: {', '.join(SAID)}.")
@at
@as_json
@verb
def bolts(
    folder: Path,
    build_name: str,
    line: str | None,
    by: str | None,
    say: tuple[str, ...],
    at: datetime | None,
    as_json: bool,
) -> None:
    """Show a line's bolts in their order, or say what is known of its joint; without LINE, list the joints."""
    if line is None:
        list_values(folder, build_name, joint_values, as_json, _joint_line)
        return
    if not say:
        with open_build(folder, build_name) as (_, build):
            found = bolt_values(Survey(build, this_moment()), _bolted(find_line(build, line)))
        print_values(found, as_json, _bolt_line)
        return
    typed, initials = said(say, SAID, "one says of a joint"), who(by)
    moment = this_moment()
    with open_build(folder, build_name, write=True) as (workshop, build):
        target = _bolted(find_line(build, line))
        try:
            joint = described(typed, shipped_tables(), initials, at or moment, joint_of(build, target))
        except ValueError as error:
            raise Refused(phrase(RefusalKind.AT_LINE, line=target.number, matter=str(error))) from error
        deed = decide(build, a.DescribeJoint(target.id, joint, initials, at or moment))
        value = deed_values(build, deed)
        workshop.commit(build, deed, now=moment)
    print_values([value], as_json, lambda one: str(one["did"]))


def _bolted(line: Line) -> Line:
    if line.tightening is None:
        raise Refused(phrase(RefusalKind.HAS_NO_BOLTS, line=line.number))
    return line


def _joint_line(value: Values) -> str:
    said = ", ".join(f"{name} {text}" for name, text in value["said"].items())
    preload = ""
    if value["preload_low_n"] is not None:
        low, high = value["preload_low_n"] / 1000, value["preload_high_n"] / 1000
        preload = f"  {value['torque_nm']:g} N·m gives {low:.1f} to {high:.1f} kN"
    return f"{', '.join(value['lines'])}  {said}{preload}"


def _bolt_line(value: Values) -> str:
    passes = " ".join(_pass_words(one) for one in value["passes"])
    return f"{value['order']:>3}  {value['bolt']:<14} {passes}"


def _pass_words(value: Values) -> str:
    if not value["done"]:
        return f"[ ] {value['verdict'] or ''}".rstrip()
    return f"[x] {value['torque'] or ''}".rstrip()


@click.command()
@folder
@build_name
@line_number
@click.argument("place", metavar="PLACE")
@by
@click.option("--torque", default="", metavar="VALUE", help="What it came to: 82 N·m.")
@click.option("--angle", default="", metavar="VALUE", help="What it was turned by: 90°.")
@click.option("--stretch", default="", metavar="VALUE", help="How much longer it is: 0.52 mm.")
@click.option("--wrench", default="", metavar="TOOL", help="The tool, if not the one said for the joint.")
@click.option("--setting", default="", metavar="VALUE", help="What the wrench was set to.")
@at
@as_json
@verb
def bolt(
    folder: Path,
    build_name: str,
    line: str,
    place: str,
    by: str,
    torque: str,
    angle: str,
    stretch: str,
    wrench: str,
    setting: str,
    at: datetime | None,
    as_json: bool,
) -> None:
    """Say that one bolt has had its next pass, and what it came to."""

    def action(when: datetime) -> a.TightenBolt:
        return a.TightenBolt(line, place, by, when, torque, angle, stretch, wrench, setting)

    do(folder, build_name, action, at, as_json=as_json)


@click.command()
@folder
@build_name
@line_number
@click.option("--why", required=True, metavar="TEXT")
@by
@at
@preview
@as_json
@verb
def slacken(
    folder: Path, build_name: str, line: str, why: str, by: str, at: datetime | None, preview: bool, as_json: bool
) -> None:
    """Slacken a joint fully: every pass of every bolt of it counts as not done again."""
    do(folder, build_name, lambda when: a.Slacken(line, why, by, when), at, as_json=as_json, preview=preview)
