"""What is otherwise on the sheet of a build than it was on that of an earlier one."""

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.said.marks import State


class Changes(Struct, frozen=True):
    """What differs between a build and one that followed it, each in the order of the sheet."""

    reopened: tuple[Line, ...] = ()
    coming: tuple[Line, ...] = ()
    going: tuple[Line, ...] = ()
    other_places: tuple[Line, ...] = ()


def changes(before: Build, after: Build) -> Changes:
    """What is otherwise on the sheet of a build than it was on that of an earlier one."""
    return Changes(
        reopened=tuple(line for line in after.lines if _is_reopened(before, after, line)),
        coming=tuple(line for line in after.lines if line.id not in before.by_id),
        going=tuple(line for line in before.lines if line.id not in after.by_id),
        other_places=tuple(
            line for line in after.lines if line.id in before.by_id and line.places != before.by_id[line.id].places
        ),
    )


def _is_reopened(before: Build, after: Build, line: Line) -> bool:
    mark = after.facts.lines.get(line.id)
    if mark is None or mark.state is not State.LOOK_AGAIN:
        return False
    earlier = before.facts.lines.get(line.id)
    return earlier is None or earlier.state is not State.LOOK_AGAIN
