"""From which crank stops the lash of which valves can be set, by the engine's firing order and the cam's events."""

from dataclasses import dataclass
from functools import lru_cache

from app.build import actions as a
from app.build.build import Build
from app.build.deciding import decided, entry
from app.build.facts import About, CamSaid, Deed, Subject
from app.build.lines import Line
from app.build.plan import Arrangement
from app.build.refusal import Refused
from app.build.survey import Survey
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind, Quantity
from app.trade.valves import (
    GENERAL_CAM,
    GENERAL_CAM_SAYS,
    USUAL_MARGIN_DEG,
    CamEvents,
    Engine,
    Stop,
    best_pair,
    fewest_stops,
    margin,
    table_for,
    worst_margin,
)

CAM = Subject(About.CAM, "cam")
_ANGLES = ("ivo", "ivc", "evo", "evc")
CAM_SAID = {
    "ivo": "intake opens",
    "ivc": "intake closes",
    "evo": "exhaust opens",
    "evc": "exhaust closes",
    "lift": "read at a lift of",
    "margin": "margin",
    "pitch": "screw pitch",
    "ratio": "rocker ratio",
}
CAM_NAMES = tuple(CAM_SAID)


@dataclass(frozen=True, slots=True)
class LashStops:
    """The stops of an engine in turn, which valves are set at each, and what that was worked out from."""

    engine: Engine
    cam: CamEvents
    stops: tuple[Stop, ...]
    margin_deg: float
    general: bool
    least_deg: float

    def stop_of(self, valve: str) -> int:
        """The number of the stop a valve is set at, from 0."""
        return next(n for n, stop in enumerate(self.stops) if any(name == valve for name, _ in stop.valves))


def is_lash(line: Line) -> bool:
    """Whether a line reads or sets lash, valve by valve."""
    measure = line.step.measure
    return line.reads and measure is not None and measure.adjuster is not None and line.step.places == "valves"


def cam_said(build: Build) -> CamSaid | None:
    """The cam's events as said, or None."""
    found = build.facts.get(CAM)
    return found if isinstance(found, CamSaid) else None


def engine_of(arrangement: Arrangement) -> Engine:
    """The engine as the valve arithmetic wants it; raises ValueError where its intervals do not add up.

    Firing is even unless the arrangement gives intervals; a twin or a vee may fire unevenly, and then they are wanted.
    """
    count = len(arrangement.firing_order)
    intervals = arrangement.intervals or (720.0 / count,) * count
    return Engine(
        arrangement.firing_order,
        intervals,
        intake_per_cylinder=arrangement.intake_per_cylinder,
        exhaust_per_cylinder=arrangement.exhaust_per_cylinder,
    )


def lash_stops(build: Build) -> LashStops:
    """The fewest stops that reach every valve, with the margin they leave; raises ValueError in a sentence."""
    if build.arrangement is None:
        raise ValueError("This build does not say how its engine is laid out, so no stops can be worked out.")
    said = cam_said(build)
    engine = engine_of(build.arrangement)
    cam = _events(said) if said is not None else GENERAL_CAM
    wanted = said.margin_deg if said is not None else USUAL_MARGIN_DEG
    return _worked_out(engine, cam, wanted, said is None)


def _events(said: CamSaid) -> CamEvents:
    lift = Quantity(Kind.LENGTH, said.lift_mm, "mm", said.typed.get("lift", "seat to seat"))
    return CamEvents(said.ivo_deg, said.ivc_deg, said.evo_deg, said.evc_deg, lift)


@lru_cache(maxsize=32)
def _worked_out(engine: Engine, cam: CamEvents, wanted: float, general: bool) -> LashStops:
    fewest = fewest_stops(engine, cam, wanted)
    stops = best_pair(engine, cam) if len(fewest) == 2 else fewest
    table = table_for(engine, cam, stops, wanted)
    return LashStops(engine, cam, table, wanted, general, worst_margin(engine, cam, stops))


def cam_words(found: LashStops) -> str:
    """What the stops were worked out from."""
    if found.general:
        return f"{GENERAL_CAM_SAYS} C writes the events of this cam."
    cam = found.cam
    at = f" at {cam.lift.text}" if cam.lift.magnitude else ", seat to seat"
    intake = f"Intake opens {cam.ivo_deg:g}° before and closes {cam.ivc_deg:g}° after its dead centres"
    return f"{intake}, exhaust {cam.evo_deg:g}° before and {cam.evc_deg:g}° after{at}."


def margin_at(found: LashStops, valve: str, stop: Stop) -> float:
    """How many crank degrees a valve is from its lift at a stop, less than 0 while it is lifted."""
    return margin(found.engine, found.cam, valve, stop.theta_deg)


# --- saying the cam's events


@decided.register
def _say_cam(action: a.SayCam, survey: Survey) -> Deed:
    typed = {name: text.strip() for name, text in action.typed.items() if text.strip()}
    missing = [name for name in _ANGLES if name not in typed]
    if missing:
        raise Refused(
            f"The cam's events need all four angles: {', '.join(CAM_SAID[name] for name in missing)} is missing."
        )
    try:
        said = CamSaid(
            typed,
            action.by,
            action.at,
            _degrees(typed["ivo"]),
            _degrees(typed["ivc"]),
            _degrees(typed["evo"]),
            _degrees(typed["evc"]),
            lift_mm=_millimetres(typed.get("lift", "")),
            margin_deg=_degrees(typed["margin"]) if "margin" in typed else USUAL_MARGIN_DEG,
            pitch_mm=_millimetres(typed["pitch"]) if "pitch" in typed else None,
            rocker_ratio=read_quantity(typed["ratio"], Kind.NUMBER).magnitude if "ratio" in typed else None,
        )
        _events(said)
    except (NotationError, ValueError) as error:
        raise Refused(f"The cam's events: {error}") from error
    if not 0 <= said.margin_deg <= 120:
        raise Refused("The margin is 0 to 120 crank degrees: 20 to 30 are usual for the ramp that takes up the lash.")
    made = entry(survey.build, "cam", CAM, said)
    return Deed("cam", f"cam {', '.join(typed[name] for name in _ANGLES)}", action.by, action.at, (made,))


def _degrees(text: str) -> float:
    return read_quantity(text, Kind.ANGLE, unit="deg").magnitude


def _millimetres(text: str) -> float:
    return read_quantity(text, Kind.LENGTH, unit="mm").magnitude if text else 0.0
