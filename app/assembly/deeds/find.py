"""Finding what was meant: the line, place or gate a person names."""

from collections.abc import Iterable

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.places import Place
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey


def find_line(build: Build, text: str) -> Line:
    """The line with this number (“4.07”, “4.7”) or step id; raise `Refused` if there is none."""
    wanted = text.strip()
    if wanted in build.by_number:
        return build.by_number[wanted]
    stage, dot, row = wanted.partition(".")
    if dot and f"{stage}.{row:0>2}" in build.by_number:
        return build.by_number[f"{stage}.{row:0>2}"]
    if wanted in build.by_id:
        return build.by_id[wanted]
    first, last = build.lines[0].number, build.lines[-1].number
    raise Refused(phrase(RefusalKind.NO_LINE, line=wanted, first=first, last=last))


def find_place(survey: Survey, line: Line, text: str) -> Place:
    """The place of a line by id or title; a line with one place takes “-” too. Raise `Refused` if it has none such."""
    places = survey.places(line)
    wanted = text.strip().casefold()
    if len(places) == 1 and wanted in ("-", ""):
        return places[0]
    for place in places:
        if wanted in (place.id.casefold(), place.title.casefold()):
            return place
    raise Refused(phrase(RefusalKind.NO_PLACE, line=line.number, place=text, known=tuple(place.id for place in places)))


def find_gate(build: Build, text: str) -> str:
    """The id of a gate by id, letter or title; raise `Refused` if there is none."""
    wanted = text.strip().casefold()
    for gate in build.gates:
        if wanted in (gate.id.casefold(), gate.letter.casefold(), gate.title.casefold()):
            return gate.id
    raise Refused(phrase(RefusalKind.NO_GATE, gate=text, known=tuple(gate.id for gate in build.gates)))


def find_steps(build: Build, numbers: Iterable[str]) -> tuple[str, ...]:
    return tuple(find_line(build, number).id for number in numbers if number.strip())


def must_say(text: str, asked: RefusalKind) -> str:
    if not text.strip():
        raise Refused(phrase(asked))
    return text.strip()
