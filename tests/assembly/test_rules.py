"""Each loose-end rule: what brings it up, at which gate it bites, and what makes it go away again."""

import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

import pytest

import app.assembly.rules as package
from app.assembly.rules import RULES
from app.assembly.said.actions import DescribeHole
from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.parts import Holding
from app.exchange.plan_file import parse_plan
from app.words.ends import matters, title
from app.words.say import say
from tests.cases.story import Told
from tests.plans import SMALL, Bench

FRAME = {"rule", "each_joint"}


@dataclass(frozen=True)
class Story:
    """How a rule comes to fire on a step, and how the person mends it by the means the loose end names."""

    step: str
    gate: str
    fires: Callable[[Told], object]
    mends: Callable[[Told], object]
    blocks: bool = True
    places: tuple[str, ...] = ()
    plan: str = SMALL


def _in_turn(*deeds: Callable[[Told], object]) -> Callable[[Told], object]:
    def all_of_them(bench: Told) -> None:
        for deed in deeds:
            deed(bench)

    return all_of_them


def _stud_two_opens_to_oil(bench: Bench) -> None:
    bench.work("measure-bores")
    for place, below in (("1", "nothing"), ("2", "oil"), ("3", "nothing")):
        bench.read("probe-holes", below, place)
    bench.done("probe-holes")


def _all_inside_but_the_end_float(bench: Bench) -> None:
    bench.work("torque-mains")
    bench.done("try-pan", "pan-off", "rag-out", "count-inside")
    bench.mark("crank-bolt", State.STARTED)


def _signed_for_tomorrow(bench: Bench) -> None:
    today = bench.now
    bench.mark("clean-block", State.DONE, at=today + timedelta(days=1))
    bench.now = today


def _with(*changes: tuple[str, str]) -> str:
    """The small plan with some of its words changed."""
    text = SMALL
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


HOLE_MAP = _with(
    ("count = 3\n", 'count = 3\nfinding = "probe-holes"\nclosing = "run-studs-in"\nhidden_by = "rag-in"\n')
)
ONE_TIGHTENING = _with(
    (
        '[[gates]]\nid = "close-bottom"',
        '[[fasteners]]\nid = "main-bolts"\ntitle = "Main bolts"\nplaces = "mains"\n'
        'limit = 1\n\n[[gates]]\nid = "close-bottom"',
    ),
    ('do = "Torque the mains"', 'do = "Torque the mains"\ntightens = "main-bolts"'),
)
STAND_IN = _with(('do = "Try the pan on"', 'do = "Try the pan on"\nstands_in_for = "crank-bolt"'))
IN_TIME = _with(
    (
        'places = "mains"\nneeds = ["clean-block"]',
        'places = "mains"\nneeds = [{ step = "clean-block", within = "15 min" }]',
    )
)
WITNESSED = _with(('do = "Wash the block"', 'do = "Wash the block"\nsecond_look = true'))
FOLLOWED_UP = _with(
    ('do = "Wash the block"', 'do = "Wash the block"\nrole = "first-start"'),
    ('do = "Write the crank end float"', 'do = "Write the crank end float"\nfollow_up = { after = "1 heat cycle" }'),
)

BY_TORQUE = 'spec = { kind = "torque", unit = "N·m", state = "dry" }'
BOLTED = _with(('spec = { kind = "torque", unit = "N·m" }', BY_TORQUE))
STRETCHED = _with(
    ('spec = { kind = "torque", unit = "N·m" }', f'{BY_TORQUE}\ntightening = {{ stretch = "0.48 to 0.61 mm" }}')
)
ONE_USE = ONE_TIGHTENING.replace('spec = { kind = "torque", unit = "N·m" }', BY_TORQUE)
BY_ANGLE = BOLTED.replace(
    '[[stages.steps]]\nid = "end-float"',
    '[[stages.steps]]\nid = "turn-mains"\ndo = "Turn the mains"\nplaces = "mains"\nfixed = "mains"\n'
    'tightening = { kind = "torque, then angle" }\nspec = { kind = "angle", limits = "90 to 94°", source = "practice" }'
    '\n\n[[stages.steps]]\nid = "end-float"',
).replace('do = "Torque the mains"', 'do = "Torque the mains"\nfixed = "mains"')


AT_STUDS = BOLTED.replace('do = "Torque the mains"\nplaces = "mains"', 'do = "Torque the mains"\nplaces = "studs"')


def _stud_hole(thread: str) -> Callable[[Told], object]:
    return lambda b: b.act(DescribeHole("studs", "2", "AB", b.now, thread=thread))


def _figured(figure: str, **joint: str) -> Callable[[Told], object]:
    """The mains have a figure and their joint is described."""
    return _in_turn(lambda b: b.figure("torque-mains", figure), lambda b: b.joint("torque-mains", **joint))


def _wrench(b: Told) -> None:
    b.tool("TW", "Click wrench", "20 to 100 N·m", checked=b.now)


M10 = {"thread": "M10x1.5", "strength": "8.8", "state": "dry"}
MEASURED = 'spec = { kind = "length", limits = "0.15 to 0.25 mm", source = "practice", rounds = 2 }'
COLD = _with((MEASURED, f'{MEASURED}\nmeasure = {{ heat = "cold", adjuster = "screw" }}'))
READ_TWICE = (
    COLD
    + """
[[stages.steps]]
id = "lash-later"
do = "Read the lash cold again"
places = "valves"
spec = { kind = "length", limits = "0.10 to 0.50 mm", source = "practice" }
measure = { heat = "cold", adjuster = "screw" }
"""
)
RINGS = SMALL.replace(
    '[[stages.steps]]\nid = "try-pan"',
    '[[stages.steps]]\nid = "ring-gaps"\ndo = "Measure ring gaps"\nplaces = "rings"\n'
    'spec = { kind = "length", limits = "0.05 to 0.50 mm", source = "practice" }\n\n[[stages.steps]]\nid = "try-pan"',
)
TAKEN = SMALL.replace(
    '[[stages.steps]]\nid = "try-pan"',
    '[[stages.steps]]\nid = "skirts"\ndo = "Measure the skirts"\nplaces = "cylinders"\n'
    'spec = { kind = "length", limits = "0.02 to 0.06 mm", source = "practice" }\n'
    'measure = { points = ["bore", "skirt"], result = "clearance", how = "difference", '
    'takes = [{ point = "bore", step = "measure-bores" }] }\n\n[[stages.steps]]\nid = "try-pan"',
)


def _lash(b: Told, line: str, *values: str) -> None:
    for place, value in zip(("in1", "ex1", "in2", "ex2"), values, strict=True):
        b.read(line, value, place)


def _by_calliper(b: Told) -> None:
    b.read_with("calliper", "read-lash", "0.20 mm", "in1")


def _by_blades(b: Told) -> None:
    b.read_with("blades", "read-lash", "0.20 mm", "in1")


def _skirts(b: Told) -> None:
    for place, bore in (("1", "80.02 mm"), ("2", "80.02 mm")):
        b.read("measure-bores", bore, place)
        b.read("skirts", "79.98 mm", f"{place} skirt")
    b.done("clean-block", "measure-bores", "skirts")


STORIES = {
    # U = 0.10 mm on limits 0.10 mm wide: the conform zone is empty (ISO 14253-1, structure from memory).
    "gauge-coarse": Story(
        "read-lash",
        "close-bottom",
        _in_turn(lambda b: b.gauge("calliper", "Calliper", "± 0.05 mm"), _by_calliper),
        _in_turn(lambda b: b.gauge("blades", "Feeler blades", "± 0.01 mm"), _by_blades),
        blocks=False,
        places=("in1",),
    ),
    "size-doubtful": Story(
        "read-lash",
        "close-bottom",
        lambda b: b.read("read-lash", "20 mm", "in1"),
        lambda b: b.read("read-lash", "0.20 mm", "in1"),
        places=("in1",),
    ),
    "rounds-moved": Story(
        "read-lash",
        "close-bottom",
        _in_turn(lambda b: b.read("read-lash", "0.16 mm", "in1"), lambda b: b.read("read-lash", "0.24 mm", "in1", 2)),
        lambda b: b.read("read-lash", "0.17 mm", "in1", 2),
        blocks=False,
        places=("in1",),
    ),
    "heat-differs": Story(
        "read-lash",
        "close-bottom",
        lambda b: b.read_with("", "read-lash", "0.20 mm", "in1", temperature="80 °C"),
        lambda b: b.read_with("", "read-lash", "0.20 mm", "in1", temperature="20 °C"),
        blocks=False,
        plan=COLD,
    ),
    "lash-alone": Story(
        "lash-later",
        "close-bottom",
        _in_turn(
            lambda b: _lash(b, "read-lash", "0.20 mm", "0.20 mm", "0.20 mm", "0.20 mm"),
            lambda b: _lash(b, "lash-later", "0.22 mm", "0.21 mm", "0.40 mm", "0.22 mm"),
        ),
        lambda b: b.read("lash-later", "0.22 mm", "in2"),
        places=("in2",),
        plan=READ_TWICE,
    ),
    # 0.004 in per inch of an 80 mm bore is 0.32 mm (ring-gap rules, read); 0.10 mm is the figure itself.
    "gap-per-inch": Story(
        "ring-gaps",
        "close-bottom",
        _in_turn(lambda b: b.read("measure-bores", "80.01 mm", "1"), lambda b: b.read("ring-gaps", "4 thou", "1-top")),
        lambda b: b.read("ring-gaps", "13 thou", "1-top"),
        places=("1-top",),
        plan=RINGS,
    ),
    "result-stale": Story(
        "skirts",
        "close-bottom",
        _in_turn(_skirts, lambda b: b.read("measure-bores", "80.03 mm", "1")),
        _in_turn(
            lambda b: b.mark("skirts", State.LOOK_AGAIN),
            lambda b: b.read("skirts", "79.98 mm", "1 skirt"),
            lambda b: b.read("skirts", "79.98 mm", "2 skirt"),
            lambda b: b.done("skirts"),
        ),
        plan=TAKEN,
    ),
    # 60 N·m dry on M10: K 0.18 to 0.30, 0.24 in the middle: 25 kN, and 8.8 stands 33.7 kN (ISO 898-1, read).
    "over-proof": Story(
        "torque-mains",
        "close-bottom",
        _figured("90 N·m", **M10),
        _figured("60 N·m"),
        plan=BOLTED,
    ),
    # M10 hex head, 14.63 mm on an 11 mm hole: 73 mm²; 25 kN press 342 MPa, sand-cast stands 220 (VDI 2003 list, read).
    "pressure-over": Story(
        "torque-mains",
        "close-bottom",
        _figured("60 N·m", **M10, face="14.63 mm", hole="11 mm", clamped="sand-cast aluminium-silicon-copper"),
        lambda b: b.joint("torque-mains", face="24 mm"),
        plan=BOLTED,
    ),
    # M10 8.8 in an alloy of 180 MPa needs more than two diameters (computed; worst sizes).
    "engagement-short": Story(
        "torque-mains",
        "close-bottom",
        _figured("50 N·m", **M10, tapped="sand-cast aluminium-silicon-copper", engagement="10 mm"),
        lambda b: b.joint("torque-mains", engagement="25 mm"),
        plan=BOLTED,
    ),
    "threads-differ": Story(
        "torque-mains",
        "close-bottom",
        lambda b: b.joint("torque-mains", state="oiled"),
        lambda b: b.joint("torque-mains", written_for="oiled"),
        plan=BOLTED,
    ),
    "wrench-unfit": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(_wrench, _figured("12 N·m", wrench="TW")),
        lambda b: b.figure("torque-mains", "60 N·m"),
        blocks=False,
        plan=BOLTED,
    ),
    "adapter-unmeasured": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(_wrench, _figured("60 N·m", wrench="TW", adapter="50 mm")),
        lambda b: b.joint("torque-mains", lever="420 mm"),
        blocks=False,
        plan=BOLTED,
    ),
    "unit-not-on-wrench": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(
            _wrench,
            _figured("60 N·m", wrench="TW"),
            lambda b: b.done("clean-block"),
            lambda b: b.bolt("torque-mains", "1", "44 lbf·ft"),
        ),
        _in_turn(lambda b: b.slacken("torque-mains"), lambda b: b.bolt("torque-mains", "1", "60 N·m")),
        blocks=False,
        places=("1",),
        plan=BOLTED,
    ),
    "bolt-not-new": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(
            lambda b: b.figure("torque-mains", "60 N·m"),
            lambda b: b.done("clean-block"),
            lambda b: b.bolt("torque-mains", "1"),
        ),
        lambda b: b.tightened("main-bolts", 0),
        blocks=False,
        places=("1", "2", "3"),
        plan=ONE_USE,
    ),
    "bolt-worn": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(
            lambda b: b.joint("torque-mains", longest="60.5 mm"),
            lambda b: b.tightened("main-bolts", 2, length="60.1 mm"),
            lambda b: b.tightened("main-bolts", 2, "2", length="60.7 mm"),
        ),
        lambda b: b.tightened("main-bolts", 0, "2"),
        places=("2",),
        plan=ONE_USE,
    ),
    "angle-first": Story(
        "turn-mains",
        "close-bottom",
        lambda b: b.bolt("turn-mains", "2", angle="92°"),
        _in_turn(
            lambda b: b.slacken("turn-mains"),
            lambda b: b.figure("torque-mains", "40 N·m"),
            lambda b: b.done("clean-block", "torque-mains"),
            lambda b: b.bolt("turn-mains", "2", angle="92°"),
        ),
        places=("2",),
        plan=BY_ANGLE,
    ),
    "pass-open": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(
            lambda b: b.figure("torque-mains", "60 N·m"),
            lambda b: b.done("clean-block"),
            lambda b: b.bolt("torque-mains", "1"),
            lambda b: b.wait(hours=30),
        ),
        lambda b: b.done("torque-mains"),
        blocks=False,
        plan=BOLTED,
    ),
    # Both windows and the answer: main studs of a seven-bearing diesel, US Army manual (read).
    "stud-refused": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(
            lambda b: b.figure("torque-mains", "79 to 94 N·m"),
            lambda b: b.done("clean-block"),
            lambda b: b.bolt("torque-mains", "1", "75 N·m", stretch="0.64 mm"),
        ),
        _in_turn(
            lambda b: b.slacken("torque-mains", "a new stud"),
            lambda b: b.bolt("torque-mains", "1", "85 N·m", stretch="0.55 mm"),
        ),
        places=("1",),
        plan=STRETCHED,
    ),
    "finding-open": Story(
        "clean-block",
        "close-bottom",
        lambda b: b.find("a crack by the rear main", "clean-block"),
        lambda b: b.settle("f1", Disposition.REPAIR, "stitched and tested"),
    ),
    "opened-not-closed": Story("x1", "close-bottom", lambda b: b.opened("drain plug"), lambda b: b.done("x1")),
    "hole-open": Story(
        "run-studs-in",
        "close-bottom",
        _in_turn(lambda b: b.work("seal-studs"), lambda b: b.mark("rag-in", State.STARTED)),
        lambda b: b.done("run-studs-in"),
        places=("1", "2", "3"),
        plan=HOLE_MAP,
    ),
    "count-reached": Story(
        "torque-mains",
        "close-bottom",
        lambda b: b.tightened("main-bolts", 2, "2"),
        _in_turn(lambda b: b.tightened("main-bolts", 0, "2"), lambda b: b.work("torque-mains")),
        places=("2",),
        plan=ONE_TIGHTENING,
    ),
    "standing-in": Story(
        "crank-bolt", "crank", lambda b: b.done("try-pan"), lambda b: b.work("crank-bolt"), plan=STAND_IN
    ),
    "open-time-over": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(lambda b: b.done("clean-block"), lambda b: b.wait(hours=1)),
        _in_turn(lambda b: b.mark("clean-block", State.LOOK_AGAIN), lambda b: b.done("clean-block")),
        plan=IN_TIME,
    ),
    "second-look-missing": Story(
        "clean-block",
        "close-bottom",
        lambda b: b.done("clean-block"),
        lambda b: b.second("clean-block"),
        blocks=False,
        plan=WITNESSED,
    ),
    "decision-reopened": Story(
        "clean-block",
        "close-bottom",
        _in_turn(
            lambda b: b.find("pitted", "clean-block"),
            lambda b: b.settle("f1", Disposition.USE_AS_IS, "shallow", reopens=("cycles:1",)),
            lambda b: b.ran(cycles=1),
        ),
        lambda b: b.settle("f1", Disposition.SCRAP, "no longer shallow"),
    ),
    "figures-disagree": Story(
        "end-float",
        "close-bottom",
        _in_turn(
            lambda b: b.offer("end-float", "0.05 to 0.25 mm", "Manual"),
            lambda b: b.offer("end-float", "0.10 to 0.15 mm", "Bulletin"),
        ),
        lambda b: b.choose("end-float", "c2", "later"),
    ),
    "tool-doubtful": Story(
        "end-float",
        "close-bottom",
        lambda b: b.read_with("dial", "end-float", "0.12 mm"),
        lambda b: b.tool("dial", "Dial gauge", checked=b.now),
        places=("engine",),
    ),
    "follow-up-due": Story(
        "end-float",
        "close-bottom",
        _in_turn(lambda b: b.done("clean-block"), lambda b: b.ran(cycles=1)),
        lambda b: b.work("end-float"),
        plan=FOLLOWED_UP,
    ),
    "long-pause": Story(
        "rag-in",
        "close-bottom",
        _in_turn(lambda b: b.mark("rag-in", State.STARTED), lambda b: b.wait(hours=24 * 70)),
        lambda b: b.done("rag-in"),
    ),
    "not-primed": Story(
        "prime",
        "crank",
        _in_turn(lambda b: b.work("fill-oil"), lambda b: b.mark("crank-bolt", State.STARTED)),
        lambda b: (b.read("prime", "350 kPa"), b.done("prime")),
    ),
    # M10x1.25 in a hole of M10x1.5 starts by hand and binds (common practice).
    "hole-differs": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(lambda b: b.joint("torque-mains", thread="M10x1.25", strength="8.8"), _stud_hole("M10x1.5")),
        _stud_hole("M10x1.25 - 6H"),
        places=("2",),
        plan=AT_STUDS,
    ),
    "hole-unsealed": Story(
        "seal-studs",
        "close-bottom",
        _in_turn(
            _stud_two_opens_to_oil, lambda b: b.figure("torque-mains", "61 N·m"), lambda b: b.done("torque-mains")
        ),
        lambda b: b.done("seal-studs"),
        places=("2",),
    ),
    "hold-open": Story(
        "count-inside",
        "close-bottom",
        _in_turn(lambda b: b.work("rag-out"), lambda b: b.mark("crank-bolt", State.STARTED)),
        lambda b: b.done("count-inside"),
    ),
    "stopped": Story(
        "rag-in",
        "close-bottom",
        lambda b: b.stop("rag-in", "no clean rag"),
        lambda b: b.done("rag-in"),
    ),
    "reading-out": Story(
        "end-float",
        "close-bottom",
        lambda b: b.read("end-float", "0.40 mm"),
        lambda b: b.read("end-float", "0.12 mm"),
        places=("engine",),
    ),
    "temporary-in": Story("rag-out", "close-bottom", lambda b: b.work("rag-in"), lambda b: b.work("rag-out")),
    "passed-over": Story(
        "run-studs-in",
        "close-bottom",
        _in_turn(lambda b: b.work("probe-holes"), lambda b: b.done("rag-in")),
        lambda b: b.done("run-studs-in"),
        places=("1", "2", "3"),
    ),
    "gate-line-open": Story(
        "end-float",
        "close-bottom",
        _all_inside_but_the_end_float,
        lambda b: (b.read("end-float", "0.12 mm"), b.done("end-float")),
    ),
    "look-again": Story(
        "clean-block",
        "close-bottom",
        _in_turn(
            lambda b: b.done("clean-block"), lambda b: b.mark("clean-block", State.LOOK_AGAIN, "grit in a drilling")
        ),
        lambda b: b.done("clean-block"),
    ),
    "later-past": Story(
        "rag-in",
        "close-bottom",
        _in_turn(lambda b: b.later("rag-in", before="try-pan"), lambda b: b.mark("try-pan", State.STARTED)),
        lambda b: b.done("rag-in"),
    ),
    "later-possible": Story(
        "torque-mains",
        "close-bottom",
        _in_turn(
            lambda b: b.figure("torque-mains", "61 N·m"),
            lambda b: b.later("torque-mains", before="try-pan", waits_for="clean-block"),
            lambda b: b.done("clean-block"),
        ),
        lambda b: b.done("torque-mains"),
    ),
    "reading-missing": Story(
        "measure-bores",
        "close-bottom",
        lambda b: b.read("measure-bores", "80.01 mm", "1"),
        lambda b: b.read("measure-bores", "80.01 mm", "2"),
        places=("2",),
    ),
    "reading-undecided": Story(
        "end-float",
        "close-bottom",
        _in_turn(lambda b: b.figure("end-float", "0.15 mm"), lambda b: b.read("end-float", "0.15 mm")),
        lambda b: b.figure("end-float", "0.05 to 0.25 mm"),
        places=("engine",),
    ),
    "trial-only": Story("try-pan", "close-bottom", lambda b: b.done("try-pan"), lambda b: b.done("pan-off")),
    "spec-empty": Story(
        "torque-mains",
        "close-bottom",
        lambda b: b.done("clean-block"),
        lambda b: b.figure("torque-mains", "61 N·m"),
    ),
    "source-missing": Story(
        "crank-bolt",
        "crank",
        lambda b: b.mark("crank-bolt", State.STARTED),
        lambda b: b.figure("crank-bolt", "90 N·m", "Manual, 2nd edition, page 12"),
        plan=SMALL.replace('limits = "90 N·m", source = "practice"', 'limits = "90 N·m"'),
    ),
    "put-off": Story(
        "rag-in", "close-bottom", lambda b: b.later("rag-in", before="try-pan"), lambda b: b.done("rag-in")
    ),
    "concession-open": Story(
        "end-float",
        "close-bottom",
        lambda b: b.concede("end-float", "the dial is lent out; the float was felt by hand"),
        lambda b: (
            b.figure("torque-mains", "61 N·m"),
            b.done("clean-block", "torque-mains"),
            b.read("end-float", "0.12 mm"),
            b.done("end-float"),
        ),
        blocks=False,
    ),
    "clock-ahead": Story(
        "clean-block",
        "close-bottom",
        _signed_for_tomorrow,
        lambda b: (b.mark("clean-block", State.TO_DO), b.done("clean-block")),
        blocks=False,
    ),
}


@pytest.fixture(params=sorted(STORIES))
def rule(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def story(rule: str) -> Story:
    return STORIES[rule]


@pytest.fixture
def bench(story: Story) -> Told:
    return Told(parse_plan(story.plan))


def test_the_registry_holds_every_rule_of_the_package_once() -> None:
    modules = {module.name for module in pkgutil.iter_modules(package.__path__)} - FRAME
    ids = [rule.id for rule in RULES]
    assert sorted(ids) == sorted(name.replace("_", "-") for name in modules)
    assert sorted(ids) == sorted(STORIES), "each rule has its story here"


def test_every_rule_has_a_title_and_says_why_it_matters() -> None:
    assert len({title(rule.id) for rule in RULES}) == len(RULES)
    assert all(matters(rule.id).endswith(".") for rule in RULES)


def test_a_fresh_build_has_no_such_end(rule: str, bench: Bench) -> None:
    assert bench.found(rule) == []


def test_it_comes_up_on_its_line_at_its_gate(rule: str, story: Story, bench: Told) -> None:
    story.fires(bench)
    end = bench.end(rule, story.step)
    assert (end.line.id, end.gate, end.blocks) == (story.step, story.gate, story.blocks)
    assert end.places == story.places
    assert say(end.why)
    assert say(end.harm)
    assert say(end.clears)
    assert end.since.tzinfo is not None
    assert (story.step in bench.held_by(story.gate)) or not story.blocks


def test_it_goes_away_by_the_means_it_names(rule: str, story: Story, bench: Told) -> None:
    story.fires(bench)
    story.mends(bench)
    assert story.step not in bench.found(rule)


def test_nothing_else_would_have_said_it(rule: str, story: Story, bench: Told) -> None:
    story.fires(bench)
    others = tuple(one for one in RULES if one.id != rule)
    assert bench.found(rule, others) == []
    assert len(bench.ends(others)) < len(bench.ends())


# --- where a rule draws its line


def test_priming_that_is_still_to_come_is_no_loose_end() -> None:
    bench = Bench()
    bench.work("fill-oil")
    assert bench.found("not-primed") == []


@pytest.mark.parametrize("state", [State.STOPPED, State.NOT_NEEDED, State.LATER])
def test_priming_set_aside_by_a_word_is_never_out_of_sight(state: State) -> None:
    bench = Bench()
    bench.work("fill-oil")
    if state is State.NOT_NEEDED:
        bench.concede("prime")  # a hold takes no Not needed; a concession is the only way round
    else:
        bench.mark("prime", state, why="no drill here", before="crank-bolt" if state is State.LATER else "")
    assert bench.found("not-primed") == ["prime"]


def test_priming_out_of_limits_is_not_primed_though_conceded_and_done() -> None:
    bench = Bench()
    bench.work("fill-oil")
    bench.read("prime", "60 kPa")
    bench.concede("prime", "the gauge reads low")
    bench.done("prime")
    assert bench.found("not-primed") == ["prime"]


def test_a_hole_nobody_probed_counts_as_open() -> None:
    bench = Bench()
    bench.work("measure-bores")
    bench.mark("run-studs-in", State.LATER, "studs on order", before="try-pan")
    bench.concede("probe-holes", "no wire thin enough")
    bench.mark("seal-studs", State.NOT_NEEDED, "they look blind")
    assert bench.end("hole-unsealed").places == ("1", "2", "3")


def test_only_the_holes_not_ticked_are_named() -> None:
    bench = Bench()
    bench.work("measure-bores")
    for place in "123":
        bench.read("probe-holes", "oil", place)
    bench.done("probe-holes")
    bench.tick("seal-studs", "1")
    bench.figure("torque-mains", "61 N·m")
    bench.done("torque-mains")
    assert bench.end("hole-unsealed").places == ("2", "3")


def test_running_a_stud_in_dry_is_seen_at_once() -> None:
    bench = Bench()
    _stud_two_opens_to_oil(bench)
    assert bench.found("hole-unsealed") == []
    bench.concede("seal-studs", "the sealant is not here")
    bench.mark("run-studs-in", State.STARTED)
    assert bench.found("hole-unsealed") == ["seal-studs"]


def test_a_blind_hole_needs_no_sealant() -> None:
    bench = Bench()
    bench.work("run-studs-in")
    assert bench.survey.called_off(bench.line("seal-studs"))
    assert bench.found("hole-unsealed") == []


def test_a_thing_is_in_as_soon_as_it_may_be_in() -> None:
    bench = Bench()
    bench.mark("rag-in", State.STARTED)
    assert bench.found("temporary-in") == ["rag-out"]
    assert "2 × Rag" in say(bench.end("temporary-in").why)


def test_saying_that_taking_it_out_is_not_needed_does_not_take_it_out() -> None:
    bench = Bench()
    bench.work("rag-in")
    bench.mark("rag-out", State.NOT_NEEDED, "I remember taking them out")
    assert bench.found("temporary-in") == ["rag-out"]
    assert bench.held_by("close-bottom").count("rag-out") == 1


def test_put_off_missed_and_possible_are_three_things() -> None:
    bench = Bench()
    bench.part("oil", Holding.ON_ORDER)
    bench.work("fit-pan")
    bench.wait(hours=25)
    bench.later("fill-oil", before="prime", why="the oil is on order", waits_for="Oil")
    assert (bench.found("put-off"), bench.found("later-possible"), bench.found("later-past")) == (["fill-oil"], [], [])
    bench.part("oil", Holding.HERE)
    assert bench.found("later-possible") == ["fill-oil"]
    bench.read("prime", "350 kPa")
    assert bench.found("later-past") == ["fill-oil"]
    assert bench.found("put-off") == ["fill-oil"]
    bench.done("fill-oil")
    assert not {"put-off", "later-past", "later-possible"} & {end.rule for end in bench.ends()}


def test_what_was_read_before_a_disturbance_is_told_apart_from_what_was_never_read() -> None:
    bench = Bench(parse_plan(SMALL.replace('disturbs = ["end-float"]', 'disturbs = ["end-float", "measure-bores"]')))
    bench.work("torque-mains")
    bench.rub_out("measure-bores", "2")
    bench.mark("torque-mains", State.LOOK_AGAIN, "cap 2 was off")
    assert (
        say(bench.end("reading-missing").why) == "Read before it was disturbed: Cylinder 1; No value yet at Cylinder 2"
    )
    bench.read("measure-bores", "80.01 mm", "1")
    assert say(bench.end("reading-missing").why) == "No value yet at Cylinder 2"


def test_a_line_put_off_past_a_gate_does_not_hold_that_gate() -> None:
    bench = Bench()
    bench.work("rag-out")
    bench.mark("rag-in", State.LOOK_AGAIN)
    bench.done("rag-in")
    assert bench.state("rag-out") is State.LOOK_AGAIN, "what went in again has to come out again"
    bench.mark("clean-block", State.LATER, "the paint is on order", before="crank-bolt")
    bench.done("rag-out", "count-inside")
    assert bench.end("put-off").gate == "crank"
    assert "clean-block" not in bench.held_by("close-bottom")


def test_put_off_for_a_reason_only_the_person_knows_is_not_called_possible() -> None:
    bench = Bench()
    bench.later("rag-in", before="try-pan", why="I am tired")
    assert bench.found("later-possible") == []


def test_a_line_that_also_waits_for_something_else_lacks_more_than_its_figure() -> None:
    bench = Bench()
    assert bench.found("spec-empty") == []
    bench.part("pan", Holding.MISSING)
    bench.done("clean-block")
    assert bench.found("spec-empty") == ["torque-mains"]


def test_a_part_fitted_for_good_is_not_only_tried_on() -> None:
    bench = Bench()
    bench.work("count-inside")
    bench.mark("pan-off", State.LOOK_AGAIN)
    assert bench.found("trial-only") == ["try-pan"]
    bench.pass_gate("close-bottom", {"1.09": "it stays on", "1.10": "it stays on"})
    bench.done("fit-pan")
    assert bench.found("trial-only") == []


def test_a_line_before_another_is_passed_over_though_that_one_counts_for_nothing_else() -> None:
    bench = Bench()
    bench.work("first-crank")
    bench.done("adjust-idle")
    assert bench.found("passed-over") == ["read-lash"]


def test_work_that_may_be_done_at_any_time_passes_nothing_over() -> None:
    bench = Bench(parse_plan(SMALL.replace('before = ["adjust-idle"]\n', "")))
    bench.work("first-crank")
    bench.done("adjust-idle")
    assert bench.found("passed-over") == []


def test_five_minutes_of_a_fast_clock_are_let_go() -> None:
    bench = Bench()
    today = bench.now
    bench.mark("clean-block", State.DONE, at=today + timedelta(minutes=4))
    bench.now = today
    assert bench.found("clock-ahead") == []
