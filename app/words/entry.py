"""What a text being typed at a place is taken for, and what is said of a place that cannot be written at."""

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.said.phrase import phrase
from app.assembly.said.readings import Reading
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.blades import Blades, between_blades
from app.assembly.standing.entry_places import EntryPlace, Form, not_begun
from app.assembly.standing.survey import Survey
from app.assembly.standing.verdicts import reading_verdict
from app.trade.notation import NotationError, read_quantity, second, write_magnitude, write_quantity
from app.trade.quantity import Kind
from app.words.say import say
from app.words.understood import value_understood


class Taken(Struct, frozen=True):
    """What a text is taken for: the words that say so, whether it can be kept, and then what is kept of it."""

    words: str
    good: bool
    kept: str


def taken_for(survey: Survey, line: Line, one: EntryPlace, text: str, decimal: str = ".") -> Taken:
    """What a text typed at a place of a line is taken for.

    A word of a list is known by its first letters, as soon as these fit no other; whatever fits none is refused.
    """
    text = text.strip()
    if one.form is Form.CHOICE:
        return _word(survey, line, one, text)
    if one.form is Form.TEXT:
        return Taken("", bool(text), text)
    try:
        blades = between_blades(line, text, one.unit, decimal)
    except NotationError as error:
        return Taken(str(error), False, "")
    if blades is not None:
        return _blades(line, blades, text)
    found = value_understood(survey, line, one.place.id, text, decimal)
    return Taken(found.words, found.good and bool(text), text)


def _word(survey: Survey, line: Line, one: EntryPlace, text: str) -> Taken:
    if not text:
        return Taken("", False, "")
    typed = text.casefold()
    whole = [choice for choice in one.choices if choice.casefold() == typed]
    found = whole or [choice for choice in one.choices if choice.casefold().startswith(typed)]
    if len(found) > 1:
        return Taken(f"{', '.join(found[:-1])} or {found[-1]}?", False, "")
    if not found:
        said = phrase(RefusalKind.NO_CHOICE, line=line.number, text=text, known=one.choices)
        return Taken(say(said), False, "")
    good = line.step.spec.good if line.step.spec is not None else ()
    reading = Reading(found[0], None, "", "", survey.now)
    verdict = reading_verdict(reading, line.step, survey.bounds(line), one.place.id)
    words = f"{found[0]}: {verdict.value}, good is {', '.join(good)}" if good else found[0]
    if words == text:
        words = ""  # there is nothing to add to what stands there
    return Taken(words, True, found[0])


def _blades(line: Line, blades: Blades, text: str) -> Taken:
    if blades.goes >= blades.stops:
        return Taken(say(phrase(RefusalKind.THINNER_BLADE_FIRST, line=line.number)), False, "")
    middle, doubt = (write_magnitude(size, blades.unit) for size in (blades.middle, blades.doubt))
    return Taken(f"between the two: {middle} ± {doubt}", True, text)


def quantity_taken_for(text: str, kind: Kind, unit: str, decimal: str = ".") -> Taken:
    """What a quantity is taken for that no figure of the line is held against, in both systems."""
    text = text.strip()
    if not text:
        return Taken("", False, "")
    try:
        quantity = read_quantity(text, kind, unit=unit or None, decimal=decimal)
    except NotationError as error:
        return Taken(str(error), False, "")
    other = second(quantity)
    return Taken(f"{write_quantity(quantity)} = {other}" if other else write_quantity(quantity), True, text)


def why_not_now(survey: Survey, line: Line) -> str:
    """Why nothing can be written on a line yet, "" where it can."""
    said = not_begun(survey, line)
    return say(said) if said is not None else ""
