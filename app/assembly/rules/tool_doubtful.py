"""A reading that keeps a gate, taken with a tool nobody has checked, or not within a year, or outside what it reads."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.said.readings import Reading
from app.assembly.said.tools import TOOL, Tool
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.trade.notation import NotationError, read_span
from app.trade.quantity import Kind

ID = "tool-doubtful"
# Torque tools are checked by 12 months or 5,000 cycles unless their own procedure says else (ISO 6789; read).
INTERVAL = timedelta(days=365)


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each gate line or hold read with a tool that was not in check at the time."""
    tools = {key: tool for (key, _), tool in survey.build.facts.of(TOOL).items()}
    for line in survey.build.lines:
        if not (line.step.gate or line.step.hold):
            continue
        readings = survey.build.facts.readings.get(line.id, {})
        doubtful = {
            place: one for (place, _), one in readings.items() if one.tool and _doubt(line, one, tools.get(one.tool))
        }
        if doubtful and not survey.taken_on(line, ID, max(one.at for one in doubtful.values())):
            first = next(iter(doubtful.values()))
            said = _doubt(line, first, tools.get(first.tool))
            assert said is not None  # it was kept because there is one
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=said.kind,
                args=said.args,
                since=min(one.at for one in doubtful.values()),
                places=tuple(doubtful),
            )


def _doubt(line: Line, reading: Reading, tool: Tool | None) -> Phrase | None:
    """What speaks against a reading's tool, None where nothing does."""
    if tool is None:
        return phrase(End.TOOL_UNKNOWN, text=reading.said, tool=reading.tool)
    if not _in_check(tool, reading.at):
        return phrase(End.TOOL_DOUBTFUL, text=reading.said, tool=tool.name, checked=tool.checked)
    if not _outside(line, reading, tool.span):
        return None
    return phrase(End.TOOL_OUTSIDE, text=reading.said, tool=tool.name, span=tool.span)


def _outside(line: Line, reading: Reading, span: str) -> bool:
    """Whether a value lies where the tool does not read; a span that is not written as a range says nothing."""
    spec = line.step.spec
    if not span or spec is None or reading.magnitude is None:
        return False
    try:
        limits = read_span(span, Kind(spec.kind.value))
    except NotationError:
        return False
    low, high = limits.low, limits.high
    return (low is not None and reading.magnitude < low) or (high is not None and reading.magnitude > high)


def _in_check(tool: Tool, at: datetime) -> bool:
    """A check within a year of the reading speaks for it, before or after; a tool found wrong speaks for nothing."""
    if tool.wrong_at is not None and (tool.checked is None or tool.checked < tool.wrong_at):
        return False
    return tool.checked is not None and abs(at - tool.checked) <= INTERVAL


RULE = Rule(ID, find)
