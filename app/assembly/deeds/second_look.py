"""Taking a second look."""

from datetime import datetime, timedelta

from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, once
from app.assembly.deeds.find import find_line, find_place
from app.assembly.deeds.reopen import opened
from app.assembly.lines import Line
from app.assembly.plan.steps import Measured
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.kinds import Subject
from app.assembly.said.leaving import LEFT
from app.assembly.said.marks import State
from app.assembly.said.phrase import phrase
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.second_look import SEEN, Seen
from app.assembly.standing.entry_places import verdict_on
from app.assembly.standing.survey import Survey
from app.assembly.standing.units import unit_at
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind
from app.trade.verdict import Verdict

# The same person's second look counts in another session: after leaving, or after a night's distance.
ANOTHER_SESSION = timedelta(hours=4)


@decided.register
def _second(action: a.LookSecond, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    mark = survey.build.facts.lines.get(line.id)
    if mark is None or mark.state is not State.DONE:
        raise Refused(phrase(RefusalKind.SECOND_LOOK_AFTER_DONE, line=line.number, state=phrase(survey.state(line))))
    if action.by == mark.by and not _later_session(survey.build, mark.at, action.at):
        raise Refused(phrase(RefusalKind.SECOND_LOOK_BY_ANOTHER, line=line.number, by=mark.by, at=mark.at))
    values, out = _second_values(survey, line, action)
    seen = Seen(action.by, action.at, values)
    entries = [entry(survey.build, EventName.SECOND_LOOK, Subject(SEEN, line.id), seen)]
    if out:
        entries += opened(survey, line, action.by, action.at, phrase(Because.SECOND_LOOK_OUT, values=tuple(out)))
    return Deed(Verb.SECOND_LOOK, action.by, action.at, once(entries))


def _later_session(build: Build, first: datetime, second: datetime) -> bool:
    left = any(first <= one.at <= second for one in build.facts.of(LEFT).values())
    return left or second - first >= ANOTHER_SESSION


def _second_values(survey: Survey, line: Line, action: a.LookSecond) -> tuple[tuple[str, ...], list[str]]:
    """The second readings as kept, and the places where they are out."""
    spec = line.step.spec
    if not line.reads or spec is None:
        return (), []
    out, kept = [], []
    values = {find_place(survey, line, place).id: text for place, text in action.values.items()}
    for place in survey.places(line):
        text = values.get(place.id, "").strip()
        if not text:
            raise Refused(phrase(RefusalKind.SECOND_LOOK_READS_ALL, line=line.number, place=place.title))
        if spec.kind not in (Measured.CHOICE, Measured.TEXT):
            first = survey.build.facts.readings[line.id][place.id, 1]
            quantity = _quantity(line, text, Kind(spec.kind.value), unit_at(survey, line, place.id))
            reading = replace(first, text=text, magnitude=quantity, by=action.by, at=action.at)
            if verdict_on(survey, line, place.id, reading) is Verdict.OUT:
                out.append(f"{place.title} {text}")
        kept.append(f"{place.id}={text}")
    return tuple(kept), out


def _quantity(line: Line, text: str, kind: Kind, unit: str) -> float:
    try:
        return read_quantity(text, kind, unit=unit or None).magnitude
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_LINE, line=line.number, matter=str(error))) from error
