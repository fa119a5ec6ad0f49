"""Writing a value at a place, and rubbing it out."""

from collections.abc import Iterator

from msgspec.structs import replace

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import begin, entry, once
from app.assembly.deeds.find import find_line, find_place
from app.assembly.deeds.reopen import opened
from app.assembly.lines import Line
from app.assembly.plan.order import Link
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured
from app.assembly.said.actions import (
    RubOutReading,
    TakeReading,
)
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.said.phrase import phrase
from app.assembly.said.readings import READING, Reading
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.blades import between_blades
from app.assembly.standing.entry_places import may_be_read, not_begun, verdict_on
from app.assembly.standing.survey import Survey
from app.assembly.standing.tools import doubt_of, tool_of
from app.assembly.standing.units import unit_at
from app.trade.notation import Ambiguous, NotationError, read_quantity
from app.trade.quantity import Kind
from app.trade.verdict import Verdict


@decided.register
def _reading(action: TakeReading, survey: Survey) -> Deed:
    line, place = _reading_place(survey, action.line, action.place, action.round)
    reading = _with_doubt(survey, line, place, _read_value(survey, line, place, action), action)
    shut = not_begun(survey, line)
    if shut is not None:
        raise Refused(shut)
    entries = [entry(survey.build, EventName.READ, Subject(READING, line.id, place.id, action.round), reading)]
    state = survey.state(line)
    spec = line.step.spec
    out = spec is not None and verdict_on(survey, line, place.id, reading) is Verdict.OUT
    if state is State.TO_DO:
        entries.append(begin(survey, line, action.by, action.at))
    elif state is State.DONE and out:
        entries += opened(
            survey, line, action.by, action.at, phrase(Because.READS_OUT, place=place.title, value=reading.said)
        )
    entries += _changed_findings(survey, line, place, reading, action)
    return Deed(Verb.READ, action.by, action.at, once(entries))


@decided.register
def _rub_out(action: RubOutReading, survey: Survey) -> Deed:
    line, place = _reading_place(survey, action.line, action.place, action.round)
    subject = Subject(READING, line.id, place.id, action.round)
    if survey.build.facts.get(subject) is None:
        raise Refused(phrase(RefusalKind.NO_VALUE_TO_RUB_OUT, line=line.number, place=place.title))
    entries = [entry(survey.build, EventName.RUB_OUT, subject, None)]
    if survey.state(line) is State.DONE:
        entries += opened(survey, line, action.by, action.at, phrase(Because.VALUE_RUBBED_OUT, place=place.title))
    entries += _changed_findings(survey, line, place, None, action)
    return Deed(Verb.RUB_OUT, action.by, action.at, once(entries))


def _reading_place(survey: Survey, number: str, place_text: str, turn: int) -> tuple[Line, Place]:
    line = find_line(survey.build, number)
    if not line.reads or line.step.spec is None:
        raise Refused(phrase(RefusalKind.ASKS_NO_READING, line=line.number))
    place = find_place(survey, line, place_text)
    if not may_be_read(survey, line, place.id, turn):
        read = max((at for where, at in survey.build.facts.readings.get(line.id, {}) if where == place.id), default=0)
        rounds = max(read, line.step.spec.rounds)
        raise Refused(phrase(RefusalKind.NO_ROUND, line=line.number, place=place.title, rounds=rounds, turn=turn))
    return line, place


def _read_value(survey: Survey, line: Line, place: Place, action: TakeReading) -> Reading:
    spec = line.step.spec
    assert spec is not None  # a reading line always has one
    text = action.text.strip()
    if not text:
        raise Refused(phrase(RefusalKind.WRITE_A_VALUE, line=line.number, place=place.title))
    if spec.kind is Measured.TEXT:
        return Reading(text, None, "", action.by, action.at)
    if spec.kind is Measured.CHOICE:
        return Reading(_word(line, text), None, "", action.by, action.at)
    try:
        unit = unit_at(survey, line, place.id)
        between = _between_blades(line, text, unit, action)
        if between is not None:
            return between
        quantity = read_quantity(text, Kind(spec.kind.value), unit=unit or None, decimal=action.decimal)
    except Ambiguous as error:
        raise Refused(phrase(RefusalKind.AT_PLACE, line=line.number, place=place.title, matter=str(error))) from error
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_PLACE, line=line.number, place=place.title, matter=str(error))) from error
    return Reading(text, quantity.magnitude, quantity.unit, action.by, action.at)


def _with_doubt(survey: Survey, line: Line, place: Place, reading: Reading, action: TakeReading) -> Reading:
    """The reading with what it was read with, how far that is to be trusted, and how warm it was."""
    tool = tool_of(survey.build, action.tool.strip()) if action.tool.strip() else None
    try:
        doubt = doubt_of(tool, line.step.spec) if tool is not None else 0.0
        warmth = action.temperature.strip()
        celsius = read_quantity(warmth, Kind.TEMPERATURE, unit="°C").magnitude if warmth else None
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_PLACE, line=line.number, place=place.title, matter=str(error))) from error
    if celsius is not None and not -50 <= celsius <= 150:
        raise Refused(phrase(RefusalKind.NOTHING_SO_WARM, line=line.number, place=place.title, temperature=warmth))
    doubt = max(doubt, reading.doubt)
    alpha = action.alpha_per_k if line.step.measure is not None and line.step.measure.material else 0.0
    return replace(reading, tool=action.tool.strip(), doubt=doubt, celsius=celsius, alpha_per_k=alpha)


def _between_blades(line: Line, text: str, unit: str, action: TakeReading) -> Reading | None:
    """Lash known to lie between two blades: its middle, in doubt by half of what they leave open."""
    blades = between_blades(line, text, unit, action.decimal)
    if blades is None:
        return None
    if blades.goes >= blades.stops:
        raise Refused(phrase(RefusalKind.THINNER_BLADE_FIRST, line=line.number))
    return Reading(text, blades.middle, blades.unit, action.by, action.at, doubt=blades.doubt)


def _word(line: Line, text: str) -> str:
    choices = line.step.spec.choices if line.step.spec else ()
    found = [choice for choice in choices if choice.casefold() == text.casefold()]
    if not found:
        raise Refused(phrase(RefusalKind.NO_CHOICE, line=line.number, text=text, known=tuple(choices)))
    return found[0]


def _changed_findings(
    survey: Survey, finding: Line, place: Place, reading: Reading | None, action: TakeReading | RubOutReading
) -> Iterator[Entry]:
    """A finding that changes its answer, or loses it, opens the Done lines that hang on it."""
    old = survey.build.facts.readings.get(finding.id, {}).get((place.id, action.round))
    if old is None or (reading is not None and old.text == reading.text):
        return
    where = {"line": finding.number, "place": place.title}
    gone = phrase(Because.FINDING_NOT_KNOWN, **where)
    because = phrase(Because.FINDING_IS_NOW, value=reading.text, **where) if reading is not None else gone
    for line in (survey.build.by_id[row.end] for row in survey.build.order.out_of(finding.id, Link.CONDITION)):
        if survey.state(line) is State.DONE:
            yield from opened(survey, line, action.by, action.at, because)
