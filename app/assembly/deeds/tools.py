"""Keeping tools and their checks, and finding one wrong."""

from datetime import datetime

from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, once
from app.assembly.deeds.find import must_say
from app.assembly.deeds.reopen import void_by
from app.assembly.lines import Line
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.tools import TOOL, Tool
from app.assembly.standing.survey import Survey
from app.assembly.standing.tools import check_doubt
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind

TOOL_SORTS = ("click", "beam", "dial", "electronic", "gauge")


@decided.register
def _tool(action: a.KeepTool, survey: Survey) -> Deed:
    key = must_say(action.tool, RefusalKind.SAY_WHAT_THE_TOOL_IS_CALLED)
    old = survey.build.facts.of(TOOL).get((key, ""))
    name = action.name.strip() or (old.name if old else "")
    tool = Tool(
        must_say(name, RefusalKind.SAY_WHAT_THE_TOOL_IS),
        action.span.strip() or (old.span if old else ""),
        action.graduation.strip() or (old.graduation if old else ""),
        action.checked or (old.checked if old else None),
        action.by,
        action.at,
        # Only a later check speaks for it again, not a new word about its range.
        old.wrong_at if old else None,
        old.note if old else "",
        action.sort.strip() or (old.sort if old else ""),
        action.lever.strip() or (old.lever if old else ""),
        action.cycles if action.cycles is not None else old.cycles if old else 0,
        action.doubt.strip() or (old.doubt if old else ""),
    )
    _check_tool(tool)
    made = entry(survey.build, EventName.TOOL, Subject(TOOL, key), tool)
    return Deed(Verb.TOOL, action.by, action.at, (made,))


def _check_tool(tool: Tool) -> None:
    """What is said of a torque wrench must be readable: its kind, and the length of its lever."""
    if tool.sort and tool.sort not in TOOL_SORTS:
        raise Refused(phrase(RefusalKind.NO_SORT_OF_TOOL, sort=tool.sort, known=TOOL_SORTS))
    if tool.lever:
        try:
            lever = read_quantity(tool.lever, Kind.LENGTH)
        except NotationError as error:
            raise Refused(phrase(RefusalKind.LEVER_UNREADABLE, tool=tool.name, matter=str(error))) from error
        if lever.magnitude <= 0:
            raise Refused(phrase(RefusalKind.NO_LEVER, tool=tool.name, lever=tool.lever))
    if tool.doubt:
        check_doubt(tool)
    if not 0 <= tool.cycles <= 10**7:
        raise Refused(phrase(RefusalKind.NO_COUNT_OF_USES, tool=tool.name, count=tool.cycles))


@decided.register
def _tool_wrong(action: a.ToolWrong, survey: Survey) -> Deed:
    build = survey.build
    tool = build.facts.of(TOOL).get((action.tool, ""))
    if tool is None:
        raise Refused(
            phrase(RefusalKind.NO_TOOL, tool=action.tool, known=tuple(key for key, _ in build.facts.of(TOOL)))
        )
    found = replace(tool, wrong_at=action.at, note=action.note.strip(), by=action.by, at=action.at)
    entries = [entry(build, EventName.FOUND_WRONG, Subject(TOOL, action.tool), found)]
    touched = [line.id for line in build.lines if _measured_by(build, line, action.tool, tool.checked)]
    entries += void_by(build, touched, action.by, action.at, phrase(Because.FOUND_WRONG, tool=tool.name))
    return Deed(Verb.TOOL, action.by, action.at, once(entries), action.note.strip())


def _measured_by(build: Build, line: Line, tool: str, checked: datetime | None) -> bool:
    readings = build.facts.readings.get(line.id, {}).values()
    return any(one.tool == tool and (checked is None or one.at >= checked) for one in readings)
