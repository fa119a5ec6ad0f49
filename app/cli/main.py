"""The same work without a window, for scripts, backups and tests.

Exit code 0: done; 1: refused or not ready, with one line per reason on standard error; 2: wrong use.
"""

import atexit
import gc
import io
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, NamedTuple

import click

from app.cli.trouble import Trouble, complain


class Known(NamedTuple):
    """A verb before it is loaded: the module of `app.cli` it stands in, and what the list of verbs says of it."""

    module: str
    help: str


# The modules behind a verb are loaded when it is called: a list of verbs costs none of them.
VERBS = {
    "plans": Known("plans", "List the plans that come with the program."),
    "check-plan": Known(
        "plans", "Look a plan file over: faults, with which no build can be made, and what it had better say otherwise."
    ),
    "new": Known("builds", "Make a build from a plan, and the workshop around it if there is none in DIR yet."),
    "builds": Known("builds", "List the builds of a workshop."),
    "open": Known("builds", "Open the window on the workshop in DIR."),
    "sheet": Known("sheet", "Show the sheet: each line with its state, spec and what was written."),
    "ready": Known("sheet", "Show which open lines can be started now, and what each other one waits for."),
    "journal": Known("sheet", "Show everything that was done, oldest first."),
    "mark": Known("marks", "Mark a line."),
    "undo": Known("marks", "Take back the last thing done."),
    "redo": Known("marks", "Put back what was taken back last."),
    "spec": Known("figures", "Enter the figure a line is held against, and where it is from."),
    "width": Known(
        "figures",
        "Say how far from a line's single figure is still right: “± 4 %”, “6 to 8 thou”, an offer or a tool by name.",
    ),
    "under": Known("figures", "Say how all is read on a line: hot, cold, at 90 °C, at 2000 rpm; “” takes it back."),
    "units": Known("figures", "Say which units come first where no figure says any: metric, inch, or the plan's own."),
    "source": Known(
        "figures", "Put a figure beside the others for a line, or choose one of them; with neither, list them."
    ),
    "read": Known("places", "Write a reading at a place of a line (“-” for a line with one place)."),
    "rub-out": Known("places", "Take a reading away again; the journal keeps it."),
    "results": Known(
        "places",
        "Show what is worked out from readings: clearances, sums, taper, out-of-round, spread; of LINE, or of all.",
    ),
    "lash": Known("places", "Show the crank stops and the valves set at each; with LINE, what was read there too."),
    "cam": Known("places", "Say when the valves open and close, as the cam's card has it; without --say, show it."),
    "bolts": Known(
        "bolts", "Show a line's bolts in their order, or say what is known of its joint; without LINE, list the joints."
    ),
    "bolt": Known("bolts", "Say that one bolt has had its next pass, and what it came to."),
    "slacken": Known("bolts", "Slacken a joint fully: every pass of every bolt of it counts as not done again."),
    "loose-ends": Known("loose_ends", "Show what is open that will bite, at which gate, the harm, and what clears it."),
    "gates": Known("gates", "Show each gate, ready or not, and everything that keeps it shut."),
    "concede": Known("gates", "Decide in writing to go on although a line is open."),
    "pass": Known("gates", "Go through a gate; each line still open needs its own written reason."),
    "found": Known(
        "findings",
        "Write down what was found at a line and print its key; without LINE, list what was found and decided.",
    ),
    "decide": Known("findings", "Decide about a finding, why, what to watch, and what would reopen it."),
    "opened": Known(
        "unforeseen",
        "Say that something was slackened, opened or removed; without TEXT, list the lines put in between.",
    ),
    "put-in": Known("unforeseen", "Put a step the plan forgot behind the line AFTER."),
    "happened": Known(
        "unforeseen", "Say that something befell the build; without EVENT, list the events the plan knows."
    ),
    "option": Known(
        "unforeseen",
        "Answer an option of the plan anew, and see what comes, goes and reopens; without NAME, list them.",
    ),
    "part": Known("parts", "Say whether a part is here, on order or missing."),
    "fit": Known(
        "parts", "Say that a part is on to look and measure, on for good, or off again; without PART, list the parts."
    ),
    "count": Known(
        "parts", "Write how often bolts were tightened so far, the machine shop's included; list shows the counts."
    ),
    "temporary": Known(
        "things", "A rag, cap or tool goes in, comes out or is lost; list shows what is in and what was."
    ),
    "hole": Known("things", "Say what is known of a hole; without details, show the map of holes."),
    "second-look": Known(
        "evidence", "Look a second time at a line that is Done; without LINE, list the lines that want it."
    ),
    "ran": Known("evidence", "Write down a spell of running; list shows the sums and the follow-ups that are due."),
    "tool": Known("tools", "Enter a wrench or gauge, a check of it, or that it was found wrong; list shows them."),
    "leave": Known(
        "leaving", "Leave the work with a note, and print what must be remembered; without --by, only print it."
    ),
    "resume": Known(
        "leaving",
        "Come back and say which of the last lines are still true; without --by, show the note left and what to ask.",
    ),
    "traveller": Known("paper", "Print the sheet to a PDF to take to the engine."),
    "record": Known(
        "paper",
        "Write the build record to a PDF: what is inside, every reading, decision and concession, who and when.",
    ),
    "backup": Known("safety", "Copy the workshop's database to a new file, checked."),
    "restore": Known(
        "safety", "Go back to a backup: FILE, checked, takes the place of the workshop's database, which is set aside."
    ),
    "health": Known("safety", "Check the file, its links, and that each build's journal tells exactly its state."),
    "wrench": Known("sums", "What to set, with an adapter on the drive or a nut that runs on hard."),
    "threads": Known("sums", "A torque for dry threads with oil, paste or sealant on them, or the other way round."),
    "joint": Known("sums", "What a torque comes to: preload, share of proof load, pressure under the head, threads."),
    "stretch": Known("sums", "From a measured stretch to the load and back, and the turn that brings it."),
    "pattern": Known("sums", "The order for rows of bolts, a circle, or a sheet's own, its reverse, and the passes."),
    "valves": Known("sums", "The fewest crank positions, the valves of each, and a printed table checked."),
    "shim": Known("sums", "New shims for all valves at once, from those in it, your spares, and what can be had."),
    "ratio": Known("sums", "Displacement, ratio with its doubt, what one cc is worth, squish."),
    "piston": Known("sums", "Piston position and speed, and how near a valve comes."),
    "degree": Known("sums", "Centre, duration, overlap and separation, and how the cam stands against its card."),
    "gap": Known("sums", "What two sets of rules ask for, and what to file."),
    "match": Known("sums", "Pistons to bores by clearance, or rods and pistons by mass."),
    "shells": Known("sums", "Shells for every place from those to be had, and the clearance each gives."),
    "plug": Known("sums", "Plug torque by every chart, dry or with anti-seize, and the gap."),
    "pressures": Known("sums", "Each cylinder by every rule, and what a low one points to."),
    "oil": Known("sums", "Hot pressure by speed, and what standing at an angle hides."),
    "verdict": Known("sums", "In, Out or Cannot decide, with the gauge's doubt."),
    "unit": Known("sums", "Any value in all units of its kind."),
}


class Verbs(click.Group):
    """The verbs, each loaded when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The names of all verbs."""
        return sorted(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The verb of this name, out of its module; None where there is none."""
        if cmd_name not in VERBS:
            return None
        found: list[Any] = list(vars(import_module(f"app.cli.{VERBS[cmd_name].module}")).values())
        return next(one for one in _commands(found) if one.name == cmd_name)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of verbs, without loading them."""
        names = self.list_commands(ctx)
        limit = formatter.width - 6 - max(len(name) for name in names)
        with formatter.section("Commands"):
            formatter.write_dl(
                [(name, click.Command(name, help=VERBS[name].help).get_short_help_str(limit)) for name in names]
            )


def _commands(found: list[Any]) -> list[click.Command]:
    """The verbs among these, and those in the tuples among these."""
    inner = [one for group in found if isinstance(group, tuple) for one in group]
    return [one for one in (*found, *inner) if isinstance(one, click.Command)]


def live_briefly() -> None:
    """Look for no garbage: a verb is over before that pays, and at its end the system takes everything at once.

    Looking through all that the libraries made, again and again and once more at the end, takes a quarter of a verb's
    time. The window turns it on again once it stands.
    """
    gc.disable()
    atexit.register(gc.freeze)


def run(arguments: Sequence[str] | None = None) -> None:
    """Run one verb, or open the window when there is none, and leave with its exit code."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a name that is no text is shown as far as it goes
            stream.reconfigure(errors="backslashreplace")
    if arguments is None:
        live_briefly()
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


@click.group(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option("0.1.0", message="%(version)s")
def main() -> None:
    """Plan an engine build, work it line by line, and leave no loose end behind. Without a verb the window opens."""
