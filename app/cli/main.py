"""The same work without a window, for scripts, backups and tests.

Exit code 0: done; 1: refused or not ready, with one line per reason on standard error; 2: wrong use.
"""

import io
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from app import RESOURCES
from app.assembly.build import Build
from app.assembly.deeds.find import find_gate
from app.assembly.make import make_blank
from app.assembly.plan.advice import advice
from app.assembly.rules import loose_ends
from app.assembly.said.actions import Concede, EnterFigure, MarkLine, PassGate, SayPart, TickPlace
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.assembly.standing.gates import GateStanding, gate_standings
from app.assembly.standing.survey import Survey
from app.cli import beside as cli_further
from app.cli import bolts as cli_bolts
from app.cli import evidence as cli_evidence
from app.cli import places as cli_measure
from app.cli import sums as cli_sums
from app.cli.shared import (
    Moment,
    Trouble,
    as_json,
    at,
    build_name,
    by,
    complain,
    do,
    folder,
    line_number,
    open_build,
    pairs,
    print_values,
    this_moment,
    verb,
)
from app.exchange import export
from app.exchange.export_further import Values
from app.store.workshop import Workshop
from app.words.deeds import label
from app.words.journal import told

PLANS = RESOURCES / "plans"
STATES = [state.value for state in State]
PAPERS = ["A4", "Letter"]


def run(arguments: Sequence[str] | None = None) -> None:
    """Run one verb, or open the window when there is none, and leave with its exit code."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a name that is no text is shown as far as it goes
            stream.reconfigure(errors="backslashreplace")
    if not words:
        from app.desk.main import open_window

        sys.exit(open_window())
    try:
        code = main.main(words, prog_name="firstcrank", standalone_mode=False)
    except click.exceptions.Exit as leave:
        sys.exit(leave.exit_code)
    except click.ClickException as error:
        complain([" ".join(error.format_message().split())])
        sys.exit(2)
    except click.Abort:
        sys.exit(1)
    except Trouble as trouble:
        complain(trouble.lines)
        sys.exit(1)
    sys.exit(code if isinstance(code, int) else 0)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option("0.1.0", message="%(version)s")
def main() -> None:
    """Plan an engine build, work it line by line, and leave no loose end behind. Without a verb the window opens."""


@main.command("open")
@folder
@verb
def open_verb(folder: Path) -> int:
    """Open the window on the workshop in DIR."""
    from app.desk.main import open_window

    return open_window(folder)


# --- plans and builds


@main.command()
@as_json
@verb
def plans(as_json: bool) -> None:
    """List the plans that come with the program."""
    from app.exchange.plan_file import PlanError, read_plan

    values = []
    for path in sorted(PLANS.glob("*.toml")):
        try:
            plan = read_plan(path)
        except PlanError as error:
            raise Trouble(str(error).splitlines()) from error
        values.append(
            {"plan": plan.id, "title": plan.title, "edition": plan.edition, "lines": len(list(plan.steps()))}
            | {"summary": plan.summary}
            | {
                "options": {
                    option.id: {"ask": option.ask, "default": option.default}
                    | {"choices": {choice.id: choice.title for choice in option.choices}}
                    for option in plan.options
                }
            }
        )
    print_values(values, as_json, lambda v: f"{v['plan']}  {v['title']}, {v['lines']} lines\n{_option_lines(v)}")


def _option_lines(value: Values) -> str:
    return "\n".join(
        f"    --option {name}={'|'.join(option['choices'])}   {option['ask']} (else {option['default']})"
        for name, option in value["options"].items()
    )


@main.command("check-plan")
@click.argument("file", metavar="FILE")
@as_json
@verb
def check_plan(file: str, as_json: bool) -> None:
    """Look a plan file over: faults, with which no build can be made, and what it had better say otherwise."""
    from app.exchange.plan_file import PlanError, read_plan

    path = _plan_path(file)
    try:
        plan = read_plan(path)
    except PlanError as error:
        if as_json:
            print_values([{"what": "fault", "text": fault} for fault in error.faults], True, str)
            raise Trouble([f"{path.name} has {len(error.faults)} faults."]) from error
        raise Trouble(str(error).splitlines()) from error
    print_values([{"what": "advice", "text": text} for text in advice(plan)], as_json, lambda v: v["text"])
    if not as_json:
        steps = list(plan.steps())
        holds = sum(step.hold for step in steps)
        click.echo(f"{path.name}: {len(steps)} lines, {holds} holds, {len(plan.gates)} gates, no faults")


@main.command()
@folder
@click.option("--plan", "plan_name", required=True, metavar="PLAN", help="A plan's name, or the path of a plan file.")
@click.option("--name", required=True, help="What to call the build.")
@click.option("--option", "options", multiple=True, metavar="K=V", help="An answer to one of the plan's options.")
@click.option("--by", default="", metavar="AB", help="Initials of who makes it.")
@verb
def new(folder: Path, plan_name: str, name: str, options: tuple[str, ...], by: str) -> None:
    """Make a build from a plan, and the workshop around it if there is none in DIR yet."""
    from app.exchange.plan_file import PlanError, parse_plan, read_text

    path = _plan_path(plan_name)
    try:
        text = read_text(path)
        blank = make_blank(parse_plan(text, path.name), dict(pairs(options, "--option")))
    except PlanError as error:
        raise Trouble(str(error).splitlines()) from error
    with _workshop_for(folder) as workshop:
        build = workshop.make_build(name, blank, text, by=by, now=this_moment())
    click.echo(f"{build.key}  {build.name}: {len(build.lines)} lines in {len(build.stages)} stages")


def _plan_path(name: str) -> Path:
    """A plan that comes with the program by its name, else the plan file at this path."""
    shipped = PLANS / f"{name}.toml"
    path = shipped if shipped.is_file() else Path(name)
    if not path.is_file():
        known = ", ".join(sorted(plan.stem for plan in PLANS.glob("*.toml")))
        raise Trouble([f"There is no plan “{name}”; there is {known}, or give the path of a plan file."])
    return path


def _workshop_for(folder: Path) -> Workshop:
    from app.store.database import FILE

    if (folder / FILE).exists():
        return Workshop.open_at(folder, now=this_moment())
    return Workshop.create(folder, name=folder.resolve().name, now=this_moment())


@main.command()
@folder
@as_json
@verb
def builds(folder: Path, as_json: bool) -> None:
    """List the builds of a workshop."""
    with Workshop.open_at(folder, now=this_moment(), write=False) as workshop:
        values = [
            {"build": one.key, "name": one.name, "plan": one.plan, "made": one.made.astimezone().isoformat()}
            | {"lines": one.lines, "done": one.done}
            | {"last": one.last.astimezone().isoformat() if one.last else None}
            for one in workshop.builds()
        ]
    print_values(
        values, as_json, lambda v: f"{v['build']}  {v['name']}, {v['plan']}, {v['done']} of {v['lines']} lines Done"
    )


# --- looking


@main.command()
@folder
@build_name
@click.option("--stage", type=int, metavar="N", help="Only this stage.")
@as_json
@verb
def sheet(folder: Path, build_name: str, stage: int | None, as_json: bool) -> None:
    """Show the sheet: each line with its state, spec and what was written."""
    with open_build(folder, build_name) as (_, build):
        survey = Survey(build, this_moment())
        lines = [line for line in build.lines if stage in (None, line.stage)]
        _check_stage(build, stage)
        values = export.sheet_values(survey, lines)
    print_values(values, as_json, _sheet_line)


def _check_stage(build: Build, stage: int | None) -> None:
    if stage is not None and not any(one.number == stage for one in build.stages):
        raise Trouble([f"There is no stage {stage}; the stages run from 1 to {len(build.stages)}."])


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


@main.command()
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
    waits = "; ".join(f"{one['text']}{' until ' + one['until'] if one['until'] else ''}" for one in value["waits_for"])
    return f"{value['line']:>6}  {'ready' if value['ready'] else 'waits for ' + waits}  {value['title']}"


@main.command("loose-ends")
@folder
@build_name
@click.option("--gate", metavar="G", help="Only what bites at this gate.")
@click.option("--at", type=Moment(), metavar="TIME", help="As of this time, if not now.")
@as_json
@verb
def loose_ends_verb(folder: Path, build_name: str, gate: str | None, at: datetime | None, as_json: bool) -> None:
    """Show what is open that will bite, at which gate, the harm, and what clears it."""
    with open_build(folder, build_name) as (_, build):
        wanted = find_gate(build, gate) if gate else None
        ends = loose_ends(Survey(build, at or this_moment()))
        values = export.loose_end_values(end for end in ends if wanted in (None, end.gate))
    print_values(
        values,
        as_json,
        _loose_end_line,
    )


def _loose_end_line(value: Values) -> str:
    harm = value["harm"].removesuffix(".")
    why = value["why"].removesuffix(".")
    return f"{value['line']:>6}  {why}. {value['clears']}. If nobody does: {harm}. ({value['rule']})"


@main.command()
@folder
@build_name
@click.option("--at", type=Moment(), metavar="TIME", help="As of this time, if not now.")
@as_json
@verb
def gates(folder: Path, build_name: str, at: datetime | None, as_json: bool) -> None:
    """Show each gate, ready or not, and everything that keeps it shut."""
    with open_build(folder, build_name) as (_, build):
        values = export.gate_values(_standings(build, at or this_moment()))
    print_values(values, as_json, _gate_line)


def _standings(build: Build, now: datetime) -> tuple[GateStanding, ...]:
    survey = Survey(build, now)
    return gate_standings(survey, loose_ends(survey))


def _gate_line(value: Values) -> str:
    if value["passed"]:
        state = f"passed {value['passed']} by {value['by']}"
        state += f", in writing without {', '.join(value['conceded'])}" if value["conceded"] else ""
    else:
        state = "ready" if value["ready"] else "shut"
    held = "\n".join(f"    {one['line']:>6}  {one['why']}" for one in value["reasons"])
    return f"{value['letter']}  {value['title']} ({value['gate']}): {state}" + (f"\n{held}" if held else "")


@main.command()
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
    return f"{value['at']}  {value['by']:<4} {value['event']:<10} {value['line'] or '':>6}  {changed}"


# --- working


@main.command()
@folder
@build_name
@line_number
@click.argument("state", type=click.Choice(STATES))
@by
@click.option("--why", default="", metavar="TEXT")
@click.option("--before", default="", metavar="LINE", help="Later: the line it must come before.")
@click.option(
    "--waits-for", default="", metavar="WHAT", help="Later: a line, a part, date:2026-05-01, tool:W1 or person:CD."
)
@click.option("--meanwhile", default="", metavar="TEXT", help="Later: how it looks until then (finger-tight, a tag).")
@click.option("--place", default="", metavar="PLACE", help="Only this place of a many-alike line.")
@at
@verb
def mark(
    folder: Path,
    build_name: str,
    line: str,
    state: str,
    by: str,
    why: str,
    before: str,
    waits_for: str,
    meanwhile: str,
    place: str,
    at: datetime | None,
) -> None:
    """Mark a line. Done ticks the places of a many-alike line that are still open, together."""

    def action(when: datetime) -> MarkLine | TickPlace:
        if place:
            return TickPlace(line, place, State(state), by, when)
        return MarkLine(line, State(state), by, when, why, before, waits_for, together=True, meanwhile=meanwhile)

    do(folder, build_name, action, at)


@main.command()
@folder
@build_name
@line_number
@click.argument("text", metavar="TEXT")
@click.option("--source", required=True, metavar="TEXT", help="Where the figure is from, with its edition.")
@click.option("--by", default="", metavar="AB")
@at
@verb
def spec(folder: Path, build_name: str, line: str, text: str, source: str, by: str, at: datetime | None) -> None:
    """Enter the figure a line is held against, and where it is from."""
    do(folder, build_name, lambda when: EnterFigure(line, text, source, by or "?", when), at)


@main.command()
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


@main.command()
@folder
@build_name
@line_number
@click.argument("text", metavar="TEXT")
@by
@click.option("--before", default="", metavar="LINE", help="The line it must be cleared before.")
@at
@verb
def concede(folder: Path, build_name: str, line: str, text: str, by: str, before: str, at: datetime | None) -> None:
    """Decide in writing to go on although a line is open."""
    do(folder, build_name, lambda when: Concede(line, text, by, when, before), at)


@main.command("pass")
@folder
@build_name
@click.argument("gate", metavar="GATE")
@by
@click.option("--concede", "concessions", multiple=True, metavar="LINE=TEXT", help="Go on without this line, and why.")
@at
@verb
def pass_gate(
    folder: Path, build_name: str, gate: str, by: str, concessions: tuple[str, ...], at: datetime | None
) -> None:
    """Go through a gate; each line still open needs its own written reason."""
    written = dict(pairs(concessions, "--concede"))
    do(folder, build_name, lambda when: PassGate(gate, by, when, written), at)


@main.command()
@folder
@build_name
@by
@verb
def undo(folder: Path, build_name: str, by: str) -> None:
    """Take back the last thing done."""
    with open_build(folder, build_name, write=True) as (workshop, build):
        click.echo(f"Undone: {label(*workshop.undo(build, by=by, now=this_moment()))}")


@main.command()
@folder
@build_name
@by
@verb
def redo(folder: Path, build_name: str, by: str) -> None:
    """Put back what was taken back last."""
    with open_build(folder, build_name, write=True) as (workshop, build):
        click.echo(f"Done again: {label(*workshop.redo(build, by=by, now=this_moment()))}")


# --- paper


@main.command()
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
            _check_stage(build, stage)
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


@main.command()
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


# --- safety


@main.command()
@folder
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@verb
def backup(folder: Path, file: Path) -> None:
    """Copy the workshop's database to a new file, checked."""
    with Workshop.open_at(folder, now=this_moment(), write=False) as workshop:
        workshop.back_up(file)
    click.echo(f"{file}: written and checked")


@main.command()
@folder
@as_json
@verb
def health(folder: Path, as_json: bool) -> None:
    """Check the file, its links, and that each build's journal tells exactly its state."""
    with Workshop.open_at(folder, now=this_moment(), write=False) as workshop:
        findings = workshop.health()
    print_values(
        [{"check": one.check, "ok": one.ok, "text": one.text} for one in findings],
        as_json,
        lambda v: f"{'sound' if v['ok'] else 'WRONG'}  {v['check']}: {v['text']}",
    )
    if not all(one.ok for one in findings):
        raise Trouble([f"{folder} is not sound; put the newest backup in its place, and keep a copy of this one."])


for further in (*cli_further.VERBS, *cli_evidence.VERBS, *cli_bolts.VERBS, *cli_measure.VERBS, *cli_sums.VERBS):
    main.add_command(further)
