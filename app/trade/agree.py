"""Facts of one place held against each other: threads, passes, depths. What disagrees is told."""

import math
from collections.abc import Sequence
from enum import Enum, auto

from msgspec import Struct

from app.trade.tables import Tables
from app.trade.threads import Thread, read_thread


class ThreadFault(Enum):
    """How the thread of a hole and that of its bolt disagree."""

    HAND = auto()
    GOES_IN = auto()
    OTHER = auto()


class ThreadsDiffer(Struct, frozen=True):
    """A hole and a bolt of two threads; GOES_IN where the bolt starts and then binds or strips."""

    fault: ThreadFault
    hole: Thread
    bolt: Thread


# Over so little diameter and pitch a bolt of the wrong thread can be started by hand: 1/4-20 UNC in 1/4-20 BSW, M8 in
# 5/16-18 (common practice).
_STARTS_MM = 0.35
_PITCH_SHARE = 0.16


def threads_differ(hole: str, bolt: str, tables: Tables) -> ThreadsDiffer | None:
    """How the thread of a hole and of its bolt differ after reading, None where they are the same thread.

    “7/16-20” is “7/16-20 UNF-3A”, and “M10x1.25-6H” takes “M10 x 1.25 - 6g”. Raises ValueError for what is no thread.
    """
    first, other = read_thread(hole, tables), read_thread(bolt, tables)
    if first == other:
        return None
    if first.left_hand is not other.left_hand:
        return ThreadsDiffer(ThreadFault.HAND, first, other)
    near = abs(first.diameter_mm - other.diameter_mm) <= _STARTS_MM
    alike = math.isclose(first.pitch_mm, other.pitch_mm, rel_tol=_PITCH_SHARE)
    return ThreadsDiffer(ThreadFault.GOES_IN if near and alike else ThreadFault.OTHER, first, other)


class Fall(Struct, frozen=True):
    """A pass of tightening, counted from 1, that is not more than the one before it; both in one unit."""

    number: int
    before: float
    size: float


def first_fall(passes: Sequence[float]) -> Fall | None:
    """The first pass that does not rise over the one before it, None where all rise.

    All are torques, or all are shares. A last pass by angle is none of them. Raises ValueError for one not above 0.
    """
    for size in passes:
        if not (math.isfinite(size) and size > 0):
            raise ValueError(f"A pass has to be more than 0, not {size:g}: look it up again.")
    for number in range(1, len(passes)):
        if passes[number] <= passes[number - 1]:
            return Fall(number + 1, passes[number - 1], passes[number])
    return None


class ReachFault(Enum):
    """How the length of a bolt disagrees with its hole."""

    BOTTOMS = auto()
    DOES_NOT_REACH = auto()
    FEW_THREADS = auto()


class ReachDiffers(Struct, frozen=True):
    """A bolt too long or too short for its hole: how far it reaches in, and how far it may or should, in mm."""

    fault: ReachFault
    reach_mm: float
    wanted_mm: float


_LEAST_DIAMETERS = 0.8


def reach_differs(
    bolt_length_mm: float, clamped_mm: float, hole_depth_mm: float, diameter_mm: float | None = None
) -> ReachDiffers | None:
    """How a bolt's length under its head disagrees with a blind hole, None where it fits.

    `clamped_mm` is all that lies between head and hole: part, washer, gasket. With a diameter, fewer than 0.8 diameters
    in the hole are told of (common practice; the least for steel in steel). Raises ValueError for a length, depth or
    diameter not above 0, or a clamped thickness below 0.
    """
    sizes = (bolt_length_mm, hole_depth_mm, *([] if diameter_mm is None else [diameter_mm]))
    if not (all(0 < size < math.inf for size in sizes) and 0 <= clamped_mm < math.inf):
        raise ValueError("A bolt's length, its hole and its diameter have to be more than 0: measure them again.")
    reach = bolt_length_mm - clamped_mm
    if reach <= 0:
        return ReachDiffers(ReachFault.DOES_NOT_REACH, reach, _LEAST_DIAMETERS * (diameter_mm or 0.0))
    if reach >= hole_depth_mm:
        return ReachDiffers(ReachFault.BOTTOMS, reach, hole_depth_mm)
    if diameter_mm is not None and reach < _LEAST_DIAMETERS * diameter_mm:
        return ReachDiffers(ReachFault.FEW_THREADS, reach, _LEAST_DIAMETERS * diameter_mm)
    return None
