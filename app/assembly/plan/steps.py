"""A plan: a reusable way to build a kind of engine, exactly as a plan file says it.

The classes here *are* the plan format: the field names are the keys of the TOML file, and the published schema is
made from them. What a person adds later (marks, readings, figures) never stands here.
"""

from collections.abc import Iterator, Mapping
from enum import Enum

from msgspec import Struct


class Layout(Enum):
    """How the cylinders stand."""

    INLINE = "inline"
    VEE = "vee"
    FLAT = "flat"
    SINGLE = "single"


class Measured(Enum):
    """What a spec is about: the kinds of quantity, a word from a list, or a thing to see."""

    LENGTH = "length"
    TORQUE = "torque"
    PRESSURE = "pressure"
    VOLUME = "volume"
    TEMPERATURE = "temperature"
    ANGLE = "angle"
    MASS = "mass"
    TIME = "time"
    FORCE = "force"
    SPEED = "speed"
    SHARE = "share"
    NUMBER = "number"
    CHOICE = "choice"
    TEXT = "text"
    SEE = "see"

    @property
    def in_words(self) -> bool:
        """Whether it is seen or said in words; all else is a quantity, under the same name as in the trade."""
        return self in (Measured.SEE, Measured.CHOICE, Measured.TEXT)


class Record(Enum):
    """What a line keeps of its spec: a written value at each place, or a tick."""

    VALUE = "value"
    TICK = "tick"


class Fit(Enum):
    """Whether a part goes on to look and measure, or for good."""

    TRIAL = "trial"
    FINAL = "final"


class Site(Enum):
    """Where a step is done."""

    BENCH = "bench"
    STAND = "stand"
    CAR = "car"
    SHOP = "machine shop"


class Trust(Enum):
    """What stands behind a figure, strongest first."""

    MAKER = "engine maker's manual"
    BULLETIN = "maker's bulletin"
    PART_MAKER = "part maker's sheet"
    PUBLISHED = "published"
    PRACTICE = "general practice"
    ADVICE = "advice"
    JUDGEMENT = "own judgement"


class Level(Enum):
    """How bad it is when a caution is not heeded: people, engine, or just easier work."""

    WARNING = "warning"
    CAUTION = "caution"
    NOTE = "note"


class Role(Enum):
    """Lines some rules must know by what they do, whatever the plan calls them."""

    PRIME = "prime"
    HOLE_FINDING = "hole-finding"
    HOLE_SEAL = "hole-seal"
    HOLE_CLOSE = "hole-close"
    FIRST_START = "first-start"


class Turn(Enum):
    """What a step turns the engine with."""

    HAND = "hand"
    STARTER = "starter"
    ENGINE = "engine"


class Easy(Enum):
    """The seven features that make a line easy to miss; three or more and it is marked so."""

    LOOKS_FINISHED = "looks finished without it"
    LAST = "last of stage"
    HIDDEN = "hidden by the next part"
    NO_CUE = "no cue on the part"
    LOOK_ALIKE = "look-alike in a row"
    MUST_WAIT = "must wait"
    UNDOES = "undoes something temporary"


class Order(Enum):
    """How the bolts of a joint lie, and so in what order they are tightened."""

    ROWS = "rows"
    CIRCLE = "circle"
    LISTED = "listed"


class HowTight(Enum):
    """How a joint is brought to its load."""

    TORQUE = "torque"
    ANGLE = "torque, then angle"
    YIELD = "to yield"
    STRETCH = "to stretch"
    BOTH = "torque and stretch"
    TWICE = "tighten, slacken, tighten"
    RETORQUE = "again when cold"


class Arrangement(Struct, frozen=True):
    """How the engine is laid out; places are derived from it.

    `intervals` are the crank degrees from each firing to the next, in the order of firing; empty for even ones.
    """

    layout: Layout
    cylinders: int
    firing_order: tuple[int, ...]
    mains: int
    crankpins: int
    cam_journals: int
    intake_per_cylinder: int = 1
    exhaust_per_cylinder: int = 1
    rings_per_piston: int = 3
    heads: int = 1
    turns: str = ""
    intervals: tuple[float, ...] = ()


class Group(Struct, frozen=True):
    """A named pattern of places: head studs, oil plugs, cover bolts.

    For a pattern of holes `finding` is the line that writes what each opens to, `closing` the one that closes them, and
    `hidden_by` the one after which they are seen no more; `thread` and `closed_with` say what is there.
    """

    id: str
    title: str
    names: tuple[str, ...] = ()
    count: int = 0
    each: str = ""
    thread: str = ""
    closed_with: str = ""
    finding: str = ""
    closing: str = ""
    hidden_by: str = ""


class Choice(Struct, frozen=True):
    """One answer to an option."""

    id: str
    title: str


class Option(Struct, frozen=True):
    """A fork of the plan, settled when a build is made from it."""

    id: str
    ask: str
    choices: tuple[Choice, ...]
    default: str
    note: str = ""


class Source(Struct, frozen=True):
    """Where figures come from, and how far to trust them."""

    id: str
    title: str
    trust: Trust
    edition: str = ""
    note: str = ""


class Gate(Struct, frozen=True):
    """A moment one can't go back from. Its bar stands after the stage `after`."""

    id: str
    letter: str
    title: str
    after: str
    means: str
    harm: str


class Need(Struct, frozen=True):
    """A step that must be closed first; how long to wait after it, and within what time to follow it (“24 h”)."""

    step: str
    wait: str = ""
    within: str = ""
    because: str = ""


class When(Struct, frozen=True):
    """A line is there only with these answers: of an option, or of another line's finding at the same place."""

    any_of: tuple[str, ...]
    option: str = ""
    step: str = ""


class Part(Struct, frozen=True):
    """A part a step needs. The same id in two steps is the same part, tried on and then fitted for good."""

    id: str
    name: str
    count: int = 1
    one_use: bool = False
    fit: Fit | None = None


class Temporary(Struct, frozen=True):
    """A thing that goes in and must come out: rag, tape, cap, locking tool.

    Nothing is turned while it is in, unless `turning_ok` (clay and checking springs are put in to be turned).
    """

    id: str
    name: str
    where: str
    count: int = 1
    turning_ok: bool = False


class Caution(Struct, frozen=True):
    """A notice shown before its step, every time."""

    level: Level
    text: str


class Spec(Struct, frozen=True):
    """What a reading or a tightening must meet.

    `limits` is written as the trade writes it (“0.04 to 0.07 mm”); left empty, the person enters it with its source.
    `state` is the thread state a torque was written for. `choices` and `good` belong to findings in words.
    """

    kind: Measured
    limits: str = ""
    unit: str = ""
    source: str = ""
    record: Record | None = None
    rounds: int = 1
    state: str = ""
    choices: tuple[str, ...] = ()
    good: tuple[str, ...] = ()
    note: str = ""

    @property
    def wants_values(self) -> bool:
        """Whether a line with this spec wants a written value at each place (a tick otherwise)."""
        if self.kind is Measured.SEE:
            return False
        if self.record is not None:
            return self.record is Record.VALUE
        return self.kind is not Measured.TORQUE


class While(Struct, frozen=True):
    """A spell in which something must not be done: after one step is Done and until another is."""

    after: str
    until: str
    because: str = ""


class Fasteners(Struct, frozen=True):
    """Bolts that stand only so many tightenings, trials and the machine shop's included.

    `limit` is that number, 0 for no limit; `policy` says the rest in words (“new each time”, “neck check”).
    """

    id: str
    title: str
    places: str
    limit: int = 0
    policy: str = ""


class Tightening(Struct, frozen=True):
    """How the bolts of a step are tightened, beyond the figure in its spec.

    `passes` are shares of the figure (“70 %”) or torques (“30 N·m”) in turn, empty for one pass. `rows` counts the
    bolts of each row as the part lies, front of the engine at the left; `lie` names the places along the rows, `order`
    in the order they are tightened, both as the group says them where empty; `bores` are drawn between the rows.
    `thread`, `strength`, `clamped` and `tapped` are offered when the joint is described. `stretch` is the window of
    bolt elongation where stretch is judged as well; a `castle` nut is turned on to its next slot.
    """

    kind: HowTight = HowTight.TORQUE
    pattern: Order = Order.LISTED
    rows: tuple[int, ...] = ()
    lie: tuple[str, ...] = ()
    order: tuple[str, ...] = ()
    bores: int = 0
    passes: tuple[str, ...] = ()
    thread: str = ""
    strength: str = ""
    clamped: str = ""
    tapped: str = ""
    stretch: str = ""
    castle: bool = False


class How(Enum):
    """How a result is worked out from the points that are read at a place."""

    DIFFERENCE = "difference"
    SUM = "sum"
    MEAN = "mean"
    HALF = "half"
    SHAPE = "shape"


class Heat(Enum):
    """What the engine is at when a figure is for it; a cold figure says nothing of a hot engine."""

    COLD = "cold"
    HOT = "hot"


class Adjuster(Enum):
    """What lash is set with."""

    SCREW = "screw"
    ECCENTRIC = "eccentric"
    SHIM = "shim"
    HYDRAULIC = "hydraulic"


class BenchSum(Enum):
    """The sum at the bench that belongs to what a step measures, worked from what is read there."""

    VALVES = "valves"
    SHIM = "shim"
    RATIO = "ratio"
    PISTON = "piston"
    DEGREE = "degree"
    GAP = "gap"
    MATCH = "match"
    SHELLS = "shells"
    PRESSURES = "pressures"
    OIL = "oil"


class Taken(Struct, frozen=True):
    """A point that is not read here but taken from another step's reading; {} in `place` is this step's place."""

    point: str
    step: str
    place: str = "{}"


class Measure(Struct, frozen=True):
    """How a step is measured, beyond its spec: the points read at each place, and the result worked out from them.

    `points` are what is read at each place (“top along”, “journal”); `result` names what is worked out and judged:
    the first of them less the others, their sum or mean, half of the one, or the shape (taper and out-of-round
    over heights and ways). Points in `takes` come from other steps. `material` is what grows with warmth; `heat` and
    `adjuster` belong to lash. `sum` is the sum at the bench that goes with it.
    """

    points: tuple[str, ...] = ()
    result: str = ""
    how: How | None = None
    takes: tuple[Taken, ...] = ()
    material: str = ""
    heat: Heat | None = None
    adjuster: Adjuster | None = None
    sum: BenchSum | None = None


class Happening(Struct, frozen=True):
    """Something that can befall a build apart from its steps, and whose results are then no longer known."""

    id: str
    title: str
    disturbs: tuple[str, ...]
    note: str = ""


class FollowUp(Struct, frozen=True):
    """Due after the first start: by time, distance or a count of heat cycles (“500 miles”, “20 h”, “1 heat cycle”)."""

    after: str


class Step(Struct, frozen=True):
    """One action in a plan.

    Doing or undoing it makes the result of each step in `disturbs` no longer known; for those in `undoing_disturbs`
    only undoing it does (fitting the pan leaves the look inside as it was, taking it off does not). Steps in `shares`
    use the same bolt or gasket: undoing either opens the other. A step that floats names in `latest` what it must not
    pass.
    """

    id: str
    do: str
    note: str = ""
    why: str = ""
    where: Site = Site.BENCH
    minutes: int = 10
    people: int = 1
    noisy: bool = False
    air: bool = False
    tools: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    takes_off: tuple[str, ...] = ()
    caution: Caution | None = None
    places: str = ""
    spec: Spec | None = None
    gate: str = ""
    hold: bool = False
    harm: str = ""
    act: str = ""
    needs: tuple[str | Need, ...] = ()
    before: tuple[str, ...] = ()
    hides: tuple[str, ...] = ()
    disturbs: tuple[str, ...] = ()
    undoing_disturbs: tuple[str, ...] = ()
    shares: tuple[str, ...] = ()
    latest: tuple[str, ...] = ()
    trial_of: str = ""
    stands_in_for: str = ""
    turns: Turn | None = None
    not_while: tuple[While, ...] = ()
    tightens: str = ""
    tightening: Tightening | None = None
    measure: Measure | None = None
    when: tuple[When, ...] = ()
    puts_in: tuple[Temporary, ...] = ()
    takes_out: tuple[str, ...] = ()
    follow_up: FollowUp | None = None
    photo: bool = False
    second_look: bool = False
    once: bool = False
    easy: tuple[Easy, ...] = ()
    fixed: str = ""
    block: str = ""
    role: Role | None = None
    any_time: bool = False

    @property
    def works_out(self) -> bool:
        """Whether a result is worked out of what is read, which is then judged and not the readings themselves.

        The shape of a bore is worked out beside readings that are judged too.
        """
        return self.measure is not None and self.measure.how not in (None, How.SHAPE)


class Stage(Struct, frozen=True):
    """A chapter of the build."""

    id: str
    title: str
    steps: tuple[Step, ...]


class Plan(Struct, frozen=True):
    """A whole plan file."""

    format: int
    id: str
    title: str
    edition: str
    summary: str
    arrangement: Arrangement
    gates: tuple[Gate, ...]
    stages: tuple[Stage, ...]
    options: tuple[Option, ...] = ()
    sources: tuple[Source, ...] = ()
    groups: tuple[Group, ...] = ()
    fasteners: tuple[Fasteners, ...] = ()
    happenings: tuple[Happening, ...] = ()

    def steps(self) -> Iterator[Step]:
        """Every step in the order of the plan."""
        for stage in self.stages:
            yield from stage.steps


def wanted(step: Step, options: Mapping[str, str]) -> bool:
    """Whether a step is there under these options."""
    return all(options.get(when.option) in when.any_of for when in step.when if when.option)
