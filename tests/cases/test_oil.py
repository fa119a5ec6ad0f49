"""Oil system, priming, first pressure."""

import pytest

from app.assembly.said.findings import Disposition
from app.assembly.said.marks import State
from app.assembly.said.refusal import NotReady
from tests.cases.story import Told, story
from tests.refused import refused

PLUGS = [("four-ohv", "rear behind cam plug"), ("v8-ohv", "rear behind cam plug"), ("four-ohc", "head rear")]


@pytest.mark.parametrize(("plan", "plug"), PLUGS)
def test_a_plug_left_out_behind_another_part_is_named_until_it_is_in(plan: str, plug: str) -> None:
    """A-1: the one gallery plug that sits behind another part is forgotten, because the hole in front looks closed."""
    told = story(plan, before="fit-gallery-plugs")
    told.tick_all_but("fit-gallery-plugs", plug)
    with refused("still has 1 of"):
        told.sign("fit-gallery-plugs")
    with refused("Fit every gallery plug"):
        told.sign("plugs-counted")
    hiding = told.build.groups["oil-plugs"].hidden_by
    told.concede("fit-gallery-plugs", "that one is made tomorrow")
    told.concede("plugs-counted", "one is still to come")
    told.work_with(hiding, skip=("fit-gallery-plugs", "plugs-counted"))
    told.holds("hole-open", "fit-gallery-plugs", "close-bottom")
    assert told.end("hole-open").places == (plug,)
    told.mark("fit-gallery-plugs", State.NOT_NEEDED, "the gasket covers it")
    told.holds("hole-open", "fit-gallery-plugs", "close-bottom")
    told.mark("fit-gallery-plugs", State.TO_DO)
    told.tick("fit-gallery-plugs", plug)
    told.sign("fit-gallery-plugs")
    assert told.found("hole-open") == []


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_low_pressure_is_found_on_the_stand_and_not_in_the_car(plan: str) -> None:
    """A-3: a plug missing inside shows as hardly any pressure; nobody had driven the pump before the engine went in."""
    told = story(plan, before="prime-pressure")
    told.figure("prime-pressure", "at least 300 kPa")
    told.read("prime-pressure", "70 kPa")
    told.holds("reading-out", "prime-pressure", "crank")
    with refused("out of limits"):
        told.sign("prime-pressure")
    with refused("waits for"):
        told.sign("lower-into-car")
    told.read("prime-pressure", "290 kPa")
    told.holds("reading-out", "prime-pressure", "crank")
    told.read("prime-pressure", "330 kPa")
    told.sign("prime-pressure")
    assert "prime-pressure" not in told.held_by("crank")


def test_a_stuck_plug_stays_on_the_list_with_its_dirt() -> None:
    """A-5: a plug that will not come out is left in for the wash, and what sits behind it goes through new bearings."""
    told = story(before="take-plugs-out")
    told.read_all_but("take-plugs-out", "main rear", text="came out")
    with refused("write the value at Plug main rear"):
        told.sign("take-plugs-out")
    with refused("needs a why"):
        told.mark("take-plugs-out", State.NOT_NEEDED)
    told.work_before("fit-gallery-plugs", skip=["take-plugs-out"])
    told.holds("passed-over", "take-plugs-out", "close-bottom")
    told.holds("reading-missing", "take-plugs-out", "close-bottom")
    assert told.end("reading-missing").places == ("main rear",)
    with refused("Take every gallery plug out"):
        told.sign("fit-gallery-plugs")
    told.read("take-plugs-out", "drilled out", "main rear")
    told.sign("take-plugs-out")
    assert not {"passed-over", "reading-missing"} & {end.rule for end in told.ends()}


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_nothing_is_cranked_or_started_on_a_pump_nobody_drove(plan: str) -> None:
    """A-7: the shop had not primed it; the engine ran on its fast idle without oil until somebody looked."""
    told = story(plan, before="prime-pressure")
    told.mark(_begun_ahead(told), State.STARTED)
    told.holds("not-primed", "prime-pressure", "crank")
    with refused("held by", NotReady):
        told.pass_gate("crank")
    for turning in ("starter-pressure", "start-engine"):
        with refused("cannot be begun yet"):
            told.mark(turning, State.STARTED)
    told.read_all_but("prime-pressure")
    told.holds("not-primed", "prime-pressure", "crank")
    told.sign("prime-pressure")
    assert told.found("not-primed") == []


def _begun_ahead(told: Told) -> str:
    """The first line behind the priming that nothing keeps from being begun."""
    behind = told.build.lines[told.line("prime-pressure").position + 1 :]
    return next(line.id for line in behind if not told.survey.stops_start(line))


def test_the_first_start_is_signed_on_a_pressure_or_not_at_all() -> None:
    """A-7: seconds at fast idle without pressure; the line wants the number, and a bad one stops it."""
    told = story(before="start-engine")
    told.pass_gate("start")
    told.figure("start-engine", "at least 200 kPa")
    with refused("cannot be Done without its reading"):
        told.sign("start-engine")
    told.read("start-engine", "0 kPa")
    with refused("out of limits"):
        told.sign("start-engine")
    told.stop("start-engine", "no pressure after ten seconds, stopped it")
    told.holds("stopped", "start-engine", "drive")
    with refused("waits for"):
        told.sign("hot-oil-pressure")
    told.read("start-engine", "250 kPa")
    told.sign("start-engine")
    assert told.found("stopped") == []


def test_another_way_of_priming_comes_into_the_plan_and_the_engine_stays_out_till_it_worked() -> None:
    """A-9: the way the book says never built pressure; a month went by with the engine in the car and doubts."""
    told = story(before="prime-pressure")
    told.stop("prime-pressure", "ten minutes on the drill, nothing")
    told.holds("stopped", "prime-pressure", "crank")
    with refused("waits for"):
        told.sign("lower-into-car")
    told.option("pump-drive", "crank-nose")
    assert "join-pressure-pot" in told.build.by_id
    assert "set-priming-tool" not in told.build.by_id
    told.holds("stopped", "prime-pressure", "crank")
    assert "Still in: 1 × Priming tool, pump drive (t1)" in told.said("temporary-in")
    told.take_out("t1")
    with refused("Join the pressure pot"):
        told.sign("prime-pressure")
    told.done("join-pressure-pot")
    told.read_all_but("prime-pressure")
    told.sign("prime-pressure")
    assert "prime-pressure" not in [end.line.id for end in told.ends() if end.blocks]


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_running_sweetly_does_not_stand_for_a_prime_that_failed(plan: str) -> None:
    """A-11: it ran well on the stand, and there was no pressure at twenty seconds."""
    told = story(plan, before="prime-pressure")
    told.figure("prime-pressure", "at least 300 kPa")
    told.read("prime-pressure", "20 kPa")
    told.concede("prime-pressure", "it will come once it runs")
    told.work_before("start-engine", skip=["prime-pressure"])
    told.work_line(told.line("start-engine"))
    assert told.end("not-primed").gate == "drive", "taken on in writing, and in sight until it is measured"
    told.read("prime-pressure", "340 kPa")
    assert told.found("not-primed") == ["prime-pressure"]
    told.sign("prime-pressure")
    assert told.found("not-primed") == []


def test_a_trial_that_binds_is_written_up_and_the_real_thing_is_still_to_do() -> None:
    """A-13: a new pump was drilled off its angle and bound; it came out at a trial with a borrowed one."""
    told = story(before="try-pump-drive")
    key = told.find("binds when its bolts are tight", "try-pump-drive", measured="no turn at 10 N·m")
    told.holds("finding-open", "try-pump-drive", "close-bottom")
    told.done("try-pump-drive")
    told.holds("finding-open", "try-pump-drive", "close-bottom")
    told.settle(
        key, Disposition.SCRAP, "back to the supplier; another housing turns freely", reopens=("line:try-pump-drive",)
    )
    assert told.found("finding-open") == []
    assert told.state("bolt-pump") is State.TO_DO, "a trial is no final fit"
    assert "bolt-pump" in told.held_by("close-bottom")


def test_the_drive_shaft_and_its_clip_cannot_be_forgotten_under_the_pan() -> None:
    """A-15: the clip was left off or upside down; some engines went together with no shaft at all."""
    told = story(before="fit-drive-retainer")
    with refused("Fit the pump drive shaft and its retainer"):
        told.sign("bolt-pump")
    told.concede("fit-drive-retainer", "the clip is on order")
    told.work_before("seal-pan-corners", skip=["fit-drive-retainer"])
    assert told.end("concession-open").gate == "close-bottom"
    told.done("fit-drive-retainer")
    assert told.found("concession-open") == []


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_one_pump_bolt_without_its_value_keeps_the_pan_off(plan: str) -> None:
    """A-17: the pump's screws backed out and a big end went; nobody could say which had been locked."""
    told = story(plan, before="bolt-pump")
    told.read_all_but("bolt-pump", "2")
    assert told.end("reading-missing").places == ("2",)
    with refused("write the value at Bolt 2"):
        told.sign("bolt-pump")
    with refused("waits for"):
        told.sign("seat-pickup")
    assert "bolt-pump" in told.held_by("close-bottom")
    told.read("bolt-pump", told.good("bolt-pump"), "2")
    told.sign("bolt-pump")
    assert told.found("reading-missing") == []


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv"])
def test_a_cam_bearing_hole_nobody_proved_stops_the_cam(plan: str) -> None:
    """A-19: after new cam bearings the rockers ran dry; the holes did not all meet, found after a full strip."""
    told = story(plan, before="cam-bearing-holes")
    told.tick_all_but("cam-bearing-holes", "2")
    with refused("still has 1 of"):
        told.sign("cam-bearing-holes")
    with refused("Prove each cam bearing"):
        told.sign("slide-cam-in")
    assert "cam-bearing-holes" in told.held_by("close-bottom")
    told.tick("cam-bearing-holes", "2")
    told.sign("cam-bearing-holes")
    assert "cam-bearing-holes" not in told.held_by("close-bottom")


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
def test_sealant_after_the_engine_was_finished_sends_one_to_the_strainer_again(plan: str) -> None:
    """A-21: too much sealant at the sump plugged the strainer; a joint sealed again later leaves crumbs."""
    told = story(plan, before="drive-first-miles")
    told.happen("drive-resealed")
    told.holds("look-again", "change-oil-first", "drive")
    with refused("waits for"):
        told.sign("drive-first-miles")
    told.mend("change-oil-first")
    told.holds("look-again", "change-oil-first", "drive")
    told.mend()
    assert told.found("look-again") == []


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv", "four-ohc"])
@pytest.mark.parametrize("debris", ["sealant", "flakes or chips"])
def test_what_the_first_oil_brings_out_is_judged_before_it_is_driven(plan: str, debris: str) -> None:
    """A-23: plug epoxy, silicone and the maker's own chips sat in the pickup."""
    told = story(plan, before="change-oil-first")
    told.read("change-oil-first", debris)
    told.holds("reading-out", "change-oil-first", "drive")
    with refused("out of limits"):
        told.sign("change-oil-first")
    told.read("change-oil-first", "paste and fluff")
    told.sign("change-oil-first")
    assert told.found("reading-out") == []


@pytest.mark.parametrize("plan", ["four-ohv", "v8-ohv"])
def test_one_blocked_rocker_feed_is_seen_before_the_cover_goes_on(plan: str) -> None:
    """A-25: had the rocker posts not been taken to single parts, nobody would have seen the blocked feeds."""
    told = story(plan, before="oil-at-rockers")
    told.tick_all_but("oil-at-rockers", "ex3")
    with refused("still has 1 of"):
        told.sign("oil-at-rockers")
    cover = "fit-rocker-cover" if plan == "four-ohv" else "fit-valve-covers"
    with refused("See oil at each rocker"):
        told.sign(cover)
    told.find("no oil at exhaust 3", "oil-at-rockers", "ex3", symptom=True)
    told.holds("finding-open", "oil-at-rockers", "crank")
    told.settle("f1", Disposition.REWORK, "post stripped, feed cleared, oil seen")
    told.tick("oil-at-rockers", "ex3")
    told.sign("oil-at-rockers")
    assert "oil-at-rockers" not in told.held_by("crank")
