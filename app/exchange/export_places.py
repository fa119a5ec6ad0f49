"""What is worked out from readings, how lash is to be set, and the cam's events, in plain values."""

from app.assembly.lines import Line
from app.assembly.standing.entry_places import hides_first
from app.assembly.standing.lash_stops import LashStops, cam_said, lash_stops, margin_at
from app.assembly.standing.results import Worked
from app.assembly.standing.survey import Survey
from app.trade.valves import lift_arc, safe_span
from app.words.telling import Values
from app.words.times import time_text


def result_values(survey: Survey, line: Line) -> list[Values]:
    """What is worked out from a line's readings, each with its parts, its sum in words and its verdict."""
    hidden = hides_first(survey, line)  # a second look is not to know what the first one comes to
    return [_result(one, hidden=hidden) for one in survey.worked(line)]


def _result(one: Worked, *, hidden: bool) -> Values:
    if hidden:
        nothing = dict.fromkeys(("value", "unit", "doubt", "sum", "verdict"))
        return {"place": one.place.id, "result": one.name, **nothing, "parts": {}, "missing": [], "hidden": True}
    return {
        "place": one.place.id,
        "result": one.name,
        "value": one.text or None,
        "unit": one.unit or None,
        "doubt": one.doubt or None,
        "sum": one.words or None,
        "verdict": one.verdict.value if one.verdict is not None else None,
        "parts": {part.name: part.reading.text for part in one.parts},
        "missing": list(one.missing),
        "hidden": False,
    }


def stop_values(survey: Survey, line: Line | None = None) -> list[Values]:
    """The crank stops in turn with the valves set at each, and of a lash line what is read there.

    Raises ValueError in a sentence where no stops can be worked out.
    """
    found = lash_stops(survey.build)
    return [_stop(survey, found, number, line) for number in range(len(found.stops))]


def _stop(survey: Survey, found: LashStops, number: int, line: Line | None) -> Values:
    stop = found.stops[number]
    valves = tuple(valve for valve, _ in stop.valves)
    back, forward = safe_span(found.engine, found.cam, valves, stop.theta_deg, found.margin_deg)
    return {
        "stop": number + 1,
        "crank_deg": stop.theta_deg,
        "then_turn_deg": stop.turn_deg,
        "back_deg": back,
        "forward_deg": forward,
        "general_cam": found.general,
        "valves": [
            {
                "valve": valve,
                "margin_deg": margin_at(found, valve, stop),
                "lift_begins_deg": lift_arc(found.engine, found.cam, valve)[0],
                "lifted_deg": lift_arc(found.engine, found.cam, valve)[1],
                "read": _read(survey, line, valve),
            }
            for valve in valves
        ],
    }


def _read(survey: Survey, line: Line | None, valve: str) -> list[str]:
    if line is None:
        return []
    return [one.reading.text for one in survey.judged(line) if one.place.id == valve]


def cam_values(survey: Survey) -> list[Values]:
    """The cam's events as said; nothing while none were."""
    said = cam_said(survey.build)
    if said is None:
        return []
    return [
        {
            "typed": dict(said.typed),
            "ivo_deg": said.ivo_deg,
            "ivc_deg": said.ivc_deg,
            "evo_deg": said.evo_deg,
            "evc_deg": said.evc_deg,
            "lift_mm": said.lift_mm,
            "margin_deg": said.margin_deg,
            "pitch_mm": said.pitch_mm,
            "rocker_ratio": said.rocker_ratio,
            "by": said.by,
            "at": time_text(said.at),
        }
    ]
