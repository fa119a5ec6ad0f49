"""The person's gauges and wrenches, and how far a reading taken with one is to be trusted."""

from app.assembly.build import Build
from app.assembly.plan.steps import Spec
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.tools import TOOL, Tool
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind

# The kinds of quantity a gauge may be in doubt by; a doubt in per cent is of the reading and belongs to wrenches.
_KINDS = (Kind.LENGTH, Kind.TORQUE, Kind.PRESSURE, Kind.VOLUME, Kind.MASS, Kind.ANGLE)


def tool_of(build: Build, key: str) -> Tool | None:
    """The tool called so, or None."""
    found = build.facts.get(Subject(TOOL, key))
    return found if isinstance(found, Tool) else None


def doubt_words(tool: Tool) -> str:
    """“± 0.004 mm”, "" where nothing is said of it."""
    return f"± {_bare_doubt(tool)}" if tool.doubt else ""


def _bare_doubt(tool: Tool) -> str:
    return tool.doubt.lstrip("±+- ")


def doubt_of(tool: Tool, spec: Spec | None) -> float:
    """The expanded uncertainty of a gauge in the base unit of a spec's kind; 0 where nothing is said of it."""
    if spec is None or not tool.doubt:
        return 0.0
    for kind in _KINDS:
        if kind.value == spec.kind.value:
            try:
                return abs(read_quantity(_bare_doubt(tool), kind).magnitude)
            except NotationError:
                return 0.0  # a gauge for something else: it says nothing of this
    return 0.0


def check_doubt(tool: Tool) -> None:
    """Refuse a doubt that is no size of anything."""
    for kind in _KINDS:
        try:
            read_quantity(_bare_doubt(tool), kind)
        except NotationError:
            continue
        return
    raise Refused(phrase(RefusalKind.NO_DOUBT_OF_A_GAUGE, tool=tool.name, doubt=tool.doubt))
