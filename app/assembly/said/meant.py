"""How figures and readings of a line are meant: how wide a single figure is, and how the line was read."""

from datetime import datetime

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Key, Spot


class SaidWidth(Struct, frozen=True):
    """How far from a single figure is still right: by how much below and above it (base unit), 0 or more.

    `figure` is the text it was said of; it says nothing of another. `how` is what makes the width, by its name.
    """

    figure: str
    below: float
    above: float
    how: str
    source: str
    by: str
    at: datetime


WIDTH = FactKind("width", SaidWidth, Key.STEP, spot=Spot.NONE)


class SaidUnder(Struct, frozen=True):
    """How all is read on a line where a reading does not say it itself: “hot”, “at 2000 rpm”; "" takes it back."""

    text: str
    by: str
    at: datetime


UNDER = FactKind("under", SaidUnder, Key.STEP, spot=Spot.NONE)
