"""Torque and preload: the short and the long form, what a torque may give, and what a printed torque is worth.

No torque is ever corrected to one figure for other threads: “lubricated” has no agreed meaning, so every answer that
hangs on friction is a range.
"""

import math
from collections.abc import Iterable
from enum import Enum

from msgspec import Struct

from app.trade.tables import FrictionClass, Known, Method, Strength, Tables
from app.trade.tables import ThreadState as ThreadState
from app.trade.threads import (
    Thread,
    flank_cosine,
    pitch_diameter_mm,
    proof_load_n,
    stress_area_mm2,
    stress_diameter_mm,
)
from app.trade.wrench import check_torque

# A printed clamp further than this from its own formula has a slip in it; the standards' rounding stays within it.
_CLAMP_SLIP = 0.01
# Printed torques are rounded to one pound-foot.
_TORQUE_SLIP = 0.02


class Generation(Enum):
    """Which edition's torsion goes into the preload at yield: the same bolt gets about 8 % more in the newer one."""

    PLASTIC = "VDI 2230:2001 on"
    ELASTIC = "before VDI 2230:2001"


class Coefficients(Enum):
    """How the long form's numbers are written: exact, or rounded as VDI 2230 prints them."""

    EXACT = "exact"
    ROUNDED = "rounded"


class Friction(Struct, frozen=True):
    """Friction coefficients of the thread and of the head."""

    thread: float
    head: float


class Arms(Struct, frozen=True):
    """What the parts of a torque take for 1 N of preload, in mm: the pitch (the useful part), thread friction, head."""

    pitch_mm: float
    thread_mm: float
    head_mm: float

    @property
    def total_mm(self) -> float:
        """All three together, in mm."""
        return self.pitch_mm + self.thread_mm + self.head_mm


class Shares(Struct, frozen=True):
    """How a torque divides into the pitch (the useful part), thread friction and head friction; together 1."""

    pitch: float
    thread: float
    head: float


class FactorRange(Struct, frozen=True):
    """The lowest and highest K that is met."""

    low: float
    high: float


class Window(Struct, frozen=True):
    """The least and greatest preload in N."""

    low_n: float
    high_n: float


class TorqueRange(Struct, frozen=True):
    """The least and greatest torque in N·m."""

    low_nm: float
    high_nm: float


# --- Short form


def torque_for(preload_n: float, diameter_mm: float, nut_factor: float) -> float:
    """The torque in N·m for a preload, T = K d F: F in N, d in mm, K bare.

    Valid below yield. Raises ValueError for a figure that is not above 0. Source: many torque pages (read).
    """
    _above_zero(preload=preload_n, diameter=diameter_mm, K=nut_factor)
    return nut_factor * diameter_mm * preload_n / 1000


def preload_from(torque_nm: float, diameter_mm: float, nut_factor: float) -> float:
    """The preload in N from a torque in N·m, F = T / (K d); range, errors and source as for `torque_for`."""
    _above_zero(diameter=diameter_mm, K=nut_factor)
    return check_torque(torque_nm) * 1000 / (nut_factor * diameter_mm)


def _above_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not (math.isfinite(figure) and figure > 0):
            raise ValueError(f"The {name} has to be more than 0, not {figure:g}: look it up again.")


# --- Long form


def mean_bearing_mm(face_mm: float, hole_mm: float) -> float:
    """The mean diameter in mm under a head, (dw + dh) / 2; raises ValueError unless the face is wider than the hole."""
    if not 0 <= hole_mm < face_mm < math.inf:
        raise ValueError(
            f"A bearing face of {face_mm:g} mm does not reach over a hole of {hole_mm:g} mm: measure both again."
        )
    return (face_mm + hole_mm) / 2


def arms(
    thread: Thread, friction: Friction, bearing_mm: float, coefficients: Coefficients = Coefficients.EXACT
) -> Arms:
    """What a torque takes for 1 N of preload: P / 2 pi, mu d2 / (2 cos 30°), mu Dm / 2, each in mm.

    `bearing_mm` is the mean diameter Dm under the head; 30° is half the angle of the flanks, and the rounded numbers
    are for it. Valid below yield. Raises ValueError for a negative friction or no bearing. Source: a lubricant maker's
    guide, 0.159 P + 0.577 d2 (read); VDI 2230 rounds to 0.16 and 0.58, 0.25 % more (from memory).
    """
    if friction.thread < 0 or friction.head < 0:
        raise ValueError("A friction coefficient is 0 or more: look it up again.")
    _above_zero(bearing=bearing_mm)
    exact = coefficients is Coefficients.EXACT
    pitch, flank = (1 / (2 * math.pi), 1 / (2 * flank_cosine(thread))) if exact else (0.16, 0.58)
    thread_mm = flank * pitch_diameter_mm(thread) * friction.thread
    return Arms(pitch * thread.pitch_mm, thread_mm, friction.head * bearing_mm / 2)


def torque_with_friction(preload_n: float, of_torque: Arms) -> float:
    """The torque in N·m for a preload in N by the long form; raises ValueError for a preload that is not above 0."""
    _above_zero(preload=preload_n)
    return preload_n * of_torque.total_mm / 1000


def preload_with_friction(torque_nm: float, of_torque: Arms) -> float:
    """The preload in N from a torque in N·m by the long form; raises ValueError for a torque that cannot be."""
    return check_torque(torque_nm) * 1000 / of_torque.total_mm


def nut_factor(thread: Thread, of_torque: Arms) -> float:
    """The K of the short form that the long form amounts to, T / (F d)."""
    return of_torque.total_mm / thread.diameter_mm


def shares(of_torque: Arms) -> Shares:
    """How the torque divides; the trade's 10, 40 and 50 % is a rounding of this."""
    total = of_torque.total_mm
    return Shares(of_torque.pitch_mm / total, of_torque.thread_mm / total, of_torque.head_mm / total)


# --- Preload at yield

_TORSION = {Generation.PLASTIC: 1.5, Generation.ELASTIC: 2.0}


def preload_at_yield_n(
    thread: Thread, yield_mpa: float, thread_friction: float, generation: Generation, share: float = 0.9
) -> float:
    """The preload in N at which tension and torsion together use `share` of the yield stress.

    F = As share Rp / sqrt(1 + 3 (f d2/d0 (P / (pi d2) + 1.155 mu))²), f 1.5 (plastic) or 2.0 (elastic); Rp in MPa.
    Raises ValueError for a stress not above 0, a negative friction, or a share outside 0 to 1. Source: VDI 2230 (from
    memory); reproduces the printed tables of 2001 to 0.4 % and older ones to 2.5 % in torque (read).
    """
    _above_zero(**{"yield stress": yield_mpa})
    if thread_friction < 0:
        raise ValueError("A friction coefficient is 0 or more: look it up again.")
    if not 0 < share <= 1:
        raise ValueError(f"The share of yield is more than 0 and up to 1, not {share:g}: 0.9 is usual.")
    area, stress_mm, pitch_mm = stress_area_mm2(thread), stress_diameter_mm(thread), pitch_diameter_mm(thread)
    lead = thread.pitch_mm / (math.pi * pitch_mm) + thread_friction / flank_cosine(thread)
    torsion = _TORSION[generation] * pitch_mm / stress_mm * lead
    return area * share * yield_mpa / math.sqrt(1 + 3 * torsion**2)


# --- Scatter


def scatter_from_alpha(alpha: float) -> float:
    """The scatter either way of the mean, as a share, from alpha_A = Fmax / Fmin: (alpha - 1) / (alpha + 1).

    Raises ValueError for a factor below 1. Source: VDI 2230 (from memory); the percentages agree with its list of 1986
    (read).
    """
    if not (math.isfinite(alpha) and alpha >= 1):
        raise ValueError(f"A tightening factor is 1 or more, not {alpha:g}: it is greatest over least preload.")
    return (alpha - 1) / (alpha + 1)


def alpha_from_scatter(scatter: float) -> float:
    """alpha_A from the scatter either way, as a share: (1 + g) / (1 - g). Raises ValueError outside 0 to below 1."""
    _check_scatter(scatter)
    return (1 + scatter) / (1 - scatter)


def least_preload_n(greatest_n: float, alpha: float) -> float:
    """The least preload in N that the greatest and the tightening factor leave, Fmax / alpha_A. Errors as above."""
    spread = alpha_from_scatter(scatter_from_alpha(alpha))
    _above_zero(preload=greatest_n)
    return greatest_n / spread


def _check_scatter(scatter: float) -> None:
    if not 0 <= scatter < 1:
        raise ValueError(f"A scatter is a share from 0 to below 1, not {scatter:g}: 35 % is 0.35.")


def method_scatter(method: Method, tables: Tables) -> tuple[float, float]:
    """The least and most that any list says a method scatters either way, as shares; the lists disagree.

    Raises ValueError when no list has the method.
    """
    rows = [row for row in tables.scatters if row.method is method]
    if not rows:
        raise ValueError(f"No list says how far the preload strays with {method.value}: take another method's.")
    return min(row.low for row in rows), max(row.high for row in rows)


# --- What a torque gives, and the torque for a preload


def factor_range(state: ThreadState, tables: Tables) -> FactorRange:
    """The K of threads in a state: from the lowest to the highest that any table says.

    Sealant and threadlocker have no measured source and are wide on purpose. Raises ValueError when no row is there.
    """
    rows = [row for row in tables.nut_factors if row.state is state]
    if not rows:
        raise ValueError(f"No K is known for threads that are “{state.value}”: take “{ThreadState.UNKNOWN.value}”.")
    return FactorRange(min(row.low for row in rows), max(row.high for row in rows))


_WITH = (ThreadState.ASSEMBLY_PASTE, ThreadState.ANTI_SEIZE, ThreadState.THREAD_SEALANT, ThreadState.THREADLOCKER)


def state_note(state: ThreadState, tables: Tables) -> str:
    """The K of threads in a state as one sentence, which says so where nobody measured it. Errors as above."""
    found = factor_range(state, tables)
    said = f"The K of threads {'with' if state in _WITH else 'that are'} {state.value} may be {_span(found)}"
    if any(row.origin.known is Known.READ for row in tables.nut_factors if row.state is state):
        return f"{said}."
    knowns = dict.fromkeys(row.origin.known.value for row in tables.nut_factors if row.state is state)
    return f"{said} ({_and(list(knowns))}): no measured source was read."


def _span(factors: FactorRange) -> str:
    return f"{factors.low:.2f} to {factors.high:.2f}"


def preload_window(torque_nm: float, diameter_mm: float, factors: FactorRange, scatter: float = 0.0) -> Window:
    """The preload in N that a torque may give: (1 - g) T / (K_high d) to (1 + g) T / (K_low d).

    T in N·m, d in mm, g the method's scatter as a share. The lists' scatter of a torque wrench holds friction already,
    so both together are the worst case. Raises ValueError for figures that cannot be. Source: doi
    10.1007/s11668-019-00693-z for one K (read).
    """
    _check_scatter(scatter)
    _check_factors(factors)
    low = (1 - scatter) * preload_from(torque_nm, diameter_mm, factors.high)
    return Window(low, (1 + scatter) * preload_from(torque_nm, diameter_mm, factors.low))


def preload_window_by_class(torque_nm: float, thread: Thread, bearing_mm: float, friction: FrictionClass) -> Window:
    """The preload in N that a torque in N·m may give by the long form, over a friction class; Dm in mm.

    Errors and source as for `arms`; the classes are of VDI 2230 (read).
    """
    most, least = (arms(thread, Friction(mu, mu), bearing_mm) for mu in (friction.high, friction.low))
    return Window(preload_with_friction(torque_nm, most), preload_with_friction(torque_nm, least))


def torque_window(preload_n: float, diameter_mm: float, factors: FactorRange) -> TorqueRange:
    """The torques in N·m that a preload in N may take, K_low d F to K_high d F. Errors as for `torque_for`."""
    _check_factors(factors)
    return TorqueRange(*(torque_for(preload_n, diameter_mm, factor) for factor in (factors.low, factors.high)))


def same_preload(torque_nm: float, from_state: ThreadState, to_state: ThreadState, tables: Tables) -> TorqueRange:
    """The torques in N·m that may give the same preload with the threads in another state: always a range.

    From T K_low / K_high to T K_high / K_low, the ends of both states' K; in the same state the torque stands.
    Printed reductions for oil run from 10 to 50 % (read), so there is no one figure. Errors as for `factor_range`.
    """
    check_torque(torque_nm)
    if from_state is to_state:
        return TorqueRange(torque_nm, torque_nm)
    had, has = factor_range(from_state, tables), factor_range(to_state, tables)
    return TorqueRange(torque_nm * has.low / had.high, torque_nm * has.high / had.low)


def proof_shares(window: Window, thread: Thread, strength: Strength) -> tuple[float, float]:
    """The least and greatest preload as shares of the bolt's proof load. Errors as for `proof_load_n`."""
    proof_n = proof_load_n(thread, strength)
    return window.low_n / proof_n, window.high_n / proof_n


def _check_factors(factors: FactorRange) -> None:
    if not 0 < factors.low <= factors.high < math.inf:
        raise ValueError(f"K runs from {factors.low:g} to {factors.high:g}, which cannot be: the low one goes first.")


# --- What a printed torque is worth


class TorqueFigure(Struct, frozen=True):
    """A torque from a printed table, and what the table says beside it; None or empty where it says nothing.

    `edition` names the table's issue, `friction` its friction value (or its K), `head_face_mm` the head it is for;
    `preload_n` is the clamp it prints, at `proof_share` of proof load; `corrected_from` is the state its figure was
    worked out from when it was not printed for `state` itself.
    """

    torque_nm: float
    thread: Thread
    strength: Strength
    state: ThreadState
    edition: str = ""
    friction: float | None = None
    head_face_mm: float | None = None
    preload_n: float | None = None
    proof_share: float | None = None
    nut_factor: float | None = None
    corrected_from: ThreadState | None = None


def figure_faults(figure: TorqueFigure, tables: Tables) -> tuple[str, ...]:
    """What stands against a printed torque, a sentence each; none when it can be taken as a reference.

    It has to name its edition, friction value and head size (the same bolt differs by 8 % between editions, read), must
    not be a silent correction for other threads, and has to agree with its own clamp and K. Raises ValueError for a
    torque that cannot be.
    """
    check_torque(figure.torque_nm)
    return tuple(_faults(figure, tables))


def _faults(figure: TorqueFigure, tables: Tables) -> Iterable[str]:
    missing = [
        name
        for name, there in (
            ("edition", bool(figure.edition.strip())),
            ("friction value", figure.friction is not None),
            ("head size", figure.head_face_mm is not None),
        )
        if not there
    ]
    if missing:
        yield f"This torque is not a reference: its table does not say its {_and(missing)}."
    if figure.corrected_from not in (None, figure.state):
        yield _correction(figure, tables)
    if figure.preload_n is not None:
        yield from _clamp_faults(figure, figure.preload_n, tables)


def _correction(figure: TorqueFigure, tables: Tables) -> str:
    had = figure.corrected_from or figure.state
    low, high = factor_range(figure.state, tables), factor_range(had, tables)
    least, most = low.low / high.high - 1, low.high / high.low - 1
    return (
        f"This torque was worked out for {figure.state.value} threads from one for {had.value} threads: "
        f"the same preload may take {least:+.0%} to {most:+.0%}, so look at the preload at both ends."
    )


def _clamp_faults(figure: TorqueFigure, clamp_n: float, tables: Tables) -> Iterable[str]:
    if figure.proof_share is not None:
        own = figure.proof_share * proof_load_n(figure.thread, figure.strength)
        if abs(clamp_n / own - 1) > _CLAMP_SLIP:
            yield f"This table's clamp is {clamp_n / 1000:.2f} kN, and its own rule gives {own / 1000:.2f} kN."
    implied = implied_factor(figure.torque_nm, figure.thread, clamp_n)
    if figure.nut_factor is not None and abs(implied / figure.nut_factor - 1) > _TORQUE_SLIP:
        own_nm = torque_for(clamp_n, figure.thread.diameter_mm, figure.nut_factor)
        yield f"This torque is {figure.torque_nm:.1f} N·m, and its own clamp and K give {own_nm:.1f} N·m."
    factors = factor_range(figure.state, tables)
    if not factors.low <= round(implied, 3) <= factors.high:
        yield (
            f"This torque and its clamp come to K = {implied:.3f}, and {figure.state.value} threads have "
            f"{_span(factors)}: it stands under the wrong heading or has a slip."
        )


def implied_factor(torque_nm: float, thread: Thread, preload_n: float) -> float:
    """The K that a torque in N·m and a preload in N amount to, T / (F d). Raises ValueError for figures not above 0."""
    _above_zero(preload=preload_n)
    return check_torque(torque_nm) * 1000 / (preload_n * thread.diameter_mm)


def _and(words: list[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
