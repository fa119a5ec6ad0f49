"""A hold that nobody has opened although work stands at it or has gone past it."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.said.marks import State
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Survey

ID = "hold-open"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each hold that is open and was overtaken, stopped or doubted."""
    for hold in survey.build.holds:
        mark = survey.build.facts.lines.get(hold.id)
        doubted = mark is not None and mark.state in (State.STOPPED, State.LOOK_AGAIN, State.LATER)
        if not survey.closed(hold) and (doubted or survey.begun_from > hold.position):
            yield LooseEnd(
                rule=ID,
                line=hold,
                gate=survey.gate_ahead(hold),
                why=f"Hold, {survey.state(hold).word}: nothing after it can be signed off",
                harm=harm_of(hold, "it can't be checked later"),
                clears=f"Mark {hold.number} Done with what it asks for, or go on anyway in writing",
                since=mark.at if doubted and mark else survey.since_passed(hold),
            )


RULE = Rule(ID, "Hold open", "A hold stands where a slip can't be seen or mended any more.", find)
