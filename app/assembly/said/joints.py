"""Joints: what is known of the bolts that clamp it, and how they are tightened here."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from app.assembly.said.kinds import FactKind


@dataclass(frozen=True, slots=True)
class JointSaid:
    """What is known of a bolted joint: its bolts, what they clamp and hold in, and how they are tightened here.

    `typed` holds what the person wrote, by name; the figures were taken from it and from the tables at that time, and
    `taken_from` says which table gave what. A figure that is not known is None.
    """

    typed: Mapping[str, str]
    by: str
    at: datetime
    diameter_mm: float | None = None
    pitch_mm: float | None = None
    unified: bool = False
    proof_mpa: float | None = None
    tensile_mpa: float | None = None
    yield_mpa: float | None = None
    k_low: float | None = None
    k_high: float | None = None
    spec_k_low: float | None = None
    spec_k_high: float | None = None
    scatter_low: float | None = None
    scatter_high: float | None = None
    face_mm: float | None = None
    hole_mm: float | None = None
    limit_mpa: float | None = None
    limit_edition: str = ""
    tapped_mpa: float | None = None
    engagement_mm: float | None = None
    lever_mm: float | None = None
    adapter_mm: float | None = None
    adapter_deg: float = 0.0
    run_on_nm: float = 0.0
    longest_mm: float | None = None
    necked_mm: float | None = None
    taken_from: tuple[str, ...] = ()

    def said(self, name: str) -> str:
        """What was written under a name, "" where nothing was."""
        return self.typed.get(name, "")


JOINT = FactKind("joint", JointSaid)
