"""Ways of tightening: passes, angles, run-on, castle nuts, and whether a bolt may be used again."""

import math
from collections.abc import Sequence
from enum import Enum
from itertools import pairwise

from msgspec import Struct

from app.trade.tables import RunOn, Tables
from app.trade.threads import Thread
from app.trade.wrench import check_torque

FIRST_SHARE = 0.70
KEPT_RUN_ON_SHARE = 0.30
# Figures of two makers' service data for d1 - d2 at the neck (read); the sheet at hand goes first.
NECK_LIMITS_MM = (0.11, 0.25)
_MOST_TURN_DEG = 720.0
_SAME = 1e-9


class Move(Enum):
    """What is done in a pass."""

    TIGHTEN = "tighten"
    TURN = "turn on"
    SLACKEN = "slacken fully, in the reverse order"
    COOL = "run warm, then let go cold"


class Pass(Struct, frozen=True):
    """One round over all fasteners of a group: its number from 1, the move, and its torque in N·m or turn in degrees.

    Every fastener gets a pass before the next begins; passes are never merged.
    """

    number: int
    move: Move
    torque_nm: float | None = None
    turn_deg: float | None = None


# --- Passes


def passes(final_nm: float, shares: Sequence[float] = (FIRST_SHARE, 1.0)) -> tuple[Pass, ...]:
    """Passes up to a torque in N·m, by shares of it that rise to 1.

    As it stands the first is at 70 % (US Army TM 5-3805-248-23-1, above 30 lbf·ft, read). Raises ValueError for a
    torque that cannot be or shares that do not rise to 1.
    """
    check_torque(final_nm)
    if not shares or shares[0] <= 0 or not _rises(shares):
        raise ValueError("Passes have to rise from more than 0: write their shares such as 0.5, 0.7, 1.")
    if not math.isclose(shares[-1], 1.0):
        raise ValueError(f"The last pass has to be the full torque, not {shares[-1]:.0%} of it: end the shares with 1.")
    return _numbered([(Move.TIGHTEN, share * final_nm, None) for share in shares])


def equal_passes(final_nm: float, count: int) -> tuple[Pass, ...]:
    """Passes up to a torque in N·m in equal steps (common practice). Raises ValueError for less than 1 or over 20."""
    if not 1 <= count <= 20:
        raise ValueError(f"A torque is reached in 1 to 20 passes, not {count}: three are usual.")
    return passes(final_nm, tuple((step + 1) / count for step in range(count)))


def listed_passes(torques_nm: Sequence[float]) -> tuple[Pass, ...]:
    """Passes as a sheet lists them, torques in N·m that rise. Raises ValueError for a list that does not."""
    if not torques_nm or not _rises(torques_nm):
        raise ValueError("The torques of the passes have to rise from each to the next: look the list up again.")
    return _numbered([(Move.TIGHTEN, check_torque(torque), None) for torque in torques_nm])


def angle_passes(torque_nm: float, turns_deg: Sequence[float]) -> tuple[Pass, ...]:
    """A torque in N·m, then turns in degrees, each a pass of its own that is not merged with the next.

    Raises ValueError for a torque or a turn that cannot be. Source: US Army TM 10-3930-669-20 app. E (read).
    """
    if not turns_deg or any(not 0 < turn <= _MOST_TURN_DEG for turn in turns_deg):
        raise ValueError("A turn is more than 0° and at most 720°: write the turns such as 45 and 45.")
    turns = [(Move.TURN, None, turn) for turn in turns_deg]
    return _numbered([(Move.TIGHTEN, check_torque(torque_nm), None), *turns])


def slackened_between(first: Sequence[Pass], second: Sequence[Pass]) -> tuple[Pass, ...]:
    """Passes, then slackened fully in the reverse order, then passes again (makers' service data, read)."""
    return _joined(first, Move.SLACKEN, second)


def retorqued_cold(first: Sequence[Pass], again: Sequence[Pass]) -> tuple[Pass, ...]:
    """Passes, then a heat cycle and cooling to cold, then passes again (common practice)."""
    return _joined(first, Move.COOL, again)


def _rises(figures: Sequence[float]) -> bool:
    return all(earlier < later for earlier, later in pairwise(figures))


def _joined(first: Sequence[Pass], between: Move, second: Sequence[Pass]) -> tuple[Pass, ...]:
    if not first or not second:
        raise ValueError("There have to be passes before and after: write both.")
    rows = [(row.move, row.torque_nm, row.turn_deg) for row in (*first, Pass(0, between), *second)]
    return _numbered(rows)


def _numbered(rows: Sequence[tuple[Move, float | None, float | None]]) -> tuple[Pass, ...]:
    return tuple(Pass(number, move, torque, turn) for number, (move, torque, turn) in enumerate(rows, 1))


# --- Angle


class AngleAnswer(Enum):
    """What to do with a bolt that is being turned by an angle."""

    WITHIN = "Within"
    KEEP_TURNING = "Keep turning"
    RESTART = "Slacken fully and restart"
    REPLACE = "Replace the bolt"


class AngleWindow(Struct, frozen=True):
    """A turn in degrees from low to high, and the least torque in N·m at its end, None where the sheet gives none."""

    low_deg: float
    high_deg: float
    least_end_nm: float | None = None


def judge_turn(window: AngleWindow, turned_deg: float, end_nm: float | None = None) -> AngleAnswer:
    """What to do with a bolt turned so far, in degrees, that ended at a torque in N·m.

    Over the window it is slackened fully and begun anew; within it, a bolt that ends below the least torque has given
    way and is replaced. Raises ValueError for a window or turn that cannot be, or when the sheet asks for an end torque
    and none was read. Source: makers' service data (read).
    """
    if not 0 < window.low_deg <= window.high_deg <= _MOST_TURN_DEG:
        raise ValueError(f"A turn from {window.low_deg:g}° to {window.high_deg:g}° cannot be: the low one goes first.")
    if not (math.isfinite(turned_deg) and turned_deg >= 0):
        raise ValueError(f"A turn is 0° or more, not {turned_deg:g}°: read it from where the torque was reached.")
    if turned_deg > window.high_deg:
        return AngleAnswer.RESTART
    if turned_deg < window.low_deg:
        return AngleAnswer.KEEP_TURNING
    if window.least_end_nm is None:
        return AngleAnswer.WITHIN
    if end_nm is None:
        raise ValueError(f"The turn has to end at {window.least_end_nm:g} N·m or more: read the torque at its end.")
    return AngleAnswer.WITHIN if end_nm >= window.least_end_nm else AngleAnswer.REPLACE


# --- Run-on and castle nuts


def with_run_on_nm(specified_nm: float, run_on_nm: float) -> float:
    """The torque in N·m to tighten to: the specified one plus the run-on, before any adapter is allowed for.

    The run-on is read while the nut turns, close to its seat but not touching. Raises ValueError for a torque that
    cannot be. Source: FAA AC 43.13-1B para 7-40 (read).
    """
    if not (math.isfinite(run_on_nm) and run_on_nm >= 0):
        raise ValueError(f"A run-on torque is 0 N·m or more, not {run_on_nm:g}: read it while the nut turns.")
    return check_torque(check_torque(specified_nm) + run_on_nm)


def middle_nm(low_nm: float, high_nm: float) -> float:
    """The middle of a specified range, in N·m. Raises ValueError for a range that cannot be."""
    if check_torque(low_nm) > check_torque(high_nm):
        raise ValueError(f"A range from {low_nm:g} to {high_nm:g} N·m runs backwards: the low one goes first.")
    return (low_nm + high_nm) / 2


def least_kept_run_on_nm(new_nm: float) -> float:
    """The run-on in N·m below which a used lock nut is replaced: 30 % of the new one's.

    Raises ValueError for a torque that cannot be. Source: a light-aircraft manual, section 2.20.13 (read).
    """
    return KEPT_RUN_ON_SHARE * check_torque(new_nm)


def run_on_note(thread: Thread, tables: Tables) -> str:
    """What is known of the least run-on of a new lock nut of a thread, as one sentence: sources disagree twofold."""
    rows = [row for row in tables.run_ons if row.thread in (_plain_name(thread), _size_name(thread))]
    if not rows:
        return f"No least run-on is known for {thread.name}: ask for the nut's own standard."
    low, high = min(rows, key=_least), max(rows, key=_least)
    if low.least_nm == high.least_nm:
        return f"The least run-on for {thread.name} is {low.least_nm:.2f} N·m ({low.origin.edition})."
    return (
        f"The sources disagree on the least run-on for {thread.name}: {low.least_nm:.2f} N·m ({low.origin.edition}) to "
        f"{high.least_nm:.2f} N·m ({high.origin.edition}), so ask for the nut's own standard."
    )


def _least(row: RunOn) -> float:
    return row.least_nm


def _plain_name(thread: Thread) -> str:
    return thread.name.partition(" ")[0]


def _size_name(thread: Thread) -> str:
    return _plain_name(thread).partition("-")[0].partition("x")[0]


class CastleAnswer(Enum):
    """What to do with a castle nut."""

    TO_LEAST = "Tighten to the least torque first"
    TO_NEXT_SLOT = "Tighten on to the next slot"
    FIT_PIN = "Fit the cotter pin"
    CHANGE = "Slacken, and change the washer or the nut"


def castle_nut(low_nm: float, high_nm: float, torque_nm: float, *, slot_in_line: bool) -> CastleAnswer:
    """What to do with a castle nut at a torque in N·m: slots are lined up by tightening only, never past the highest.

    Raises ValueError for torques that cannot be. Source: FAA AC 43.13-1B (read).
    """
    middle_nm(low_nm, high_nm)
    check_torque(torque_nm)
    if torque_nm > high_nm:
        return CastleAnswer.CHANGE
    if torque_nm < low_nm:
        return CastleAnswer.TO_LEAST
    if slot_in_line:
        return CastleAnswer.FIT_PIN
    return CastleAnswer.CHANGE if torque_nm >= high_nm * (1 - _SAME) else CastleAnswer.TO_NEXT_SLOT


# --- Use again


class UsePolicy(Enum):
    """Whether a bolt may be used again; makers differ, so it belongs to the bolt and not to the way of tightening."""

    REUSE = "use again"
    NEW = "new each time"
    NECK = "while its neck is within a limit"
    LENGTH = "while its length is within a limit"
    COUNT = "a number of times"


class UseRule(Struct, frozen=True):
    """A policy and its limit: for NECK the most d1 - d2 in mm, LENGTH the most length in mm, COUNT the most times."""

    policy: UsePolicy
    limit: float | None = None


class UsedBolt(Struct, frozen=True):
    """What is known of a bolt: times tightened so far, its two diameters (free thread, neck) and its length in mm."""

    times_tightened: int = 0
    thread_diameter_mm: float | None = None
    neck_diameter_mm: float | None = None
    length_mm: float | None = None


class Use(Struct, frozen=True):
    """Whether a bolt may be used, and the sentence that says why; `allowed` is None while something is unmeasured."""

    allowed: bool | None
    sentence: str


def may_be_used(rule: UseRule, bolt: UsedBolt) -> Use:
    """Say whether a bolt may be used once more.

    Raises ValueError for a rule whose limit is missing or cannot be, or a bolt tightened less than 0 times.
    Source: five makers' service data, which differ (read).
    """
    if bolt.times_tightened < 0:
        raise ValueError(f"A bolt was tightened 0 times or more, not {bolt.times_tightened}: count again.")
    if rule.policy is UsePolicy.REUSE:
        return Use(True, "This bolt may be used again while its threads are clean and whole.")
    if rule.policy is UsePolicy.NEW:
        return _new_each_time(bolt)
    if rule.limit is None or not (math.isfinite(rule.limit) and rule.limit > 0):
        raise ValueError(f"“{rule.policy.value}” needs a limit of more than 0: look it up in the bolt's own sheet.")
    if rule.policy is UsePolicy.COUNT:
        return _by_count(rule.limit, bolt)
    return _by_neck(rule.limit, bolt) if rule.policy is UsePolicy.NECK else _by_length(rule.limit, bolt)


def _new_each_time(bolt: UsedBolt) -> Use:
    if bolt.times_tightened:
        return Use(False, "This bolt is new each time, and it was tightened before: take a new one.")
    return Use(True, "This bolt is new.")


def _by_count(limit: float, bolt: UsedBolt) -> Use:
    done = bolt.times_tightened
    if done >= limit:
        return Use(False, f"This bolt was tightened {done} of {limit:.0f} times: take a new one.")
    return Use(True, f"This bolt was tightened {done} of {limit:.0f} times.")


def _by_neck(limit_mm: float, bolt: UsedBolt) -> Use:
    if bolt.thread_diameter_mm is None or bolt.neck_diameter_mm is None:
        return Use(None, "Measure the thread where it was free, and where it is thinnest.")
    if bolt.neck_diameter_mm <= 0:
        raise ValueError(f"The neck cannot be {bolt.neck_diameter_mm:g} mm: measure it again.")
    less = bolt.thread_diameter_mm - bolt.neck_diameter_mm
    if less > limit_mm * (1 + _SAME) + _SAME:
        return Use(False, f"The neck is {less:.2f} mm thinner, over the {limit_mm:g} mm allowed: take a new bolt.")
    return Use(True, f"The neck is {max(less, 0.0):.2f} mm thinner, within the {limit_mm:g} mm allowed.")


def _by_length(limit_mm: float, bolt: UsedBolt) -> Use:
    if bolt.length_mm is None:
        return Use(None, "Measure the length under the head.")
    if bolt.length_mm > limit_mm:
        return Use(False, f"The bolt is {bolt.length_mm:g} mm long, over the {limit_mm:g} mm allowed: take a new one.")
    return Use(True, f"The bolt is {bolt.length_mm:g} mm long, within the {limit_mm:g} mm allowed.")
