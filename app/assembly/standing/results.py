"""What is worked out from a line's readings: clearances, sums, shapes and spreads, each with its parts and a verdict.

Nothing here is ever typed: a result follows its parts, and is judged by what the line's figure says of it.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from itertools import pairwise
from math import hypot

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds
from app.assembly.plan.places import Place
from app.assembly.plan.steps import How, Measure
from app.assembly.said.readings import Reading
from app.assembly.standing.meant import meant_so
from app.assembly.standing.verdicts import WHOLE_UNIT, bounds_in, plan_unit, result_unit, true_size, under_in
from app.trade.conditions import Answer
from app.trade.notation import write_limits, write_magnitude
from app.trade.quantity import UNITS, Kind, Limits, Quantity, TorqueTurn
from app.trade.verdict import Verdict, judge

TAPER, ROUND, SPREAD, MOVED = "taper", "out of round", "spread", "moved"
_SIGNS = {How.DIFFERENCE: " - ", How.SUM: " + "}


class Part(Struct, frozen=True):
    """One value that a result is worked out from: its name, what was read, and its true size (base unit)."""

    name: str
    reading: Reading
    size: float


class Worked(Struct, frozen=True):
    """A result at a place: its size and doubt in the base unit, the sum in words, and the verdict on it.

    `missing` names the parts that are not read yet; then there is no size.
    """

    place: Place
    name: str
    size: float | None
    doubt: float
    unit: str
    words: str
    limits: Limits | None
    verdict: Verdict | None
    parts: tuple[Part, ...]
    missing: tuple[str, ...]

    @property
    def text(self) -> str:
        """The result with its unit, "" while a part is missing."""
        return write_magnitude(self.size, self.unit) if self.size is not None else ""

    @property
    def since(self) -> datetime | None:
        """When the last of its parts was read."""
        return max((part.reading.at for part in self.parts), default=None)


def worked(build: Build, line: Line, places: Iterable[Place]) -> tuple[Worked, ...]:
    """Every result of a line; `places` are those it is for. Empty for a line nothing is worked out from."""
    spec = line.step.spec
    if spec is None or not line.reads or spec.kind.in_words:
        return ()
    bounds = bounds_in(build, line)
    measure = line.step.measure
    found: list[Worked] = []
    if measure is not None and measure.how is How.SHAPE:
        found += _shapes(build, line, measure, bounds)
    elif measure is not None and measure.how is not None:
        found += (_result(build, line, measure, place, bounds) for place in base_places(line, places))
    if bounds is not None and (SPREAD in bounds.parts or MOVED in bounds.parts):
        found += _between(build, line, places, bounds, found)
    return tuple(found)


def base_places(line: Line, places: Iterable[Place]) -> tuple[Place, ...]:
    """The places that a line's points belong to: cylinder 1 for “1 bore” and “1 piston”."""
    points = line.step.measure.points if line.step.measure else ()
    found: dict[str, Place] = {}
    for place in places:
        point = next((one for one in points if place.id.endswith(f" {one}")), "")
        id_ = place.id.removesuffix(f" {point}") if point else place.id
        title = place.title.removesuffix(f" {point}") if point else place.title
        found.setdefault(id_, Place(id_, title))
    return tuple(found.values())


# --- at one place


def _result(build: Build, line: Line, measure: Measure, place: Place, bounds: Bounds | None) -> Worked:
    parts = _parts(build, line, measure, place)
    missing = _missing(measure, parts)
    unit = result_unit(plan_unit(build, line), bounds, place.id)
    size = None if missing else _clean(_size(measure.how, [part.size for part in parts]))
    doubt = hypot(*(part.reading.doubt for part in parts)) / (2 if measure.how is How.HALF else 1)
    limits = _limits(bounds, place.id)
    shown = Place(place.id, f"{place.title} {measure.result}".strip())
    words = _words(measure, parts, size, unit, limits) if size is not None else ""
    verdict = _verdict(build, line, bounds, parts, size, limits, doubt)
    return Worked(shown, measure.result, size, doubt, unit, words, limits, verdict, parts, missing)


def _parts(build: Build, line: Line, measure: Measure, place: Place) -> tuple[Part, ...]:
    """The points of a place that were read, in the plan's order."""
    found = ((point, _point_reading(build, line, measure, place, point)) for point in measure.points)
    return tuple(
        Part(point, reading, size)
        for point, reading in found
        if reading is not None and (size := true_size(reading)) is not None
    )


def _missing(measure: Measure, parts: Iterable[Part]) -> tuple[str, ...]:
    read = {part.name for part in parts}
    return tuple(point for point in measure.points if point not in read)


def _point_reading(build: Build, line: Line, measure: Measure, place: Place, point: str) -> Reading | None:
    """A point's last reading, of this line or the step it is taken from; none from before a disturbance."""
    taken = next((one for one in measure.takes if one.point == point), None)
    step = taken.step if taken is not None else line.id
    where = taken.place.replace("{}", place.id) if taken is not None else f"{place.id} {point}"
    rounds = [turn for at, turn in build.facts.readings.get(step, {}) if at == where]
    return build.facts.standing(step, where, max(rounds)) if rounds else None


def _size(how: How | None, sizes: list[float]) -> float:
    if how is How.HALF:
        return sizes[0] / 2
    if how is How.MEAN:
        return sum(sizes) / len(sizes)
    return sizes[0] - sum(sizes[1:]) if how is How.DIFFERENCE else sum(sizes)


def _clean(size: float) -> float:
    """Without the last digits of a difference: a hundred-thousandth of a millimetre is below every gauge."""
    return round(size, 5)


def _words(measure: Measure, parts: Iterable[Part], size: float, unit: str, limits: Limits | None) -> str:
    """The sum with its numbers in: “86.02 - 85.97 = 0.05 mm, 0.04 to 0.07 mm wanted”."""
    whole = WHOLE_UNIT.get(unit, unit)
    numbers = [_number(part.size, whole) for part in parts]
    left = {How.HALF: f"{numbers[0]} ÷ 2", How.MEAN: f"({' + '.join(numbers)}) ÷ {len(numbers)}"}.get(
        measure.how or How.SUM, _SIGNS.get(measure.how or How.SUM, "").join(numbers)
    )
    warm = any(part.size != part.reading.magnitude for part in parts)
    return f"{left}{_of(whole, unit)} = {write_magnitude(size, unit)}{', at 20 °C' if warm else ''}{_wanted(limits)}"


def _of(whole: str, unit: str) -> str:
    """The unit of the parts, where it is not that of what they come to."""
    return f" {whole}" if whole != unit else ""


def _number(size: float, unit: str) -> str:
    """A part of a sum without its unit, with the digits that the sum needs to come out."""
    return f"{UNITS[unit].from_base(size):.4f}".rstrip("0").rstrip(".") if unit in UNITS else f"{size:g}"


def _wanted(limits: Limits | None) -> str:
    return f", {write_limits(limits)} wanted" if limits is not None else ""


def _limits(bounds: Bounds | None, place: str) -> Limits | None:
    found = bounds.limits_at(place) if bounds is not None else None
    return found if isinstance(found, Limits) else None


def _verdict(
    build: Build,
    line: Line,
    bounds: Bounds | None,
    parts: Iterable[Part],
    size: float | None,
    limits: Limits | None,
    doubt: float,
) -> Verdict | None:
    spec = line.step.spec
    if spec is None or size is None or limits is None or bounds is None:
        return None
    under = under_in(build, line)
    if any(meant_so(line.step, bounds, part.reading, under).answer is not Answer.YES for part in parts):
        return Verdict.UNDECIDED
    return judge(Quantity(Kind(spec.kind.value), size, spec.unit, ""), limits, doubt)


# --- the shape of a bore or journal


def _shapes(build: Build, line: Line, measure: Measure, bounds: Bounds | None) -> Iterator[Worked]:
    """Taper and out-of-round at each place: over the heights in one way, and over the ways at one height."""
    for place in base_places(line, line.places):
        parts = _parts(build, line, measure, place)
        missing = _missing(measure, parts)
        for name, key in ((TAPER, _way), (ROUND, _height)):
            spans = [] if missing else _spans(parts, key)
            shown = Place(place.id, f"{place.title} {name}")
            limits = bounds.parts.get(name) if bounds is not None else None
            if spans:
                high, low = max(spans, key=lambda pair: pair[0].size - pair[1].size)
                yield _span(build, line, shown, name, high, low, limits, bounds)
            else:
                yield Worked(
                    shown,
                    name,
                    None,
                    0.0,
                    result_unit(plan_unit(build, line), bounds, name),
                    "",
                    limits,
                    None,
                    (),
                    missing or (name,),
                )


def _way(point: str) -> str:
    return point.rsplit(" ", 1)[-1]


def _height(point: str) -> str:
    return point.split(" ", 1)[0]


def _spans(parts: Iterable[Part], key: Callable[[str], str]) -> list[tuple[Part, Part]]:
    """The greatest and the least of each group of points that have more than one."""
    groups: dict[str, list[Part]] = {}
    for part in parts:
        groups.setdefault(key(part.name), []).append(part)
    return [(max(one, key=_size_of), min(one, key=_size_of)) for one in groups.values() if len(one) > 1]


def _size_of(part: Part) -> float:
    return part.size


def _span(
    build: Build,
    line: Line,
    place: Place,
    name: str,
    high: Part,
    low: Part,
    limits: Limits | None,
    bounds: Bounds | None,
) -> Worked:
    """How far two readings lie apart."""
    unit, size = result_unit(plan_unit(build, line), bounds, name), _clean(high.size - low.size)
    whole = WHOLE_UNIT.get(unit, unit)
    ends = f"{_number(high.size, whole)} - {_number(low.size, whole)}{_of(whole, unit)}"
    between = f"{ends} = {write_magnitude(size, unit)}"
    doubt = hypot(high.reading.doubt, low.reading.doubt)
    words = f"{between} ({high.name}, {low.name}){_wanted(limits)}"
    verdict = _verdict(build, line, bounds, (high, low), size, limits, doubt)
    return Worked(place, name, size, doubt, unit, words, limits, verdict, (high, low), ())


# --- between places and between rounds


def _between(
    build: Build, line: Line, places: Iterable[Place], bounds: Bounds, results: list[Worked]
) -> Iterator[Worked]:
    """How far the places differ from each other, and how far rounds moved, where the figure says how far they may."""
    known = _known_parts(build, line, places)
    spread, moved = bounds.parts.get(SPREAD), bounds.parts.get(MOVED)
    if spread is not None:
        whole = [Part(one.place.title, one.parts[0].reading, one.size) for one in results if one.size is not None]
        last = max((turn for _, turn in known), default=1)
        found = whole or [part for (_, turn), part in known.items() if turn == last]
        if len(found) > 1:
            high, low = max(found, key=_size_of), min(found, key=_size_of)
            yield _span(build, line, Place("", "All places, spread"), SPREAD, high, low, spread, bounds)
    if moved is not None:
        yield from _moves(build, line, known, moved, bounds)


def _known_parts(build: Build, line: Line, places: Iterable[Place]) -> dict[tuple[str, int], Part]:
    titles = {place.id: place.title for place in places}
    return {
        (where, turn): Part(titles[where], one, size)
        for (where, turn), one in build.facts.readings.get(line.id, {}).items()
        if where in titles and (size := true_size(one)) is not None
    }


def _moves(
    build: Build, line: Line, known: Mapping[tuple[str, int], Part], moved: Limits, bounds: Bounds
) -> Iterator[Worked]:
    """The greatest step from one round to the next at each place."""
    for where in dict.fromkeys(place for place, _ in known):
        turns = sorted(turn for place, turn in known if place == where)
        steps = [(known[where, one], known[where, other]) for one, other in pairwise(turns)]
        if steps:
            pair = max(steps, key=lambda both: abs(both[0].size - both[1].size))
            high, low = sorted(pair, key=_size_of, reverse=True)
            yield _span(build, line, Place(where, f"{high.name}, between rounds"), MOVED, high, low, moved, bounds)


def width_of(limits: TorqueTurn | Limits | None) -> float | None:
    """How wide limits are (base unit), None where a side is open or there are none."""
    if not isinstance(limits, Limits) or limits.low is None or limits.high is None:
        return None
    return limits.high - limits.low
