"""The same work without a window, for scripts, backups and tests.

Exit code 0: done; 1: refused or not ready, with one line per reason on standard error; 2: wrong use.
"""

import io
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from functools import wraps
from pathlib import Path
from typing import Any, NoReturn

import click

from app.build.actions import Concede, EnterFigure, MarkLine, PassGate, RubOutReading, SayPart, TakeReading, TickPlace
from app.build.build import Build
from app.build.decide import decide, find_gate
from app.build.facts import Deed, Holding, State
from app.build.gates import GateStanding, gate_standings
from app.build.history import told
from app.build.make import make_blank
from app.build.refusal import NotReady, Refused
from app.build.rules import loose_ends
from app.build.survey import Survey
from app.exchange import export
from app.store.errors import StoreError
from app.store.workshop import Workshop

PLANS = Path(__file__).parent.parent / "resources" / "plans"
STATES = [state.value for state in State]
PAPERS = ["A4", "Letter"]
# A time outside these is a slip of the keys, and cannot be told in every zone.
FIRST_YEAR, LAST_YEAR = 1970, 2200


class Trouble(Exception):
    """Something a person can mend; `lines` are printed, one each."""

    def __init__(self, lines: Iterable[str]) -> None:
        self.lines = tuple(lines)


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
        _complain([" ".join(error.format_message().split())])
        sys.exit(2)
    except click.Abort:
        sys.exit(1)
    except Trouble as trouble:
        _complain(trouble.lines)
        sys.exit(1)
    sys.exit(code if isinstance(code, int) else 0)


def _complain(lines: Iterable[str]) -> None:
    for line in lines:
        click.echo(f"firstcrank: {line}", err=True)


@contextmanager
def _telling() -> Iterator[None]:
    try:
        yield
    except NotReady as refusal:
        raise Trouble([str(refusal), *(_reason_line(reason) for reason in refusal.reasons)]) from refusal
    except (Refused, StoreError) as refusal:
        raise Trouble([str(refusal)]) from refusal
    except BrokenPipeError:
        _leave_quietly()
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        raise Trouble([f"{where}{error.strerror or error}. Nothing was changed."]) from error


def _leave_quietly() -> NoReturn:
    """The reader went away (… | head): what was to be done is done, and there is nobody to say it to."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(0)


def _reason_line(reason: Any) -> str:
    return f"{reason.line} {reason.why}. {reason.clears}. If nobody does: {reason.harm.removesuffix('.')}."


def verb(function: Callable[..., Any]) -> Callable[..., Any]:
    """A verb whose refusals come out as one line each."""

    @wraps(function)
    def told_well(*args: Any, **kwargs: Any) -> Any:
        with _telling():
            return function(*args, **kwargs)

    return told_well


class Moment(click.ParamType[datetime]):
    """A time as typed: ISO 8601, in this computer's zone where none is given."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """Read the time or say how one is written."""
        if isinstance(value, datetime):
            return value
        try:
            at = datetime.fromisoformat(value.strip())
        except ValueError:
            self.fail(f"“{value}” is not a time; write it as 2026-03-14T19:30.", param, ctx)
        if not FIRST_YEAR <= at.year <= LAST_YEAR:
            self.fail(f"“{value}” is not in the years {FIRST_YEAR} to {LAST_YEAR}.", param, ctx)
        return at.astimezone()


folder = click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
build_name = click.argument("build_name", metavar="BUILD")
line_number = click.argument("line", metavar="LINE")
by = click.option("--by", required=True, metavar="AB", help="Initials of who did it.")
at = click.option("--at", type=Moment(), metavar="TIME", help="When it was done, if not now.")
as_json = click.option("--json", "as_json", is_flag=True, help="Print one array of objects.")


def _now() -> datetime:
    return datetime.now().astimezone()


@contextmanager
def _open(directory: Path, name: str, *, write: bool = False) -> Iterator[tuple[Workshop, Build]]:
    with Workshop.open_at(directory, now=_now(), write=write) as workshop:
        yield workshop, workshop.load(workshop.find(name))


def _print(values: list[export.Values], as_json: bool, line: Callable[[export.Values], str]) -> None:
    if as_json:
        click.echo(json.dumps(values, ensure_ascii=False, indent=1))
        return
    for value in values:
        click.echo(line(value))


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
    _print(values, as_json, lambda v: f"{v['plan']}  {v['title']}, {v['lines']} lines\n{_option_lines(v)}")


def _option_lines(value: export.Values) -> str:
    return "\n".join(
        f"    --option {name}={'|'.join(option['choices'])}   {option['ask']} (else {option['default']})"
        for name, option in value["options"].items()
    )


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

    path = PLANS / f"{plan_name}.toml"
    path = path if path.is_file() else Path(plan_name)
    if not path.is_file():
        known = ", ".join(sorted(plan.stem for plan in PLANS.glob("*.toml")))
        raise Trouble([f"There is no plan “{plan_name}”; there is {known}, or give the path of a plan file."])
    try:
        text = read_text(path)
        blank = make_blank(parse_plan(text, path.name), dict(_pairs(options, "--option")))
    except PlanError as error:
        raise Trouble(str(error).splitlines()) from error
    with _workshop_for(folder) as workshop:
        build = workshop.make_build(name, blank, text, by=by, now=_now())
    click.echo(f"{build.key}  {build.name}: {len(build.lines)} lines in {len(build.stages)} stages")


def _workshop_for(folder: Path) -> Workshop:
    from app.store.database import FILE

    if (folder / FILE).exists():
        return Workshop.open_at(folder, now=_now())
    return Workshop.create(folder, name=folder.resolve().name, now=_now())


def _pairs(words: Iterable[str], option: str) -> Iterator[tuple[str, str]]:
    for word in words:
        key, equals, value = word.partition("=")
        if not equals or not key.strip():
            raise click.BadParameter(f"“{word}” is not written as NAME=VALUE.", param_hint=option)
        yield key.strip(), value.strip()


@main.command()
@folder
@as_json
@verb
def builds(folder: Path, as_json: bool) -> None:
    """List the builds of a workshop."""
    with Workshop.open_at(folder, now=_now(), write=False) as workshop:
        values = [
            {"build": one.key, "name": one.name, "plan": one.plan, "made": one.made.astimezone().isoformat()}
            | {"lines": one.lines, "done": one.done}
            | {"last": one.last.astimezone().isoformat() if one.last else None}
            for one in workshop.builds()
        ]
    _print(values, as_json, lambda v: f"{v['build']}  {v['name']}, {v['plan']}, {v['done']} of {v['lines']} lines Done")


# --- looking


@main.command()
@folder
@build_name
@click.option("--stage", type=int, metavar="N", help="Only this stage.")
@as_json
@verb
def sheet(folder: Path, build_name: str, stage: int | None, as_json: bool) -> None:
    """Show the sheet: each line with its state, spec and what was written."""
    with _open(folder, build_name) as (_, build):
        survey = Survey(build, _now())
        lines = [line for line in build.lines if stage in (None, line.stage)]
        _check_stage(build, stage)
        values = export.sheet_values(survey, lines)
    _print(values, as_json, _sheet_line)


def _check_stage(build: Build, stage: int | None) -> None:
    if stage is not None and not any(one.number == stage for one in build.stages):
        raise Trouble([f"There is no stage {stage}; the stages run from 1 to {len(build.stages)}."])


def _sheet_line(value: export.Values) -> str:
    written = ", ".join(f"{one['place']} {one['value']} {one['verdict']}" for one in value["readings"])
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
    with _open(folder, build_name) as (_, build):
        values = export.ready_values(Survey(build, at or _now()))
    _print(values, as_json, _ready_line)


def _ready_line(value: export.Values) -> str:
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
    with _open(folder, build_name) as (_, build):
        wanted = find_gate(build, gate) if gate else None
        ends = loose_ends(Survey(build, at or _now()))
        values = export.loose_end_values(end for end in ends if wanted in (None, end.gate))
    _print(
        values,
        as_json,
        _loose_end_line,
    )


def _loose_end_line(value: export.Values) -> str:
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
    with _open(folder, build_name) as (_, build):
        values = export.gate_values(_standings(build, at or _now()))
    _print(values, as_json, _gate_line)


def _standings(build: Build, now: datetime) -> tuple[GateStanding, ...]:
    survey = Survey(build, now)
    return gate_standings(survey, loose_ends(survey))


def _gate_line(value: export.Values) -> str:
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
    with _open(folder, build_name) as (workshop, build):
        entries = [one for written in workshop.journal(build) for one in told(build, written.deed)]
    _print(
        export.journal_values(entries),
        as_json,
        _journal_line,
    )


def _journal_line(value: export.Values) -> str:
    changed = f"{value['old']} -> {value['new']}  {value['why']}".rstrip()
    return f"{value['at']}  {value['by']:<4} {value['event']:<10} {value['line'] or '':>6}  {changed}"


# --- working


def _do(folder: Path, name: str, action: Callable[[datetime], Any], when: datetime | None) -> None:
    """Decide an action, write it, and say what moved."""
    now = _now()
    with _open(folder, name, write=True) as (workshop, build):
        deed = decide(build, action(when or now))
        workshop.commit(build, deed, now=now)
        _say(build, deed)
    if when is not None and when > now:
        click.echo(f"firstcrank: {when.isoformat(timespec='minutes')} is still to come; look at the clock.", err=True)


def _say(build: Build, deed: Deed) -> None:
    click.echo(deed.label)
    for entry in told(build, deed):
        if entry.event in ("disturbed", "opened"):
            click.echo(f"  {entry.line} Look again: {entry.why}")


@main.command()
@folder
@build_name
@line_number
@click.argument("state", type=click.Choice(STATES))
@by
@click.option("--why", default="", metavar="TEXT")
@click.option("--before", default="", metavar="LINE", help="Later: the line it must come before.")
@click.option("--waits-for", default="", metavar="LINE-OR-PART", help="Later: what it waits for.")
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
    place: str,
    at: datetime | None,
) -> None:
    """Mark a line. Done ticks the places of a many-alike line that are still open, together."""

    def action(when: datetime) -> MarkLine | TickPlace:
        if place:
            return TickPlace(line, place, State(state), by, when)
        return MarkLine(line, State(state), by, when, why, before, waits_for, together=True)

    _do(folder, build_name, action, at)


@main.command()
@folder
@build_name
@line_number
@click.argument("place", metavar="PLACE")
@click.argument("value", metavar="VALUE")
@by
@click.option("--round", "turn", type=int, default=1, metavar="N")
@at
@verb
def read(
    folder: Path, build_name: str, line: str, place: str, value: str, by: str, turn: int, at: datetime | None
) -> None:
    """Write a reading at a place of a line (“-” for a line with one place)."""
    _do(folder, build_name, lambda when: TakeReading(line, place, value, by, when, turn), at)


@main.command("rub-out")
@folder
@build_name
@line_number
@click.argument("place", metavar="PLACE")
@by
@click.option("--round", "turn", type=int, default=1, metavar="N")
@verb
def rub_out(folder: Path, build_name: str, line: str, place: str, by: str, turn: int) -> None:
    """Take a reading away again; the journal keeps it."""
    _do(folder, build_name, lambda when: RubOutReading(line, place, by, when, turn), None)


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
    _do(folder, build_name, lambda when: EnterFigure(line, text, source, by or "?", when), at)


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
    _do(folder, build_name, lambda when: SayPart(part, Holding(holding), by, when, why), at)


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
    _do(folder, build_name, lambda when: Concede(line, text, by, when, before), at)


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
    written = dict(_pairs(concessions, "--concede"))
    _do(folder, build_name, lambda when: PassGate(gate, by, when, written), at)


@main.command()
@folder
@build_name
@by
@verb
def undo(folder: Path, build_name: str, by: str) -> None:
    """Take back the last thing done."""
    with _open(folder, build_name, write=True) as (workshop, build):
        click.echo(f"Undone: {workshop.undo(build, by=by, now=_now()).label}")


@main.command()
@folder
@build_name
@by
@verb
def redo(folder: Path, build_name: str, by: str) -> None:
    """Put back what was taken back last."""
    with _open(folder, build_name, write=True) as (workshop, build):
        click.echo(f"Done again: {workshop.redo(build, by=by, now=_now()).label}")


# --- paper


@main.command()
@folder
@build_name
@click.option("--out", required=True, type=click.Path(path_type=Path, dir_okay=False), metavar="FILE")
@click.option("--stage", "stages", type=int, multiple=True, metavar="N", help="Only this stage; may be repeated.")
@click.option("--open", "only_open", is_flag=True, help="Only the lines that are open.")
@click.option("--paper", type=click.Choice(PAPERS, case_sensitive=False), default="A4")
@verb
def traveller(folder: Path, build_name: str, out: Path, stages: tuple[int, ...], only_open: bool, paper: str) -> None:
    """Print the sheet to a PDF to take to the engine."""
    from app.paper.pen import PaperError
    from app.paper.traveller import write_traveller

    now = _now()
    with _open(folder, build_name, write=True) as (workshop, build):
        for stage in stages:
            _check_stage(build, stage)
        number = workshop.printed(build)[0] + 1
        survey = Survey(build, now)
        try:
            pages = write_traveller(out, survey, number=number, stages=stages, only_open=only_open, paper=paper)
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
    from app.paper.record import write_record

    with _open(folder, build_name) as (workshop, build):
        entries = [one for written in workshop.journal(build) for one in told(build, written.deed)]
        pages = write_record(out, Survey(build, _now()), entries, paper=paper)
    click.echo(f"{out}: {pages} sheets")


# --- safety


@main.command()
@folder
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@verb
def backup(folder: Path, file: Path) -> None:
    """Copy the workshop's database to a new file, checked."""
    with Workshop.open_at(folder, now=_now(), write=False) as workshop:
        workshop.back_up(file)
    click.echo(f"{file}: written and checked")


@main.command()
@folder
@as_json
@verb
def health(folder: Path, as_json: bool) -> None:
    """Check the file, its links, and that each build's journal tells exactly its state."""
    with Workshop.open_at(folder, now=_now(), write=False) as workshop:
        findings = workshop.health()
    _print(
        [{"check": one.check, "ok": one.ok, "text": one.text} for one in findings],
        as_json,
        lambda v: f"{'sound' if v['ok'] else 'WRONG'}  {v['check']}: {v['text']}",
    )
    if not all(one.ok for one in findings):
        raise Trouble([f"{folder} is not sound; put the newest backup in its place, and keep a copy of this one."])
