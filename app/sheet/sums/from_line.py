"""What a line knows already, put into the fields of the sum at the bench that goes with it."""

from collections.abc import Callable, Iterator, Mapping

from app.assembly.lines import Line
from app.assembly.plan.steps import BenchSum, Heat
from app.assembly.said.readings import Reading
from app.assembly.standing.entry_places import hides_first
from app.assembly.standing.lash_stops import cam_said
from app.assembly.standing.results import Worked
from app.assembly.standing.survey import Survey
from app.sheet.line_sum import sum_of
from app.sheet.sums.valves import OTHER
from app.trade.lash import Condition
from app.trade.notation import write_limits, write_magnitude
from app.trade.quantity import Limits

Fields = dict[str, str]
_SEVERAL = "; "


def fields_of(survey: Survey, line: Line) -> Fields:
    """The fields of that sum which the line and its readings answer; the others are left to the person.

    None are filled in from readings that a second look is still to read anew.
    """
    found = sum_of(line) if not hides_first(survey, line) else None
    return _FILLED.get(found, _nothing)(survey, line) if found is not None else {}


def _nothing(_survey: Survey, _line: Line) -> Fields:
    return {}


def _readings(survey: Survey, line: Line) -> Iterator[tuple[str, Reading]]:
    """The last reading of each place, in the sheet's order."""
    last = {one.place.id: one.reading for one in survey.judged(line) if one.reading.magnitude is not None}
    yield from last.items()


def _named(survey: Survey, line: Line) -> str:
    """The readings as a sum takes them: “1 1260; 2 1240 kPa”."""
    return _row([(place, reading.magnitude or 0.0) for place, reading in _readings(survey, line)], _unit(line))


def _row(named: list[tuple[str, float]], unit: str) -> str:
    return _SEVERAL.join(f"{name} {write_magnitude(size, unit)}" for name, size in named)


def _unit(line: Line) -> str:
    return line.step.spec.unit if line.step.spec is not None and line.step.spec.unit else "mm"


def _limits(survey: Survey, line: Line, place: str = "") -> str:
    bounds = survey.bounds(line)
    limits = bounds.limits_at(place) if bounds is not None else None
    return write_limits(limits) if isinstance(limits, Limits) else ""


def _results(survey: Survey, line: Line) -> list[Worked]:
    return [one for one in survey.worked(line) if one.size is not None]


def _gap(survey: Survey, line: Line) -> Fields:
    last = list(_readings(survey, line))
    return {"measured": last[-1][1].text if last else ""}


def _degree(survey: Survey, _line: Line) -> Fields:
    said = cam_said(survey.build)
    if said is None:
        return {}
    return {"card": _events(survey), "card_lift": said.typed.get("lift", "")}


def _events(survey: Survey) -> str:
    said = cam_said(survey.build)
    events = (said.ivo_deg, said.ivc_deg, said.evo_deg, said.evc_deg) if said is not None else ()
    return " ".join(f"{one:g}" for one in events)


def _piston(survey: Survey, line: Line) -> Fields:
    return {"wanted": _limits(survey, line).removeprefix("at least ")}


def _pressures(survey: Survey, line: Line) -> Fields:
    leak = line.step.spec is not None and line.step.spec.kind.value == "share"
    return {"leak" if leak else "cranking": _named(survey, line)}


def _shells(survey: Survey, line: Line) -> Fields:
    results = _results(survey, line)
    now = _row([(one.place.id, one.size or 0.0) for one in results], results[0].unit) if results else ""
    return {"now": now, "band": _limits(survey, line)}


def _match(survey: Survey, line: Line) -> Fields:
    return {"bores": _named(survey, line)}


def _ratio(survey: Survey, line: Line) -> Fields:
    """The deck is the mean of all cylinders."""
    build, results = survey.build, _results(survey, line)
    cylinders = str(build.arrangement.cylinders) if build.arrangement is not None else ""
    sizes = [one.size for one in results if one.size is not None]
    deck = write_magnitude(round(sum(sizes) / len(sizes), 3), results[0].unit) if sizes else ""
    return {"cylinders": cylinders, "deck": deck}


def _shim(survey: Survey, line: Line) -> Fields:
    """The shim that is in each valve is left to be written in, between its name and its lash."""
    measure = line.step.measure
    hot = measure is not None and measure.heat is Heat.HOT
    valves = [f"{place} ? {reading.said}" for place, reading in _readings(survey, line)]
    return {
        "valves": "\n".join(valves),
        "intake": _limits(survey, line, "in1"),
        "exhaust": _limits(survey, line, "ex1"),
        "condition": (Condition.HOT if hot else Condition.COLD).value,
    }


def _valves(survey: Survey, _line: Line) -> Fields:
    engine, said = survey.build.arrangement, cam_said(survey.build)
    if engine is None:
        return {}
    fields = {
        "order": "-".join(str(one) for one in engine.firing_order),
        "intakes": str(engine.intake_per_cylinder),
        "exhausts": str(engine.exhaust_per_cylinder),
        "intervals": ", ".join(f"{one:g}" for one in engine.intervals),
    }
    if engine.intervals:
        fields["layout"] = OTHER
    if said is not None:
        fields |= {"cam": _events(survey), "lift": said.typed.get("lift", ""), "margin": f"{said.margin_deg:g}°"}
    return fields


_FILLED: Mapping[BenchSum, Callable[[Survey, Line], Fields]] = {
    BenchSum.GAP: _gap,
    BenchSum.DEGREE: _degree,
    BenchSum.PISTON: _piston,
    BenchSum.PRESSURES: _pressures,
    BenchSum.SHELLS: _shells,
    BenchSum.MATCH: _match,
    BenchSum.RATIO: _ratio,
    BenchSum.SHIM: _shim,
    BenchSum.VALVES: _valves,
}
