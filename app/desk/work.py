"""The work at hand: an open build, what is derived from it, and the one way to change it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.rules import loose_ends
from app.assembly.said.deeds import Deed, EventName
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.said.refusal import NotReady, Refused
from app.assembly.standing.disturb import disturbed
from app.assembly.standing.gates import GateStanding, gate_standings
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.store.errors import StoreError
from app.store.workshop import Arrow, Cell, Workshop
from app.words.deeds import label
from app.words.journal import Told, told
from app.words.say import refusal

if TYPE_CHECKING:
    from app.assembly.said.actions import Action


def clock() -> datetime:
    """Now, with this computer's zone."""
    return datetime.now().astimezone()


@dataclass
class AtHand:
    """What is open now: the workshop, and the build being worked."""

    workshop: Workshop | None = None
    work: "Work | None" = None


class Work(QObject):
    """A build being worked. Views read `survey`, `ends` and `standings`, and refresh on `changed`."""

    changed = Signal()
    told = Signal(str)
    refused = Signal(str)
    half_typed = Signal()

    def __init__(
        self, workshop: Workshop, build: Build, parent: QObject | None = None, now: Callable[[], datetime] = clock
    ) -> None:
        super().__init__(parent)
        self.workshop = workshop
        self.build = build
        self.now = now
        self.initials = workshop.initials()
        self.drafts = _still_drafts(build, workshop.arrow(build))
        self.saved_at: datetime | None = None
        self.looking = ""
        # What undo would take back and redo put back, in words; "" where there is nothing.
        self.undo_words, self.redo_words = self._next_words()
        self._look()

    # --- what stands

    def _look(self) -> None:
        self.survey = Survey(self.build, self.now(), self.looking)
        self.ends: tuple[LooseEnd, ...] = loose_ends(self.survey)
        self.standings: tuple[GateStanding, ...] = gate_standings(self.survey, self.ends)

    def refresh(self) -> None:
        """Look again: time has gone on."""
        self._look()
        self.changed.emit()

    def look_second(self, step: str) -> None:
        """Somebody looks at a step a second time: its first readings are hidden meanwhile; "" when that is over."""
        if step != self.looking:
            self.looking = step
            self.refresh()

    def _next_words(self) -> tuple[str, str]:
        steps = self.workshop.next_steps(self.build)
        undo, redo = (label(self.build, self.workshop.deed(one)) if one is not None else "" for one in steps)
        return undo, redo

    def standing(self, gate: str) -> GateStanding:
        """How a gate stands."""
        return next(one for one in self.standings if one.gate.id == gate)

    def told_after(self, number: int = 0) -> list[Told]:
        """What the journal tells after a number of it, in words; all of it after 0."""
        build = self.build
        return [one for written in self.workshop.journal(build, number) for one in told(build, written.deed)]

    # --- changing it

    def do(self, action: "Action", arrow: Arrow | None = None) -> bool:
        """Decide, write, then show; a refusal is said in the foot and nothing changes."""
        deed = self.decide(action)
        return deed is not None and self.keep(deed, arrow)

    def decide(self, action: "Action") -> Deed | None:
        """What an action comes to; None where it is refused, which is said."""
        # Wanted with the first mark, not before the sheet is painted; the window warms it up.
        from app.assembly.deeds.decide import decide

        try:
            return decide(self.build, action)
        except Refused as refusal:
            self.refused.emit(_sentence(refusal))
            return None

    def keep(self, deed: Deed, arrow: Arrow | None = None) -> bool:
        """Write what was decided of the build as it stands, then show it; say whether it could be written."""
        try:
            self.build = self.workshop.commit(self.build, deed, now=self.now(), arrow=arrow)
        except StoreError as error:
            self.refused.emit(str(error))
            return False
        self.undo_words, self.redo_words = label(self.build, deed), ""
        self._after(deed, self.undo_words)
        return True

    def sign_off(self, line: Line) -> bool:
        """Mark a line Done, where it is not already; whether it is Done then."""
        from app.assembly.said.actions import MarkLine  # with the first mark, as above

        if self.survey.state(line) is State.DONE:
            return True
        return self.do(MarkLine(line.id, State.DONE, self.initials, self.now()))

    def undo(self) -> None:
        """Take back the last deed."""
        self._step(self.workshop.undo, "Undone")

    def redo(self) -> None:
        """Put back what was taken back last."""
        self._step(self.workshop.redo, "Done again")

    def _step(self, step: Callable[..., tuple[Build, Deed]], words: str) -> None:
        try:
            self.build, deed = step(self.build, by=self.initials or "?", now=self.now())
        except (Refused, StoreError) as error:
            self.refused.emit(_sentence(error))
            return
        self.undo_words, self.redo_words = self._next_words()
        self._after(deed, f"{words}: {label(self.build, deed)}")

    def _after(self, deed: Deed, words: str) -> None:
        self.saved_at = self.now()
        self._look()
        self.changed.emit()
        opened = [one.line for one in told(self.build, deed) if one.event in (EventName.DISTURBED, EventName.OPENED)]
        self.told.emit(f"{words}. Look again: {', '.join(opened)}" if opened else words)

    def opened_by(self, deed: Deed, line: Line) -> tuple[Line, ...]:
        """The Done lines other than this one that a deed turns to Look again."""
        return tuple(
            self.build.by_id[entry.subject.key]
            for entry in deed.entries
            if entry.event is EventName.DISTURBED
            and entry.subject.kind is MARK
            and entry.subject.key != line.id
            and isinstance(entry.old, Mark)
            and entry.old.state is State.DONE
        )

    def would_open(self, line: Line, *, undone: bool) -> tuple[Line, ...]:
        """The Done lines that marking this one Done, or undoing it, would turn to Look again."""
        return tuple(other for other, _ in disturbed(self.build, line, undone=undone))

    # --- what is half typed

    def draft(self, line: Line, place: str, turn: int = 1) -> str:
        """What is half typed at a place, "" where nothing is."""
        return self.drafts.get((line.id, place, turn), "")

    def half_type(self, line: Line, place: str, turn: int, text: str) -> None:
        """Remember what is typed at a place and is no reading; "" forgets it."""
        cell = line.id, place, turn
        if text.strip():
            self.drafts[cell] = text
        else:
            self.drafts.pop(cell, None)
        self.half_typed.emit()

    def keep_initials(self, initials: str) -> None:
        """Remember who is working."""
        self.initials = initials.strip()
        self.workshop.keep_initials(self.initials)
        self.changed.emit()


def _sentence(error: Refused | StoreError) -> str:
    if isinstance(error, StoreError):
        return str(error)
    return f"{refusal(error)} See the gate's page for each." if isinstance(error, NotReady) else refusal(error)


def _still_drafts(build: Build, arrow: Arrow | None) -> dict[Cell, str]:
    """What was left half typed; none that was written after all before the program ended."""
    if arrow is None:
        return {}
    readings = build.facts.readings
    return {
        (step, place, turn): text
        for (step, place, turn), text in arrow.drafts.items()
        if (one := readings.get(step, {}).get((place, turn))) is None or one.text != text.strip()
    }
