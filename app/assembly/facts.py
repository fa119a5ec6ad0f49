"""What a person has said of a build: marks, ticks, readings, figures, parts, passages, concessions.

Every fact hangs on a `Subject`. A journal entry is one fact put in place of another, so undoing is the same entry
turned round, and playing the journal from nothing gives exactly the facts that stand.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import NamedTuple


class State(Enum):
    """What a line can be. The value is what is typed; `word` is what is shown."""

    TO_DO = "to-do"
    STARTED = "started"
    DONE = "done"
    LATER = "later"
    NOT_NEEDED = "not-needed"
    STOPPED = "stopped"
    LOOK_AGAIN = "look-again"

    @property
    def word(self) -> str:
        """The state as a person reads it: “Look again”."""
        return self.value.replace("-", " ").capitalize()


class Holding(Enum):
    """Where a needed part is. A part nobody has spoken of is taken to be at hand."""

    HERE = "here"
    ON_ORDER = "on-order"
    MISSING = "missing"


class About(Enum):
    """What a subject is about."""

    LINE = "line"
    TICK = "tick"
    READING = "reading"
    FIGURE = "figure"
    PART = "part"
    GATE = "gate"
    CONCESSION = "concession"
    EVENT = "event"
    EXTRA = "extra line"
    FINDING = "finding"
    ITEM = "temporary item"
    HOLE = "hole"
    FIT = "fit"
    COUNT = "tightenings"
    SEEN = "second look"
    RUN = "run"
    CANDIDATE = "candidate"
    TOOL = "tool"
    JOINT = "joint"
    BOLT = "bolt"
    CAM = "cam"
    OPTION = "option"
    LEFT = "left"
    RESUMED = "resumed"


class Subject(NamedTuple):
    """What a fact is said of: a step, part or gate by id, and where it matters a place and a round or gate."""

    about: About
    key: str
    place: str = ""
    round: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """The state a line was put in, by whom and when; Done is the sign-off.

    A reading older than `known_from` was taken before something that disturbed the line and counts no more. `meanwhile`
    says how a thing put off looks until then: finger-tight, a tag, an empty hole.
    """

    state: State
    by: str
    at: datetime
    why: str = ""
    before: str = ""
    waits_for: str = ""
    was_ready: bool = True
    disturbed_by: str = ""
    meanwhile: str = ""
    known_from: datetime | None = None


@dataclass(frozen=True, slots=True)
class Tick:
    """One place of a many-alike line marked; `together` says it was ticked in one stroke with others."""

    state: State
    by: str
    at: datetime
    together: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """A value written at a place: as typed, and in the base unit of its kind (None for a word).

    `doubt` is the expanded uncertainty of what it was read with, in the same unit; `celsius` and `alpha_per_k` are the
    temperature it was read at and how the part grows, where both are known.
    """

    text: str
    magnitude: float | None
    unit: str
    by: str
    at: datetime
    tool: str = ""
    doubt: float = 0.0
    celsius: float | None = None
    alpha_per_k: float = 0.0


@dataclass(frozen=True, slots=True)
class Figure:
    """What a line's readings must meet, entered by the person, and where it comes from."""

    text: str
    source: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class PartSaid:
    """Where a part is, as last said."""

    holding: Holding
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Passage:
    """A gate gone through."""

    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Concession:
    """A written decision to go on although a line is open; `covers` are the findings it was written about."""

    text: str
    by: str
    at: datetime
    covers: tuple[str, ...]
    before: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that befell the build at a time: engine tipped, cam changed, months standing."""

    what: str
    note: str
    by: str
    at: datetime


class ExtraKind(Enum):
    """Why a line was put in that the plan does not have."""

    OPENED = "opened"
    FORGOTTEN = "put in"


@dataclass(frozen=True, slots=True)
class Extra:
    """A line of the person's own: to close what was opened, or a step the plan forgot. It stands after another line."""

    kind: ExtraKind
    number: str
    after: str
    do: str
    why: str
    harm: str
    place: str
    disturbs: tuple[str, ...]
    by: str
    at: datetime


class Disposition(Enum):
    """What is done about a finding, in the words of ISO 9000."""

    OPEN = ""
    REWORK = "rework"
    REPAIR = "repair"
    USE_AS_IS = "use as is"
    CONCESSION = "concession"
    SCRAP = "scrap"
    EXPLAINED = "explained"


@dataclass(frozen=True, slots=True)
class Finding:
    """A nonconformity or a symptom: what was found where, and what was decided, why, and what would reopen it."""

    line: str
    place: str
    what: str
    measured: str
    symptom: bool
    by: str
    at: datetime
    decision: Disposition = Disposition.OPEN
    decided_by: str = ""
    decided_at: datetime | None = None
    why: str = ""
    watch: str = ""
    reopens: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """A temporary thing put in outside the plan, or a tool or nut that is lost."""

    name: str
    count: int
    where: str
    turning_ok: bool
    lost: bool
    by: str
    at: datetime
    out_by: str = ""
    out_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Hole:
    """What is known of one hole: its thread and depth, what it opens to, what closes it and who sees to that."""

    thread: str
    depth: str
    opens_to: str
    closed_with: str
    length: str
    compound: str
    refits: str
    by: str
    at: datetime


class Fitted(Enum):
    """How a part is on: to look and measure, for good, or off again."""

    TRIAL = "trial"
    FINAL = "final"
    OFF = "off"


@dataclass(frozen=True, slots=True)
class PartFit:
    """How a part is on, as said outside the plan's own lines."""

    fit: Fitted
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Tightened:
    """How often a bolt has been tightened, trials and the machine shop's included, and what it measured, in mm.

    `free_mm` is the thread's diameter where it was free, `neck_mm` where it is thinnest. None is not measured.
    """

    times: int
    by: str
    at: datetime
    new: bool = False
    length_mm: float | None = None
    free_mm: float | None = None
    neck_mm: float | None = None


@dataclass(frozen=True, slots=True)
class JointSaid:
    """What is known of a bolted joint: its bolts, what they clamp and hold in, and how they are tightened here.

    `typed` holds what the person wrote, by name; the figures were taken from it and from the tables at that time, and
    `taken_from` says which table gave what. A figure that is not known is None.
    """

    typed: Mapping[str, str]
    by: str
    at: datetime
    diameter_mm: float | None = None
    pitch_mm: float | None = None
    unified: bool = False
    proof_mpa: float | None = None
    tensile_mpa: float | None = None
    yield_mpa: float | None = None
    k_low: float | None = None
    k_high: float | None = None
    spec_k_low: float | None = None
    spec_k_high: float | None = None
    scatter_low: float | None = None
    scatter_high: float | None = None
    face_mm: float | None = None
    hole_mm: float | None = None
    limit_mpa: float | None = None
    limit_edition: str = ""
    tapped_mpa: float | None = None
    engagement_mm: float | None = None
    lever_mm: float | None = None
    adapter_mm: float | None = None
    adapter_deg: float = 0.0
    run_on_nm: float = 0.0
    longest_mm: float | None = None
    necked_mm: float | None = None
    taken_from: tuple[str, ...] = ()

    def said(self, name: str) -> str:
        """What was written under a name, "" where nothing was."""
        return self.typed.get(name, "")


@dataclass(frozen=True, slots=True)
class BoltTurn:
    """One pass of one bolt: what it came to, the wrench and what it was set to, and the state of the thread.

    Where torque and stretch are both judged, `answer` is what to do and `verdict` says why; a try that failed is kept
    like any other, and `tries` counts them from 1.
    """

    done: bool
    by: str
    at: datetime
    torque: str = ""
    torque_nm: float | None = None
    angle: str = ""
    angle_deg: float | None = None
    stretch: str = ""
    stretch_mm: float | None = None
    wrench: str = ""
    setting: str = ""
    threads: str = ""
    tries: int = 1
    answer: str = ""
    verdict: str = ""


@dataclass(frozen=True, slots=True)
class CamSaid:
    """When the valves open and close, in crank degrees, the lift the events were read at, and what lash is set with.

    `typed` holds what the person wrote, by name. A pitch or ratio that is not known is None.
    """

    typed: Mapping[str, str]
    by: str
    at: datetime
    ivo_deg: float = 0.0
    ivc_deg: float = 0.0
    evo_deg: float = 0.0
    evc_deg: float = 0.0
    lift_mm: float = 0.0
    margin_deg: float = 20.0
    pitch_mm: float | None = None
    rocker_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class Seen:
    """A second look: by another person, or by the same in a later session with the first reading hidden."""

    by: str
    at: datetime
    values: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Run:
    """A spell of running since the first start; distance in km, time in hours."""

    hours: float
    distance_km: float
    heat_cycles: int
    note: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Candidate:
    """A figure somebody gives for a line: as printed, by whom, in which edition, and who converted it."""

    text: str
    trust: str
    source: str
    edition: str
    dated: str
    converted_by: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Tool:
    """A wrench or gauge: what it reads, and when it was last checked. `wrong_at` is set once it is found wrong."""

    name: str
    span: str
    graduation: str
    checked: datetime | None
    by: str
    at: datetime
    wrong_at: datetime | None = None
    note: str = ""
    sort: str = ""
    lever: str = ""
    cycles: int = 0
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Chosen:
    """An option answered anew in the middle of a build."""

    choice: str
    by: str
    at: datetime
    why: str = ""


@dataclass(frozen=True, slots=True)
class Left:
    """Leaving the work: what must be remembered, in one note."""

    note: str
    by: str
    at: datetime
    items: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Resumed:
    """Coming back: which of the last lines were said to be still true, which were doubted, or that it was skipped."""

    by: str
    at: datetime
    confirmed: tuple[str, ...] = ()
    doubted: tuple[str, ...] = ()


Further = (
    Event
    | Extra
    | Finding
    | Item
    | Hole
    | PartFit
    | Tightened
    | Seen
    | Run
    | Candidate
    | Tool
    | JointSaid
    | BoltTurn
    | CamSaid
    | Chosen
    | Left
    | Resumed
)
Fact = Mark | Tick | Reading | Figure | PartSaid | Passage | Concession | Further


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact put in place of another. `event` says in one word how it came about."""

    event: str
    subject: Subject
    old: Fact | None
    new: Fact | None


@dataclass(frozen=True, slots=True)
class Deed:
    """What one action of a person comes to: its entries, all or none of them kept.

    `of` is the deed an undo takes back or a redo puts back.
    """

    verb: str
    label: str
    by: str
    at: datetime
    entries: tuple[Entry, ...]
    why: str = ""
    of: int | None = None
