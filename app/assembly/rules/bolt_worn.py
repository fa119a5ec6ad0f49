"""Bolts longer or thinner than their own sheet lets them be used again, or not measured against it."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.counts import COUNT
from app.assembly.said.joints import JointSaid
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import begun, described_lines, fasteners_of, joint_key, joint_lines
from app.assembly.standing.used_bolts import use_again

ID = "bolt-worn"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each joint with a bolt its sheet refuses, or one nobody measured, at its first line."""
    first: dict[str, tuple[Line, JointSaid]] = {}
    for line, said in described_lines(survey):
        first.setdefault(joint_key(line), (line, said))
    for line, said in first.values():
        if said.longest_mm is not None or said.necked_mm is not None:
            yield from _of_line(survey, line, said)


def _of_line(survey: Survey, line: Line, said: JointSaid) -> Iterator[LooseEnd]:
    counts, fasteners = survey.build.facts.of(COUNT), fasteners_of(survey.build, line)
    refused: dict[str, str] = {}
    unmeasured: dict[str, str] = {}
    for place in survey.places(line):
        for use in use_again(said, counts.get((fasteners, place.id))):
            if use.allowed is None:
                unmeasured.setdefault(place.id, use.sentence)
            elif not use.allowed:
                refused.setdefault(place.id, use.sentence)
    if refused and not survey.taken_on(line, ID, said.at):
        yield _end(survey, line, said, refused, blocks=True)
    elif unmeasured and _begun(survey, line) and not survey.taken_on(line, ID, said.at):
        yield _end(survey, line, said, unmeasured, blocks=False)


def _begun(survey: Survey, line: Line) -> bool:
    return any(begun(survey, one) for one in joint_lines(survey.build, line))


def _end(survey: Survey, line: Line, said: JointSaid, found: dict[str, str], *, blocks: bool) -> LooseEnd:
    return LooseEnd(
        rule=ID,
        line=line,
        gate=gate_ahead(survey, line),
        kind=End.BOLT_WORN if blocks else End.BOLT_UNMEASURED,
        args={"text": next(iter(found.values()))},
        since=said.at,
        places=tuple(found),
        blocks=blocks,
    )


RULE = Rule(ID, find)
