"""Saying when the valves open and close."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry
from app.assembly.said import actions as a
from app.assembly.said.cam import CamSaid
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.lash_stops import THE_CAM, events_of
from app.assembly.standing.survey import Survey
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind
from app.trade.valves import (
    USUAL_MARGIN_DEG,
)

_ANGLES = ("ivo", "ivc", "evo", "evc")


CAM_NAMES = (*_ANGLES, "lift", "margin", "pitch", "ratio")


@decided.register
def _say_cam(action: a.SayCam, survey: Survey) -> Deed:
    typed = {name: text.strip() for name, text in action.typed.items() if text.strip()}
    missing = [name for name in _ANGLES if name not in typed]
    if missing:
        raise Refused(phrase(RefusalKind.CAM_ANGLES_MISSING, missing=tuple(missing)))
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
        events_of(said)
    except (NotationError, ValueError) as error:
        raise Refused(phrase(RefusalKind.CAM_UNREADABLE, matter=str(error))) from error
    if not 0 <= said.margin_deg <= 120:
        raise Refused(phrase(RefusalKind.MARGIN_OUT_OF_RANGE))
    made = entry(survey.build, EventName.CAM, THE_CAM, said)
    return Deed(Verb.CAM, action.by, action.at, (made,))


def _degrees(text: str) -> float:
    return read_quantity(text, Kind.ANGLE, unit="deg").magnitude


def _millimetres(text: str) -> float:
    return read_quantity(text, Kind.LENGTH, unit="mm").magnitude if text else 0.0
