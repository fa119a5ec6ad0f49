"""The checks of tests/published/engine.toml, each answered by the program and compared with what its source says."""

import csv
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from app.exchange.measuring_tables import measuring_tables
from app.trade import cam, clearances, geometry, health, lash, ring_gap, uncertainty, valves
from app.trade.quantity import UNITS, Kind, Limits, Quantity
from app.trade.uncertainty import Part, Shape
from app.trade.verdict import Verdict, judge

Inputs = dict[str, Any]
HERE = Path(__file__).parent
CHECKS: list[dict[str, Any]] = tomllib.loads((HERE / "engine.toml").read_text(encoding="utf-8"))["check"]
IN = UNITS["in"].to_base
TO_IN = UNITS["in"].from_base
CC = UNITS["in³"].to_base
TO_IN3 = UNITS["in³"].from_base
V12_ORDER = (1, 12, 5, 8, 3, 10, 6, 7, 2, 11, 4, 9)


# --- Valves


def _cam(inputs: Inputs) -> valves.CamEvents:
    events = inputs["cam"]
    return valves.CamEvents(events["IVO"], events["IVC"], events["EVO"], events["EVC"])


def _engine(inputs: Inputs) -> valves.Engine:
    order = tuple(inputs["firing_order"])
    even = valves.intervals_of(valves.Firing.EVEN, len(order))
    return valves.Engine(order, tuple(inputs.get("firing_intervals_deg", even)))


def _stops(inputs: Inputs) -> list[float]:
    return [float(stop) for stop in inputs["stops_deg_after_no1_firing_tdc"]]


def _by_kind(names: list[str]) -> dict[str, list[int]]:
    return {
        kind: sorted(int(name.removeprefix(short)) for name in names if name.startswith(short))
        for kind, short in (("intake", "in"), ("exhaust", "ex"))
    }


def _two_stop(inputs: Inputs) -> list[dict[str, list[int]]]:
    table = valves.table_for(_engine(inputs), _cam(inputs), _stops(inputs))
    return [_by_kind([valve for valve, _ in stop.valves]) for stop in table]


def _counts(inputs: Inputs) -> list[int]:
    return [len(stop.valves) for stop in valves.table_for(_engine(inputs), _cam(inputs), _stops(inputs))]


def _published(inputs: Inputs) -> list[bool]:
    answers = []
    for theta, lists in zip(_stops(inputs), inputs["published"], strict=True):
        names = tuple(f"in{n}" for n in lists["intake"]) + tuple(f"ex{n}" for n in lists["exhaust"])
        found = valves.check_table(
            _engine(inputs), _cam(inputs), [valves.PrintedStop(theta, names)], inputs["min_margin_deg"]
        )
        answers.append(all("is never listed" in finding for finding in found))
    return answers


def _wrong_table(inputs: Inputs) -> list[float]:
    names = [("in" if said[0] == "I" else "ex") + said[1:] for said in inputs["valves"]]
    return [valves.margin(_engine(inputs), _cam(inputs), name, inputs["stop_deg"]) for name in names]


def _sum_rule(inputs: Inputs) -> list[float]:
    rows = valves.sum_rule_margins(_engine(inputs), _cam(inputs), inputs["layout"])
    return [margin for _, _, margin in rows]


def _eoic(inputs: Inputs) -> list[float]:
    single = valves.Engine((1,), (720.0,))
    return [margin for _, _, margin in valves.exhaust_opening_intake_closing(single, _cam(inputs))]


def _even(*order: int) -> valves.Engine:
    return valves.Engine(order, valves.intervals_of(valves.Firing.EVEN, len(order)))


ENGINES = {
    "single": valves.Engine((1,), valves.intervals_of(valves.Firing.SINGLE)),
    "i2_180crank": valves.Engine((1, 2), valves.intervals_of(valves.Firing.INLINE_TWIN_180)),
    "v2_45": valves.Engine((1, 2), valves.intervals_of(valves.Firing.V_TWIN, v_angle_deg=45)),
    "v2_90": valves.Engine((1, 2), valves.intervals_of(valves.Firing.V_TWIN, v_angle_deg=90)),
    "i3": _even(1, 3, 2),
    "i4": _even(1, 3, 4, 2),
    "i5": _even(1, 2, 4, 5, 3),
    "i6": _even(1, 5, 3, 6, 2, 4),
    "v6_odd": valves.Engine((1, 6, 5, 4, 3, 2), (90.0, 150.0) * 3),
    "v8": _even(1, 8, 4, 3, 6, 5, 7, 2),
    "v12": _even(*V12_ORDER),
}


def _fewest(*, tdc_only: bool) -> Callable[[Inputs], list[int]]:
    def answer(inputs: Inputs) -> list[int]:
        return [
            len(valves.fewest_stops(ENGINES[name], _cam(inputs), inputs["margin_deg"], tdc_only))
            for name in inputs["engines"]
        ]

    return answer


def _mates(inputs: Inputs) -> list[list[int]]:
    return [list(pair) for pair in valves.mates(_engine(inputs))]


# --- Displacement, from the whole list of 1985 too


def _disp_in(inputs: Inputs) -> float:
    return TO_IN3(geometry.displacement_cc(IN(inputs["bore_in"]), IN(inputs["stroke_in"]), inputs["cyl"]))


def _disp_mm(inputs: Inputs) -> float:
    return geometry.displacement_cc(inputs["bore_mm"], inputs["stroke_mm"], inputs["cyl"])


def _disp_area(inputs: Inputs) -> float:
    one = geometry.swept_by_area_cc(inputs["area_in2"] * IN(1) ** 2, IN(inputs["stroke_in"]))
    return TO_IN3(one * inputs["cyl"])


def car_rows() -> Iterator[tuple[int, int, float, float, float]]:
    """Row number, cylinders, bore and stroke in mm, listed displacement in cc, for every row with a bore."""
    lines = (HERE / "car_rows_1985.csv").read_text(encoding="utf-8").splitlines()
    for number, row in enumerate(csv.DictReader(line for line in lines if not line.startswith("#")), 1):
        if row["bore_in"]:
            bore, stroke, listed = IN(float(row["bore_in"])), IN(float(row["stroke_in"])), CC(float(row["size_in3"]))
            yield number, int(row["cylinders"]), bore, stroke, listed


def _distribution(_inputs: Inputs) -> list[int]:
    rows = list(car_rows())
    within = [
        sum(not geometry.displacement_finding(listed, bore, stroke, n, share) for _, n, bore, stroke, listed in rows)
        for share in (0.01, 0.02, 0.05, 0.10)
    ]
    rounded = sum(
        geometry.explained_by_rounding(listed, bore, stroke, n, length_step_mm=IN(0.01), listed_step_cc=CC(1))
        for _, n, bore, stroke, listed in rows
    )
    return [len(rows), *within, rounded]


def _outliers(inputs: Inputs) -> list[int]:
    share = inputs["limit_percent"] / 100
    return [
        number
        for number, n, bore, stroke, listed in car_rows()
        if geometry.displacement_finding(listed, bore, stroke, n, share)
    ]


# --- Compression and motion


def _cr_inch(inputs: Inputs) -> float:
    volumes = geometry.ClearanceVolumes(
        *(CC(inputs[f"{part}_in3"]) for part in ("chamber", "gasket", "deck", "piston"))
    )
    return geometry.compression_ratio(CC(inputs["swept_in3"]), volumes.total_cc)


def _full(crevice_cc: float = 0.0) -> float:
    deck = geometry.disc_cc(87, 0.2)
    volumes = geometry.ClearanceVolumes(46, geometry.disc_cc(88, 0.65), deck, 4, crevice_cc)
    return geometry.compression_ratio(geometry.swept_cc(87, 86), volumes.total_cc)


def _full_mm(inputs: Inputs) -> float:
    assert [inputs[key] for key in ("bore_mm", "stroke_mm", "chamber_cc", "gasket_bore_mm")] == [87, 86, 46, 88]
    assert [inputs[key] for key in ("gasket_mm", "deck_mm", "dish_cc")] == [0.65, 0.2, 4]
    return _full()


def _full_crevice(inputs: Inputs) -> float:
    crevice = geometry.crevice_cc(87, inputs["crown_mm"], inputs["land_mm"])
    assert crevice == pytest.approx(inputs["crevice_cc"], abs=5e-5)
    return _full(crevice)


def _speed(inputs: Inputs) -> list[float]:
    crank = inputs["stroke_mm"], inputs["rod_mm"], inputs["rpm"]
    return [geometry.piston_speed_m_s(angle, *crank) for angle in inputs["angle_deg"]]


# --- Cam


def _events(inputs: Inputs) -> valves.CamEvents:
    return valves.CamEvents(inputs["ivo"], inputs["ivc"], inputs["evo"], inputs["evc"])


def _advanced(inputs: Inputs) -> list[float]:
    moved = cam.advanced(_events(inputs), inputs["advance_deg"])
    return [moved.ivo_deg, moved.ivc_deg, moved.evo_deg, moved.evc_deg]


def _timing(inputs: Inputs) -> list[float]:
    found = cam.timing(_events(inputs))
    return [found.intake_centre_deg, found.exhaust_centre_deg, found.separation_deg, found.overlap_deg]


# --- Measuring


def _verdicts(inputs: Inputs) -> list[str]:
    words = {Verdict.IN: "conform", Verdict.OUT: "not conform", Verdict.UNDECIDED: "undetermined"}
    limits = Limits(Kind.LENGTH, IN(inputs["lower"]), IN(inputs["upper"]), None, "in", "")
    return [words[judge(Quantity(Kind.LENGTH, IN(y), "in", ""), limits, IN(inputs["U"]))] for y in inputs["y"]]


def _chain(inputs: Inputs) -> float:
    parts = [Part(name, inputs[name]) for name in ("set_um", "gauge_um", "temp_um")]
    if "mic_mpe_um" in inputs:
        parts.append(Part("micrometer", inputs["mic_mpe_um"], Shape.LIMIT))
    return uncertainty.chain(parts)


def _conformity(inputs: Inputs) -> float:
    u = inputs["u"] if "u" in inputs else inputs["U"] / inputs["k"]
    return uncertainty.probability_of_conformity(inputs["y"], u, inputs.get("lower"), inputs.get("upper"))


def _piston_120(inputs: Inputs) -> list[float]:
    warm = uncertainty.warm_clearance_mm(
        inputs["piston_mm"], 2 * inputs["radial_mm"], inputs["a_piston"], inputs["a_iron"], inputs["t1"] - inputs["t0"]
    )
    return [warm / 2, warm]


def _tm_gaps(inputs: Inputs) -> list[float]:
    return [ring_gap.gap_per_bore(gap, inputs["bore_mm"]) for gap in inputs["gap_mm"]]


def _kgfm_to_lbft(inputs: Inputs) -> list[float]:
    return [UNITS["lbf·ft"].from_base(UNITS["kgf·m"].to_base(value)) for value in inputs["kgfm"]]


def _pulley(inputs: Inputs) -> list[float]:
    return [clearances.rim_arc_mm(diameter, inputs["angle_deg"]) for diameter in inputs["diameter_mm"]]


def _duration_centre(inputs: Inputs) -> list[float]:
    events = inputs["ivo_btdc"], inputs["ivc_abdc"]
    return [cam.duration_deg(*events), cam.lobe_centre_deg(*events)]


def _span_in(bush: list[float], pin: list[float]) -> list[float]:
    return [TO_IN(end) for end in clearances.clearance_span_mm((IN(bush[0]), IN(bush[1])), (IN(pin[0]), IN(pin[1])))]


ANSWERS: dict[str, Callable[[Inputs], Any]] = {
    "valve.i4_1342_two_stop": _two_stop,
    "valve.i6_153624_two_stop": _two_stop,
    "valve.v8_18726543_two_stop": _two_stop,
    "valve.i4_1243_two_stop": _two_stop,
    "valve.i3_132_two_stop": _two_stop,
    "valve.i3_132_counts": _counts,
    "valve.v8_12734568_four_stop": _published,
    "valve.v6_123456_three_stop": _published,
    "valve.flat4_1324_four_stop": _published,
    "valve.i4_wrong_table_is_caught": _wrong_table,
    "valve.rule_of_nine_mirrored": _sum_rule,
    "valve.rule_of_nine_repeating": _sum_rule,
    "valve.rule_of_nine_repeating_long_cam": _sum_rule,
    "valve.eoic": _eoic,
    "valve.min_stops": _fewest(tdc_only=False),
    "valve.min_stops_tdc_only": _fewest(tdc_only=True),
    "valve.mates_i6": _mates,
    "valve.mates_v8": _mates,
    "valve.vtwin45_intervals": lambda i: list(valves.intervals_of(valves.Firing.V_TWIN, v_angle_deg=i["v_angle_deg"])),
    "valve.i2_180_intervals": lambda i: sum(valves.Engine((1, 2), tuple(i["intervals_deg"])).intervals_deg),
    "valve.pulley_arc": _pulley,
    "valve.pulley_arc_2p5": lambda i: clearances.rim_arc_mm(i["diameter_mm"], i["angle_deg"]),
    "lash.shim_1": lambda i: lash.resulting_lash_mm(i["old_mm"], i["measured_mm"], i["new_mm"]),
    "lash.shim_2": lambda i: lash.resulting_lash_mm(i["old_mm"], i["measured_mm"], i["new_mm"]),
    "lash.shim_ideal_2": lambda i: lash.ideal_shim_mm(i["old_mm"], i["measured_mm"], i["target_mm"]),
    "lash.shim_range": lambda i: len(lash.stock_sizes_mm(i["min_mm"], i["max_mm"], i["step_mm"])),
    "lash.inch_1": lambda i: [TO_IN(value) for value in i["mm"]],
    "lash.screw_turn": lambda i: lash.screw_change_mm(i["pitch_mm"], i["angle_deg"]),
    "disp.4x352x8": _disp_in,
    "disp.35x3x6": _disp_in,
    "disp.area_11p8": _disp_area,
    "disp.86x86": _disp_mm,
    "disp.86x86x4": _disp_mm,
    "disp.87x86": _disp_mm,
    "disp.87x86x4": _disp_mm,
    "disp.14cyl": _disp_in,
    **{f"disp.set_row_{row:03}": _disp_in for row in (19, 46, 11, 139, 4, 37, 64, 9, 68, 17, 73, 50)},
    "disp.set_distribution": _distribution,
    "disp.set_outliers": _outliers,
    "cr.4in_example": _cr_inch,
    "cr.4in_gasket": lambda i: TO_IN3(geometry.disc_cc(IN(i["bore_in"]), IN(i["thickness_in"]))),
    "cr.4in_swept": lambda i: TO_IN3(geometry.swept_cc(IN(i["bore_in"]), IN(i["stroke_in"]))),
    "cr.cc_to_in3": lambda i: [TO_IN3(value) for value in i["cc"]],
    "cr.full_mm": _full_mm,
    "cr.full_mm_crevice": _full_crevice,
    "cr.clearance_from_cr": lambda i: geometry.clearance_for_ratio_cc(i["swept_cc"], i["cr"]),
    "kin.position_86x143": lambda i: [
        geometry.piston_travel_mm(angle, i["stroke_mm"], i["rod_mm"]) for angle in i["angle_deg"]
    ],
    "kin.velocity_86x143": _speed,
    "kin.max_velocity": lambda i: list(geometry.peak_piston_speed(i["stroke_mm"], i["rod_mm"], i["rpm"])),
    "kin.mean_speed": lambda i: geometry.mean_piston_speed_m_s(i["stroke_mm"], i["rpm"]),
    "kin.mean_speed_ftmin": lambda i: UNITS["ft"].from_base(
        geometry.mean_piston_speed_m_s(IN(i["stroke_in"]), i["rpm"]) * 60 * 1000
    ),
    "kin.rod_ratio": lambda i: geometry.rod_ratio(i["rod_mm"], i["stroke_mm"]),
    "kin.first_order_peak": lambda i: geometry.two_term_peak_deg(2 * i["r"], i["l"]),
    "cam.6_42": _duration_centre,
    "cam.6_12_overlap": lambda i: cam.overlap_deg(i["ivo_btdc"], i["evc_atdc"]),
    "cam.20_60": lambda i: [cam.timing(_events(i)).intake_duration_deg, *_timing(i)],
    "cam.advance5": _advanced,
    "cam.retard5": _advanced,
    "cam.lca_from_duration": lambda i: cam.separation_of_equal_lobes_deg(i["duration"], i["overlap"]),
    "cam.centre_from_readings": lambda i: cam.centre_from_readings_deg(*i["readings_deg"]),
    "cam.20_35_35_10": _timing,
    "ring.gap_vs_bore": lambda i: TO_IN(ring_gap.gap_growth_mm(IN(i["delta_bore_in"]))),
    "ring.street_na": lambda i: TO_IN(ring_gap.gap_mm(IN(i["bore_in"]), i["factor"])),
    "ring.boost_006": lambda i: TO_IN(ring_gap.gap_mm(IN(i["bore_in"]), i["factor"])),
    "ring.tm_per_inch": _tm_gaps,
    "brg.rule": lambda i: TO_IN(clearances.bearing_rule_mm(IN(i["journal_in"]))),
    "brg.rule_50mm": lambda i: clearances.bearing_rule_mm(i["journal_mm"]),
    "brg.rod_pin_fit": lambda i: _span_in(i["bush_in"], i["pin_in"]),
    "brg.piston_fit_extremes": lambda i: list(clearances.clearance_span_mm(tuple(i["bore_mm"]), tuple(i["piston_mm"]))),
    "brg.inch_main": lambda i: [TO_IN(value) for value in i["mm"]],
    "brg.cap_torque": _kgfm_to_lbft,
    "brg.plastic_strip": lambda i: clearances.strip_clearance_mm(i["d_mm"], i["width_mm"]),
    "comp.differential_25": lambda i: health.leak_percent(
        UNITS["psi"].to_base(i["supply_psi"]), UNITS["psi"].to_base(i["held_psi"])
    ),
    "comp.orifice": lambda i: [TO_IN(health.orifice_mm(IN(bore))) for bore in i["bore_in"]],
    "comp.spread_70": lambda i: UNITS["psi"].from_base(
        health.lowest_allowed_kpa(UNITS["psi"].to_base(i["highest_psi"]), i["fraction"])
    ),
    "comp.spread_70_kpa": lambda i: health.lowest_allowed_kpa(i["highest_kpa"], i["fraction"]),
    "comp.spread_75": lambda i: UNITS["psi"].from_base(
        health.lowest_allowed_kpa(UNITS["psi"].to_base(i["highest_psi"]), i["fraction"])
    ),
    "plug.kgfm": _kgfm_to_lbft,
    "oil.rule": lambda i: [
        UNITS["psi"].from_base(health.oil_pressure_least_kpa(rpm, measuring_tables().oil[0])) for rpm in i["rpm"]
    ],
    "met.zener": _conformity,
    "met.container": _conformity,
    "met.oil": _conformity,
    "met.pc_clearance": _conformity,
    "met.verdicts": _verdicts,
    "met.guard_empty": lambda i: uncertainty.conform_zone(i["lower"], i["upper"], i["U"]),
    "met.guard_z": lambda i: [uncertainty.guard_factor(p) for p in i["p"]],
    "met.guard_z_99": lambda i: uncertainty.guard_factor(i["p"]),
    "met.pfa_w_eq_U": lambda i: uncertainty.beyond_risk(i["k"]),
    "met.t_small_sample": lambda i: uncertainty.beyond_risk(i["k"], i["dof"]),
    "met.t_factor": lambda i: uncertainty.guard_factor(i["p"], i["dof"]),
    "met.rss_guard": lambda i: [uncertainty.rss_guard(ratio) for ratio in i["tur"]],
    "met.tur": lambda i: uncertainty.uncertainty_ratio(IN(i["tolerance_in"]), IN(i["U_in"])),
    "met.chain": _chain,
    "met.chain_diff": _chain,
    **{
        f"therm.aisc_{metal}": lambda i: uncertainty.per_kelvin(i["per_100F"] / 100)
        for metal in ("al", "iron", "steel")
    },
    "therm.book_iron": lambda i: uncertainty.per_kelvin(i["per_F"]),
    "therm.block_30C": lambda i: uncertainty.growth_mm(i["d_mm"], i["alpha"], i["dT"]),
    "therm.fit_30C": lambda i: uncertainty.warm_clearance_mm(i["d_mm"], 0.0, 23e-6, 11e-6, i["dT"]),
    "therm.piston_120C": _piston_120,
}


def _wanted(check: dict[str, Any]) -> Any:
    tolerance = check["tolerance"]
    if tolerance["kind"] == "exact":
        return check["expected"]
    return pytest.approx(check["expected"], **{"rel": 0, "abs": 0, tolerance["kind"]: tolerance["value"] * (1 + 1e-9)})


@pytest.mark.parametrize("check", CHECKS, ids=[check["id"] for check in CHECKS])
def test_published_check(check: dict[str, Any]) -> None:
    assert ANSWERS[check["id"]](check["inputs"]) == _wanted(check), f"{check['what']}, {check['source']}"


def test_every_check_is_answered_and_nothing_else() -> None:
    assert sorted(ANSWERS) == sorted(check["id"] for check in CHECKS)
    assert len(CHECKS) == 112


def test_the_list_of_1985_has_205_rows_of_which_four_have_no_bore() -> None:
    lines = [line for line in (HERE / "car_rows_1985.csv").read_text(encoding="utf-8").splitlines() if line[0] != "#"]
    assert len(lines) - 1 == 205
    assert len(list(car_rows())) == 201
