"""What a joint's figures come to: from what was typed and the tables to preload, share of proof, pressure and threads.

The figures are taken from the tables once, when the joint is described, and kept with it: a later edition of a table
does not change what a bolt was tightened by.
"""

from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.lines import Line
from app.assembly.said.joints import JointSaid, TakenFrom
from app.assembly.said.marks import State
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import Pass, described_lines, joint_key, joint_of, passes, written_for
from app.trade.joint import (
    Joint,
    Limit,
    bearing_area_mm2,
    engagement_bolt_breaks_mm,
    findings,
    shear_mpa,
    strip_load_n,
    surface_pressure_mpa,
    which_first,
)
from app.trade.notation import NotationError, read_quantity
from app.trade.preload import (
    FactorRange,
    TorqueRange,
    Window,
    factor_range,
    method_scatter,
    preload_from,
    preload_window,
)
from app.trade.quantity import UNITS, Kind
from app.trade.tables import (
    Known,
    Method,
    Origin,
    PressureLimit,
    Strength,
    Tables,
    ThreadState,
    find_pressure_limits,
    find_strength,
)
from app.trade.thread_limits import has_limits
from app.trade.threads import Seal, Thread, form_named, proof_load_n, read_thread, seal_of
from app.trade.verdict import check_size
from app.trade.wrench import check_torque

# What a plan's words for a thread state mean in the tables.
STATES = {f"with {state.value}": state for state in ThreadState} | {state.value: state for state in ThreadState}
STATES |= {"with sealant": ThreadState.THREAD_SEALANT, "with anti-seize": ThreadState.ANTI_SEIZE}


class JointSum(Struct, frozen=True):
    """What one torque comes to in a joint: preload in N, and what it means for bolt, surface and threads.

    A part that cannot be worked out, because something of the joint is not known, is None.
    """

    torque_nm: float
    window: Window
    middle_n: float
    as_written: Window | None
    proof_n: float | None
    pressure_mpa: tuple[float, float, float] | None
    limit_mpa: float | None
    strip_n: float | None
    needed_mm: float | None
    engagement_mm: float | None
    first: Limit | None
    findings: tuple[str, ...]


def described(typed: Mapping[str, str], tables: Tables, by: str, at: datetime, old: JointSaid | None) -> JointSaid:
    """A joint from what was typed, with what was said before where nothing new was; raises ValueError in a sentence.

    An empty text takes away what was said.
    """
    words = {**(dict(old.typed) if old else {}), **{name: text.strip() for name, text in typed.items()}}
    words = {name: text for name, text in words.items() if text}
    said = JointSaid(words, by, at)
    for take in (_bolt, _states, _surface, _hole, _wrench):
        said = take(said, tables)
    return said


def _bolt(said: JointSaid, tables: Tables) -> JointSaid:
    if not said.said("thread"):
        return said
    thread = read_thread(said.said("thread"), tables)
    if seal_of(thread) is not Seal.ELSEWHERE:
        raise ValueError(f"{thread.name} is a pipe thread: it seals, and no bolt load is worked out for it.")
    said = replace(said, diameter_mm=thread.diameter_mm, pitch_mm=thread.pitch_mm, unified=thread.unified)
    if not said.said("strength"):
        return said
    row = find_strength(tables, said.said("strength"), thread.diameter_mm)
    said = replace(said, proof_mpa=row.proof_mpa, tensile_mpa=row.tensile_mpa, yield_mpa=row.yield_mpa)
    return _from(said, TakenFrom.PROOF, row.name, row.proof_mpa, row.origin)


def _from(said: JointSaid, kind: TakenFrom, name: str, mpa: float, origin: Origin) -> JointSaid:
    where = {"edition": origin.edition, "source": origin.source, "known": origin.known.value}
    return replace(said, taken_from=(*said.taken_from, phrase(kind, name=name, mpa=mpa, **where)))


def _states(said: JointSaid, tables: Tables) -> JointSaid:
    used, written = state_of(said.said("state")), state_of(said.said("written_for"))
    if used is not None:
        found = factor_range(used, tables)
        said = replace(said, k_low=found.low, k_high=found.high)
        rows = [row for row in tables.nut_factors if row.state is used]
        sources = "; ".join(dict.fromkeys(row.origin.source for row in rows))
        known = ", ".join(dict.fromkeys(row.origin.known.value for row in rows))
        friction = {"low": found.low, "high": found.high, "state": used.value, "source": sources, "known": known}
        said = replace(said, taken_from=(*said.taken_from, Phrase(TakenFrom.FRICTION, friction)))
    if written is not None:
        found = factor_range(written, tables)
        said = replace(said, spec_k_low=found.low, spec_k_high=found.high)
    if said.said("method"):
        low, high = method_scatter(Method(said.said("method")), tables)
        said = replace(said, scatter_low=low, scatter_high=high)
    return said


def state_of(text: str) -> ThreadState | None:
    """The thread state a text says, None for words that say none (“as the figure says”)."""
    return STATES.get(text.strip())


def states_differ(survey: Survey, line: Line) -> tuple[str, str] | None:
    """The thread state a line's figure was written for and the one in use, where both are known and differ."""
    said = joint_of(survey.build, line)
    if said is None:
        return None
    written, used = written_for(survey, line), said.said("state")
    if state_of(written) is None or state_of(used) is None or state_of(written) is state_of(used):
        return None
    return written, used


def _surface(said: JointSaid, tables: Tables) -> JointSaid:
    said = replace(said, face_mm=_length(said, "face", "bearing face"), hole_mm=_length(said, "hole", "hole"))
    if said.face_mm is not None and said.hole_mm is not None:
        bearing_area_mm2(said.face_mm, said.hole_mm)  # says so in words where the face is not wider than the hole
    if not said.said("clamped"):
        return said
    own = _own_mpa(said.said("clamped"))
    if own is not None:
        return _own_figure(
            replace(said, limit_mpa=own, limit_edition=Known.OWN.value), TakenFrom.PRESSURE, "clamped", own
        )
    row = min(find_pressure_limits(tables, said.said("clamped")), key=lambda one: one.low_mpa)
    said = replace(said, limit_mpa=row.low_mpa, limit_edition=row.origin.edition)
    return _from(said, TakenFrom.PRESSURE, row.material, row.low_mpa, row.origin)


def _hole(said: JointSaid, tables: Tables) -> JointSaid:
    said = replace(said, engagement_mm=_length(said, "engagement", "engagement"))
    if not said.said("tapped"):
        return said
    own = _own_mpa(said.said("tapped"))
    if own is not None:
        return _own_figure(replace(said, tapped_mpa=own), TakenFrom.TENSILE, "tapped", own)
    row = min(find_pressure_limits(tables, said.said("tapped")), key=lambda one: one.tensile_low_mpa)
    said = replace(said, tapped_mpa=row.tensile_low_mpa)
    return _from(said, TakenFrom.TENSILE, row.material, row.tensile_low_mpa, row.origin)


def _own_mpa(text: str) -> float | None:
    """A person's own figure for a material, such as “300 MPa” or “43 ksi, its maker's sheet”, in MPa; None for a name.

    What stands behind the comma is where it is from.
    """
    try:
        found = read_quantity(text.partition(",")[0], Kind.PRESSURE)
    except NotationError:
        return None
    return check_size("The strength of a material", UNITS["MPa"].from_base(found.magnitude), "MPa")


def _own_figure(said: JointSaid, kind: TakenFrom, name: str, mpa: float) -> JointSaid:
    text, _, source = said.said(name).partition(",")
    origin = Origin("", source.strip() or "source not said", Known.OWN)
    return _from(said, kind, text.strip(), mpa, origin)


def _wrench(said: JointSaid, _tables: Tables) -> JointSaid:
    angle = said.said("adapter_angle")
    run_on = said.said("run_on")
    return replace(
        said,
        lever_mm=_length(said, "lever", "lever"),
        adapter_mm=_length(said, "adapter", "adapter"),
        adapter_deg=read_quantity(angle, Kind.ANGLE, unit="deg").magnitude if angle else 0.0,
        run_on_nm=check_torque(read_quantity(run_on, Kind.TORQUE, unit="N·m").magnitude) if run_on else 0.0,
        longest_mm=_length(said, "longest", "longest bolt to be used"),
        necked_mm=_length(said, "necked", "most a neck may be thinner"),
    )


def _length(said: JointSaid, name: str, what: str) -> float | None:
    text = said.said(name)
    if not text:
        return None
    found = read_quantity(text, Kind.LENGTH, unit="mm").magnitude
    if found <= 0:
        raise ValueError(f"The {what} has to be longer than 0 mm, not “{text}”: measure it again.")
    return found


# --- what a torque comes to


def thread_of(said: JointSaid) -> Thread | None:
    """The joint's thread, None where it was not said."""
    if said.diameter_mm is None or said.pitch_mm is None:
        return None
    return Thread(said.said("thread"), said.diameter_mm, said.pitch_mm, *form_named(said.said("thread")))


def strength_of(said: JointSaid) -> Strength | None:
    """The bolts' strength as it was taken from the table, None where it was not said."""
    if said.proof_mpa is None or said.tensile_mpa is None or said.yield_mpa is None:
        return None
    kept = Origin("", "kept with the joint", Known.READ)
    return Strength(said.said("strength"), said.proof_mpa, said.tensile_mpa, said.yield_mpa, 0.0, float("inf"), kept)


def whole_joint(said: JointSaid) -> Joint | None:
    """The joint with everything known that says what gives way first; None while something is not.

    Threads whose limits of size are not known (Whitworth, BA, own ones) never say it.
    """
    thread, strength = thread_of(said), strength_of(said)
    if thread is None or strength is None or said.face_mm is None or said.hole_mm is None:
        return None
    if said.limit_mpa is None or said.tapped_mpa is None or said.engagement_mm is None or not has_limits(thread):
        return None
    kept = Origin(said.limit_edition, "kept with the joint", Known.READ)
    clamped = PressureLimit(said.said("clamped"), 0.0, 0.0, said.limit_mpa, said.limit_mpa, proved=True, origin=kept)
    return Joint(thread, strength, said.face_mm, said.hole_mm, clamped, said.tapped_mpa, said.engagement_mm)


def factors_of(said: JointSaid) -> FactorRange | None:
    """The K of the threads as they are used, else as the figure was written for; None where neither was said."""
    for low, high in ((said.k_low, said.k_high), (said.spec_k_low, said.spec_k_high)):
        if low is not None and high is not None:
            return FactorRange(low, high)
    return None


def joint_sum(said: JointSaid, torque_nm: float) -> JointSum | None:
    """What a torque in N·m comes to; None until the thread and a state of it are known."""
    factors = factors_of(said)
    thread = thread_of(said)
    if factors is None or thread is None:
        return None
    window = preload_window(torque_nm, thread.diameter_mm, factors)
    middle = preload_from(torque_nm, thread.diameter_mm, (factors.low + factors.high) / 2)
    whole = whole_joint(said)
    return JointSum(
        torque_nm=torque_nm,
        window=window,
        middle_n=middle,
        as_written=_as_written(said, thread, torque_nm),
        proof_n=_proof(said, thread),
        pressure_mpa=_pressures(said, (window.low_n, middle, window.high_n)),
        limit_mpa=said.limit_mpa,
        strip_n=_strips_at(said, thread),
        needed_mm=_needed(said, thread),
        engagement_mm=said.engagement_mm,
        first=which_first(whole) if whole is not None else None,
        findings=findings(whole, window) if whole is not None else (),
    )


def _as_written(said: JointSaid, thread: Thread, torque_nm: float) -> Window | None:
    """The preload with the threads as the figure was written for, where that is another state."""
    low, high = said.spec_k_low, said.spec_k_high
    if low is None or high is None or (low, high) == (said.k_low, said.k_high) or said.k_low is None:
        return None
    return preload_window(torque_nm, thread.diameter_mm, FactorRange(low, high))


def _proof(said: JointSaid, thread: Thread) -> float | None:
    strength = strength_of(said)
    return proof_load_n(thread, strength) if strength is not None else None


def _pressures(said: JointSaid, preloads: tuple[float, float, float]) -> tuple[float, float, float] | None:
    if said.face_mm is None or said.hole_mm is None:
        return None
    low, middle, high = (surface_pressure_mpa(one, said.face_mm, said.hole_mm) for one in preloads)
    return low, middle, high


def _strips_at(said: JointSaid, thread: Thread) -> float | None:
    if said.engagement_mm is None or said.tapped_mpa is None or not has_limits(thread):
        return None
    return strip_load_n(thread, said.engagement_mm, shear_mpa(said.tapped_mpa))


def _needed(said: JointSaid, thread: Thread) -> float | None:
    strength = strength_of(said)
    if strength is None or said.tapped_mpa is None or not has_limits(thread):
        return None
    return engagement_bolt_breaks_mm(thread, strength, shear_mpa(said.tapped_mpa))


def same_as_written(said: JointSaid, torque_nm: float) -> TorqueRange | None:
    """The torques that may give the preload the figure was written for, with the threads as they are; a range."""
    if None in (said.spec_k_low, said.spec_k_high, said.k_low, said.k_high):
        return None
    had = FactorRange(said.spec_k_low or 0.0, said.spec_k_high or 0.0)
    has = FactorRange(said.k_low or 0.0, said.k_high or 0.0)
    if had == has:
        return None
    return TorqueRange(torque_nm * has.low / had.high, torque_nm * has.high / had.low)


def final_passes(survey: Survey, line: Line) -> Iterator[Pass]:
    """The last pass by torque of a line, where it has one."""
    by_torque = [one for one in passes(survey, line) if one.torque is not None and one.target_nm is not None]
    if by_torque:
        yield by_torque[-1]


# Several rules ask the same of one look at a build.
@lru_cache(maxsize=1)
def final_sums(survey: Survey) -> tuple[tuple[Line, JointSaid, JointSum], ...]:
    """What the last figure of each described joint comes to, at the last line by torque that has one."""
    last: dict[str, tuple[Line, JointSaid, float]] = {}
    for line, said in described_lines(survey):
        target = next((one.target_nm for one in final_passes(survey, line)), None)
        if target is not None and target > 0 and survey.state(line) is not State.NOT_NEEDED:
            last[joint_key(line)] = (line, said, target)
    found = ((line, said, joint_sum(said, target)) for line, said, target in last.values())
    return tuple((line, said, total) for line, said, total in found if total is not None)
