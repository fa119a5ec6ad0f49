"""What undoes what: the thirty pairs every workshop knows, on each plan that ships, along their chains.

The pairs and what has to be done again are common practice; a few are from army manuals (no single nut of a cap is
slackened alone) or from the tool standard (a wrench out of limits voids what it set since its last good check).
"""

from functools import cache

import pytest

from app.assembly.plan.steps import Trust
from app.assembly.said.deeds import Deed
from app.assembly.said.marks import State
from tests.cases.story import SHIPPED, Told, story

OHV, V8, OHC, SINGLE = "four-ohv", "v8-ohv", "four-ohc", "single-air"
# Some pairs are there under an answer only; with these they all are.
OPTIONS: dict[str, dict[str, str]] = {
    OHV: {"rear_seal": "one-piece"},
    V8: {"lifters": "flat-solid", "rear_seal": "one-piece", "retorque": "asked"},
    OHC: {"retorque": "asked"},
    SINGLE: {},
}

# The pair's number, the plan, what is undone or befalls the engine, and what is thereby known no more.
PAIRS: list[tuple[int, str, str, set[str]]] = [
    # a main cap off, even to look
    (1, OHV, "set-main-caps", {"torque-mains-last", "end-float", "main-clearance", "turn-after-caps"}),
    (1, V8, "set-main-caps", {"torque-mains-last", "end-float", "main-clearance", "turn-after-caps"}),
    (1, OHC, "set-main-caps", {"torque-mains-last", "end-float", "main-clearance", "turn-after-caps"}),
    (1, SINGLE, "seat-main-bearings", {"lay-crank", "torque-case", "end-float"}),
    # a rod cap off
    (3, OHV, "set-rod-caps", {"torque-rod-bolts", "rod-side-clearance", "rod-bolt-tightenings", "rod-bolts-recorded"}),
    (3, V8, "set-rod-caps", {"torque-rod-bolts", "turn-after-rods", "rod-bolts-recorded"}),
    (3, OHC, "push-pistons-in", {"torque-rod-bolts", "rod-side-clearance", "rod-bolts-recorded"}),
    (3, SINGLE, "torque-rod-bolts", {"rod-side-play"}),
    # the crank-nose bolt slackened
    (4, OHV, "torque-crank-bolt", {"end-float", "turn-after-cover"}),
    (4, V8, "torque-crank-bolt", {"end-float", "turn-after-cover"}),
    (4, OHC, "torque-crank-bolt", {"end-float", "seat-nose-pump", "two-turns"}),
    (4, SINGLE, "fit-rotor", {"end-float"}),
    # the front cover off
    (5, OHV, "fit-front-cover", {"fit-front-seal", "seal-pan-corners", "two-turns", "fit-water-pump"}),
    (5, V8, "fit-front-cover", {"fit-front-seal", "seal-pan-corners", "two-turns", "fit-water-pump"}),
    (5, OHC, "fit-front-housing", {"fit-front-seal", "seal-pan-corners", "two-turns"}),
    # the pan off
    (6, OHV, "fit-pan", {"pickup-clearance", "seal-pan-corners", "inside-counted"}),
    (6, V8, "fit-pan", {"pickup-clearance", "seal-pan-corners", "inside-counted"}),
    (6, OHC, "fit-pan", {"pickup-clearance", "seal-pan-corners", "inside-counted"}),
    (6, SINGLE, "close-case", {"seal-seam", "inside-counted", "torque-case"}),
    # pump or pickup off
    (7, OHV, "bolt-pump", {"prime-pressure", "pump-drive-depth", "seat-pickup"}),
    (7, OHV, "seat-pickup", {"prime-pressure", "pickup-clearance"}),
    (7, V8, "bolt-pump", {"prime-pressure", "pump-drive-depth", "seat-pickup"}),
    (7, OHC, "bolt-pump", {"prime-pressure", "seat-pickup"}),
    (7, SINGLE, "bolt-pump", {"prime-pressure", "seat-strainer"}),
    # the head off
    (8, OHV, "lower-head", {"torque-head-last", "set-head-gasket", "lash-reread", "fill-coolant", "oil-at-rockers"}),
    (8, V8, "lower-heads", {"torque-heads-last", "set-head-gaskets", "lash-reread", "coolant-test", "oil-at-rockers"}),
    (8, OHC, "lower-head", {"turn-head-bolts", "set-head-gasket", "lash-reread", "fit-belt", "fill-coolant"}),
    (8, SINGLE, "lower-head", {"torque-head", "set-head-gasket", "lash-reread", "oil-at-rockers"}),
    # the head torqued again
    (9, OHV, "torque-head-last", {"lash-reread", "lash-cold"}),
    (9, OHV, "retorque-head", {"lash-cold"}),
    (9, V8, "torque-heads-last", {"set-lash", "lash-reread"}),
    (9, OHC, "turn-head-bolts", {"lash-reread"}),
    (9, SINGLE, "torque-head", {"lash-reread", "lash-cold"}),
    # head skimmed, deck cut
    (10, OHV, "event:head-skimmed", {"valve-to-piston", "pushrod-length", "torque-manifolds", "lash-reread"}),
    (10, OHV, "event:deck-cut", {"deck-height", "valve-to-piston", "pushrod-length"}),
    (10, V8, "event:head-skimmed", {"valve-to-piston", "pushrod-length", "try-intake", "set-lash"}),
    (10, V8, "event:deck-cut", {"deck-height", "valve-to-piston", "pushrod-length", "try-intake"}),
    (10, OHC, "event:head-skimmed", {"deck-height", "valve-to-piston", "degree-cams", "two-turns"}),
    (10, SINGLE, "event:head-skimmed", {"piston-to-deck", "valve-to-piston", "lash-reread"}),
    # a gasket of another thickness
    (11, OHV, "event:gasket-changed", {"valve-to-piston", "pushrod-length", "set-lash"}),
    (11, V8, "event:gasket-changed", {"valve-to-piston", "pushrod-length", "set-lash"}),
    (11, OHC, "event:gasket-changed", {"valve-to-piston", "deck-height", "degree-cams"}),
    (11, SINGLE, "event:gasket-changed", {"valve-to-piston", "piston-to-deck", "lash-reread"}),
    # line bore or hone
    (
        12,
        OHV,
        "event:line-bored",
        {"main-clearance", "end-float", "centre-rear-seal", "fit-sprockets", "seal-pan-corners"},
    ),
    (12, V8, "event:line-bored", {"main-clearance", "end-float", "centre-rear-seal", "fit-sprockets"}),
    (12, OHC, "event:line-bored", {"main-clearance", "centre-rear-seal", "degree-cams", "seal-pan-corners"}),
    (12, SINGLE, "event:case-machined", {"seat-main-bearings", "try-case-closed", "close-case"}),
    # cam, rocker ratio or springs changed
    (13, OHV, "event:cam-changed", {"valve-to-piston", "coil-bind-room", "set-lash", "lash-reread", "break-in-flat"}),
    (13, V8, "event:cam-changed", {"valve-to-piston", "spring-room", "set-lash", "break-in-flat"}),
    (13, OHC, "event:cam-changed", {"valve-to-piston", "coil-bind-room", "lash-reread", "warm-up"}),
    (13, SINGLE, "event:cam-changed", {"valve-to-piston", "coil-bind-room", "lash-reread", "warm-up-cycles"}),
    # cam timing moved
    (14, OHV, "fit-sprockets", {"valve-to-piston", "seat-distributor", "static-timing", "lash-reread", "two-turns"}),
    (14, V8, "fit-sprockets", {"valve-to-piston", "seat-distributor", "static-timing", "set-lash", "two-turns"}),
    (14, OHC, "event:timing-moved", {"valve-to-piston", "degree-cams", "static-timing"}),
    (14, SINGLE, "event:timing-moved", {"valve-to-piston", "two-turns", "static-timing"}),
    # rocker shaft off
    (15, OHV, "fit-rockers", {"set-lash", "lash-reread", "oil-at-rockers"}),
    (15, V8, "fit-rockers", {"set-lash", "lash-reread", "oil-at-rockers"}),
    (15, SINGLE, "fit-rockers", {"lash-reread", "oil-at-rockers"}),
    # distributor out
    (16, OHV, "seat-distributor", {"static-timing"}),
    (16, V8, "seat-distributor", {"static-timing"}),
    # intake off
    (17, OHV, "fit-intake", {"masks-out", "coolant-test", "torque-manifolds", "intake-seen-through"}),
    (17, V8, "fit-intake", {"masks-out", "coolant-test", "seal-valley-ends", "torque-intake", "seal-intake-bolts"}),
    (17, OHC, "fit-manifolds", {"masks-out", "fill-coolant", "intake-seen-through"}),
    (17, SINGLE, "fit-intake", {"intake-seen-through"}),
    # flywheel off
    (18, OHV, "fit-flywheel", {"seal-flywheel-bolts", "look-at-rear", "turn-after-bellhousing"}),
    (18, V8, "fit-flywheel", {"seal-flywheel-bolts", "turn-after-bellhousing"}),
    (18, OHC, "fit-flywheel", {"seal-flywheel-bolts", "torque-crank-bolt", "turn-after-bellhousing"}),
    # rear carrier moved
    (19, OHV, "centre-rear-seal", {"seal-pan-corners", "sealants-cured"}),
    (19, V8, "centre-rear-seal", {"seal-pan-corners", "sealants-cured"}),
    (19, OHC, "centre-rear-seal", {"seal-pan-corners", "sealants-cured"}),
    # filter or cooler line off
    (20, OHV, "flush-oil-lines", {"prime-pressure", "level-in-car"}),
    (20, OHV, "fill-filter", {"prime-pressure", "level-before-prime"}),
    (20, V8, "flush-oil-lines", {"prime-pressure", "level-in-car"}),
    (20, OHC, "fill-filter", {"prime-pressure", "level-in-car"}),
    (20, SINGLE, "flush-oil-lines", {"prime-pressure"}),
    # damper pulled
    (21, OHV, "press-damper", {"fit-front-seal", "torque-crank-bolt", "prove-top-centre"}),
    (21, V8, "press-damper", {"fit-front-seal", "torque-crank-bolt", "prove-top-centre"}),
    (21, OHC, "press-damper", {"fit-front-seal", "torque-crank-bolt", "prove-top-centre"}),
    # a locked bolt turned at all
    (22, OHV, "torque-sprocket-bolts", {"lock-sprocket-bolts"}),
    (22, V8, "lock-sprocket-bolts", {"torque-sprocket-bolts"}),
    (22, OHC, "fit-sprockets", {"lock-sprockets"}),
    # a sealed joint opened after its skin
    (23, OHV, "fit-pan", {"seal-pan-corners", "sealants-cured"}),
    (23, V8, "fit-intake", {"seal-valley-ends", "sealants-cured"}),
    (23, OHC, "fit-pan", {"seal-pan-corners", "sealants-cured"}),
    (23, SINGLE, "close-case", {"seal-seam", "sealants-cured"}),
    # a piston or pin changed
    (24, OHV, "event:part-swapped", {"ring-gaps", "deck-height", "rod-clearance", "valve-to-piston"}),
    (24, V8, "event:part-swapped", {"ring-gaps", "deck-height", "rod-clearance", "valve-to-piston"}),
    (24, OHC, "event:part-swapped", {"ring-gaps", "deck-height", "rod-clearance", "valve-to-piston"}),
    (24, SINGLE, "event:part-swapped", {"ring-gaps", "piston-to-deck", "valve-to-piston"}),
    # a valve or seat cut
    (25, OHV, "event:seat-cut", {"lap-valves", "installed-height", "lash-reread"}),
    (25, V8, "event:seat-cut", {"installed-height", "spring-room", "set-lash"}),
    (25, OHC, "lap-valves", {"installed-height", "bench-lash", "lash-reread"}),
    (25, SINGLE, "event:valve-cut", {"coil-bind-room", "lash-reread"}),
    # paint or blasting near an opened port
    (26, OHV, "paint-block", {"count-paint-masks", "masks-out", "wipe-bores-white"}),
    (26, V8, "event:painted-near-port", {"masks-out", "intake-seen-through"}),
    (26, OHC, "event:painted-near-ports", {"masks-out", "intake-seen-through"}),
    (26, SINGLE, "event:painted-near-ports", {"cloth-out", "intake-seen-through"}),
    # tipped, or months standing
    (27, OHV, "event:engine-tipped", {"level-in-car", "prime-pressure"}),
    (27, V8, "event:engine-tipped", {"level-in-car", "prime-pressure"}),
    (27, OHC, "event:engine-tipped", {"level-in-car", "prime-pressure"}),
    (27, SINGLE, "event:engine-tipped", {"fill-oil", "prime-pressure"}),
    (27, OHV, "event:stood-months", {"prime-pressure", "level-in-car", "test-fuel-joints"}),
    (27, V8, "event:stood-months", {"prime-pressure", "level-in-car", "test-fuel-joints"}),
    (27, OHC, "event:stood-months", {"prime-pressure", "level-in-car"}),
    (27, SINGLE, "event:stood-months", {"prime-pressure", "two-turns"}),
    # sealed again when finished
    (30, OHV, "event:drive-resealed", {"inside-counted", "change-oil-first"}),
    (30, V8, "event:drive-resealed", {"inside-counted", "change-oil-first"}),
    (30, OHC, "event:drive-resealed", {"inside-counted", "change-oil-first"}),
    (30, SINGLE, "event:seam-resealed", {"inside-counted", "change-oil-first"}),
]


@cache
def _whole(plan: str) -> tuple[Deed, ...]:
    """Every deed of a build worked to its end, with open holes so that the sealing lines are there."""
    told = story(plan, **OPTIONS[plan])
    told.work_before(told.build.lines[-1].id, below="oil")
    return tuple(told.deeds)


def _finished(plan: str) -> Told:
    told = story(plan, **OPTIONS[plan])
    for deed in _whole(plan):
        told.build = told.build.after(deed)
        told.now = max(told.now, deed.at)
    told.wait(hours=1)
    return told


def _id(value: object) -> str:
    """Sorted, so that each process that shares the tests calls them alike."""
    return (", ".join(sorted(value)) if isinstance(value, set) else str(value))[:40]


@pytest.mark.parametrize(("number", "plan", "cause", "voided"), PAIRS, ids=_id)
def test_undoing_one_makes_the_other_look_again(number: int, plan: str, cause: str, voided: set[str]) -> None:
    told = _finished(plan)
    stood = told.build.facts.all()
    assert told.found("look-again") == []
    deed = told.happen(cause.removeprefix("event:")) if cause.startswith("event:") else told.open_up("opened", cause)
    assert voided - set(told.found("look-again")) == set()
    told.undo(deed)
    assert told.build.facts.all() == stood


@pytest.mark.parametrize(
    ("plan", "line", "after"),
    [
        (OHV, "torque-mains-last", {"turn-after-caps", "end-float"}),
        (V8, "torque-mains-last", {"turn-after-caps", "end-float"}),
        (OHC, "torque-mains-last", {"turn-after-caps", "end-float"}),
        (SINGLE, "torque-case", {"turn-after-case", "end-float"}),
    ],
)
def test_one_nut_slackened_opens_the_whole_line_of_them(plan: str, line: str, after: set[str]) -> None:
    """Pair 2: no single nut of a cap; every place of the line is read anew."""
    told = _finished(plan)
    place = told.line(line).places[3].id
    told.open_up("one nut slackened to turn its washer", line, place)
    assert {line} | after <= set(told.found("look-again"))
    assert len(told.survey.unread(told.line(line))) == len(told.line(line).places)


@pytest.mark.parametrize("plan", SHIPPED)
def test_a_wrench_found_out_of_limits_voids_all_it_set_since_its_good_check(plan: str) -> None:
    """Pair 28, on each plan: the first gate line that is read."""
    told = story(plan, **OPTIONS[plan])
    line = next(line for line in told.build.lines if line.step.gate and line.reads and line.step.spec)
    told.work_before(line.id, below="oil")
    told.tool("W1", "Wrench or gauge", checked=told.now)
    told.read_all_but(line.id, *(place.id for place in line.places))
    for place in line.places:
        told.read_with("W1", line.id, told.good(line.id), place.id)
    told.mark(line.id, State.DONE)
    before = told.build.facts.all()
    deed = told.tool_wrong("W1")
    assert line.id in told.found("look-again")
    assert len(told.survey.unread(told.line(line.id))) == len(line.places)
    told.undo(deed)
    assert told.build.facts.all() == before


@pytest.mark.parametrize(
    ("plan", "line"), [(OHV, "end-float"), (V8, "end-float"), (OHC, "end-float"), (SINGLE, "end-float")]
)
def test_a_later_source_judges_every_reading_again(plan: str, line: str) -> None:
    """Pair 29: a verdict is worth no more than the edition it was judged by."""
    told = _finished(plan)
    reading = told.build.facts.readings[line]["engine", 1]
    told.offer(line, "0.05 to 0.12 mm", "Bulletin", Trust.BULLETIN, edition="later")
    assert line in told.found("figures-disagree")
    told.wait(hours=1)
    told.choose(line, "c1", "it replaces the manual's")
    assert line in told.found("look-again")
    assert line in told.found("reading-out")
    assert told.build.facts.readings[line]["engine", 1] == reading, "the reading itself stays as it was written"


def test_every_pair_is_played_on_some_plan() -> None:
    played = {number for number, *_ in PAIRS} | {2, 28, 29}
    assert played == set(range(1, 31))
    assert {plan for _, plan, *_ in PAIRS} <= set(SHIPPED)
