"""A written decision to go on although a line is open: it stays in sight until the line is closed."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.trade.verdict import Verdict

ID = "concession-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each concession whose line is still open, or still reads out."""
    for key, concessions in survey.build.facts.concessions.items():
        line = survey.build.by_id.get(key)
        if line is None:  # a changed option took it away
            continue
        if not survey.open(line) and not survey.with_verdict(line, Verdict.OUT):
            continue
        for gate, concession in concessions.items():
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.CONCESSION_OPEN,
                args={
                    "gate": survey.build.gate(gate).title if gate else "",
                    "by": concession.by,
                    "text": concession.text,
                },
                since=concession.at,
                blocks=False,
            )


RULE = Rule(ID, find)
