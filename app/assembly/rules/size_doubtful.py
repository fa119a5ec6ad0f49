"""A value or figure of a size that its kind of line never has, or far from values like it."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.size_words import said_of
from app.assembly.standing.sizes import doubtful
from app.assembly.standing.survey import Survey
from app.trade.envelope import Outside

ID = "size-doubtful"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with such a value, until somebody says in writing that it is so.

    A size no engine has keeps its gate shut; one that is only unlike the others does not.
    """
    for line in survey.build.lines:
        if line.id not in survey.build.facts.readings and line.id not in survey.build.facts.figures:
            continue
        found = [one for one in doubtful(survey, line) if not survey.taken_on(line, ID, one.since)]
        if not found:
            continue
        said = said_of(found[0])
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=said.kind,
            args=said.args,
            since=min(one.since for one in found),
            places=tuple(dict.fromkeys(one.place.id for one in found if one.place is not None)),
            blocks=any(isinstance(one.why, Outside) for one in found),
        )


RULE = Rule(ID, find)
