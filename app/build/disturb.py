"""What is no longer known once a line is done again or undone."""

from collections import deque

from app.build.build import Build, Line
from app.build.facts import State


def disturbed(build: Build, line: Line) -> list[tuple[Line, Line]]:
    """The Done lines this line disturbs, each with its direct cause, along chains: what is opened opens more."""
    found: dict[str, tuple[Line, Line]] = {}
    pending = deque([line])
    while pending:
        cause = pending.popleft()
        for target in cause.step.disturbs:
            other = build.by_id.get(target)
            if other is None or other is line or target in found or not _done(build, target):
                continue
            found[target] = (other, cause)
            pending.append(other)
    return sorted(found.values(), key=lambda pair: pair[0].position)


def _done(build: Build, step: str) -> bool:
    mark = build.facts.lines.get(step)
    return mark is not None and mark.state is State.DONE
