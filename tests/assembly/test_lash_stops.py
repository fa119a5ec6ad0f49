"""Which valves from which stop, for the engines of the shipped plans and others; and the cam as it is said."""

import pytest

from app.assembly.plan.places import groups_of
from app.assembly.plan.steps import Arrangement, Layout
from app.assembly.said import actions as a
from app.assembly.standing.lash_stops import cam_said, engine_of, is_lash, lash_stops, margin_at
from app.trade.valves import valves_of
from tests.cases.story import Told, shipped, story
from tests.refused import refused

CARD = {"ivo": "15°", "ivc": "50°", "evo": "50°", "evc": "15°"}


def _say(told: Told, **typed: str) -> None:
    told.act(a.SayCam({**CARD, **typed}, "AB", told.now))


def test_an_inline_four_is_set_from_two_stops_as_the_manuals_print_them() -> None:
    """US Army TM 5-3895-383-24 p. 6-60 (read): No 1 firing I 1,2 E 1,3; one turn later I 3,4 E 2,4."""
    told = story()
    _say(told)
    found = lash_stops(told.build)
    stops = [(stop.theta_deg, {valve for valve, _ in stop.valves}) for stop in found.stops]
    assert stops == [(0.0, {"in1", "in2", "ex1", "ex3"}), (360.0, {"in3", "in4", "ex2", "ex4"})]


def test_a_v8_of_two_stops() -> None:
    """An eight with the order 1-8-4-3-6-5-7-2: every valve once, none on its lobe."""
    told = story("v8-ohv")
    _say(told)
    found = lash_stops(told.build)
    valves = [valve for stop in found.stops for valve, _ in stop.valves]
    assert sorted(valves) == sorted(valves_of(found.engine))
    assert len(found.stops) == 2
    for stop in found.stops:
        assert all(margin_at(found, valve, stop) >= found.margin_deg for valve, _ in stop.valves)


@pytest.mark.parametrize(("plan", "count"), [("four-ohv", 2), ("four-ohc", 2), ("v8-ohv", 2), ("single-air", 1)])
def test_every_shipped_engine_is_set_with_the_fewest_stops(plan: str, count: int) -> None:
    """Two for all but a single (proved by arc length)."""
    told = story(plan)
    found = lash_stops(told.build)
    assert len(found.stops) == count
    assert found.general, "no cam was said, and it is said that a general one is taken"
    valves = {place.id for place in groups_of(shipped(plan))["valves"]}
    assert {valve for stop in found.stops for valve, _ in stop.valves} == valves
    assert all({place.id for place in line.places} == valves for line in told.build.lines if is_lash(line))


def test_an_uneven_twin_takes_its_intervals_from_its_plan() -> None:
    """A 45 degree V-twin on one pin: 315 then 405 (encyclopedia page, read)."""
    twin = Arrangement(Layout.VEE, 2, (1, 2), 2, 1, 2, intervals=(315.0, 405.0))
    assert engine_of(twin).intervals_deg == (315.0, 405.0)


def test_intervals_that_do_not_add_up_are_told_of() -> None:
    twin = Arrangement(Layout.VEE, 2, (1, 2), 2, 1, 2, intervals=(305.0, 405.0))
    with pytest.raises(ValueError, match="sum to 710° and must sum to 720°"):
        engine_of(twin)


def test_the_cams_events_are_kept_as_they_were_written() -> None:
    told = story()
    _say(told, lift="0.050 in", pitch="1.0 mm", ratio="1.5")
    said = cam_said(told.build)
    assert said is not None
    assert (said.ivo_deg, said.evc_deg, said.pitch_mm, said.rocker_ratio) == (15.0, 15.0, 1.0, 1.5)
    assert said.lift_mm == pytest.approx(1.27)
    assert said.typed["lift"] == "0.050 in"
    assert not lash_stops(told.build).general


def test_events_at_a_lift_are_widened_before_they_bound_anything() -> None:
    """Events at 0.050 in do not bound the lift: 25 to 30 degrees more each side (common practice)."""
    told = story()
    _say(told)
    seat = lash_stops(told.build).least_deg
    _say(told, lift="0.050 in")
    assert lash_stops(told.build).least_deg < seat


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"ivo": ""}, "intake opens"),
        ({"ivo": "soon"}, "cannot be read as an angle"),
        ({"ivo": "170°", "evc": "170°"}, "cam's events"),
        ({"margin": "400°"}, "margin is 0 to 120"),
    ],
)
def test_events_that_cannot_be_are_refused_in_a_sentence(typed: dict[str, str], sentence: str) -> None:
    told = story()
    with refused(sentence):
        _say(told, **typed)


def test_what_the_blades_say_is_a_value_in_doubt() -> None:
    """0.011 goes and 0.013 does not: correct lash as the manuals define it (TM 5-3820-233-12/1, read)."""
    told = story(before="lash-cold", lifters="flat-solid")
    told.figure("lash-cold", "0.010 to 0.014 in")
    told.read("lash-cold", "0.011 in goes, 0.013 in does not", "ex1")
    reading = told.build.facts.readings["lash-cold"]["ex1", 1]
    assert reading.magnitude == pytest.approx(0.012 * 25.4)
    assert reading.doubt == pytest.approx(0.001 * 25.4)
    assert [one.place.id for one in told.survey.judged(told.line("lash-cold"))] == ["ex1"]
    with refused("the blade that goes is the thinner one"):
        told.read("lash-cold", "0.30 mm goes, 0.25 mm not", "ex2")
