"""Joints: what is known of the bolts that clamp it, and how they are tightened here."""

from collections.abc import Mapping
from datetime import datetime
from enum import Enum, auto

from msgspec import Struct

from app.assembly.said.kinds import FactKind, Values
from app.assembly.said.older import read_up
from app.assembly.said.phrase import Phrase


class TakenFrom(Enum):
    """Which figure of a joint a table gave. AS_WRITTEN is a word of an older form."""

    AS_WRITTEN = auto()
    FRICTION = auto()
    PRESSURE = auto()
    PROOF = auto()
    TENSILE = auto()


class JointSaid(Struct, frozen=True):
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
    taken_from: tuple[Phrase, ...] = ()

    def said(self, name: str) -> str:
        """What was written under a name, "" where nothing was."""
        return self.typed.get(name, "")


# What was said of the tables before form 2, in English.
_FROM = r" \((?P<edition>.*); (?P<source>.*); (?P<known>.*)\)"
_OLD = (
    (r"(?P<name>.*): proof (?P<mpa>\S+) MPa" + _FROM, TakenFrom.PROOF),
    (r"(?P<name>.*): at most (?P<mpa>\S+) MPa under the head" + _FROM, TakenFrom.PRESSURE),
    (r"(?P<name>.*): tensile (?P<mpa>\S+) MPa" + _FROM, TakenFrom.TENSILE),
    (
        r"K (?P<low>\S+) to (?P<high>\S+) for (?P<state>.*) threads \((?P<source>.*); (?P<known>.*)\)",
        TakenFrom.FRICTION,
    ),
)


def _taken_from(values: Values) -> Values:
    taken_from = [read_up(text, _OLD, TakenFrom.AS_WRITTEN) for text in values.get("taken_from", ())]
    return values | {"taken_from": taken_from}


JOINT = FactKind("joint", JointSaid, form=2, read_up={1: _taken_from})
