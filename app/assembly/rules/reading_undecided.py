"""A reading that its figure cannot decide: a target without limits, or a doubt that crosses a limit."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.rules.rule import Rule
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.meant import meant_so
from app.assembly.standing.survey import Judged, Survey
from app.assembly.standing.verdicts import under_in, unit_in_force
from app.trade.conditions import Answer
from app.trade.notation import write_magnitude
from app.trade.quantity import Limits
from app.trade.verdict import Verdict

ID = "reading-undecided"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a figure whose readings cannot be judged by it."""
    for line in survey.read_lines:
        bounds = survey.bounds(line)
        doubtful = [
            one for one in survey.with_verdict(line, Verdict.UNDECIDED) if not survey.taken_on(line, ID, one.reading.at)
        ]
        if bounds is None or not doubtful:
            continue
        said = _said(survey, line, bounds, doubtful[0])
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=said.kind,
            args=said.args,
            since=min(one.reading.at for one in doubtful),
            places=tuple(one.place.id for one in doubtful),
        )


def _has_limits(bounds: Bounds, one: Judged) -> bool:
    limits = bounds.limits_at(one.place.id)
    return isinstance(limits, Limits) and not (limits.low is None and limits.high is None)


def _said(survey: Survey, line: Line, bounds: Bounds, one: Judged) -> Phrase:
    meant = meant_so(line.step, bounds, one.reading, under_in(survey.build, line))
    if meant.answer is not Answer.YES:
        kind = End.METHOD_DIFFERS if meant.answer is Answer.NO else End.METHOD_UNSAID
        return phrase(kind, wanted=bounds.text, text=one.reading.said, of=tuple(meant.because))
    worn = bounds.worn
    if worn is not None and not one.reading.doubt:
        return phrase(End.WITHIN_WORN, place=one.place.title, text=one.reading.said, worn=worn.text)
    if not _has_limits(bounds, one):
        return phrase(End.NO_LIMITS, wanted=bounds.text)
    unit = unit_in_force(line.step, bounds, one.place.id)
    doubt = write_magnitude(one.reading.doubt, unit or one.reading.unit) if one.reading.doubt else ""
    return phrase(End.READING_UNDECIDED, place=one.place.title, text=one.reading.said, doubt=doubt, wanted=bounds.text)


RULE = Rule(ID, find)
