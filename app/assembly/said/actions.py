"""What a person can do to a build. An action is a value; `decide` says what it comes to."""

from collections.abc import Mapping
from datetime import datetime
from typing import ClassVar

from msgspec import Struct, field

from app.assembly.plan.steps import Trust
from app.assembly.said.findings import Disposition
from app.assembly.said.joints import JointSaid
from app.assembly.said.marks import State
from app.assembly.said.parts import Fitted, Holding


class Action:
    """Anything a person can do to a build: who did it, and when. The deeds of `decided_in` say what it comes to."""

    __slots__ = ()
    decided_in: ClassVar[str] = ""
    by: str
    at: datetime


class MarkLine(Action, Struct, frozen=True):
    """Put a line into a state. `together` ticks the places still open in one stroke when it becomes Done."""

    decided_in = "marks"
    line: str
    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    together: bool = False
    meanwhile: str = ""


class TickPlace(Action, Struct, frozen=True):
    """Mark one place of a many-alike line Done, Started or To do."""

    decided_in = "marks"
    line: str
    place: str
    state: State
    by: str
    at: datetime


class TakeReading(Action, Struct, frozen=True):
    """Write a value at a place; `text` is kept as typed. `decimal` is the typist's own decimal mark.

    `at` is when it was read. `temperature` is how warm the part and the gauge were, `alpha_per_k` by how much more than
    a steel gauge the part grows for each kelvin.
    """

    decided_in = "readings"
    line: str
    place: str
    text: str
    by: str
    at: datetime
    round: int = 1
    decimal: str = "."
    tool: str = ""
    temperature: str = ""
    alpha_per_k: float = 0.0


class RubOutReading(Action, Struct, frozen=True):
    """Take a written value away again; the journal keeps it."""

    decided_in = "readings"
    line: str
    place: str
    by: str
    at: datetime
    round: int = 1


class EnterFigure(Action, Struct, frozen=True):
    """Enter the figure a line is held against, and where it comes from."""

    decided_in = "figures"
    line: str
    text: str
    source: str
    by: str
    at: datetime
    decimal: str = "."


class SayWidth(Action, Struct, frozen=True):
    """Say how far from a line's single figure is still right: “± 0.5 thou”, “4 %”, “6 to 8 thou”, or an offer's name.

    `source` says where that is from; an offer of the trade brings its own.
    """

    decided_in = "figures"
    line: str
    text: str
    by: str
    at: datetime
    source: str = ""
    decimal: str = "."


class SayUnder(Action, Struct, frozen=True):
    """Say how all is read on a line where a reading does not say it itself: “hot”, “at 2000 rpm”; "" takes it back."""

    decided_in = "figures"
    line: str
    text: str
    by: str
    at: datetime
    decimal: str = "."


class PreferUnits(Action, Struct, frozen=True):
    """Say which system is shown first where no figure says one: “metric”, “inch”, or "" for the plan's own."""

    decided_in = "units"
    system: str
    by: str
    at: datetime


class SayPart(Action, Struct, frozen=True):
    """Say where a part is."""

    decided_in = "parts"
    part: str
    holding: Holding
    by: str
    at: datetime
    why: str = ""


class Concede(Action, Struct, frozen=True):
    """Decide in writing to go on although a line is open."""

    decided_in = "gates"
    line: str
    text: str
    by: str
    at: datetime
    before: str = ""


class PassGate(Action, Struct, frozen=True):
    """Go through a gate; `concessions` holds a written reason for each line that is still open, by line number."""

    decided_in = "gates"
    gate: str
    by: str
    at: datetime
    concessions: Mapping[str, str] = field(default_factory=dict)


class Happen(Action, Struct, frozen=True):
    """Say that something befell the build (“engine-tipped”): what is thereby no longer known becomes Look again."""

    decided_in = "events"
    what: str
    by: str
    at: datetime
    note: str = ""


class OpenUp(Action, Struct, frozen=True):
    """Say that something was slackened, opened or removed, before or after doing it.

    Of a line of the plan (with `place`, one of its places) it opens that line; otherwise it makes a line to close it.
    """

    decided_in = "opened"
    what: str
    by: str
    at: datetime
    line: str = ""
    place: str = ""
    after: str = ""
    why: str = ""
    disturbs: tuple[str, ...] = ()


class PutIn(Action, Struct, frozen=True):
    """Put in a step that the plan forgot, after a line; `disturbs` are the lines whose results it voids."""

    decided_in = "put_in"
    what: str
    after: str
    by: str
    at: datetime
    why: str = ""
    disturbs: tuple[str, ...] = ()


class Find(Action, Struct, frozen=True):
    """Write down a nonconformity, or a symptom (a noise, no resistance), found at a line."""

    decided_in = "findings"
    what: str
    by: str
    at: datetime
    line: str
    place: str = ""
    measured: str = ""
    symptom: bool = False


class DecideFinding(Action, Struct, frozen=True):
    """Decide what is done about a finding, why, what to watch, and what would reopen it."""

    decided_in = "findings"
    finding: str
    decision: Disposition
    why: str
    by: str
    at: datetime
    watch: str = ""
    reopens: tuple[str, ...] = ()


class PutTemporary(Action, Struct, frozen=True):
    """A rag, cap, tool or the like goes in; `lost` says a tool or nut cannot be found."""

    decided_in = "temporary"
    name: str
    where: str
    by: str
    at: datetime
    count: int = 1
    turning_ok: bool = False
    lost: bool = False


class TakeOut(Action, Struct, frozen=True):
    """A temporary thing comes out, or a lost one is found; the count must be the one that went in."""

    decided_in = "temporary"
    item: str
    by: str
    at: datetime
    count: int = 1


class DescribeHole(Action, Struct, frozen=True):
    """Say what is known of a hole."""

    decided_in = "holes"
    group: str
    place: str
    by: str
    at: datetime
    thread: str = ""
    depth: str = ""
    opens_to: str = ""
    closed_with: str = ""
    length: str = ""
    compound: str = ""
    refits: str = ""


class FitPart(Action, Struct, frozen=True):
    """Say how a part is on: trial, final or off."""

    decided_in = "parts"
    part: str
    fit: Fitted
    by: str
    at: datetime
    why: str = ""


class CountTightenings(Action, Struct, frozen=True):
    """Write how often bolts have been tightened so far, the machine shop's included; 0 for new ones.

    `length`, `free` and `neck` are what the bolt measured, as typed: its length, and its thread's diameter where it was
    free and where it is thinnest.
    """

    decided_in = "counts"
    fasteners: str
    place: str
    times: int
    by: str
    at: datetime
    why: str = ""
    length: str = ""
    free: str = ""
    neck: str = ""


class LookSecond(Action, Struct, frozen=True):
    """A second look at a Done line, by another person or in a later session; `values` are readings by place."""

    decided_in = "second_look"
    line: str
    by: str
    at: datetime
    values: Mapping[str, str] = field(default_factory=dict)


class LogRun(Action, Struct, frozen=True):
    """A spell of running: hours, distance in km, heat cycles."""

    decided_in = "running"
    by: str
    at: datetime
    hours: float = 0.0
    distance_km: float = 0.0
    heat_cycles: int = 0
    note: str = ""


class OfferFigure(Action, Struct, frozen=True):
    """Put a figure beside the others for a line: as printed, by whom, which edition, who converted it."""

    decided_in = "figures"
    line: str
    text: str
    source: str
    trust: Trust
    by: str
    at: datetime
    edition: str = ""
    dated: str = ""
    converted_by: str = ""


class ChooseFigure(Action, Struct, frozen=True):
    """Choose one of the figures offered for a line, with the reason."""

    decided_in = "figures"
    line: str
    candidate: str
    why: str
    by: str
    at: datetime


class KeepTool(Action, Struct, frozen=True):
    """Enter a tool, or a new check of it."""

    decided_in = "tools"
    tool: str
    name: str
    by: str
    at: datetime
    span: str = ""
    graduation: str = ""
    checked: datetime | None = None
    sort: str = ""
    lever: str = ""
    cycles: int | None = None
    doubt: str = ""


class DescribeJoint(Action, Struct, frozen=True):
    """Say what is known of the joint a line tightens; `said` holds what was typed and the figures taken from it."""

    decided_in = "bolts"
    line: str
    said: JointSaid
    by: str
    at: datetime


class TightenBolt(Action, Struct, frozen=True):
    """The next pass of one bolt: what it came to, and the wrench with its setting.

    A line that writes values needs the torque (or the angle, where it turns by angle) of its last pass.
    """

    decided_in = "bolts"
    line: str
    place: str
    by: str
    at: datetime
    torque: str = ""
    angle: str = ""
    stretch: str = ""
    wrench: str = ""
    setting: str = ""
    threads: str = ""
    decimal: str = "."


class Slacken(Action, Struct, frozen=True):
    """Slacken a joint fully to begin again: every bolt of it, or the named ones with it."""

    decided_in = "bolts"
    line: str
    why: str
    by: str
    at: datetime


class SayCam(Action, Struct, frozen=True):
    """Say when the valves open and close, as the cam card has it; `typed` is kept as written.

    Names: ivo, ivc, evo, evc (crank degrees: intake opens before and closes after its dead centres, exhaust likewise),
    lift (the lift they are read at), margin, pitch (of the adjusting screw), ratio (of the rocker).
    """

    decided_in = "cam"
    typed: Mapping[str, str]
    by: str
    at: datetime


class ToolWrong(Action, Struct, frozen=True):
    """A tool was found wrong: all it measured since its last good check is no longer known."""

    decided_in = "tools"
    tool: str
    by: str
    at: datetime
    note: str = ""


class ChooseOption(Action, Struct, frozen=True):
    """Answer an option of the plan anew; lines come and go, nothing recorded is lost."""

    decided_in = "options"
    option: str
    choice: str
    by: str
    at: datetime
    why: str = ""


class Leave(Action, Struct, frozen=True):
    """Leave the work with one note."""

    decided_in = "leaving"
    note: str
    by: str
    at: datetime


class Resume(Action, Struct, frozen=True):
    """Come back: which of the lines marked last are still true, and which to look at again; none named is skipped."""

    decided_in = "leaving"
    by: str
    at: datetime
    confirmed: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()
