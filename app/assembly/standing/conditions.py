"""What would reopen a decision, written so that it can be watched: “event:cam-changed”, “distance:500 miles”."""

from datetime import date, datetime

from msgspec import Struct

from app.assembly.build import Build
from app.assembly.said.events import EVENT
from app.assembly.said.findings import Finding
from app.assembly.said.marks import State
from app.assembly.said.options import OPTION
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.said.running import RUN
from app.assembly.standing.survey import Survey
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind
from app.trade.verdict import Verdict

MM_PER_KM = 1e6
KINDS = ("event", "line", "option", "distance", "hours", "cycles", "date")


class Totals(Struct, frozen=True):
    """How much an engine has run since its first start."""

    hours: float
    distance_km: float
    heat_cycles: int


def totals(build: Build, since: datetime | None = None) -> Totals:
    """All running written down, or that after a time."""
    runs = [run for run in build.facts.of(RUN).values() if since is None or run.at > since]
    return Totals(
        sum(run.hours for run in runs),
        sum(run.distance_km for run in runs),
        sum(run.heat_cycles for run in runs),
    )


def check_condition(build: Build, text: str) -> str:
    """The condition as it is kept; raise `Refused` with how one is written."""
    kind, _, value = text.strip().partition(":")
    value = value.strip()
    if kind not in KINDS or not value:
        raise Refused(phrase(RefusalKind.NOTHING_TO_WATCH, text=text))
    if kind == "event" and value not in build.happenings:
        raise Refused(phrase(RefusalKind.NO_EVENT, event=value, known=tuple(build.happenings)))
    if kind == "option" and value not in build.options:
        raise Refused(phrase(RefusalKind.NO_OPTION, option=value, known=tuple(build.options)))
    if kind == "line":
        line = build.by_number.get(value) or build.by_id.get(value)
        if line is None:
            raise Refused(phrase(RefusalKind.NO_LINE_TO_WATCH, line=value))
        return f"line:{line.id}"
    _amount(kind, value)
    return f"{kind}:{value}"


def _amount(kind: str, value: str) -> float:
    """The figure of a condition: km, hours, cycles or an ordinal day."""
    try:
        match kind:
            case "distance":
                return read_quantity(value, Kind.LENGTH).magnitude / MM_PER_KM
            case "hours":
                return read_quantity(value, Kind.TIME, unit="h").magnitude / 3600
            case "cycles":
                return float(int(value.split()[0]))
            case "date":
                return float(date.fromisoformat(value).toordinal())
    except (NotationError, ValueError) as error:
        raise Refused(phrase(RefusalKind.CANNOT_BE_WATCHED, condition=f"{kind}:{value}", matter=str(error))) from error
    return 0.0


def met(survey: Survey, finding: Finding) -> str:
    """The first condition of a decision that has come true since, in words; "" while none has."""
    if finding.decided_at is None:
        return ""
    return next((text for text in finding.reopens if _met(survey, text, finding.decided_at)), "")


def _met(survey: Survey, text: str, since: datetime) -> bool:
    build = survey.build
    kind, _, value = text.partition(":")
    run = totals(build, since)
    match kind:
        case "event":
            return any(event.what == value and event.at >= since for event in build.facts.of(EVENT).values())
        case "option":
            changed = build.facts.of(OPTION).get((value, ""))
            return changed is not None and changed.at >= since
        case "line":
            return _line_changed(survey, value, since)
        case "distance":
            return run.distance_km >= _amount(kind, value)
        case "hours":
            return run.hours >= _amount(kind, value)
        case "cycles":
            return run.heat_cycles >= _amount(kind, value)
        case _:
            return survey.now.date().toordinal() >= _amount(kind, value)


def _line_changed(survey: Survey, step: str, since: datetime) -> bool:
    """A watched line was opened, stopped or reads out since the decision."""
    line = survey.build.by_id.get(step)
    if line is None:
        return False
    mark = survey.build.facts.lines.get(step)
    opened = mark is not None and mark.state in (State.LOOK_AGAIN, State.STOPPED) and mark.at >= since
    out = any(one.reading.at >= since for one in survey.with_verdict(line, Verdict.OUT))
    return opened or out
