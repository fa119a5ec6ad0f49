"""A hole that is not closed although the part that hides it is on."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.holes import hole_map
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "hole-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each pattern of holes with open ones behind a part that is on."""
    for group in survey.build.groups.values():
        closing = survey.build.by_id.get(group.closing)
        hiding = survey.build.by_id.get(group.hidden_by)
        if closing is None or hiding is None or not (survey.done(hiding) or survey.begun_from >= hiding.position):
            continue
        opened = [hole for hole in hole_map(survey, group) if not hole.closed]
        if opened and not survey.done(closing) and not survey.called_off(closing):
            yield LooseEnd(
                rule=ID,
                line=closing,
                gate=gate_ahead(survey, closing),
                kind=End.HOLE_OPEN,
                args={"count": len(opened), "title": group.title, "hiding": hiding.number},
                since=survey.since_passed(closing),
                places=tuple(hole.place.id for hole in opened),
            )


RULE = Rule(ID, find)
