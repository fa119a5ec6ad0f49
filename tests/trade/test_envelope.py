"""The sense of size: what has to be asked about, and that nothing of a sound build is."""

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app import RESOURCES
from app.assembly.plan.figures import read_figure
from app.assembly.plan.steps import Step
from app.exchange.plan_file import read_plan
from app.trade.envelope import (
    Outside,
    Side,
    Slip,
    bounds,
    kind_of_line,
    outside,
    outside_limits,
    torque_scale_nm,
)
from app.trade.notation import read_quantity
from app.trade.quantity import Kind, Limits, TorqueTurn
from app.trade.shipped_tables import shipped_envelopes, shipped_tables
from app.trade.tables import Envelope, Per, find_strength
from app.trade.threads import read_thread

TABLES = shipped_tables()
QUANTITIES = {kind.value for kind in Kind}
PLANS = [read_plan(path) for path in sorted((RESOURCES / "plans").glob("*.toml"))]
SAMPLE = tomllib.loads((Path(__file__).parents[2] / "demo_data" / "sample.toml").read_text(encoding="utf-8"))


def asked(id_: str, text: str, of: float | None = None) -> Outside | None:
    row = shipped_envelopes()[id_]
    quantity = read_quantity(text, row.kind)
    return outside(row, quantity.magnitude, of=of, unit=quantity.unit)


# --- What has to be asked about


@pytest.mark.parametrize(
    ("id_", "text", "side", "guessed", "size"),
    [
        ("crank-end-float", "4 mm", Side.TOO_LARGE, {Slip.TENFOLD, Slip.UNIT}, 0.4),
        ("crank-end-float", "10 mm", Side.TOO_LARGE, {Slip.UNIT, Slip.HUNDREDFOLD}, 0.254),
        ("head-bolt", "6000 N·m", Side.TOO_LARGE, {Slip.HUNDREDFOLD}, 60),
        ("head-bolt", "0.9 N·m", Side.TOO_SMALL, {Slip.TENTH, Slip.UNIT, Slip.HUNDREDTH}, 9),
        ("oil-fill", "400 L", Side.TOO_LARGE, {Slip.HUNDREDFOLD}, 4000),
        ("oil-hot", "3 kPa", Side.TOO_SMALL, {Slip.UNIT, Slip.HUNDREDTH}, 300),
        # our own
        ("ring-gap", "14 mm", Side.TOO_LARGE, {Slip.UNIT}, 0.3556),
        ("compression", "12 kPa", Side.TOO_SMALL, {Slip.UNIT, Slip.HUNDREDTH}, 1200),
        ("compression", "175 kPa", Side.TOO_SMALL, {Slip.UNIT}, 1206.6),
        ("valve-to-piston", "0.08 mm", Side.TOO_SMALL, {Slip.UNIT}, 2.032),
        ("lash", "0.2 in", Side.TOO_LARGE, {Slip.TENFOLD, Slip.UNIT, Slip.HUNDREDFOLD}, 0.508),
        ("bore-diameter", "8.6 mm", Side.TOO_SMALL, {Slip.TENTH}, 86),
        ("journal-diameter", "2 mm", Side.TOO_SMALL, {Slip.TENTH, Slip.UNIT}, 20),
        ("plug-gap", "0.035 mm", Side.TOO_SMALL, {Slip.TENTH, Slip.UNIT}, 0.35),
        ("coolant-test", "1 kPa", Side.TOO_SMALL, {Slip.UNIT, Slip.HUNDREDTH}, 100),
        ("shape", "77 mm", Side.TOO_LARGE, {Slip.UNIT}, 0.077),
        ("oil-fill", "4.5 mL", Side.TOO_SMALL, {Slip.UNIT}, 4500),
    ],
)
def test_a_slip_is_asked_about(id_: str, text: str, side: Side, guessed: set[Slip], size: float) -> None:
    found = asked(id_, text)
    assert found is not None
    assert found.side is side
    assert {one.slip for one in found.meant} == guessed
    assert found.meant[0].size == pytest.approx(size, rel=1e-3)


@pytest.mark.parametrize(
    ("id_", "text"), [("leak-down", "400 %"), ("ignition-timing", "100 deg"), ("deck-height", "40 mm")]
)
def test_what_no_usual_slip_need_explain_is_asked_about_too(id_: str, text: str) -> None:
    assert asked(id_, text) is not None


def test_inch_pounds_taken_for_foot_pounds_show_where_the_bolt_is_known() -> None:
    thread = read_thread("M12", TABLES)
    scale = torque_scale_nm(thread, find_strength(TABLES, "10.9", 12))
    found = asked("main-bolt", "65 lbf·in", scale)
    assert found is not None
    assert "lbf·ft" in {one.unit for one in found.meant}
    assert asked("main-bolt", "65 lbf·ft", scale) is None


def test_the_ratio_is_how_many_times_beyond() -> None:
    found = asked("crank-end-float", "12 mm")
    assert found is not None
    assert found.ratio == pytest.approx(10)
    below = asked("head-bolt", "0.4 N·m")
    assert below is not None
    assert below.ratio == pytest.approx(10)
    nothing = asked("crank-end-float", "0 mm")
    assert nothing is not None
    assert nothing.ratio is None


def test_a_clearance_goes_by_its_journal() -> None:
    # 0.0005 to 0.0015 of the diameter is typical (read, engine builders' pages: 0.001 in per inch)
    assert asked("bearing-clearance", "0.05 mm", 50) is None
    for share in (0.0005, 0.001, 0.0015):
        assert outside(shipped_envelopes()["bearing-clearance"], 60 * share, of=60) is None
    tight = asked("bearing-clearance", "0.008 mm", 80)
    assert tight is not None
    assert tight.side is Side.TOO_SMALL
    assert asked("bearing-clearance", "0.008 mm") is None


def test_a_share_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 0, not 0"):
        bounds(shipped_envelopes()["ring-gap"], 0)


# ISO 898-1 proof load of M10 10.9 is 48.1 kN (read): 75 % of it at K = 0.2 is 72 N·m
def test_a_torque_goes_by_its_bolt() -> None:
    scale = torque_scale_nm(read_thread("M10", TABLES), find_strength(TABLES, "10.9", 10))
    row = shipped_envelopes()["head-bolt"]
    assert scale == pytest.approx(481, rel=0.006)
    assert outside(row, 72, of=scale) is None
    low, high = bounds(row, scale)
    assert low < 0.15 * 0.2 * scale < 0.2 * scale < high
    assert outside(row, 7.2 * 0.75, of=scale) is not None
    assert outside(row, 200, of=scale) is not None


# --- Figures


def figure(text: str, kind: Kind) -> Limits:
    return read_figure(text, kind, "").own


@pytest.mark.parametrize("text", ["4 to 10 mm", "at most 5 mm", "at most 0.001 mm", "0.8 to 2.5 mm"])
def test_a_figure_out_of_size_is_asked_about(text: str) -> None:
    assert outside_limits(shipped_envelopes()["crank-end-float"], figure(text, Kind.LENGTH)) is not None


@pytest.mark.parametrize("text", ["0.08 to 0.25 mm", "at most 0.3 mm", "at least 0.05 mm", "0 to 0.2 mm", "0.15 mm"])
def test_a_sound_figure_is_not(text: str) -> None:
    assert outside_limits(shipped_envelopes()["crank-end-float"], figure(text, Kind.LENGTH)) is None


# --- The table itself


@pytest.mark.parametrize("row", TABLES.envelopes, ids=lambda row: row.id)
def test_what_is_typical_lies_within(row: Envelope) -> None:
    assert row.low <= row.typical_low < row.typical_high < row.high
    assert (row.per is Per.ITSELF) == (row.per_high == 0)
    assert 0 <= row.per_low <= row.per_high


def test_no_envelope_stands_twice() -> None:
    assert len({row.id for row in TABLES.envelopes}) == len(TABLES.envelopes)


@pytest.mark.parametrize("row", TABLES.envelopes, ids=lambda row: row.id)
@given(share=st.floats(0, 1))
def test_nothing_within_is_asked_about(row: Envelope, share: float) -> None:
    assert outside(row, row.low + share * (row.high - row.low)) is None


@given(st.sampled_from(TABLES.envelopes), st.floats(-1e6, 1e6))
def test_a_guess_always_comes_within(row: Envelope, size: float) -> None:
    found = outside(row, size)
    for one in found.meant if found else ():
        assert outside(row, one.size) is None


# --- Which line has which


def lines() -> Iterator[tuple[str, Step]]:
    for plan in PLANS:
        for step in plan.steps():
            if step.spec is not None and step.spec.kind.value in QUANTITIES:
                yield plan.id, step


def envelope_of(step: Step, part: str = "") -> Envelope | None:
    assert step.spec is not None
    id_ = kind_of_line(Kind(step.spec.kind.value), step.id, step.do, part)
    return shipped_envelopes()[id_] if id_ else None


@pytest.mark.parametrize(("plan", "step"), list(lines()), ids=lambda one: one if isinstance(one, str) else one.id)
def test_every_measured_line_of_the_plans_has_an_envelope_of_its_quantity(plan: str, step: Step) -> None:
    assert step.spec is not None
    found = envelope_of(step)
    if step.spec.kind.value == Kind.NUMBER.value:
        assert found is None, plan
    else:
        assert found is not None, plan
        assert found.kind.value == step.spec.kind.value


@pytest.mark.parametrize(
    ("kind", "id_", "text", "part", "envelope"),
    [
        (Kind.LENGTH, "end-float", "Write crank end float, dial on the nose", "", "crank-end-float"),
        (Kind.LENGTH, "cam-end-float", "Fit the thrust plate; write cam end float", "", "cam-end-float"),
        (Kind.LENGTH, "measure-bores", "Measure each bore", "taper", "shape"),
        (Kind.LENGTH, "measure-bores", "Measure each bore", "top along", "bore-diameter"),
        (Kind.LENGTH, "main-clearance", "Measure main bearing clearance", "bore", "bearing-bore"),
        (Kind.LENGTH, "main-clearance", "Measure main bearing clearance", "journal", "journal-diameter"),
        (Kind.LENGTH, "piston-clearance", "Measure piston clearance", "bore", "bore-diameter"),
        (Kind.LENGTH, "piston-clearance", "Measure piston clearance", "", "piston-to-wall"),
        (Kind.LENGTH, "lash", "Read lash", "spread", None),
        (Kind.LENGTH, "plug-gaps", "Set each spark plug gap", "", "plug-gap"),
        (Kind.TORQUE, "torque-head-last", "Torque head nuts, last pass", "", "head-bolt"),
        (Kind.TORQUE, "fit-rocker-cover", "Fit the rocker cover for good", "", "cover-bolt"),
        (Kind.TORQUE, "fit-starter", "Fit the starter", "", "bolt-torque"),
        (Kind.PRESSURE, "hot-oil-pressure", "Write hot oil pressure at idle", "", "oil-hot"),
        (Kind.MASS, "weigh", "Weigh each piston", "", None),
    ],
)
def test_a_line_is_known_by_its_words(kind: Kind, id_: str, text: str, part: str, envelope: str | None) -> None:
    assert kind_of_line(kind, id_, text, part) == envelope


# --- Nothing of a sound build is asked about

STEPS = {step.id: step for step in next(plan for plan in PLANS if plan.id == "four-ohv").steps()}


def test_no_figure_of_the_shipped_plans_is_asked_about() -> None:
    figures = [(step, step.spec.limits) for _, step in lines() if step.spec is not None and step.spec.limits]
    assert figures
    for step, text in figures:
        check_figure(step, text)


def check_figure(step: Step, text: str) -> None:
    assert step.spec is not None
    bounds = read_figure(text, Kind(step.spec.kind.value), step.spec.unit)
    own, parts = bounds.own, bounds.parts
    for part, limits in {"": own, **parts}.items():
        row = envelope_of(step, part)
        found = limits.torque if isinstance(limits, TorqueTurn) else limits
        assert row is None or outside_limits(row, found) is None, (step.id, part, text)


@pytest.mark.parametrize("id_", [*SAMPLE["figures"], *SAMPLE["offered"]])
def test_no_figure_of_the_sample_is_asked_about(id_: str) -> None:
    step = STEPS[id_]
    said = [SAMPLE["figures"].get(id_, ())[:1], *(one[:1] for one in SAMPLE["offered"].get(id_, ()))]
    for text in (text for one in said for text in one):
        check_figure(step, text)


def sample_readings() -> Iterator[tuple[str, Step, list[str]]]:
    for build, rows in SAMPLE["readings"].items():
        for id_, found in rows.items():
            step = STEPS[id_]
            if step.spec is not None and step.spec.kind.value in QUANTITIES:
                yield f"{build} {id_}", step, [found] if isinstance(found, str) else found


READINGS = list(sample_readings())


@pytest.mark.parametrize(("name", "step", "texts"), READINGS, ids=[one[0] for one in READINGS])
def test_no_reading_of_the_sample_is_asked_about(name: str, step: Step, texts: list[str]) -> None:
    assert step.spec is not None
    points = step.measure.points if step.measure is not None else ()
    for number, text in enumerate(one for one in texts if one):
        row = envelope_of(step, points[number % len(points)] if points else "")
        if row is not None:
            mark = "," if "," in text else "."
            quantity = read_quantity(text, row.kind, unit=step.spec.unit or None, decimal=mark)
            assert outside(row, quantity.magnitude, unit=quantity.unit) is None, (name, text)
