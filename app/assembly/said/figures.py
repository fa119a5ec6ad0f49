"""Figures entered by the person, and figures offered beside each other."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Spot


class Figure(Struct, frozen=True):
    """What a line's readings must meet, entered by the person, and where it comes from."""

    text: str
    source: str
    by: str
    at: datetime


class Candidate(Struct, frozen=True):
    """A figure somebody gives for a line: as printed, by whom, in which edition, and who converted it."""

    text: str
    trust: str
    source: str
    edition: str
    dated: str
    converted_by: str
    by: str
    at: datetime


FIGURE = FactKind("figure", Figure, Key.STEP, spot=Spot.NONE, shelf="figures", table="figure")


CANDIDATE = FactKind("candidate", Candidate, Key.STEP)
