"""A build of a shipped plan as a story: worked in good order up to a line, and then what happened to somebody."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cache
from pathlib import Path

from app.assembly.lines import Line
from app.assembly.plan.steps import Plan, Role, Trust
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.parts import Fitted
from app.assembly.said.refusal import Refused
from app.assembly.standing.joints import described
from app.assembly.standing.tightening import joint_of
from app.exchange.plan_file import read_plan
from app.trade.shipped_tables import shipped_tables
from app.words.say import say
from tests.plans import Bench, good_value, sound_figure

PLANS = Path(__file__).parents[2] / "resources" / "plans"
SHIPPED = sorted(path.stem for path in PLANS.glob("*.toml"))


@cache
def shipped(name: str) -> Plan:
    """A plan that ships."""
    return read_plan(PLANS / f"{name}.toml")


class Told(Bench):
    """A person at the bench who also says what the plan does not foresee."""

    # --- what the plan does not foresee

    def happen(self, what: str) -> Deed:
        """Something befell the build."""
        return self.act(a.Happen(what, "AB", self.now))

    def open_up(
        self, what: str, line: str = "", place: str = "", after: str = "", disturbs: tuple[str, ...] = ()
    ) -> Deed:
        """Something was slackened, opened or removed."""
        return self.act(a.OpenUp(what, "AB", self.now, line, place, after, disturbs=disturbs))

    def opened(self, what: str, after: str = "", disturbs: tuple[str, ...] = ()) -> str:
        """Open something that is no line of the plan; the id of the line that closes it."""
        return _key(self.open_up(what, after=after, disturbs=disturbs))

    def put_in(self, what: str, after: str, disturbs: tuple[str, ...] = ()) -> str:
        """A step the plan forgot; its id."""
        return _key(self.act(a.PutIn(what, after, "AB", self.now, disturbs=disturbs)))

    def find(self, what: str, line: str, place: str = "", measured: str = "", *, symptom: bool = False) -> str:
        """Write a finding down; its key."""
        return _key(self.act(a.Find(what, "AB", self.now, line, place, measured, symptom)))

    def settle(
        self, finding: str, decision: Disposition, why: str, watch: str = "", reopens: tuple[str, ...] = ()
    ) -> Deed:
        """Decide a finding."""
        return self.act(a.DecideFinding(finding, decision, why, "AB", self.now, watch, reopens))

    def stuff_in(self, name: str, where: str, count: int = 1, *, turning_ok: bool = False, lost: bool = False) -> str:
        """A temporary thing goes in, or is lost; its key."""
        return _key(self.act(a.PutTemporary(name, where, "AB", self.now, count, turning_ok, lost)))

    def take_out(self, item: str, count: int = 1) -> Deed:
        """A temporary thing comes out."""
        return self.act(a.TakeOut(item, "AB", self.now, count))

    def fit(self, part: str, how: Fitted) -> Deed:
        """Say how a part is on."""
        return self.act(a.FitPart(part, how, "AB", self.now))

    def tightened(
        self, fasteners: str, times: int, place: str = "", *, length: str = "", free: str = "", neck: str = ""
    ) -> Deed:
        """Write how often bolts were tightened so far, and what they measured."""
        return self.act(a.CountTightenings(fasteners, place, times, "AB", self.now, "", length, free, neck))

    def joint(self, line: str, **typed: str) -> Deed:
        """Say what is known of the joint a line tightens."""
        old = joint_of(self.build, self.line(line))
        said = described(typed, shipped_tables(), "AB", self.now, old)
        return self.act(a.DescribeJoint(line, said, "AB", self.now))

    def bolt(
        self, line: str, place: str, torque: str = "", *, angle: str = "", stretch: str = "", wrench: str = ""
    ) -> Deed:
        """The next pass of one bolt."""
        action = a.TightenBolt(line, place, "AB", self.now, torque, angle, stretch, wrench)
        return self.act(action)

    def slacken(self, line: str, why: str = "turned too far") -> Deed:
        """Slacken a joint fully."""
        return self.act(a.Slacken(line, why, "AB", self.now))

    def second(self, line: str, by: str = "CD", values: Mapping[str, str] | None = None) -> Deed:
        """A second look."""
        return self.act(a.LookSecond(line, by, self.now, dict(values or {})))

    def ran(self, hours: float = 0.0, km: float = 0.0, cycles: int = 0) -> Deed:
        """A spell of running."""
        return self.act(a.LogRun("AB", self.now, hours, km, cycles))

    def offer(
        self, line: str, text: str, source: str, trust: Trust = Trust.MAKER, edition: str = "", converted_by: str = ""
    ) -> str:
        """Put a figure beside the others; its key."""
        deed = self.act(
            a.OfferFigure(line, text, source, trust, "AB", self.now, edition=edition, converted_by=converted_by)
        )
        return deed.entries[0].subject.place

    def choose(self, line: str, candidate: str, why: str) -> Deed:
        """Choose one of the figures offered."""
        return self.act(a.ChooseFigure(line, candidate, why, "AB", self.now))

    def tool(self, key: str, name: str, span: str = "", checked: datetime | None = None) -> Deed:
        """Enter a tool, or its check."""
        return self.act(a.KeepTool(key, name, "AB", self.now, span, checked=checked))

    def tool_wrong(self, key: str) -> Deed:
        """A tool was found wrong."""
        return self.act(a.ToolWrong(key, "AB", self.now))

    def gauge(self, key: str, name: str, doubt: str) -> Deed:
        """Enter a gauge that is in check, and how far it is to be trusted."""
        return self.act(a.KeepTool(key, name, "AB", self.now, checked=self.now, doubt=doubt))

    def read_with(
        self, tool: str, line: str, text: str, place: str = "-", *, turn: int = 1, temperature: str = ""
    ) -> Deed:
        """Write a value with the tool it was read with, and how warm it was."""
        self.in_hand(line)
        action = a.TakeReading(line, place, text, "AB", self.now, turn, tool=tool, temperature=temperature)
        return self.act(action)

    def option(self, option: str, choice: str) -> Deed:
        """Answer an option anew."""
        return self.act(a.ChooseOption(option, choice, "AB", self.now))

    def leave(self, note: str = "") -> Deed:
        """Leave the work."""
        return self.act(a.Leave(note, "AB", self.now))

    def resume(self, confirmed: tuple[str, ...] = (), doubted: tuple[str, ...] = ()) -> Deed:
        """Come back."""
        return self.act(a.Resume("AB", self.now, confirmed, doubted))

    def hole(self, group: str, place: str, opens_to: str = "", length: str = "", refits: str = "") -> Deed:
        """Say what is known of a hole."""
        return self.act(a.DescribeHole(group, place, "AB", self.now, opens_to=opens_to, length=length, refits=refits))

    # --- signing and looking

    def sign(self, line: str, by: str = "AB") -> Deed:
        """Mark a line Done without ticking what is open in it."""
        return self.act(a.MarkLine(line, State.DONE, by, self.now))

    def tick_all_but(self, line: str, *left: str) -> None:
        """Tick every place of a line but these."""
        self._enter_figure(line)
        for place in self.survey.places(self.line(line)):
            if place.id not in left:
                self.tick(line, place.id)

    def read_all_but(self, line: str, *left: str, text: str = "") -> None:
        """Write a good value at every place of a line but these."""
        self._enter_figure(line)
        for place in self.survey.places(self.line(line)):
            if place.id not in left:
                self.read(line, text or self.good(line, place.id), place.id)

    def _enter_figure(self, line: str) -> None:
        spec = self.line(line).step.spec
        if spec is not None and self.survey.figure_missing(self.line(line)):
            self.figure(line, sound_figure(line, self.line(line).step.do, spec))

    def good(self, line: str, place: str = "") -> str:
        """A value in the middle of a line's figure."""
        return good_value(self.survey, self.line(line), place)

    def holds(self, rule: str, step: str, gate: str) -> None:
        """See that a rule speaks of a line and keeps this gate shut."""
        end = self.end(rule, step)
        assert (end.gate, end.blocks) == (gate, True), end
        assert step in self.held_by(gate)

    def said(self, rule: str) -> list[str]:
        """What a rule says, in the order of the sheet."""
        return [say(end.why) for end in self.ends() if end.rule == rule]

    # --- stretches of work

    def work_before(self, step: str, skip: Iterable[str] = (), below: str = "nothing") -> None:
        """Work every open line in front of this one, but for those skipped."""
        left_out = set(skip)
        for line in self.build.lines:
            if line.id == step:
                return
            if line.id not in left_out and line.extra is None:
                self.probe(line, below)
                self.work_line(line)

    def work_with(self, step: str, skip: Iterable[str] = ()) -> None:
        """Work every open line up to and with this one, but for those skipped."""
        self.work_before(step, skip)
        self.work_line(self.line(step))

    def mend(self, *left: str) -> None:
        """Do again every line that was opened or taken back, but for these: its readings, its mark, its second look."""
        while doubted := [one.id for one in self.build.lines if self._doubted(one) and one.id not in left]:
            if not any(self._done_again(step) for step in doubted):
                raise AssertionError(f"no way to do {doubted} again")

    def _doubted(self, line: Line) -> bool:
        return self.survey.state(line) is State.LOOK_AGAIN or self.survey.passed_over(line)

    def _done_again(self, step: str) -> bool:
        """Whether it could be done again now; what comes first comes first."""
        try:
            self.do_again(step)
        except Refused:
            return False
        return True

    def do_again(self, step: str) -> None:
        """Do one line again: wait where it waits, read it anew, mark it, look a second time."""
        line = self.line(step)
        self.wait(hours=25 if any(one.until for one in self.survey.waits(line)) else 0)
        for place in self.survey.unread(line):
            for turn in range(1, (line.step.spec.rounds if line.step.spec else 1) + 1):
                self.read(step, self.good(step, place.id), place.id, turn)
        self.done(step)
        self.look_second(line)

    def probe(self, line: Line, below: str) -> None:
        """Find the same thing below every hole of a finding line."""
        if line.step.role is Role.HOLE_FINDING and self.survey.open(line):
            for place in line.places:
                self.read(line.id, below, place.id)


def story(name: str = "four-ohv", before: str = "", below: str = "nothing", **options: str) -> Told:
    """A build of a shipped plan, worked in good order up to a line; `rear_seal="one-piece"` answers an option."""
    told = Told(shipped(name), {key.replace("_", "-"): choice for key, choice in options.items()})
    if before:
        told.work_before(before, below=below)
    return told


def _key(deed: Deed) -> str:
    return deed.entries[0].subject.key
