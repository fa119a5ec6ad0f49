"""The figure in force on a line, and the verdict on a reading."""

from collections.abc import Callable, Mapping
from functools import lru_cache

from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds, read_figure
from app.assembly.plan.steps import Measured, Source, Spec, Step
from app.assembly.said.figures import Figure
from app.assembly.said.meant import UNDER, WIDTH, SaidUnder, SaidWidth
from app.assembly.said.readings import Reading
from app.assembly.said.units import UNITS_SAID, WHOLE_BUILD
from app.assembly.standing.meant import meant_so
from app.trade.conditions import UNSAID, Answer
from app.trade.notation import in_system
from app.trade.quantity import UNITS, Kind, Limits, Quantity, TorqueTurn
from app.trade.targets import is_far
from app.trade.verdict import Verdict, judge


def bounds_in(build: Build, line: Line) -> Bounds | None:
    """The figure in force on a line of a build, as wide as was said of it; None where there is none."""
    facts = build.facts
    width = facts.of(WIDTH).get((line.id, ""))
    return bounds_of(line.step.spec, facts.figures.get(line.id), build.sources, width)


def under_in(build: Build, line: Line) -> SaidUnder | None:
    """How all is read on a line, as far as was said; None where nothing was."""
    return build.facts.of(UNDER).get((line.id, ""))


def bounds_of(
    spec: Spec | None, figure: Figure | None, sources: Mapping[str, Source], width: SaidWidth | None = None
) -> Bounds | None:
    """The figure in force on a line: the person's before the plan's; None where there is none.

    A single figure of it is as wide as was said of it.
    """
    if spec is None or spec.kind.in_words:
        return None
    if figure is not None:
        found = _read(figure.text, spec.kind, spec.unit, figure.source)
    elif spec.limits:
        source = sources.get(spec.source)
        found = _read(spec.limits, spec.kind, spec.unit, source.title if source else "")
    else:
        return None
    return found if width is None or width.figure != found.text else _as_wide(found, width)


@lru_cache(maxsize=4096)
def _read(text: str, kind: Measured, unit: str, source: str) -> Bounds:
    return read_figure(text, Kind(kind.value), unit, source)


def _as_wide(bounds: Bounds, width: SaidWidth) -> Bounds:
    parts = {label: _wide(one, width) for label, one in bounds.parts.items()}
    limits = bounds.limits
    whole = (
        replace(limits, torque=_wide(limits.torque, width)) if isinstance(limits, TorqueTurn) else _wide(limits, width)
    )
    return replace(bounds, limits=whole, parts=parts, width=width.source)


def _wide(limits: Limits, width: SaidWidth) -> Limits:
    if not is_target(limits) or limits.target is None:
        return limits
    # Twelve digits: 0.20 - 0.025 is 0.175 and not its neighbour
    low, high = (float(f"{end:.12g}") for end in (limits.target - width.below, limits.target + width.above))
    return replace(limits, low=low, high=high)


def is_target(limits: Limits) -> bool:
    """Whether limits are a single figure that nobody has said a width of."""
    return limits.target is not None and limits.low is None and limits.high is None


# A size is not written in the unit of a clearance: a bore that is held to thousandths is still read in inches.
WHOLE_UNIT = {"thou": "in", "µm": "mm"}
# What a bare count is read in.
_NO_UNIT = ("", "1")


def plan_unit(build: Build, line: Line) -> str:
    """The unit of a line that no figure says one of: the plan's, or what the person thinks in instead; "" for none."""
    own = line.step.spec.unit if line.step.spec is not None else ""
    said = build.facts.of(UNITS_SAID).get((WHOLE_BUILD, ""))
    return in_system(own, said.system) if said is not None else own


def unit_in_force(step: Step, bounds: Bounds | None, place: str = "") -> str:
    """The unit that a figure, or else the plan, says is meant at a place.

    Where a result is worked out from what is read, the figure speaks of the result; the parts are read in the plan's
    unit if that is of the same system, else in the whole unit of the figure's (inches for thousandths).
    """
    own = step.spec.unit if step.spec is not None else ""
    if bounds is None:
        return own
    limits = bounds.limits_at(place)
    said = limits.torque.unit if isinstance(limits, TorqueTurn) else limits.unit
    if said in _NO_UNIT:
        return own
    if not step.works_out:
        return said
    return own if _system(own) == _system(said) else WHOLE_UNIT.get(said, said)


def result_unit(own: str, bounds: Bounds | None, place: str = "") -> str:
    """The unit a result is shown in: that of the figure it is held against, else the line's own, else millimetres."""
    limits = bounds.limits_at(place) if bounds is not None else None
    said = "" if limits is None or isinstance(limits, TorqueTurn) else limits.unit
    return said or own or "mm"


def _system(unit: str) -> str:
    return UNITS[unit].system if unit in UNITS else ""


def reading_verdict(
    reading: Reading, step: Step, bounds: Bounds | None, place: str, under: SaidUnder | None = None
) -> Verdict:
    """The verdict on a reading: by its figure, or for a finding in words by the plan's good answers."""
    return judge_by(step, bounds, under)(reading, place)


Judge = Callable[[Reading, str], Verdict]


def judge_by(step: Step, bounds: Bounds | None, under: SaidUnder | None = None) -> Judge:
    """How readings of one step are judged at a place, settled once for all of them; `under` is how they were read.

    One that was read otherwise than the figure is meant, or may have been, is not judged by it. Where a result is
    worked out from the readings, that is judged and they themselves are not.
    """
    spec = step.spec
    if spec is None or spec.kind is Measured.TEXT or (spec.kind is Measured.CHOICE and not spec.good):
        return lambda _reading, _place: Verdict.IN
    if spec.kind is Measured.CHOICE:
        good = spec.good
        return lambda reading, _place: Verdict.IN if reading.text in good else Verdict.OUT
    if step.works_out:
        return lambda _reading, _place: Verdict.IN
    if bounds is None or isinstance(bounds.limits, TorqueTurn):
        return lambda _reading, _place: Verdict.UNDECIDED
    plainly = _plainly(Kind(spec.kind.value), bounds, bounds.limits)
    if bounds.conditions == UNSAID:
        return plainly
    return lambda reading, place: (
        plainly(reading, place) if meant_so(step, bounds, reading, under).answer is Answer.YES else Verdict.UNDECIDED
    )


def _plainly(kind: Kind, bounds: Bounds, limits: Limits) -> Judge:
    if bounds.parts:
        return lambda reading, place: _at(kind, bounds, reading, place)
    worn = bounds.worn
    return _within(kind, limits) if worn is None else _in_two_tiers(_within(kind, limits), _within(kind, worn))


def _in_two_tiers(new: Judge, worn: Judge) -> Judge:
    """Beyond what a new part has and within the limit of a worn one nobody can decide but who knows the part."""

    def verdict(reading: Reading, place: str) -> Verdict:
        first = new(reading, place)
        return first if first is Verdict.IN else _WORN[worn(reading, place)]

    return verdict


_WORN = {Verdict.IN: Verdict.UNDECIDED, Verdict.UNDECIDED: Verdict.UNDECIDED, Verdict.OUT: Verdict.OUT}


def _at(kind: Kind, bounds: Bounds, reading: Reading, place: str) -> Verdict:
    limits = bounds.limits_at(place)
    return Verdict.UNDECIDED if isinstance(limits, TorqueTurn) else _within(kind, limits)(reading, place)


def _within(kind: Kind, limits: Limits) -> Judge:
    low, high, inside, undecided = limits.low, limits.high, Verdict.IN, Verdict.UNDECIDED
    aim = limits.target if is_target(limits) else None

    def verdict(reading: Reading, _place: str) -> Verdict:
        magnitude = reading.magnitude if reading.celsius is None else true_size(reading)
        if magnitude is None:
            return undecided
        doubt = reading.doubt
        if aim is not None:
            return Verdict.OUT if is_far(magnitude, aim, kind) else undecided
        if low is not None and high is not None and low + doubt <= magnitude <= high - doubt:
            return inside  # most readings: what is not near a limit needs no closer look
        return judge(Quantity(kind, magnitude, reading.unit, reading.text), limits, doubt)

    return verdict


def true_size(reading: Reading) -> float | None:
    """What a reading is at 20 °C, where its temperature and what it is made of are known; else as read (base unit)."""
    if reading.magnitude is None or reading.celsius is None or not reading.alpha_per_k:
        return reading.magnitude
    from app.trade.uncertainty import at_20_mm  # wanted for few readings, and it takes its time to load

    return at_20_mm(reading.magnitude, reading.alpha_per_k, reading.celsius)
