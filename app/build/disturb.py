"""What is no longer known once a line is done, or undone."""

from collections import deque

from app.build.build import Build, Line
from app.build.facts import State


def disturbed(build: Build, line: Line, *, undone: bool) -> list[tuple[Line, Line]]:
    """The Done lines that doing (or undoing) this one disturbs, each with its direct cause.

    It goes on along chains: a line that is opened thereby counts as undone.
    """
    found: dict[str, tuple[Line, Line]] = {}
    pending = deque([(line, undone)])
    while pending:
        cause, opened = pending.popleft()
        for target in cause.step.disturbs + (cause.step.undoing_disturbs if opened else ()):
            other = build.by_id[target]
            if other is line or target in found or not _done(build, target):
                continue
            found[target] = (other, cause)
            pending.append((other, True))
    return sorted(found.values(), key=lambda pair: pair[0].position)


def _done(build: Build, step: str) -> bool:
    mark = build.facts.lines.get(step)
    return mark is not None and mark.state is State.DONE
