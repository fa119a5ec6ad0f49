"""The places a line asks a value at: of what form, in which unit, what stands there, and whether it may be written."""

from collections.abc import Sequence
from enum import Enum

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured
from app.assembly.said.marks import State
from app.assembly.said.phrase import Phrase
from app.assembly.said.readings import Reading
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.assembly.standing.verdicts import reading_verdict, under_in
from app.assembly.standing.waits import NotYet, not_yet
from app.trade.verdict import Verdict

# Stands for a first reading until the second look has read it anew.
HIDDEN = "hidden"
# A line in one of these is in hand already: what it waits for keeps it from being signed off, not from being read.
_IN_HAND = (State.STARTED, State.STOPPED, State.DONE)


class Form(Enum):
    """What is written at a place: a quantity, a word of a list, or words of one's own."""

    VALUE = "value"
    CHOICE = "choice"
    TEXT = "text"


class EntryPlace(Struct, frozen=True):
    """One place and round a value is written at.

    `reading` is what stands there; an `old` one is from before the line was disturbed. A `hidden` one is not shown:
    a second look that reads it anew is still to come.
    """

    place: Place
    round: int
    rounds: int
    form: Form
    unit: str
    choices: tuple[str, ...]
    reading: Reading | None
    old: bool
    hidden: bool

    @property
    def key(self) -> tuple[str, int]:
        """The place's id and the round."""
        return self.place.id, self.round

    @property
    def title(self) -> str:
        """The place by name, with its round where it is read more than once."""
        return f"{self.place.title}, round {self.round}" if self.rounds > 1 else self.place.title

    @property
    def open(self) -> bool:
        """Whether a value is still wanted here."""
        return self.reading is None or self.old

    @property
    def text(self) -> str:
        """What stands there as typed, with its unit where that is not the one in force, "" for nothing."""
        return as_seen(self.reading, self.unit) if self.reading is not None else ""

    @property
    def begins_with(self) -> str:
        """What a field opens with: what stands there, unless it is read anew or not to be seen."""
        return "" if self.reading is None or self.old or self.hidden else self.text


def as_seen(reading: Reading, unit: str) -> str:
    """A reading as typed, beside a unit that is said once for all: with its own unit where that is another."""
    return reading.text if reading.unit == unit else reading.said


def form_of(line: Line) -> Form | None:
    """What is written at a line's places; None for a line that asks for no value."""
    if not line.reads or line.step.spec is None:
        return None
    return {Measured.CHOICE: Form.CHOICE, Measured.TEXT: Form.TEXT}.get(line.step.spec.kind, Form.VALUE)


def entry_places(survey: Survey, line: Line, *, further: int | None = None) -> tuple[EntryPlace, ...]:
    """Every place of a line a value is written at, round by round; empty for a line that asks for none.

    Rounds beyond those the plan asks for are here where they were read. `further` counts rounds to be begun beyond
    these, and gives all of them at every place.
    """
    form, spec = form_of(line), line.step.spec
    if form is None or spec is None:
        return ()
    standing = survey.build.facts.readings.get(line.id, {})
    outdated = {(one.place.id, one.round) for one in survey.outdated(line)} if standing else set()
    hidden = hides_first(survey, line)
    places = survey.places(line)
    units = {place.id: unit_at(survey, line, place.id) if form is Form.VALUE else "" for place in places}
    found = []
    rounds = range(1, survey.rounds(line).stop + (further or 0))
    for turn in rounds:
        for place in places:
            key = place.id, turn
            reading = standing.get(key)
            if reading is None and turn not in line.rounds and further is None:
                continue
            found.append(
                EntryPlace(
                    place=place,
                    round=turn,
                    rounds=len(rounds),
                    form=form,
                    unit=units[place.id],
                    choices=spec.choices if form is Form.CHOICE else (),
                    reading=reading,
                    old=key in outdated,
                    hidden=hidden and reading is not None,
                )
            )
    return tuple(found)


def entry_place(survey: Survey, line: Line, place: str, turn: int = 1) -> EntryPlace | None:
    """Where a value is written at a place in a round; None where the line has no such place."""
    further = max(0, turn - survey.rounds(line).stop + 1)
    return next((one for one in entry_places(survey, line, further=further) if one.key == (place, turn)), None)


def next_round(survey: Survey, line: Line, place: str) -> int:
    """The round a place is to be read in next; the last one that was read once it has them all.

    A further round that was begun at one place is to be read at the others too.
    """
    standing = survey.build.facts.standing
    open_ones = (turn for turn in survey.rounds(line) if standing(line.id, place, turn) is None)
    read = [turn for turn in survey.rounds(line) if standing(line.id, place, turn) is not None]
    return next(open_ones, max(read, default=1))


def may_be_read(survey: Survey, line: Line, place: str, turn: int) -> bool:
    """Whether there is such a round at a place: one the plan asks for, or the next after all that were read."""
    return turn in line.rounds or (turn > 1 and (place, turn - 1) in survey.build.facts.readings.get(line.id, {}))


def next_open(order: Sequence[EntryPlace], after: int) -> int | None:
    """The index of the next place that still wants a value, from the one after on and round; None where all are read.

    The one it is asked from is looked at last.
    """
    turned = [*range(after + 1, len(order)), *range(min(after + 1, len(order)))]
    return next((n for n in turned if order[n].open), None)


def hides_first(survey: Survey, line: Line) -> bool:
    """Whether a line's readings are not to be seen, because a second look is to read them anew.

    So it is once the line is signed off until the second look it wants was taken, and while anybody takes one.
    """
    if not line.reads or not survey.done(line):
        return False
    return line.id == survey.looking or (line.step.second_look and not survey.seen_twice(line))


def without_first(survey: Survey, line: Line, said: Phrase) -> Phrase:
    """What there is to say of a line, its first readings left out of it where they are not to be seen."""
    if not hides_first(survey, line):
        return said
    readings = survey.build.facts.readings.get(line.id, {}).values()
    texts = {text for one in readings for text in (one.text, one.said)}
    args = {name: HIDDEN if isinstance(arg, str) and arg in texts else arg for name, arg in said.args.items()}
    return Phrase(said.kind, args)


def not_begun(survey: Survey, line: Line) -> Phrase | None:
    """Why a line cannot be begun yet, and so nothing be written on it; None where it can, or is in hand already."""
    if survey.state(line) in _IN_HAND:
        return None
    return not_yet(line.number, NotYet.BEGUN, survey.stops_start(line))


def verdict_on(survey: Survey, line: Line, place: str, reading: Reading) -> Verdict:
    """The verdict on a reading that may be written at a place: by the line's figure and how the line is read."""
    return reading_verdict(reading, line.step, survey.bounds(line), place, under_in(survey.build, line))
