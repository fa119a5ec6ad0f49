"""What a deed did, in a few words: for the foot of the window, the undo and redo menus, and the journal."""

from collections.abc import Mapping
from enum import Enum

from app.assembly.said.labels import Did
from app.words.say import Sentence


def _came_to(line: str, place: str, value: str, number: int, of: int, turn: str) -> str:
    what = f"{turn} {number} of {of} " if of > 1 else ""
    return f"{line} {place} {what}{value}"


def _counted(fasteners: str, times: int) -> str:
    return f"{fasteners}: {times} tightening{'' if times == 1 else 's'}"


def _joint(line: str, words: tuple[str, ...], adapter: str) -> str:
    said = [*words, f"adapter {adapter}" if adapter else ""]
    return f"{line} joint: {', '.join(word for word in said if word) or 'nothing said yet'}"


def _ran(hours: float, distance_km: float, heat_cycles: int) -> str:
    return f"ran {hours:g} h, {distance_km:g} km, {heat_cycles} heat cycle{'' if heat_cycles == 1 else 's'}"


def _units_first(system: str) -> str:
    return f"{system} units first" if system else "units as the plan has them"


def _read_under(line: str, under: str) -> str:
    return f"{line} read {under}" if under else f"{line} not said how it is read"


TABLES: Mapping[type[Enum], Mapping[Enum, Sentence]] = {
    Did: {
        Did.ARRANGED: "{what}: {count}",
        Did.CAME_BACK: "came back",
        Did.CAM_SAID: "cam {angles}",
        Did.CHOSEN: "option {option}: {choice}",
        Did.CONCEDED: "{line} go on in writing",
        Did.COUNTED: _counted,
        Did.DECIDED: "{finding} {decision}: {what}",
        Did.FIGURE_CHOSEN: "{line} {candidate} chosen: {figure}",
        Did.FIGURE_ENTERED: "{line} figure {figure}",
        Did.FIGURE_OFFERED: "{line} {candidate}: {figure} ({source})",
        Did.FITTED: "{part} {fit}",
        Did.FOUND: "{line} found: {what} ({finding})",
        Did.GATE_PASSED: "{gate} passed",
        Did.HAPPENED: "{title}",
        Did.HOLE_SAID: "{group}, {place}",
        Did.JOINT_SAID: _joint,
        Did.LEFT: "left the work",
        Did.MADE: "{build} made",
        Did.MARKED: "{line} {state}",
        Did.OPENED: "{line} {what}",
        Did.PART_SAID: "{part} {holding}",
        Did.PUT_IN: "{line} {do}",
        Did.RAN: _ran,
        Did.READ: "{line} {place} {value}",
        Did.READ_UNDER: _read_under,
        Did.RUBBED_OUT: "{line} {place} rubbed out",
        Did.SEEN_AGAIN: "{line} second look",
        Did.SLACKENED: "{line} joint slackened",
        Did.THING_IN: "{key} in: {count} × {name}, {where}",
        Did.THING_LOST: "{key} lost: {count} × {name}, {where}",
        Did.THING_OUT: "{key} out: {count} × {name}",
        Did.TICKED: "{line} {place} {state}",
        Did.TIGHTENED: _came_to,
        Did.TOOL_KEPT: "{key}: {name}",
        Did.TOOL_WRONG: "{key} found wrong",
        Did.UNITS_FIRST: _units_first,
        Did.WIDTH_SAID: "{line} width of the figure: {source}",
    }
}
