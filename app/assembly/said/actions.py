"""What a person can do to a build. An action is a value; `decide` says what it comes to."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import ClassVar

from app.assembly.plan.steps import Trust
from app.assembly.said.findings import Disposition
from app.assembly.said.joints import JointSaid
from app.assembly.said.marks import State
from app.assembly.said.parts import Fitted, Holding


class Action:
    """Anything a person can do to a build: who did it, and when. `module` of the deeds decides what it comes to."""

    __slots__ = ()
    decided_in: ClassVar[str] = ""
    by: str
    at: datetime

    def __init_subclass__(cls, module: str = "") -> None:
        # A dataclass with slots is made twice; the second time its class already says which module.
        if module:
            cls.decided_in = module


@dataclass(frozen=True, slots=True)
class MarkLine(Action, module="marks"):
    """Put a line into a state. `together` ticks the places still open in one stroke when it becomes Done."""

    line: str
    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    together: bool = False
    meanwhile: str = ""


@dataclass(frozen=True, slots=True)
class TickPlace(Action, module="marks"):
    """Mark one place of a many-alike line Done, Started or To do."""

    line: str
    place: str
    state: State
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class TakeReading(Action, module="readings"):
    """Write a value at a place; `text` is kept as typed. `decimal` is the typist's own decimal mark.

    `at` is when it was read. `temperature` is how warm the part and the gauge were, `alpha_per_k` by how much more than
    a steel gauge the part grows for each kelvin.
    """

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


@dataclass(frozen=True, slots=True)
class RubOutReading(Action, module="readings"):
    """Take a written value away again; the journal keeps it."""

    line: str
    place: str
    by: str
    at: datetime
    round: int = 1


@dataclass(frozen=True, slots=True)
class EnterFigure(Action, module="figures"):
    """Enter the figure a line is held against, and where it comes from."""

    line: str
    text: str
    source: str
    by: str
    at: datetime
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class SayWidth(Action, module="figures"):
    """Say how far from a line's single figure is still right: “± 0.5 thou”, “4 %”, “6 to 8 thou”, or an offer's name.

    `source` says where that is from; an offer of the trade brings its own.
    """

    line: str
    text: str
    by: str
    at: datetime
    source: str = ""
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class SayUnder(Action, module="figures"):
    """Say how all is read on a line where a reading does not say it itself: “hot”, “at 2000 rpm”; "" takes it back."""

    line: str
    text: str
    by: str
    at: datetime
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class PreferUnits(Action, module="units"):
    """Say which system is shown first where no figure says one: “metric”, “inch”, or "" for the plan's own."""

    system: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class SayPart(Action, module="parts"):
    """Say where a part is."""

    part: str
    holding: Holding
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Concede(Action, module="gates"):
    """Decide in writing to go on although a line is open."""

    line: str
    text: str
    by: str
    at: datetime
    before: str = ""


@dataclass(frozen=True, slots=True)
class PassGate(Action, module="gates"):
    """Go through a gate; `concessions` holds a written reason for each line that is still open, by line number."""

    gate: str
    by: str
    at: datetime
    concessions: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Happen(Action, module="events"):
    """Say that something befell the build (“engine-tipped”): what is thereby no longer known becomes Look again."""

    what: str
    by: str
    at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True)
class OpenUp(Action, module="opened"):
    """Say that something was slackened, opened or removed, before or after doing it.

    Of a line of the plan (with `place`, one of its places) it opens that line; otherwise it makes a line to close it.
    """

    what: str
    by: str
    at: datetime
    line: str = ""
    place: str = ""
    after: str = ""
    why: str = ""
    disturbs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PutIn(Action, module="put_in"):
    """Put in a step that the plan forgot, after a line; `disturbs` are the lines whose results it voids."""

    what: str
    after: str
    by: str
    at: datetime
    why: str = ""
    disturbs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Find(Action, module="findings"):
    """Write down a nonconformity, or a symptom (a noise, no resistance), found at a line."""

    what: str
    by: str
    at: datetime
    line: str
    place: str = ""
    measured: str = ""
    symptom: bool = False


@dataclass(frozen=True, slots=True)
class DecideFinding(Action, module="findings"):
    """Decide what is done about a finding, why, what to watch, and what would reopen it."""

    finding: str
    decision: Disposition
    why: str
    by: str
    at: datetime
    watch: str = ""
    reopens: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PutTemporary(Action, module="temporary"):
    """A rag, cap, tool or the like goes in; `lost` says a tool or nut cannot be found."""

    name: str
    where: str
    by: str
    at: datetime
    count: int = 1
    turning_ok: bool = False
    lost: bool = False


@dataclass(frozen=True, slots=True)
class TakeOut(Action, module="temporary"):
    """A temporary thing comes out, or a lost one is found; the count must be the one that went in."""

    item: str
    by: str
    at: datetime
    count: int = 1


@dataclass(frozen=True, slots=True)
class DescribeHole(Action, module="holes"):
    """Say what is known of a hole."""

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


@dataclass(frozen=True, slots=True)
class FitPart(Action, module="parts"):
    """Say how a part is on: trial, final or off."""

    part: str
    fit: Fitted
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class CountTightenings(Action, module="counts"):
    """Write how often bolts have been tightened so far, the machine shop's included; 0 for new ones.

    `length`, `free` and `neck` are what the bolt measured, as typed: its length, and its thread's diameter where it was
    free and where it is thinnest.
    """

    fasteners: str
    place: str
    times: int
    by: str
    at: datetime
    why: str = ""
    length: str = ""
    free: str = ""
    neck: str = ""


@dataclass(frozen=True, slots=True)
class LookSecond(Action, module="second_look"):
    """A second look at a Done line, by another person or in a later session; `values` are readings by place."""

    line: str
    by: str
    at: datetime
    values: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LogRun(Action, module="running"):
    """A spell of running: hours, distance in km, heat cycles."""

    by: str
    at: datetime
    hours: float = 0.0
    distance_km: float = 0.0
    heat_cycles: int = 0
    note: str = ""


@dataclass(frozen=True, slots=True)
class OfferFigure(Action, module="figures"):
    """Put a figure beside the others for a line: as printed, by whom, which edition, who converted it."""

    line: str
    text: str
    source: str
    trust: Trust
    by: str
    at: datetime
    edition: str = ""
    dated: str = ""
    converted_by: str = ""


@dataclass(frozen=True, slots=True)
class ChooseFigure(Action, module="figures"):
    """Choose one of the figures offered for a line, with the reason."""

    line: str
    candidate: str
    why: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class KeepTool(Action, module="tools"):
    """Enter a tool, or a new check of it."""

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


@dataclass(frozen=True, slots=True)
class DescribeJoint(Action, module="bolts"):
    """Say what is known of the joint a line tightens; `said` holds what was typed and the figures taken from it."""

    line: str
    said: JointSaid
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class TightenBolt(Action, module="bolts"):
    """The next pass of one bolt: what it came to, and the wrench with its setting.

    A line that writes values needs the torque (or the angle, where it turns by angle) of its last pass.
    """

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


@dataclass(frozen=True, slots=True)
class Slacken(Action, module="bolts"):
    """Slacken a joint fully to begin again: every bolt of it, or the named ones with it."""

    line: str
    why: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class SayCam(Action, module="cam"):
    """Say when the valves open and close, as the cam card has it; `typed` is kept as written.

    Names: ivo, ivc, evo, evc (crank degrees: intake opens before and closes after its dead centres, exhaust likewise),
    lift (the lift they are read at), margin, pitch (of the adjusting screw), ratio (of the rocker).
    """

    typed: Mapping[str, str]
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class ToolWrong(Action, module="tools"):
    """A tool was found wrong: all it measured since its last good check is no longer known."""

    tool: str
    by: str
    at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True)
class ChooseOption(Action, module="options"):
    """Answer an option of the plan anew; lines come and go, nothing recorded is lost."""

    option: str
    choice: str
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Leave(Action, module="leaving"):
    """Leave the work with one note."""

    note: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Resume(Action, module="leaving"):
    """Come back: which of the lines marked last are still true, and which to look at again; none named is skipped."""

    by: str
    at: datetime
    confirmed: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()
