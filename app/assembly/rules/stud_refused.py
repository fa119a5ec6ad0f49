"""A stud whose torque and stretch together say that it is not to be used."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.bolts import BOLT
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import turns_of

ID = "stud-refused"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a stud to be replaced, or a group to be slackened."""
    steps = {step for step, _ in survey.build.facts.of(BOLT)}
    if not steps:
        return
    from app.trade.stretch import Answer  # wanted only where bolts were worked one by one

    wrong = (Answer.REPLACE.value, Answer.SLACKEN_GROUP.value)
    for line in (one for one in survey.build.lines if one.id in steps):
        refused = {place: turn for (_, place), turn in turns_of(survey.build, line).items() if turn.answer in wrong}
        since = max((turn.at for turn in refused.values()), default=survey.now)
        if refused and not survey.taken_on(line, ID, since):
            place, turn = next(iter(refused.items()))
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.STUD_REFUSED,
                args={"place": place, "verdict": turn.because},
                since=since,
                places=tuple(refused),
            )


RULE = Rule(ID, find)
