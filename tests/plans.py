"""A small plan with every relation in it, and a person at the bench who works a build of it in memory."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.deeds.find import find_line
from app.assembly.deeds.undo import redo_of, undo_of
from app.assembly.lines import Line
from app.assembly.make import Blank, begin_build, make_blank
from app.assembly.plan.steps import How, Measured, Plan, Spec
from app.assembly.rules import RULES, loose_ends
from app.assembly.rules.rule import Rule
from app.assembly.said.actions import (
    Action,
    Concede,
    CountTightenings,
    EnterFigure,
    LookSecond,
    MarkLine,
    PassGate,
    RubOutReading,
    SayPart,
    TakeReading,
    TickPlace,
)
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.facts import Facts
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.said.parts import Holding
from app.assembly.standing.entry_places import not_begun
from app.assembly.standing.gates import GateStanding, gate_standings
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.exchange.plan_file import parse_plan
from app.trade.envelope import kind_of_line
from app.trade.quantity import BASE_UNITS, UNITS, Kind, Limits
from app.trade.shipped_tables import shipped_envelopes

EVENING = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)

HEAD = """
format = 1
id = "small"
title = "Two cylinders"
edition = "1"
summary = "A small engine to try the rules on."

[arrangement]
layout = "inline"
cylinders = 2
firing_order = [1, 2]
mains = 3
crankpins = 2
cam_journals = 2

[[options]]
id = "depth"
ask = "How much do you want to measure?"
default = "full"
choices = [{ id = "full", title = "In full" }, { id = "short", title = "What the gates need" }]

[[sources]]
id = "practice"
title = "General workshop practice"
trust = "general practice"

[[groups]]
id = "studs"
title = "Studs"
each = "Stud"
count = 3

[[gates]]
id = "close-bottom"
letter = "A"
title = "Close the bottom"
after = "inside"
means = "The pan goes on."
harm = "What is slack inside is found by the engine."

[[gates]]
id = "crank"
letter = "B"
title = "Crank"
after = "oil"
means = "The starter turns the engine."
harm = "Dry bearings are wiped."
"""

STAGES = """
[[stages]]
id = "inside"
title = "Inside"

[[stages.steps]]
id = "clean-block"
do = "Wash the block"

[[stages.steps]]
id = "measure-bores"
do = "Measure each bore"
places = "cylinders"
when = [{ option = "depth", any_of = ["full"] }]
needs = ["clean-block"]
spec = { kind = "length", limits = "80.00 to 80.03 mm", source = "practice" }

[[stages.steps]]
id = "probe-holes"
do = "Probe each stud hole"
places = "studs"
role = "hole-finding"
needs = ["measure-bores"]
spec = { kind = "choice", choices = ["nothing", "oil", "unknown"] }

[[stages.steps]]
id = "seal-studs"
do = "Seal each stud whose hole is open"
places = "studs"
role = "hole-seal"
when = [{ step = "probe-holes", any_of = ["oil", "unknown"] }]
needs = ["probe-holes"]
gate = "close-bottom"
harm = "Oil creeps up the thread."
easy = ["looks finished without it", "no cue on the part", "look-alike in a row"]

[[stages.steps]]
id = "run-studs-in"
do = "Run each stud in"
places = "studs"
role = "hole-close"
needs = ["seal-studs"]
undoing_disturbs = ["seal-studs"]

[[stages.steps]]
id = "rag-in"
do = "Put a rag in each bore"
puts_in = [{ id = "bore-rag", name = "Rag", where = "in the bores", count = 2 }]

[[stages.steps]]
id = "torque-mains"
do = "Torque the mains"
places = "mains"
needs = ["clean-block"]
disturbs = ["end-float"]
spec = { kind = "torque", unit = "N·m" }

[[stages.steps]]
id = "end-float"
do = "Write the crank end float"
needs = ["torque-mains"]
gate = "close-bottom"
harm = "A thrust washer drops."
spec = { kind = "length", limits = "0.05 to 0.25 mm", source = "practice" }

[[stages.steps]]
id = "try-pan"
do = "Try the pan on"
parts = [{ id = "pan", name = "Oil pan", fit = "trial" }]

[[stages.steps]]
id = "pan-off"
do = "Take the pan off again"
takes_off = ["pan"]

[[stages.steps]]
id = "rag-out"
do = "Take the rags out"
takes_out = ["bore-rag"]
gate = "close-bottom"
harm = "A rag in a bore locks the crank."

[[stages.steps]]
id = "count-inside"
do = "Count everything out"
gate = "close-bottom"
hold = true
harm = "What stays inside can't be counted later."
spec = { kind = "see", limits = "tray empty" }

[[stages]]
id = "oil"
title = "Oil"

[[stages.steps]]
id = "fit-pan"
do = "Fit the pan with sealant"
act = "close-bottom"
hides = ["end-float"]
undoing_disturbs = ["count-inside"]
parts = [{ id = "pan", name = "Oil pan", fit = "final" }]

[[stages.steps]]
id = "fill-oil"
do = "Fill the oil"
needs = [{ step = "fit-pan", wait = "24 h", because = "the sealant cures" }]
parts = [{ id = "oil", name = "Oil" }]

[[stages.steps]]
id = "prime"
do = "Prime the oil pump"
needs = ["fill-oil"]
gate = "crank"
hold = true
role = "prime"
harm = "Bearings are gone in seconds."
spec = { kind = "pressure", limits = "at least 100 kPa", source = "practice" }

[[stages.steps]]
id = "crank-bolt"
do = "Torque the crank-nose bolt"
gate = "crank"
harm = "The pulley walks off."
spec = { kind = "torque", limits = "90 N·m", source = "practice" }

[[stages]]
id = "run"
title = "Run"

[[stages.steps]]
id = "first-crank"
do = "Crank until the gauge moves"
act = "crank"

[[stages.steps]]
id = "read-lash"
do = "Read the lash, twice over"
places = "valves"
before = ["adjust-idle"]
spec = { kind = "length", limits = "0.15 to 0.25 mm", source = "practice", rounds = 2 }

[[stages.steps]]
id = "adjust-idle"
do = "Set the idle"
any_time = true
"""

SMALL = HEAD + STAGES


def small_plan() -> Plan:
    """The small plan, checked."""
    return parse_plan(SMALL, "small.toml")


def build_from(blank: Blank, name: str = "Test engine", facts: Facts | None = None) -> Build:
    """A build in memory that nothing has happened to yet."""
    return begin_build(blank, key=1, name=name, made=EVENING, facts=facts)


class Bench:
    """A person working a build in memory; each action comes a minute after the one before."""

    def __init__(self, plan: Plan | None = None, options: Mapping[str, str] | None = None) -> None:
        self.build = build_from(make_blank(plan or small_plan(), options or {}))
        self.now = EVENING
        self.deeds: list[Deed] = []

    # --- working

    def act(self, action: Action) -> Deed:
        """Decide an action and let the build follow."""
        deed = decide(self.build, action)
        self.build = self.build.after(deed)
        self.deeds.append(deed)
        self.now = max(self.now, action.at) + timedelta(minutes=1)
        return deed

    def wait(self, *, hours: float) -> None:
        """Let time go by."""
        self.now += timedelta(hours=hours)

    def mark(
        self, line: str, state: State, why: str = "", before: str = "", waits_for: str = "", at: datetime | None = None
    ) -> Deed:
        """Mark a line; Done ticks its places together."""
        action = MarkLine(line, state, "AB", at or self.now, why, before, waits_for, together=True)
        return self.act(action)

    def done(self, *lines: str) -> list[Deed]:
        """Mark lines Done one after the other."""
        return [self.mark(line, State.DONE) for line in lines]

    def later(self, line: str, before: str, why: str = "the bolt is on order", waits_for: str = "") -> Deed:
        """Put a line off."""
        return self.mark(line, State.LATER, why, before, waits_for)

    def stop(self, line: str, why: str = "the thread is pulled") -> Deed:
        """Stop a line."""
        return self.mark(line, State.STOPPED, why)

    def tick(self, line: str, place: str, state: State = State.DONE) -> Deed:
        """Tick one place."""
        return self.act(TickPlace(line, place, state, "AB", self.now))

    def in_hand(self, *lines: str) -> None:
        """Begin lines whatever they wait for, as those are that were begun before something made them wait."""
        for name in lines:
            line = find_line(self.build, name)
            if not_begun(self.survey, line) is not None:
                subject = Subject(MARK, line.id)
                started = Mark(State.STARTED, "AB", self.now)
                begun = Entry(EventName.BEGUN, subject, self.build.facts.get(subject), started)
                self.build = self.build.after(Deed(Verb.MARK, "AB", self.now, (begun,)))

    def read(self, line: str, text: str, place: str = "-", turn: int = 1) -> Deed:
        """Write a value; a line that waits is in hand already."""
        self.in_hand(line)
        return self.act(TakeReading(line, place, text, "AB", self.now, turn))

    def rub_out(self, line: str, place: str = "-", turn: int = 1) -> Deed:
        """Take a value away."""
        return self.act(RubOutReading(line, place, "AB", self.now, turn))

    def figure(self, line: str, text: str, source: str = "Manual, 2nd edition") -> Deed:
        """Enter a figure."""
        return self.act(EnterFigure(line, text, source, "AB", self.now))

    def part(self, part: str, holding: Holding) -> Deed:
        """Say where a part is."""
        return self.act(SayPart(part, holding, "AB", self.now))

    def concede(self, line: str, text: str = "it will be looked at with the pan off", before: str = "") -> Deed:
        """Go on in writing."""
        return self.act(Concede(line, text, "AB", self.now, before))

    def pass_gate(self, gate: str, concessions: Mapping[str, str] | None = None) -> Deed:
        """Go through a gate."""
        return self.act(PassGate(gate, "AB", self.now, dict(concessions or {})))

    def undo(self, deed: Deed | None = None) -> Deed:
        """Take a deed back, the last one if none is named."""
        taken_back = undo_of(self.build, deed or self.deeds[-1], 1, "AB", self.now)
        self.build = self.build.after(taken_back)
        return taken_back

    def redo(self, deed: Deed | None = None) -> Deed:
        """Put a deed back."""
        put_back = redo_of(self.build, deed or self.deeds[-1], 1, "AB", self.now)
        self.build = self.build.after(put_back)
        return put_back

    # --- looking

    @property
    def survey(self) -> Survey:
        """The build as it stands now."""
        return Survey(self.build, self.now)

    def line(self, step: str) -> Line:
        """A line by its step's id."""
        return self.build.by_id[step]

    def state(self, step: str) -> State:
        """What a line stands at."""
        return self.survey.state(self.line(step))

    def ends(self, rules: tuple[Rule, ...] = RULES) -> tuple[LooseEnd, ...]:
        """The loose ends."""
        return loose_ends(self.survey, rules)

    def found(self, rule: str, rules: tuple[Rule, ...] = RULES) -> list[str]:
        """The steps a rule speaks of, in the order of the sheet."""
        return [end.line.id for end in self.ends(rules) if end.rule == rule]

    def end(self, rule: str, step: str = "") -> LooseEnd:
        """The one loose end of a rule, on a step where the rule speaks of several."""
        (found,) = [end for end in self.ends() if end.rule == rule and step in ("", end.line.id)]
        return found

    def gate(self, gate: str) -> GateStanding:
        """How a gate stands."""
        return next(one for one in gate_standings(self.survey, self.ends()) if one.gate.id == gate)

    def held_by(self, gate: str) -> list[str]:
        """The steps that keep a gate shut."""
        return [reason.step for reason in self.gate(gate).reasons]

    def waits(self, step: str) -> list[str]:
        """What a line waits for, by kind."""
        return [waiting.wants.value for waiting in self.survey.waits(self.line(step))]

    # --- stretches of work

    def work(self, last: str) -> None:
        """Work the build line by line, gates and all, up to and with this line."""
        for line in self.build.lines:
            self.work_line(line)
            if line.id == last:
                return

    def work_line(self, line: Line) -> None:
        """Do one line as it asks: its gate, its wait, its figure, its readings, its mark."""
        if self.survey.state(line) in (State.DONE, State.NOT_NEEDED):
            return
        for gate in self.build.gates:
            if self.build.bars[gate.id] == line.position and gate.id not in self.build.facts.gates:
                self.pass_gate(gate.id)
        if any(waiting.until is not None for waiting in self.survey.waits(line)):
            self.wait(hours=25)
        if self.survey.figure_missing(line):
            self.figure(line.number, sound_figure(line.id, line.step.do, line.step.spec))
        self.fit_new(line)
        self.fill_in(line)
        if not self.survey.called_off(line):
            self.done(line.number)
            self.look_second(line)

    def fit_new(self, line: Line) -> None:
        """Write that bolts used only once are new."""
        fasteners = self.build.fasteners.get(line.step.tightens)
        if fasteners is not None and fasteners.limit == 1:
            self.act(CountTightenings(fasteners.id, "", 0, "AB", self.now))

    def look_second(self, line: Line) -> None:
        """Another pair of eyes, where the line wants one."""
        if line.step.second_look and not self.survey.seen_twice(line):
            readings = self.build.facts.readings.get(line.id, {})
            values = {place: reading.text for (place, _), reading in readings.items()}
            self.act(LookSecond(line.number, "JT", self.now, values))

    def fill_in(self, line: Line) -> None:
        """Write a good value at each place that lacks one."""
        spec = line.step.spec
        if spec is None or not line.reads:
            return
        for turn in range(1, spec.rounds + 1):
            for place in self.survey.unread(line):
                if (place.id, turn) not in self.build.facts.readings.get(line.id, {}):
                    self.read(line.number, good_value(self.survey, line, place.id), place.id, turn)


def sound_figure(id_: str, do: str, spec: Spec | None) -> str:
    """Limits of a size that such a line has, in its own unit."""
    kind = Kind(spec.kind.value) if spec is not None else Kind.NUMBER
    unit = spec.unit if spec is not None else ""
    low, high = (UNITS[unit].from_base(end) if unit in UNITS else end for end in _typical(kind, id_, do, "", (1, 3)))
    middle = (low + high) / 2
    return f"{0.8 * middle:.4g} to {1.2 * middle:.4g} {unit}".strip()


def _typical(kind: Kind, id_: str, do: str, part: str, otherwise: tuple[float, float]) -> tuple[float, float]:
    row = shipped_envelopes().get(kind_of_line(kind, id_, do, part) or "")
    return (row.typical_low, row.typical_high) if row is not None else otherwise


def good_value(survey: Survey, line: Line, place: str = "") -> str:
    """A value in the middle of the line's figure, or a good answer to a finding; of a result, what makes one good."""
    spec = line.step.spec
    assert spec is not None
    if spec.kind is Measured.TEXT:
        return "as it should be"
    if spec.kind is Measured.CHOICE:
        return (spec.good or spec.choices)[0]
    bounds = survey.bounds(line)
    assert bounds is not None
    limits = bounds.limits
    assert isinstance(limits, Limits)
    ends = [end for end in (limits.low, limits.high) if end is not None] or [limits.target or 0.0]
    value = _part_of(line, place, sum(ends) / len(ends))
    return f"{value:g} {BASE_UNITS[Kind(spec.kind.value)]}".removesuffix(" 1")


def _part_of(line: Line, place: str, wanted: float) -> float:
    """What a point has to read for its result to come out as wanted."""
    measure = line.step.measure
    if measure is None or not measure.points:
        return wanted
    first = place.endswith(f" {measure.points[0]}")
    match measure.how:
        case How.DIFFERENCE:
            assert line.step.spec is not None
            kind, point = Kind(line.step.spec.kind.value), measure.points[-1]
            whole = round(sum(_typical(kind, line.id, line.step.do, point, (50, 50))) / 2, 1)
            return whole + wanted if first else whole / (len(measure.points) - 1)
        case How.SUM:
            return wanted / len(measure.points)
        case How.HALF:
            return 2 * wanted
        case _:
            return wanted
