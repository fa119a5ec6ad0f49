"""Tools and their checks."""

from collections.abc import Iterable

from app.assembly.build import Build
from app.assembly.said.kinds import Subject
from app.assembly.said.readings import Reading
from app.assembly.said.tools import TOOL, Tool
from app.assembly.standing.survey import Survey
from app.assembly.standing.tools import doubt_words
from app.words.row import Row, Words
from app.words.table import Column, Table
from app.words.telling import Part, Section, Telling, Values
from app.words.times import clock, day, time_text


def tools(survey: Survey) -> Table:
    """The tools with their checks, and which lines were read with each; one nobody entered is named too."""
    used = _read_with(survey)
    known = {key: one for (key, _), one in survey.build.facts.of(TOOL).items()}
    rows = [(one.name, ", ".join(_reads(one)), _checks(one), used.get(key, "")) for key, one in known.items()]
    rows += [(key, "", "not among the tools", lines) for key, lines in used.items() if key not in known]
    columns = (Column("Tool", 44, 700), Column("Reads", 38), Column("Checked", 54), Column("Used at", 44))
    return Table("Tools and their checks", columns, tuple(rows), "")


def _reads(one: Tool) -> list[str]:
    return [word for word in (one.span, one.graduation, doubt_words(one)) if word]


def _checks(one: Tool) -> str:
    words = f"checked {one.checked.astimezone():%d %b %Y}" if one.checked else "never checked"
    if one.wrong_at is not None:
        words += f", found wrong {clock(one.wrong_at)}"
    return f"{words}: {one.note}" if one.note else words


def _read_with(survey: Survey) -> dict[str, str]:
    """For each tool that readings name the lines it was used at."""
    found: dict[str, list[str]] = {}
    for line in survey.build.lines:
        for tool in _tools_of(survey.build.facts.readings.get(line.id, {}).values()):
            found.setdefault(tool, []).append(line.number)
    return {tool: ", ".join(numbers) for tool, numbers in found.items()}


def _tools_of(readings: Iterable[Reading]) -> list[str]:
    return list(dict.fromkeys(one.tool for one in readings if one.tool))


def tool_values(build: Build) -> list[Values]:
    """The tools with range, graduation and last check."""
    return [
        {
            "tool": key,
            "name": one.name,
            "range": one.span or None,
            "graduation": one.graduation or None,
            "kind": one.sort or None,
            "lever": one.lever or None,
            "cycles": one.cycles,
            "doubt": one.doubt or None,
            "checked": time_text(one.checked),
            "wrong_at": time_text(one.wrong_at),
            "note": one.note or None,
            "by": one.by,
            "at": time_text(one.at),
        }
        for (key, _), one in build.facts.of(TOOL).items()
    ]


def _words(_build: Build, _subject: Subject, one: Tool) -> str:
    checked = f"checked {day(one.checked)}" if one.checked else "never checked"
    return f"{one.name}, {'found wrong' if one.wrong_at else checked}"


def tool_rows(survey: Survey) -> list[Row]:
    """The tools and their checks."""
    return [
        Row(
            key=key,
            title=tool.name,
            second=(Words(", ".join(_tool_words(tool))),),
            middle="found wrong" if tool.wrong_at else "",
            right=f"checked {tool.checked.astimezone():%d %b %Y}" if tool.checked else "never checked",
        )
        for (key, _), tool in survey.build.facts.of(TOOL).items()
    ]


def _tool_words(tool: Tool) -> list[str]:
    lever = f"lever {tool.lever}" if tool.lever else ""
    steps = f"steps of {tool.graduation}" if tool.graduation else ""
    return [word for word in (tool.span, steps, doubt_words(tool), tool.sort, lever) if word]


TELLING = Telling(
    TOOL,
    words=_words,
    values=tool_values,
    rows=tool_rows,
    record=(Section(Part.KEPT, 2, lambda survey, _: (tools(survey),)),),
)
