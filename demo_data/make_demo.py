"""Make the sample workshop: demo_data/make_demo.py [--check].

Three builds of one invented engine, played through the shipped plan by the same actions a person has, so that the
sample can never say what the rules would refuse. --check makes it afresh and compares it with the one that is shipped.
"""

import sqlite3
import sys
import tempfile
import tomllib
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.lines import Line
from app.assembly.make import make_blank
from app.assembly.plan.steps import Trust
from app.assembly.said.actions import (
    Action,
    ChooseFigure,
    ChooseOption,
    Concede,
    DecideFinding,
    DescribeJoint,
    EnterFigure,
    Find,
    Happen,
    KeepTool,
    Leave,
    LogRun,
    LookSecond,
    MarkLine,
    OfferFigure,
    OpenUp,
    PassGate,
    PutIn,
    PutTemporary,
    SayCam,
    SayPart,
    TakeOut,
    TakeReading,
    TickPlace,
    TightenBolt,
)
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.assembly.standing.joints import described
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import bolts
from app.exchange.plan_file import parse_plan
from app.store.folder import LOCK
from app.store.workshop import Arrow, Workshop
from app.trade.shipped_tables import shipped_tables

HERE = Path(__file__).resolve().parent
PLAN = HERE.parent / "resources" / "plans" / "four-ohv.toml"
SHIPPED = HERE / "workshop"
NOTE = "Photos of the builds in this workshop.\n"

FINISHED, MIDDLE, PLANNED = "Hill-climb special, first engine", "Hill-climb special, sprint engine", "Shed tourer"

# Tuesday and Thursday evenings and Saturdays: weekday, beginning, length.
EVENINGS = {1: (time(19, 0), timedelta(hours=2.5)), 3: (time(19, 0), timedelta(hours=2.5))}
SPELLS = EVENINGS | {5: (time(9, 30), timedelta(hours=6))}
# Days nobody works at the engine because parts are away or the weather is not there.
AWAY = {"send-to-shop": timedelta(days=18), "order-one-use": timedelta(days=4), "baseline-leak-down": timedelta(days=3)}
SEASON = timedelta(weeks=20)

Play = Callable[["Hand", Line], None]


@dataclass(frozen=True, slots=True)
class Sample:
    """The figures and readings of sample.toml, for one build."""

    figures: dict[str, tuple[str, str]]
    readings: dict[str, str | list[str]]
    offered: dict[str, list[tuple[str, str]]]

    def reading(self, line: Line, position: int) -> str:
        """What is written at the place in this position of the line, counted through the rounds."""
        found = self.readings[line.id]
        return found if isinstance(found, str) else found[position]


def read_sample(which: str) -> Sample:
    """The sample's values for the first or the second engine."""
    told = tomllib.loads((HERE / "sample.toml").read_text("utf-8"))
    figures = {step: (text, told["sources"][key].format(*page)) for step, (text, key, *page) in told["figures"].items()}
    offered = {
        step: [(text, told["sources"][key].format(*page)) for text, key, *page in one]
        for step, one in told["offered"].items()
    }
    return Sample(figures, told["readings"]["any"] | told["readings"].get(which, {}), offered)


class Hand:
    """Somebody working a build in spells, with a clock of the sample's own."""

    def __init__(self, workshop: Workshop, build: Build, sample: Sample, begun: date) -> None:
        self.workshop = workshop
        self.build = build
        self.sample = sample
        self.by = "MK"
        self.tool = ""
        self._spells = _spells(begun)
        self.now, self._until = next(self._spells)

    def do(self, action: Action) -> None:
        """Decide the action and write it, a minute on."""
        self.build = self.workshop.commit(self.build, decide(self.build, action), now=self.now)
        self.now += timedelta(minutes=1)

    def undo(self) -> None:
        """Take back the last thing done."""
        self.build, _ = self.workshop.undo(self.build, by=self.by, now=self.now)
        self.now += timedelta(minutes=1)

    def take_up(self, line: Line) -> None:
        """Go to a line in the spell that has the time for it, after its waits, with whoever does that kind of work."""
        self.by = _who(line)
        while self.now + timedelta(minutes=min(line.step.minutes, 90)) > self._until:
            self.rest()
        for waiting in Survey(self.build, self.now).waits(line):
            while waiting.until is not None and self.now < waiting.until:
                self.rest()

    def rest(self) -> None:
        """Wait for the next spell."""
        now = self.now
        while self.now <= now:
            self.now, self._until = next(self._spells)

    def away(self, pause: timedelta) -> None:
        """Leave the engine alone for some days."""
        until = self.now + pause
        while self.now < until:
            self.rest()

    def figure(self, line: Line) -> None:
        """Enter the line's figure where the plan leaves it open."""
        if Survey(self.build, self.now).figure_missing(line):
            text, source = self.sample.figures[line.id]
            self.do(EnterFigure(line.number, text, source, self.by, self.now))

    def read(self, line: Line, place: str, text: str, turn: int = 1) -> None:
        """Write a value at a place."""
        self.do(TakeReading(line.number, place, text, self.by, self.now, turn, tool=self.tool))

    def read_all(self, line: Line) -> None:
        """Write the sample's values, round after round, up to the first one that is left out."""
        spec = line.step.spec
        assert spec is not None  # a reading line always has one
        cells = [(turn, place.id) for turn in range(1, spec.rounds + 1) for place in line.places]
        for position, (turn, place) in enumerate(cells):
            text = self.sample.reading(line, position)
            if not text:
                return
            self.read(line, place, text, turn)

    def mark(self, line: Line, state: State, why: str = "", before: str = "", waits_for: str = "") -> None:
        """Mark a line."""
        self.do(MarkLine(line.number, state, self.by, self.now, why, before, waits_for, together=True))

    def line(self, step: str) -> Line:
        """The line of a step."""
        return self.build.by_id[step]

    def begin(self, line: Line) -> None:
        """Take a line up, with its figure."""
        self.take_up(line)
        self.figure(line)

    def finish(self, line: Line) -> None:
        """Sign a line off after the time it takes."""
        spent = len(line.places) if line.reads else 1
        self.now += timedelta(minutes=max(0, min(line.step.minutes, 90) - spent))
        self.mark(line, State.DONE)

    def work(self, line: Line) -> None:
        """Do a line as the plan has it."""
        self.begin(line)
        if line.reads:
            self.read_all(line)
        self.finish(line)
        self.away(AWAY.get(line.id, timedelta()))

    def play(self, story: dict[str, Play], last: str = "") -> None:
        """Work the build in order up to and with a line; `story` holds what went otherwise."""
        for step in [line.id for line in self.build.lines]:
            line = self.build.by_id.get(step)  # lines come, go and get other places on the way
            if line is None:
                continue
            self._pass_gates(line, story)
            if not Survey(self.build, self.now).called_off(line):
                story.get(line.id, Hand.work)(self, line)
            if line.id == last:
                return

    def _pass_gates(self, line: Line, story: dict[str, Play]) -> None:
        for gate in self.build.gates:
            if self.build.bars[gate.id] == line.position:
                self.by = "MK"
                story.get(gate.id, Hand.pass_gate)(self, line)

    def pass_gate(self, line: Line) -> None:
        """Go through the gate whose bar stands in front of a line, once somebody else has looked at what wants it."""
        self.look_again()
        gate = next(gate for gate in self.build.gates if self.build.bars[gate.id] == line.position)
        self.do(PassGate(gate.id, self.by, self.now))

    def look_again(self) -> None:
        """Somebody else takes the second look wherever one is wanted, and reads the same."""
        survey = Survey(self.build, self.now)
        for line in self.build.lines:
            if line.step.second_look and survey.done(line) and not survey.seen_twice(line):
                by = "MK" if self.build.facts.lines[line.id].by == "JT" else "JT"
                read = {one.place.id: one.reading.text for one in survey.judged(line) if one.round == 1}
                self.do(LookSecond(line.number, by, self.now, read if line.reads else {}))


def _spells(begun: date) -> Iterator[tuple[datetime, datetime]]:
    day = begun
    while True:
        if day.weekday() in SPELLS:
            at, length = SPELLS[day.weekday()]
            start = datetime.combine(day, at, UTC)
            yield start, start + length
        day += timedelta(days=1)


def _who(line: Line) -> str:
    """MK builds; JT comes where two are needed; RB does the head."""
    if line.stage == 13:
        return "RB"
    return "JT" if line.step.people > 1 else "MK"


# --- the finished build: what went otherwise than the plan has it


def _slip_of_the_keys(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.read(line, "1 bore", "5.084 mm")
    hand.undo()
    hand.read_all(line)
    hand.finish(line)


def _file_a_ring(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.read(line, "1-top", "0.25 mm")
    hand.now += timedelta(minutes=12)
    hand.read_all(line)
    hand.finish(line)


def _tensioner_stuck(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.mark(line, State.STOPPED, "chain slack on its loaded side; the tensioner did not spring out")
    hand.rest()
    tensioner = hand.line("arm-tensioner")
    hand.mark(tensioner, State.LOOK_AGAIN, "pin back in, plunger freed and oiled")
    hand.finish(tensioner)
    hand.finish(line)


def _post_read_low(hand: Hand, line: Line) -> None:
    hand.work(line)
    hand.rest()
    posts = hand.line("torque-rocker-posts")
    hand.mark(posts, State.LOOK_AGAIN, "post 2 turned a little further under the other wrench")
    hand.finish(posts)
    for lash in (hand.line("set-lash"), line):
        hand.read_all(lash)
        hand.finish(lash)


def _pickup_on_the_floor(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.read(line, "-", "2 mm")
    hand.mark(line, State.STOPPED, "new pickup all but meets the pan floor; brace to be bent and the pickup set again")
    hand.rest()
    hand.read_all(line)
    hand.finish(line)


def _carburettor_waits(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.mark(line, State.LATER, "the float needle has not come yet", before="tighten-fuel-joints")


def _carburettor_first(hand: Hand, line: Line) -> None:
    carburettor = hand.line("clean-carburettor")
    hand.take_up(carburettor)
    hand.finish(carburettor)
    hand.work(line)


def _no_cooler(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.mark(line, State.NOT_NEEDED, "no cooler on this car; the filter bolts to the block")


def _nothing(_hand: Hand, _line: Line) -> None:
    """Left alone for now."""


def _drive_without_lash(hand: Hand, _line: Line) -> None:
    lash = hand.line("lash-cold")
    hand.look_again()
    why = "feeler gauge lent out until Sunday; 20 miles of lanes only, lash read before more"
    hand.do(PassGate("drive", hand.by, hand.now, {lash.number: why}))


def _after_the_season(hand: Hand, line: Line) -> None:
    hand.away(SEASON)
    hand.work(line)


def _first_heat(hand: Hand, line: Line) -> None:
    hand.work(line)
    hand.do(LogRun(hand.by, hand.now, hours=0.42, heat_cycles=1, note="break-in, held between 1800 and 2200"))


def _first_miles(hand: Hand, line: Line) -> None:
    hand.work(line)
    hand.do(LogRun(hand.by, hand.now, hours=0.8, distance_km=32, heat_cycles=1, note="lanes, no full load"))
    hand.rest()
    hand.work(hand.line("lash-cold"))


FINISHED_STORY: dict[str, Play] = {
    "main-clearance": _slip_of_the_keys,
    "ring-gaps": _file_a_ring,
    "two-turns": _tensioner_stuck,
    "pickup-clearance": _pickup_on_the_floor,
    "lash-reread": _post_read_low,
    "clean-carburettor": _carburettor_waits,
    "tighten-fuel-joints": _carburettor_first,
    "flush-oil-lines": _no_cooler,
    "lash-cold": _nothing,
    "drive": _drive_without_lash,
    "break-in-flat": _first_heat,
    "drive-first-miles": _first_miles,
    "leak-down-after-season": _after_the_season,
}


# --- the build in the middle: what is left open


def _card_gives_no_limits(hand: Hand, line: Line) -> None:
    hand.take_up(line)
    hand.do(EnterFigure(line.number, "1.5 mm", hand.sample.figures[line.id][1], hand.by, hand.now))
    hand.read_all(line)
    hand.finish(line)


def _float_over_its_limit(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.read_all(line)
    hand.do(
        Concede(
            line.number,
            "0.02 mm over; thicker thrust halves not to be had before spring. Read again at each oil change",
            hand.by,
            hand.now,
        )
    )
    hand.finish(line)


def _pan_half_tightened(hand: Hand, line: Line) -> None:
    hand.begin(line)
    for place in line.places[:11]:
        hand.do(TickPlace(line.number, place.id, State.DONE, hand.by, hand.now))


def _washer_on_order(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.do(SayPart("drain-washer", Holding.ON_ORDER, hand.by, hand.now, "one was left out of the box"))
    hand.mark(line, State.LATER, "the new washer is on order", before="fill-oil", waits_for="drain-washer")


def _read_with_the_wrench(hand: Hand, line: Line) -> None:
    checked = datetime(2025, 3, 3, 12, 0, tzinfo=UTC)
    reads = ("Half-inch torque wrench", hand.by, hand.now, "20 to 120 N·m", "1 N·m", checked, "click", "420 mm")
    hand.begin(line)
    hand.do(KeepTool("half-inch", *reads))
    hand.tool = "half-inch"
    hand.read_all(line)
    hand.tool = ""
    hand.finish(line)


def _gauges(hand: Hand, line: Line) -> None:
    """A bore gauge and a micrometer, and how far each is to be trusted."""
    checked = datetime(2025, 3, 3, 12, 0, tzinfo=UTC)
    hand.begin(line)
    for key, name, doubt in (("BG", "Dial bore gauge", "± 0.004 mm"), ("MIC", "Micrometer, 50 to 75", "± 0.002 mm")):
        hand.do(KeepTool(key, name, hand.by, hand.now, graduation="0.001 mm", checked=checked, doubt=doubt))
    hand.tool = "BG"
    hand.read_all(line)
    hand.tool = ""
    hand.finish(line)


def _with_the_micrometer(hand: Hand, line: Line) -> None:
    hand.tool = "MIC"
    hand.work(line)
    hand.tool = ""


def _bore_less_journal(hand: Hand, line: Line) -> None:
    """Each bore with the bore gauge, each journal with the micrometer; the clearance follows."""
    hand.begin(line)
    for position, place in enumerate(line.places):
        hand.tool = "BG" if place.id.endswith("bore") else "MIC"
        hand.read(line, place.id, hand.sample.reading(line, position))
    hand.tool = ""
    hand.finish(line)


def _cam_card(hand: Hand, line: Line) -> None:
    hand.work(line)
    card = {"ivo": "37°", "ivc": "83°", "evo": "81°", "evc": "39°", "pitch": "1 mm", "ratio": "1.5"}
    hand.do(SayCam(card, hand.by, hand.now))


HEAD_STUDS = {
    "thread": "M12x1.25",
    "strength": "10.9",
    "written_for": "oiled",
    "state": "oiled",
    "face": "26 mm",
    "hole": "13 mm",
    "tapped": "grey iron 250",
    "engagement": "20 mm",
    "wrench": "half-inch",
}


def _bolt_by_bolt(hand: Hand, line: Line) -> None:
    """The studs of the head one by one in their order, once it is said what they are."""
    hand.begin(line)
    if line.id == "torque-head-first":
        said = described(HEAD_STUDS, shipped_tables(), hand.by, hand.now, None)
        hand.do(DescribeJoint(line.id, said, hand.by, hand.now))
    for one in bolts(Survey(hand.build, hand.now), line):
        hand.do(TightenBolt(line.number, one.place.id, hand.by, hand.now))
    hand.finish(line)


def _no_retorque(hand: Hand, line: Line) -> None:
    hand.work(line)
    why = "the gasket that came is a steel one, and its sheet says to leave it alone"
    hand.do(ChooseOption("retorque", "forbidden", hand.by, hand.now, why))


def _over_on_the_stand(hand: Hand, line: Line) -> None:
    hand.take_up(line)
    hand.do(Happen("engine-tipped", hand.by, hand.now, "over on the stand, pan rail up; no oil in it yet"))
    hand.work(line)


def _pit_beside_the_seat(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.do(Find("pit in the seat, outside the grey ring", hand.by, hand.now, line.number, "ex2", "0.2 mm across"))
    why = "the ring is whole all round, 1.5 mm wide, and the pit is outside it"
    watch, back = "leak-down of cylinder 2", ("event:seat-cut", "distance:500 miles")
    hand.do(DecideFinding("f1", Disposition.USE_AS_IS, why, hand.by, hand.now, watch, back))
    hand.do(PutTemporary("strip of tape", "intake ports of the head", hand.by, hand.now, count=4))
    hand.finish(line)


def _load_at_height(hand: Hand, line: Line) -> None:
    hand.work(line)
    why = "the springs are another make than the first engine's"
    hand.do(PutIn("Write each spring's load at its installed height", line.number, hand.by, hand.now, why))
    hand.mark(hand.build.by_number[f"{line.number}a"], State.DONE)


def _tape_off(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.do(TakeOut("t1", hand.by, hand.now, count=4))
    hand.finish(line)


def _two_sheets(hand: Hand, line: Line) -> None:
    """Two printed figures for the head; one is chosen, and said why."""
    gasket, manual = hand.sample.offered["torque-head-last"]
    hand.take_up(line)
    hand.do(OfferFigure(line.number, manual[0], manual[1], Trust.MAKER, hand.by, hand.now, dated="1999"))
    hand.do(OfferFigure(line.number, gasket[0], gasket[1], Trust.PART_MAKER, hand.by, hand.now, dated="2025"))
    hand.do(
        ChooseFigure(line.number, "c2", "these studs and this gasket, oiled; the book means bolts", hand.by, hand.now)
    )
    hand.tool = "half-inch"
    hand.read_all(line)
    hand.tool = ""
    hand.finish(line)


def _adjuster_at_its_end(hand: Hand, line: Line) -> None:
    hand.begin(line)
    hand.read_all(line)
    hand.mark(line, State.STOPPED, "adjuster of exhaust 3 at its end, pushrod to be measured")
    hand.rest()
    rockers = hand.line("fit-rockers")
    hand.mark(rockers, State.LOOK_AGAIN, "shaft off to measure pushrod exhaust 3")
    feed = "oil feed joint under the rear post"
    hand.do(OpenUp(feed, hand.by, hand.now, after=rockers.number, place="rear post", why="the shaft came up with it"))
    hand.do(PutTemporary("lint-free cloth", "pushrod holes of cylinder 3", hand.by, hand.now, count=2))
    hand.finish(rockers)
    _evening_ends(hand)


def _evening_ends(hand: Hand) -> None:
    """A figure looked up for the next job, the carburettor begun, and a note for next time."""
    nuts = hand.line("torque-manifolds")
    manual, bulletin = hand.sample.offered["torque-manifolds"]
    hand.do(OfferFigure(nuts.number, manual[0], manual[1], Trust.MAKER, hand.by, hand.now, dated="1999"))
    hand.do(OfferFigure(nuts.number, bulletin[0], bulletin[1], Trust.BULLETIN, hand.by, hand.now, dated="2004"))
    carburettor = hand.line("clean-carburettor")
    hand.take_up(carburettor)
    hand.mark(carburettor, State.STARTED)
    note = "pushrod of exhaust 3 is on the bench, 188.5 by the caliper; ring the cam grinder before it goes back"
    hand.do(Leave(note, hand.by, hand.now))


MIDDLE_STORY: dict[str, Play] = {
    "coil-bind-room": _card_gives_no_limits,
    "measure-bores": _gauges,
    "measure-journals": _with_the_micrometer,
    "main-clearance": _bore_less_journal,
    "rod-clearance": _bore_less_journal,
    "degree-cam": _cam_card,
    "torque-head-first": _bolt_by_bolt,
    "torque-head-second": _bolt_by_bolt,
    "strip-trial": _no_retorque,
    "torque-mains-last": _read_with_the_wrench,
    "end-float": _float_over_its_limit,
    "seal-pan-corners": _over_on_the_stand,
    "torque-pan": _pan_half_tightened,
    "torque-drain-plug": _washer_on_order,
    "lap-valves": _pit_beside_the_seat,
    "installed-height": _load_at_height,
    "run-studs-in": _tape_off,
    "torque-head-last": _two_sheets,
    "set-lash": _adjuster_at_its_end,
}


# --- the three builds


def _finished(workshop: Workshop) -> None:
    hand = _new_build(workshop, FINISHED, {}, "first", date(2024, 11, 30))
    hand.play(FINISHED_STORY)
    workshop.keep_arrow(hand.build, Arrow("leak-down-after-season"))


def _planned(workshop: Workshop) -> None:
    options = {"lifters": "roller-hydraulic", "depth": "essential", "retorque": "forbidden"}
    hand = _new_build(workshop, PLANNED, options, "", date(2025, 10, 4))
    for step in ("measure-bores", "measure-journals", "remeasure-bores", "torque-mains-first", "torque-mains-last"):
        hand.figure(hand.line(step))
    hand.do(SayPart("head-gasket", Holding.ON_ORDER, hand.by, hand.now, "four weeks, says the shop"))
    workshop.keep_arrow(hand.build, Arrow(hand.build.lines[0].id))


def _middle(workshop: Workshop) -> None:
    options = {"rear-seal": "one-piece", "rod-bolts": "stretch"}
    hand = _new_build(workshop, MIDDLE, options, "second", date(2025, 7, 26))
    hand.play(MIDDLE_STORY, last="set-lash")
    workshop.keep_arrow(hand.build, Arrow("set-lash", "ex3"))


def _new_build(workshop: Workshop, name: str, options: dict[str, str], which: str, begun: date) -> Hand:
    text = PLAN.read_text("utf-8")
    start, _ = next(_spells(begun))
    build = workshop.make_build(name, make_blank(parse_plan(text, PLAN.name), options), text, by="MK", now=start)
    return Hand(workshop, build, read_sample(which), begun)


def make(folder: Path) -> None:
    """Make the sample workshop in a new folder, closed and in one lone file."""
    with Workshop.create(folder, name="Sample workshop", now=datetime(2024, 11, 30, 9, 0, tzinfo=UTC)) as workshop:
        _finished(workshop)
        _planned(workshop)
        _middle(workshop)
        workshop.keep_initials("MK")
    with closing(sqlite3.connect(workshop.path)) as connection:
        connection.execute("VACUUM")
        connection.execute("PRAGMA journal_mode=DELETE")
    (folder / LOCK).unlink()
    (workshop.photos / "README.txt").write_text(NOTE, "utf-8")


def content(folder: Path) -> dict[str, Any]:
    """All that a workshop says of its builds: options, lines, facts, journal and where the hand is."""
    told: dict[str, Any] = {}
    with Workshop.open_at(folder, now=datetime.now(UTC)) as workshop:
        for name in workshop.builds():
            build = workshop.load(name.key)
            told[name.name] = {
                "key": name.key,
                "made": build.made,
                "options": dict(build.options),
                "lines": build.lines,
                "facts": build.facts.all(),
                "journal": workshop.journal(build),
                "hand": workshop.arrow(build),
            }
    return told


def differences(folder: Path, other: Path) -> list[str]:
    """What two workshops say differently, one sentence each."""
    told, told_there = content(folder), content(other)
    if told.keys() != told_there.keys():
        return [f"The builds are {', '.join(told) or 'none'} here and {', '.join(told_there) or 'none'} there."]
    return [
        f"“{name}” differs in its {part}."
        for name, parts in told.items()
        for part, value in parts.items()
        if value != told_there[name][part]
    ]


def check(shipped: Path = SHIPPED) -> list[str]:
    """How the shipped sample differs from one made now; empty when it is up to date."""
    with tempfile.TemporaryDirectory() as place:
        fresh, copy = Path(place) / "fresh", Path(place) / "copy"
        make(fresh)
        copy.mkdir()
        # Looked at in a copy, so that looking leaves no trace in the checkout.
        (copy / "workshop.db").write_bytes((shipped / "workshop.db").read_bytes())
        return differences(copy, fresh)


def main(words: list[str]) -> int:
    """Make the sample, or with --check compare it; return 1 if it is out of date."""
    if words not in ([], ["--check"]):
        print(__doc__)
        return 2
    if words:
        found = check()
        print("\n".join(found) or "The sample workshop is up to date.")
        return 1 if found else 0
    with tempfile.TemporaryDirectory() as place:
        fresh = Path(place) / "workshop"
        make(fresh)
        for path in (Path("workshop.db"), Path("photos") / "README.txt"):
            (SHIPPED / path).parent.mkdir(parents=True, exist_ok=True)
            (SHIPPED / path).write_bytes((fresh / path).read_bytes())
    print(f"{SHIPPED}: made")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
