"""What several actions would come to, decided one after the other on successors of a build, without touching disk."""

from collections.abc import Iterable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.deeds.decide import decide
from app.assembly.said.actions import Action
from app.assembly.said.deeds import Deed, Entry
from app.assembly.said.kinds import Subject
from app.assembly.said.refusal import Refused
from app.assembly.standing.changes import Changes, changes


class Preview(Struct, frozen=True):
    """The build before and after, the deeds that lead there, and the actions refused on the way with why."""

    before: Build
    after: Build
    deeds: tuple[Deed, ...]
    refused: tuple[tuple[Action, Refused], ...]

    @property
    def changes(self) -> Changes:
        """What would be otherwise on the sheet."""
        return changes(self.before, self.after)


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
