"""What several actions would come to, decided one after the other on successors of a build, without touching disk."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.lines import Line
from app.assembly.said.actions import Action
from app.assembly.said.deeds import Deed, Entry
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.said.refusal import Refused


@dataclass(frozen=True, slots=True)
class Preview:
    """The build before and after, the deeds that lead there, and the actions refused on the way with why."""

    before: Build
    after: Build
    deeds: tuple[Deed, ...]
    refused: tuple[tuple[Action, Refused], ...]

    @property
    def changes(self) -> "Changes":
        """What would be otherwise on the sheet."""
        return changes(self.before, self.after)


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs between a build and one that followed it, each in the order of the sheet."""

    reopened: tuple[Line, ...]
    coming: tuple[Line, ...]
    going: tuple[Line, ...]
    other_places: tuple[Line, ...]


def preview(build: Build, actions: Iterable[Action]) -> Preview:
    """Decide the actions in order, each on what the ones before it come to; one that is refused is left out."""
    after, deeds, refused = build, [], []
    for action in actions:
        try:
            deed = decide(after, action)
        except Refused as refusal:
            refused.append((action, refusal))
            continue
        deeds.append(deed)
        after = after.after(deed)
    return Preview(build, after, tuple(deeds), tuple(refused))


def as_one(deeds: Iterable[Deed], like: Deed) -> Deed:
    """The deeds as a single one that is kept, and undone, as a whole; it is called, signed and dated as `like`."""
    return replace(like, entries=tuple(_merged(entry for deed in deeds for entry in deed.entries)))


def _merged(entries: Iterable[Entry]) -> Iterator[Entry]:
    """One entry for each subject, from what stood first to what stands last; nothing where that is the same."""
    first: dict[Subject, Entry] = {}
    for entry in entries:
        seen = first.get(entry.subject)
        first[entry.subject] = entry if seen is None else replace(entry, old=seen.old)
    return (entry for entry in first.values() if entry.old != entry.new)


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
