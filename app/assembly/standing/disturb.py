"""What is no longer known once a line is done or undone, or something befell the build."""

from collections import deque
from collections.abc import Iterable

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.order import Link
from app.assembly.said.marks import State

_DOING_OPENS = (Link.DISTURBS, Link.COMES_OUT)
_UNDOING_OPENS = (*_DOING_OPENS, Link.UNDOING_DISTURBS, Link.SHARES)


def disturbed(build: Build, line: Line, *, undone: bool) -> list[tuple[Line, Line]]:
    """The Done lines that doing (or undoing) this one disturbs, each with its direct cause."""
    return _along(build, [(line, target) for target in _targets(build, line, undone=undone)], {line.id})


def begun_among(build: Build, line: Line, others: Iterable[Line], *, undone: bool) -> list[Line]:
    """The lines begun and not Done that this one, or what it disturbs, disturbs: half a torque pattern, say."""
    targets = [*_targets(build, line, undone=undone)]
    targets += [target for other in others for target in _targets(build, other, undone=True)]
    lines = [build.by_id[target] for target in dict.fromkeys(targets) if target in build.by_id and target != line.id]
    return [one for one in lines if one.id in build.facts.lines and not _done(build, one.id)]


def disturbed_by_event(build: Build, targets: Iterable[str]) -> list[tuple[Line, Line | None]]:
    """The Done lines an event disturbs: those it names (cause None), and what these disturb in turn."""
    named = [build.by_id[target] for target in targets if target in build.by_id and _done(build, target)]
    links = [(line, target) for line in named for target in _targets(build, line, undone=True)]
    seen = {line.id for line in named}
    found: list[tuple[Line, Line | None]] = [(line, None) for line in named]
    found += _along(build, links, seen)
    return sorted(found, key=lambda pair: pair[0].position)


def _along(build: Build, links: Iterable[tuple[Line, str]], seen: set[str]) -> list[tuple[Line, Line]]:
    """Follow the links; a line that is opened thereby counts as undone and opens more."""
    found: dict[str, tuple[Line, Line]] = {}
    pending = deque(links)
    while pending:
        cause, target = pending.popleft()
        if target in seen or target not in build.by_id or not _done(build, target):
            continue
        seen.add(target)
        other = build.by_id[target]
        found[target] = (other, cause)
        pending += [(other, onward) for onward in _targets(build, other, undone=True)]
    return sorted(found.values(), key=lambda pair: pair[0].position)


def _targets(build: Build, line: Line, *, undone: bool) -> tuple[str, ...]:
    """Undoing takes more with it than doing: what was seen before, and what hangs on the same bolt or gasket.

    Either way what the line puts in may be in again, so that it was taken out is known no more.
    """
    kinds = _UNDOING_OPENS if undone else _DOING_OPENS
    return tuple(row.end for row in build.order.out_of(line.id, *kinds))


def _done(build: Build, step: str) -> bool:
    mark = build.facts.lines.get(step)
    return mark is not None and mark.state is State.DONE
