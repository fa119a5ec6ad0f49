"""Torque wrenches: what to set with an adapter on, how far to trust it, and which wrench to take.

Symbols: L is the lever from the drive centre to the point where the hand pulls, E the adapter from the drive centre to
the fastener's centre, a the angle between the handle's axis produced forward and the adapter.
"""

import math
from collections.abc import Sequence
from enum import Enum

from msgspec import Struct

from app.trade.notation import write_magnitude
from app.trade.quantity import UNITS, Kind

# No fastener of an engine built at home asks for more; a figure above it was typed in the wrong unit.
MOST_TORQUE_NM = 2000.0
LOWEST_SHARE = 0.20
BEST_SHARES = (0.30, 0.80)
GRADUATION_SHARE = 0.10
CHECK_DAYS = 365
CHECK_CYCLES = 5000
_SMALL_TORQUE_NM = 10.0
_RESOLUTION_SHARE = 0.25


class WrenchKind(Enum):
    """How a wrench tells its torque."""

    CLICK = "click"
    BEAM = "beam"
    DIAL = "dial"
    ELECTRONIC = "electronic"


class Adapter(Struct, frozen=True):
    """An adapter on the drive: centre to centre in mm, its angle in degrees, and how far its length may be off in mm.

    0° stands straight ahead, 90° square, 180° folded back under the handle. A plain socket extension is none.
    """

    length_mm: float
    angle_deg: float = 0.0
    doubt_mm: float = 0.0


class Wrench(Struct, frozen=True):
    """A torque wrench: range and graduation in N·m, the unit its scale reads in, its last check, its lever in mm.

    `days_since_check`, `cycles_since_check` and `lever_mm` are None where nobody knows.
    """

    name: str
    low_nm: float
    high_nm: float
    graduation_nm: float
    unit: str
    days_since_check: int | None
    cycles_since_check: int | None
    lever_mm: float | None
    kind: WrenchKind


class Setting(Struct, frozen=True):
    """A wrench's setting in N·m: the exact one, the one its scale can show, and what that gives at the bolt."""

    exact_nm: float
    set_nm: float
    at_bolt_nm: float


class Doubt(Struct, frozen=True):
    """How far the torque at the bolt may be off, in N·m: each part, their root sum square, and all at once."""

    wrench_nm: float
    rounding_nm: float
    adapter_nm: float

    @property
    def likely_nm(self) -> float:
        """The root sum square of the parts, in N·m: they are independent."""
        return math.hypot(self.wrench_nm, self.rounding_nm, self.adapter_nm)

    @property
    def worst_nm(self) -> float:
        """The sum of the parts, in N·m: all off the same way."""
        return self.wrench_nm + self.rounding_nm + self.adapter_nm


class Choice(Struct, frozen=True):
    """One wrench for a torque: whether it may be used, what to set if so, and sentences that say why."""

    wrench: Wrench
    usable: bool
    setting: Setting | None
    sentences: tuple[str, ...]


# --- Adapters


def wrench_setting(torque_nm: float, lever_mm: float, adapter_mm: float, angle_deg: float = 0.0) -> float:
    """The torque in N·m to set on the wrench so that the bolt gets `torque_nm`: T L / (L + E cos a).

    T in N·m, L and E in mm, a in degrees; 0 < T <= 2000, L > 0, E >= 0, L + E cos a > 0, the hand square to the handle.
    Raises ValueError. Source: US Army TM 9-254 para 4-1, both forms; shortening TM 1-1500-204-23-9 (read).
    """
    return check_torque(torque_nm) / _ratio(lever_mm, adapter_mm, angle_deg)


def torque_at_bolt(setting_nm: float, lever_mm: float, adapter_mm: float, angle_deg: float = 0.0) -> float:
    """The torque in N·m at the bolt when the wrench is set to `setting_nm`: T (L + E cos a) / L.

    Units, range, errors and source as for `wrench_setting`, which it undoes.
    """
    return check_torque(setting_nm) * _ratio(lever_mm, adapter_mm, angle_deg)


def check_torque(torque_nm: float) -> float:
    """Hand a torque in N·m back, or raise ValueError if no engine bolt takes it (common practice: up to 2000 N·m)."""
    if not (math.isfinite(torque_nm) and torque_nm > 0):
        raise ValueError(f"A torque has to be more than 0 N·m, not {torque_nm:g}: type the torque wanted at the bolt.")
    if torque_nm > MOST_TORQUE_NM:
        raise ValueError(f"{torque_nm:.0f} N·m is more than any engine bolt takes: check the unit that was typed.")
    return torque_nm


def _ratio(lever_mm: float, adapter_mm: float, angle_deg: float) -> float:
    """Torque at the bolt over torque set."""
    if not (math.isfinite(lever_mm) and lever_mm > 0):
        raise ValueError(f"The lever has to be longer than 0 mm, not {lever_mm:g}: measure from the drive to the grip.")
    if not (math.isfinite(adapter_mm) and adapter_mm >= 0):
        raise ValueError(f"The adapter has to be 0 mm or longer, not {adapter_mm:g}: measure from centre to centre.")
    if not math.isfinite(angle_deg):
        raise ValueError("The adapter's angle has to be a number of degrees: 0 is straight ahead, 90 is square.")
    reach_mm = lever_mm + adapter_mm * _cosine(angle_deg)
    if reach_mm <= 0:
        raise ValueError(
            f"An adapter of {adapter_mm:g} mm folded back reaches past the hand on a lever of {lever_mm:g} mm: "
            "turn it to 90° or take a shorter one."
        )
    return reach_mm / lever_mm


def _cosine(angle_deg: float) -> float:
    # The cosine of 90° has to be nothing at all: a square adapter changes nothing
    return round(math.cos(math.radians(angle_deg)), 15)


# --- One wrench


def rounded_setting(torque_nm: float, wrench: Wrench, adapter: Adapter | None = None) -> Setting:
    """What to set on this wrench for `torque_nm` at the bolt, to the nearest graduation, and what that gives there.

    All in N·m. Raises ValueError for a torque, a length or a scale that cannot be, or an adapter on a wrench whose
    lever nobody measured.
    """
    _check_scale(wrench)
    ratio = _wrench_ratio(wrench, adapter)
    exact = check_torque(torque_nm) / ratio
    shown = round(exact / wrench.graduation_nm) * wrench.graduation_nm
    return Setting(exact, shown, shown * ratio)


def _check_scale(wrench: Wrench) -> None:
    if not 0 <= wrench.low_nm < wrench.high_nm < math.inf:
        raise ValueError(f"{wrench.name} needs a scale that goes up from 0 or more: read its lowest and highest mark.")
    if not (math.isfinite(wrench.graduation_nm) and wrench.graduation_nm > 0):
        raise ValueError(f"{wrench.name} needs a graduation of more than 0: read the smallest step on its scale.")
    if wrench.unit not in UNITS or UNITS[wrench.unit].kind is not Kind.TORQUE:
        raise ValueError(f"{wrench.name} reads “{wrench.unit}”, which is not a unit of torque: take N·m or lbf·ft.")


def _wrench_ratio(wrench: Wrench, adapter: Adapter | None) -> float:
    if adapter is None:
        return 1.0
    # A square adapter needs no lever: any length gives the same
    lever = 1.0 if wrench.lever_mm is None and _cosine(adapter.angle_deg) == 0 else wrench.lever_mm
    if lever is None:
        raise ValueError(
            f"{wrench.name} needs its lever for an adapter: measure from drive to grip, or put the adapter at 90°."
        )
    return _ratio(lever, adapter.length_mm, adapter.angle_deg)


def iso_tolerance(torque_nm: float) -> float:
    """The share a setting wrench may be off: 0.06 to 10 N·m, 0.04 above.

    Source: ISO 6789:2003 type II class A, quoted in a tool maker's manual (read); other classes differ (from memory).
    """
    return 0.06 if check_torque(torque_nm) <= _SMALL_TORQUE_NM else 0.04


def lowest_sure_nm(full_scale_nm: float) -> float:
    """The torque in N·m below which no accuracy is promised: 20 % of full scale (US Army TM 1-1500-204-23-9, read).

    ISO 6789-1:2017 starts at the lowest marked value instead (read).
    """
    return LOWEST_SHARE * check_torque(full_scale_nm)


def best_band_nm(full_scale_nm: float) -> tuple[float, float]:
    """The torques in N·m a wrench is best at, 30 % to 80 % of full scale (US Army TM 1-1500-204-23-9, read)."""
    low, high = BEST_SHARES
    return low * check_torque(full_scale_nm), high * full_scale_nm


def doubt_at_bolt(
    setting: Setting, wrench: Wrench, adapter: Adapter | None = None, lever_doubt_mm: float = 0.0
) -> Doubt:
    """How far the torque at the bolt may be off, in N·m.

    Its parts: the wrench's tolerance (ISO 6789:2003, read), half a graduation of its scale, and what the doubts about
    the adapter's and the lever's length in mm make at the bolt, by the slopes of T (L + E cos a) / L (computed).
    Raises ValueError as `rounded_setting` does, and for a doubt below 0.
    """
    if lever_doubt_mm < 0 or (adapter is not None and adapter.doubt_mm < 0):
        raise ValueError("A doubt about a length is 0 mm or more: type how far it may be off either way.")
    ratio = _wrench_ratio(wrench, adapter)
    tolerance = iso_tolerance(setting.set_nm) * setting.set_nm * ratio
    rounding = wrench.graduation_nm / 2 * ratio
    return Doubt(tolerance, rounding, _adapter_doubt(setting.set_nm, wrench, adapter, lever_doubt_mm))


def _adapter_doubt(set_nm: float, wrench: Wrench, adapter: Adapter | None, lever_doubt_mm: float) -> float:
    if adapter is None or wrench.lever_mm is None:
        return 0.0
    forward = abs(_cosine(adapter.angle_deg)) * set_nm / wrench.lever_mm
    return math.hypot(forward * adapter.doubt_mm, forward * adapter.length_mm / wrench.lever_mm * lever_doubt_mm)


# --- Which wrench


def choose(
    wrenches: Sequence[Wrench], torque_nm: float, unit: str = "N·m", adapter: Adapter | None = None
) -> tuple[Choice, ...]:
    """The wrenches for a torque in N·m at the bolt, best first, each with sentences that say why.

    `unit` is the one the spec is written in. Usable is from 20 % to 100 % of full scale, best 30 % to 80 %, with a
    graduation of at most 10 % of the torque (US Army TM 1-1500-204-23-9 table 8-1, read), checked within 12 months or
    5000 cycles (ISO 6789, quoted by tool makers, read). Raises ValueError for a torque or a unit that cannot be.
    """
    check_torque(torque_nm)
    if unit not in UNITS or UNITS[unit].kind is not Kind.TORQUE:
        raise ValueError(f"“{unit}” is not a unit of torque: take N·m or lbf·ft.")
    ranked = sorted((_ranked(wrench, torque_nm, unit, adapter) for wrench in wrenches), key=lambda pair: pair[0])
    return tuple(choice for _, choice in ranked)


def _ranked(
    wrench: Wrench, torque_nm: float, unit: str, adapter: Adapter | None
) -> tuple[tuple[bool, int, float], Choice]:
    try:
        setting = rounded_setting(torque_nm, wrench, adapter)
    except ValueError as error:
        return (True, 0, math.inf), Choice(wrench, usable=False, setting=None, sentences=(str(error),))
    hard = _out_of_range(setting, wrench)
    soft = [*_coarse(setting, wrench), *_unchecked(wrench), *_other_scale(wrench, unit)]
    share = setting.exact_nm / wrench.high_nm
    off_middle = abs(share - sum(BEST_SHARES) / 2)
    if not hard and not BEST_SHARES[0] <= share <= BEST_SHARES[1]:
        soft.insert(0, f"{wrench.name} would work at {share:.0%} of its scale, and is best between 30 % and 80 %.")
    sentences = (*hard, *soft, *(() if hard else _how(setting, wrench, adapter)))
    return (bool(hard), len(soft), off_middle), Choice(wrench, not hard, setting, sentences)


def _out_of_range(setting: Setting, wrench: Wrench) -> tuple[str, ...]:
    needed = _say(setting.exact_nm, wrench.unit)
    lowest = lowest_sure_nm(wrench.high_nm)
    if setting.exact_nm > wrench.high_nm:
        return (f"{wrench.name} ends at {_say(wrench.high_nm, wrench.unit)}, and {needed} is needed.",)
    if setting.exact_nm < wrench.low_nm:
        return (f"{wrench.name} starts at {_say(wrench.low_nm, wrench.unit)}, and {needed} is needed.",)
    if setting.exact_nm < lowest:
        sure = _say(lowest, wrench.unit)
        return (f"{wrench.name} is not sure below {sure}, 20 % of its scale, and {needed} is needed.",)
    if setting.set_nm <= 0:
        return (f"{wrench.name} cannot show {needed}: its graduation is coarser than that.",)
    return ()


def _coarse(setting: Setting, wrench: Wrench) -> tuple[str, ...]:
    step = _say(wrench.graduation_nm, wrench.unit)
    if wrench.graduation_nm > GRADUATION_SHARE * setting.exact_nm:
        return (f"{wrench.name} reads in steps of {step}, more than a tenth of what is to be set.",)
    finest = _RESOLUTION_SHARE * iso_tolerance(setting.exact_nm) * setting.exact_nm
    if wrench.kind is WrenchKind.ELECTRONIC and wrench.graduation_nm > finest:
        return (f"{wrench.name} shows steps of {step}, more than a quarter of what it may be off.",)
    return ()


def _unchecked(wrench: Wrench) -> tuple[str, ...]:
    if wrench.days_since_check is None:
        return (f"Nobody knows when {wrench.name} was last checked.",)
    if wrench.days_since_check > CHECK_DAYS:
        return (f"{wrench.name} was last checked {wrench.days_since_check} days ago, more than 12 months.",)
    if (wrench.cycles_since_check or 0) > CHECK_CYCLES:
        return (f"{wrench.name} has done {wrench.cycles_since_check} cycles since its check, more than 5000.",)
    return ()


def _other_scale(wrench: Wrench, unit: str) -> tuple[str, ...]:
    if wrench.unit == unit:
        return ()
    return (f"{wrench.name} reads {wrench.unit} and the spec is in {unit}: set the converted figure, not the number.",)


def _say(torque_nm: float, unit_id: str) -> str:
    unit = UNITS[unit_id]
    return write_magnitude(unit.to_base(float(f"{unit.from_base(torque_nm):.4g}")), unit_id)


def _how(setting: Setting, wrench: Wrench, adapter: Adapter | None) -> tuple[str, ...]:
    shown, gives = (_say(value, wrench.unit) for value in (setting.set_nm, setting.at_bolt_nm))
    reads = wrench.kind in (WrenchKind.BEAM, WrenchKind.DIAL)
    with_adapter = "" if adapter is None else " with the adapter on"
    if reads:
        return (f"Pull until {wrench.name} reads {shown}{with_adapter}: it does not click, and the bolt gets {gives}.",)
    return (f"Set {wrench.name} to {shown}{with_adapter}: the bolt gets {gives}.",)


def faults(torque_nm: float, wrench: Wrench, adapter: Adapter | None = None) -> tuple[str, ...]:
    """What forbids a wrench for a torque in N·m at the bolt: its range, or a check that is overdue; a sentence each.

    Range, errors and sources as for `choose`.
    """
    setting = rounded_setting(torque_nm, wrench, adapter)
    return (*_out_of_range(setting, wrench), *_unchecked(wrench))
