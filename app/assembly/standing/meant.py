"""Whether a reading was taken as its figure is meant: hot or cold, at what speed, by what method."""

from functools import lru_cache

from app.assembly.plan.figures import Bounds
from app.assembly.plan.steps import Heat as PlanHeat
from app.assembly.plan.steps import Step
from app.assembly.said.meant import SaidUnder
from app.assembly.said.readings import Reading
from app.trade.conditions import (
    UNSAID,
    Answer,
    Applies,
    Aspect,
    Band,
    Conditions,
    Heat,
    applies,
    completed,
)
from app.trade.notation import NotationError, read_conditions, read_figure
from app.trade.quantity import Kind

# What has to be said of a reading before it is judged by a figure that asks for it. What is on the threads is said of
# the joint; a line that asks for a run-out or a diameter is read as one; a height is set as the figure says.
_TO_BE_SAID = frozenset((Aspect.HEAT, Aspect.SPEED, Aspect.METHOD))
_PLAN_HEAT = {PlanHeat.COLD: Conditions(heat=Heat.COLD), PlanHeat.HOT: Conditions(heat=Heat.HOT)}


def under_which(step: Step, reading: Reading, said: SaidUnder | None) -> Conditions:
    """How a reading was taken: by its own words, its temperature, what is said of the whole line, and the plan."""
    assert step.spec is not None  # a line that reads has one
    kind = Kind(step.spec.kind.value)
    found = _words_of(reading.text, kind, reading.unit)
    if reading.celsius is not None:
        found = completed(found, Conditions(heat=Heat.AT, at_c=Band(reading.celsius, reading.celsius)))
    if said is not None and said.text:
        found = completed(found, read_conditions(said.text, kind))
    heat = step.measure.heat if step.measure is not None else None
    return completed(found, _PLAN_HEAT[heat]) if heat is not None else found


@lru_cache(maxsize=4096)
def _words_of(text: str, kind: Kind, unit: str) -> Conditions:
    try:
        return read_figure(text, kind, unit=unit or None).conditions
    except NotationError:
        return UNSAID  # “0.25 goes, 0.30 does not” is no figure; it was read when it was written


def meant_so(step: Step, bounds: Bounds, reading: Reading, said: SaidUnder | None) -> Applies:
    """Whether a reading may be judged by the figure of its line, and if not, in what they differ or what is unsaid."""
    if bounds.conditions == UNSAID:
        return Applies(Answer.YES)
    found = applies(bounds.conditions, under_which(step, reading, said))
    if found.answer is not Answer.UNKNOWN:
        return found
    open_ = tuple(aspect for aspect in found.because if aspect in _TO_BE_SAID)
    return Applies(Answer.UNKNOWN, open_) if open_ else Applies(Answer.YES)
