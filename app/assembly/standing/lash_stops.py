"""From which crank stops the lash of which valves can be set, by the engine’s firing order and the cam’s events."""

from functools import lru_cache

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.steps import Arrangement
from app.assembly.said.cam import CAM, CamSaid
from app.assembly.said.kinds import Subject
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

THE_CAM = Subject(CAM, "cam")


class LashStops(Struct, frozen=True):
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
    found = build.facts.get(THE_CAM)
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
    cam = events_of(said) if said is not None else GENERAL_CAM
    wanted = said.margin_deg if said is not None else USUAL_MARGIN_DEG
    return _worked_out(engine, cam, wanted, said is None)


def events_of(said: CamSaid) -> CamEvents:
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
