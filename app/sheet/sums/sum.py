"""What a bench sum is: what it asks, what it may look up, and what it answers, for the window and the command line."""

from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from typing import TypeVar

from msgspec import Struct

from app.sheet.sections import Section
from app.sheet.sums.reading import figures, in_range, short, split, whole
from app.trade.measuring_tables import MeasuringTables
from app.trade.notation import read_limits, read_quantity
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.tables import Tables

LONGEST = 2000
MOST = 1e6
Found = TypeVar("Found")


class Group(Enum):
    """What a sum is about; the list of sums stands in these groups."""

    BOLTS = "Bolts"
    ENGINE = "Engine"


class SumError(ValueError):
    """Something typed that cannot be worked with: the key of its field, and one sentence that names the field."""

    def __init__(self, key: str, sentence: str) -> None:
        super().__init__(sentence)
        self.key = key


class Missing(SumError):
    """Something needed that was not given yet."""


class Ask(Struct, frozen=True):
    """One thing a sum asks: its key, its label, a hint how to write it, and the words to choose from, if any.

    `long` gives it several rows to write in; `listed` gives the choices that stand in a table.
    """

    key: str
    label: str
    hint: str = ""
    choices: tuple[str, ...] = ()
    optional: bool = False
    default: str = ""
    long: bool = False
    listed: "Callable[[Shelf], tuple[str, ...]] | None" = None

    def words(self, shelf: "Shelf") -> tuple[str, ...]:
        """The words to choose from, () where anything may be typed."""
        return self.choices if self.listed is None else self.listed(shelf)


class Shelf(Struct, frozen=True):
    """What a sum may look up: the reference tables, and the decimal mark the person writes."""

    tables: Tables
    measuring: MeasuringTables
    decimal: str = "."


class Answer(Struct, frozen=True):
    """What a sum comes to: sections to be shown, and the same as values whose names end in their unit."""

    sections: tuple[Section, ...]
    values: Mapping[str, object]


class Typed:
    """What was typed into a sum's fields, read field by field; each fault is a SumError that names its field."""

    def __init__(self, asks: Sequence[Ask], typed: Mapping[str, str], shelf: Shelf) -> None:
        self._asks = {ask.key: ask for ask in asks}
        unknown = [key for key in typed if key not in self._asks]
        if unknown:
            raise SumError(unknown[0], f"Nothing called “{unknown[0]}” is asked here: give {', '.join(self._asks)}.")
        self._texts = {ask.key: (typed.get(ask.key) or ask.default).strip() for ask in asks}
        self._shelf, self._decimal = shelf, shelf.decimal
        for ask in asks:
            self._check(ask)

    def _check(self, ask: Ask) -> None:
        text = self._texts[ask.key]
        if not text and not ask.optional:
            raise Missing(ask.key, f"{ask.label}: still to be given{f', such as {ask.hint}' if ask.hint else ''}.")
        if len(text) > LONGEST:
            raise SumError(ask.key, f"{ask.label}: that is over {LONGEST} letters long; shorten it.")
        choices = ask.words(self._shelf)
        if choices and text and text not in choices:
            raise SumError(ask.key, f"{ask.label}: “{short(text)}” is none of {', '.join(choices)}.")

    @property
    def given(self) -> dict[str, str]:
        """What was given, in the words it was typed in; what was left empty is not there."""
        return {key: text for key, text in self._texts.items() if text}

    def text(self, key: str) -> str:
        """The words of a field in one line, "" for none: what quotes them stays one sentence."""
        return " ".join(self._texts[key].split())

    @property
    def decimal(self) -> str:
        """The decimal mark the person writes."""
        return self._decimal

    def label(self, key: str) -> str:
        """How a field is called."""
        return self._asks[key].label

    def fault(self, key: str, sentence: str) -> SumError:
        """A fault of a field, its label put before the sentence."""
        return SumError(key, f"{self.label(key)}: {sentence}")

    def of(self, key: str, work: Callable[[str], Found]) -> Found:
        """What a reader makes of a field's words; its sentence gets the field's label in front."""
        try:
            return work(self.text(key))
        except SumError:
            raise
        except ValueError as error:
            raise self.fault(key, str(error)) from error

    def quantity(
        self, key: str, kind: Kind, unit: str | None, *, least: float = 0.0, most: float = MOST, over: bool = True
    ) -> Quantity:
        """One value of a kind from `least` to `most`, in its base unit; more than `least` where `over` says so."""
        return self.of(key, lambda text: self._one(text, kind, unit, least, most, over=over))

    def _one(self, text: str, kind: Kind, unit: str | None, least: float, most: float, *, over: bool) -> Quantity:
        found = read_quantity(text, kind, unit=unit, decimal=self._decimal)
        in_range(found.magnitude, found.unit, least, most, over=over)
        return found

    def lengths_mm(self, key: str, *, least: float = 0.0, most: float = MOST, over: bool = True) -> tuple[float, ...]:
        """Lengths in mm, several in one field with “;” or a space and a comma between them."""
        texts = split(self.text(key))
        return self.of(
            key, lambda _: tuple(self._one(one, Kind.LENGTH, "mm", least, most, over=over).magnitude for one in texts)
        )

    def figures(
        self, key: str, kind: Kind, unit: str | None, *, least: float = 0.0, most: float = MOST, over: bool = True
    ) -> dict[str, float]:
        """Figures by name in the base unit, as “1 150; 2 145 psi”; {} where the field is empty."""
        if not self.text(key):
            return {}
        return self.of(key, lambda text: figures(text, kind, unit, self._decimal, least=least, most=most, over=over))

    def band(self, key: str, kind: Kind, unit: str) -> tuple[float, float, float]:
        """Both ends of limits and what to aim for between them: the target, or else the middle."""
        found = self.limits(key, kind, unit)
        if found.low is None or found.high is None:
            raise self.fault(key, "give both its ends, such as 0.03 to 0.05 mm.")
        return found.low, found.target if found.target is not None else (found.low + found.high) / 2, found.high

    def limits(self, key: str, kind: Kind, unit: str) -> Limits:
        """Limits of a kind, as the trade writes them."""
        return self.of(key, lambda text: self._limits(text, kind, unit))

    def _limits(self, text: str, kind: Kind, unit: str) -> Limits:
        found = read_limits(text, kind, unit=unit, decimal=self._decimal)
        for one in (found.low, found.target, found.high):
            if one is not None:
                in_range(one, found.unit, -MOST, MOST, over=False)
        return found

    def length_mm(self, key: str, *, least: float = 0.0, most: float = 10_000.0, over: bool = True) -> float:
        """A length in mm."""
        return self.quantity(key, Kind.LENGTH, "mm", least=least, most=most, over=over).magnitude

    def torque(self, key: str, *, over: bool = True) -> Quantity:
        """A torque, at most 2000 N·m: no engine bolt takes more."""
        return self.quantity(key, Kind.TORQUE, "N·m", most=2000.0, over=over)

    def angle_deg(self, key: str, *, least: float = 0.0, most: float = 720.0) -> float:
        """An angle in degrees, both ends allowed."""
        return self.quantity(key, Kind.ANGLE, "deg", least=least, most=most, over=False).magnitude

    def volume_cc(self, key: str, *, least: float = 0.0, most: float = 100_000.0, over: bool = True) -> float:
        """A volume in cc."""
        return self.quantity(key, Kind.VOLUME, "mL", least=least, most=most, over=over).magnitude

    def pressure_kpa(self, key: str) -> float:
        """A pressure in kPa; its unit is always to be said, for no one unit is usual."""
        return self.quantity(key, Kind.PRESSURE, None, most=10_000.0).magnitude

    def number(self, key: str, *, least: float, most: float) -> float:
        """A bare number, both ends allowed."""
        return self.quantity(key, Kind.NUMBER, "1", least=least, most=most, over=False).magnitude

    def whole(self, key: str, *, least: int, most: int) -> int:
        """A whole number, both ends allowed."""
        return self.of(key, lambda text: whole(text, least, most))


class Sum(Struct, frozen=True):
    """A sum: its id (also its verb), what it says, what it asks, how it is worked, and an example that works."""

    id: str
    title: str
    about: str
    group: Group
    asks: tuple[Ask, ...]
    work: Callable[[Typed, Shelf], Answer]
    example: Mapping[str, str]

    def answer(self, typed: Mapping[str, str], shelf: Shelf) -> Answer:
        """Work the sum from what was typed; raises ValueError (mostly a SumError) with one sentence.

        Its values begin with what was given and end with the sources of what was looked up.
        """
        read = Typed(self.asks, typed, shelf)
        found = self.work(read, shelf)
        return Answer(found.sections, {"given": read.given, **found.values})
