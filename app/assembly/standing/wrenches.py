"""The person's torque wrenches, and what to set on one so that a bolt gets its torque."""

from datetime import datetime

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.joints import JointSaid
from app.assembly.said.tools import TOOL, Tool
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import Pass, joint_of
from app.assembly.standing.tools import tool_of
from app.trade.notation import NotationError, read_quantity, read_span, write_magnitude
from app.trade.quantity import UNITS, Kind, Limits
from app.trade.wrench import Adapter, Choice, Setting, Wrench, WrenchKind, choose, rounded_setting, wrench_setting

# A wrench whose graduation nobody wrote is taken to read to a hundredth of its range.
_STEPS = 100


class WrenchSum(Struct, frozen=True):
    """What to set for one pass: the wrench, the setting and the sum behind it; `trouble` says what is missing."""

    wrench: str
    set_text: str
    at_bolt_text: str
    at_bolt_nm: float | None
    sum_text: str
    lever_text: str
    adapter_text: str
    adapter_deg: float
    trouble: str


def torque_wrench(tool: Tool, now: datetime) -> Wrench | None:
    """A tool as a torque wrench, or None where its range is no torque."""
    limits = span_of(tool)
    if limits is None or limits.high is None:
        return None
    days = (now - tool.checked).days if tool.checked is not None and not found_wrong(tool) else None
    return Wrench(
        name=tool.name,
        low_nm=limits.low or 0.0,
        high_nm=limits.high,
        graduation_nm=_graduation_nm(tool, limits),
        unit=limits.unit,
        days_since_check=max(days, 0) if days is not None else None,
        cycles_since_check=tool.cycles or None,
        lever_mm=_length_mm(tool.lever),
        kind=WrenchKind(tool.sort) if tool.sort in {one.value for one in WrenchKind} else WrenchKind.CLICK,
    )


def found_wrong(tool: Tool) -> bool:
    """Whether a tool was found wrong and not checked since."""
    return tool.wrong_at is not None and (tool.checked is None or tool.checked < tool.wrong_at)


def span_of(tool: Tool) -> Limits | None:
    """What a tool reads, as torque limits; None where its range says no torque."""
    try:
        return read_span(tool.span, Kind.TORQUE) if tool.span else None
    except NotationError:
        return None


def _graduation_nm(tool: Tool, limits: Limits) -> float:
    try:
        step = read_quantity(tool.graduation, Kind.TORQUE, unit=limits.unit).magnitude if tool.graduation else 0.0
    except NotationError:
        step = 0.0
    return step if step > 0 else (limits.high or 0.0) / _STEPS


def _length_mm(text: str) -> float | None:
    try:
        return read_quantity(text, Kind.LENGTH, unit="mm").magnitude if text else None
    except NotationError:
        return None


def choices(survey: Survey, torque_nm: float, unit: str, adapter: Adapter | None) -> tuple[Choice, ...]:
    """The person's wrenches for a torque at the bolt, best first."""
    found = [torque_wrench(tool, survey.now) for tool in _tools(survey.build)]
    return choose([one for one in found if one is not None], torque_nm, unit, adapter)


def _tools(build: Build) -> list[Tool]:
    return list(build.facts.of(TOOL).values())


def adapter_of(joint: JointSaid | None) -> Adapter | None:
    """The adapter on the wrench, None where there is none or its length is not known."""
    if joint is None or joint.adapter_mm is None:
        return None
    return Adapter(joint.adapter_mm, joint.adapter_deg)


def chosen_wrench(survey: Survey, joint: JointSaid | None) -> Wrench | None:
    """The wrench said for the joint, with the lever said there before the tool's own."""
    tool = tool_of(survey.build, joint.said("wrench")) if joint and joint.said("wrench") else None
    wrench = torque_wrench(tool, survey.now) if tool is not None else None
    if wrench is None or joint is None or joint.lever_mm is None:
        return wrench
    return replace(wrench, lever_mm=joint.lever_mm)


def wrench_sum(survey: Survey, line: Line, the_pass: Pass) -> WrenchSum | None:
    """What to set for a pass by torque, and how that comes about; None for a turn or where the figure is missing."""
    target = the_pass.target_nm
    if target is None or the_pass.torque is None:
        return None
    joint = joint_of(survey.build, line)
    wrench, adapter, unit = chosen_wrench(survey, joint), adapter_of(joint), the_pass.torque.unit
    run_on = joint.run_on_nm if joint else 0.0
    wanted = target + run_on
    lever = wrench.lever_mm if wrench is not None else joint.lever_mm if joint else None
    base = WrenchSum(
        wrench=wrench.name if wrench is not None else "",
        set_text="",
        at_bolt_text="",
        at_bolt_nm=None,
        sum_text="",
        lever_text=write_magnitude(lever, "mm") if lever is not None else "",
        adapter_text=joint.said("adapter") if joint else "",
        adapter_deg=joint.adapter_deg if joint else 0.0,
        trouble="",
    )
    try:
        setting = _setting(wanted, wrench, adapter, lever)
    except ValueError as error:
        return replace(base, trouble=str(error))
    shown = wrench.unit if wrench is not None else unit
    return replace(
        base,
        set_text=write_magnitude(setting.set_nm, shown),
        at_bolt_text=write_magnitude(setting.at_bolt_nm - run_on, unit),
        at_bolt_nm=setting.at_bolt_nm - run_on,
        sum_text=_sum_text(target, run_on, adapter, lever, setting, unit),
    )


def _setting(torque_nm: float, wrench: Wrench | None, adapter: Adapter | None, lever_mm: float | None) -> Setting:
    if wrench is not None:
        return rounded_setting(torque_nm, wrench, adapter)
    if adapter is None:
        return Setting(torque_nm, torque_nm, torque_nm)
    if lever_mm is None:
        raise ValueError("An adapter needs the wrench's lever: measure from its drive to where it is held.")
    exact = wrench_setting(torque_nm, lever_mm, adapter.length_mm, adapter.angle_deg)
    return Setting(exact, exact, torque_nm)


def _sum_text(
    target_nm: float, run_on_nm: float, adapter: Adapter | None, lever_mm: float | None, setting: Setting, unit: str
) -> str:
    """The sum with its numbers in: “60 × 420 ÷ (420 + 50) = 53.6 N·m”, in the figure's own unit."""
    sign = UNITS[unit].sign

    def shown(torque_nm: float) -> str:
        return f"{UNITS[unit].from_base(torque_nm):.4g}"

    wanted = f"({shown(target_nm)} + {shown(run_on_nm)} run-on)" if run_on_nm else shown(target_nm)
    if adapter is None:
        return f"{wanted} = {shown(setting.exact_nm)} {sign}" if run_on_nm else ""
    lever = f"{lever_mm:g}" if lever_mm is not None else "lever"
    turned = "" if adapter.angle_deg == 0 else f" × cos {adapter.angle_deg:g}°"
    return f"{wanted} × {lever} ÷ ({lever} + {adapter.length_mm:g}{turned}) = {shown(setting.exact_nm)} {sign}"
