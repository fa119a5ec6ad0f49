"""A reading that its figure cannot decide: a target without limits, or a doubt that crosses a limit."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.rules.rule import Rule
from app.assembly.standing.loose_end import LooseEnd, harm_of
from app.assembly.standing.survey import Judged, Survey
from app.trade.notation import write_magnitude
from app.trade.quantity import Limits
from app.trade.verdict import Verdict

ID = "reading-undecided"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a figure whose readings cannot be judged by it."""
    for line in survey.build.lines:
        bounds = survey.bounds(line)
        doubtful = [
            one for one in survey.with_verdict(line, Verdict.UNDECIDED) if not survey.taken_on(line, ID, one.reading.at)
        ]
        if bounds is None or not doubtful:
            continue
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=survey.gate_ahead(line),
            why=_why(line, bounds, doubtful[0]),
            harm=harm_of(line, "nobody can say whether it is right"),
            clears=_clears(line, bounds, doubtful[0]),
            since=min(one.reading.at for one in doubtful),
            places=tuple(one.place.id for one in doubtful),
        )


def _has_limits(bounds: Bounds, one: Judged) -> bool:
    limits = bounds.limits_at(one.place.id)
    return isinstance(limits, Limits) and not (limits.low is None and limits.high is None)


def _why(line: Line, bounds: Bounds, one: Judged) -> str:
    if not _has_limits(bounds, one):
        return f"Cannot decide: “{bounds.text}” gives no limits the reading could be held against"
    unit = line.step.spec.unit if line.step.spec else ""
    doubt = f" ± {write_magnitude(one.reading.doubt, unit or one.reading.unit)}" if one.reading.doubt else ""
    return f"Cannot decide: {one.place.title} {one.reading.text}{doubt} may lie on either side of “{bounds.text}”"


def _clears(line: Line, bounds: Bounds, one: Judged) -> str:
    if not _has_limits(bounds, one):
        return f"Enter the limits of {line.number} with their source"
    return f"Read {line.number} with a finer gauge, bring it further inside, or decide in writing to go on"


RULE = Rule(ID, "Cannot decide", "A number nobody can judge is not yet a result.", find)
