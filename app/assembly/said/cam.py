"""The cam: when the valves open and close."""

from collections.abc import Mapping
from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind


class CamSaid(Struct, frozen=True):
    """When the valves open and close, in crank degrees, the lift the events were read at, and what lash is set with.

    `typed` holds what the person wrote, by name. A pitch or ratio that is not known is None.
    """

    typed: Mapping[str, str]
    by: str
    at: datetime
    ivo_deg: float = 0.0
    ivc_deg: float = 0.0
    evo_deg: float = 0.0
    evc_deg: float = 0.0
    lift_mm: float = 0.0
    margin_deg: float = 20.0
    pitch_mm: float | None = None
    rocker_ratio: float | None = None


CAM = FactKind("cam", CamSaid)
