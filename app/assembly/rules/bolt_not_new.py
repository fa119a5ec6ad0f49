"""Bolts that are used once, tightened without a word that they are new."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.counts import COUNT
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import begun

ID = "bolt-not-new"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line that tightens one-use bolts nobody called new."""
    counts = survey.build.facts.of(COUNT)
    for line in survey.build.lines:
        fasteners = survey.build.fasteners.get(line.step.tightens)
        if fasteners is None or fasteners.limit != 1 or not begun(survey, line):
            continue
        old = [
            place.id
            for place in survey.build.places_of(fasteners.places)
            if not ((said := counts.get((fasteners.id, place.id))) is not None and (said.new or said.times == 0))
        ]
        mark = survey.build.facts.lines.get(line.id)
        if old and mark is not None and not survey.taken_on(line, ID, mark.at):
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.BOLT_NOT_NEW,
                args={"title": fasteners.title, "count": len(survey.build.places_of(fasteners.places))},
                since=mark.at,
                places=tuple(old),
                blocks=False,
            )


RULE = Rule(ID, find)
