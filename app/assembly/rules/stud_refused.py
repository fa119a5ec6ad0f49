"""A stud whose torque and stretch together say that it is not to be used."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.bolts import BOLT, Tried
from app.assembly.said.phrase import phrase
from app.assembly.standing.loose_end import LooseEnd, harm_of
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
                gate=survey.gate_ahead(line),
                why=phrase(Tried.AT_PLACE, place=place, because=turn.because),
                harm=harm_of(line, "a stud past its stretch is on its way to breaking"),
                clears=f"Slacken the group of {line.number}, put it right, and tighten it again",
                since=since,
                places=tuple(refused),
            )


RULE = Rule(ID, "Stud not accepted", "Torque and stretch each have a window; both must be met.", find)
