"""A build in plain values, for scripts: what the window-less verbs print as JSON."""

from collections.abc import Iterable, Sequence

from app.assembly.lines import Line
from app.assembly.plan.order import Link
from app.assembly.said.phrase import Phrase
from app.assembly.said.refusal import Shut
from app.assembly.standing.entry_places import hides_first
from app.assembly.standing.gates import GateStanding
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Judged, Survey
from app.assembly.standing.units import unit_at
from app.assembly.standing.waiting import own_waits
from app.assembly.standing.waits import Waiting
from app.exchange.export_places import result_values
from app.exchange.phrases import phrase_values
from app.words.ends import shut_why
from app.words.facts.second_look import seen_values
from app.words.journal import Told
from app.words.marks import why
from app.words.say import say
from app.words.telling import Values
from app.words.times import time_text


def sheet_values(survey: Survey, lines: Iterable[Line]) -> list[Values]:
    """The lines of the sheet."""
    return [_line(survey, line) for line in lines]


def _line(survey: Survey, line: Line) -> Values:
    spec = line.step.spec
    bounds = survey.bounds(line)
    figured = spec is not None and not spec.kind.in_words
    # "" says that a figure has to be entered, None that none is wanted.
    shown = (bounds.text if bounds else "") if figured else (spec.limits or spec.note or None) if spec else None
    mark = survey.build.facts.lines.get(line.id)
    return {
        "line": line.number,
        "step": line.id,
        "stage": line.stage,
        "title": line.step.do,
        "state": survey.state(line).value,
        "spec": shown,
        "kind": spec.kind.value if spec else None,
        "unit": unit_at(survey, line) if spec else None,
        "choices": list(spec.choices) if spec else [],
        "source": bounds.source if bounds else None,
        "places": [place.id for place in survey.places(line)],
        "reads": line.reads,
        "rounds": spec.rounds if spec and line.reads else 0,
        "measure": _measure(line),
        "readings": [_reading(survey, line, one) for one in survey.judged(line)],
        "results": result_values(survey, line),
        "hold": line.step.hold,
        "gate": line.step.gate or None,
        "act": line.step.act or None,
        "needs": [survey.build.by_id[row.start].number for row in survey.build.order.into(line.id, Link.NEEDS)],
        "option": next((f"{w.option}={'|'.join(w.any_of)}" for w in line.step.when if w.option), None),
        "marks": _marks(survey, line),
        "by": mark.by if mark else None,
        "at": time_text(mark.at) if mark else None,
        "why": why(mark) if mark else None,
        "passed_over": survey.passed_over(line),
        "conceded": [one.text for one in survey.build.facts.concessions.get(line.id, {}).values()],
        "extra": line.extra.value if line.extra else None,
        "second_look": line.step.second_look,
        "seen": seen_values(survey, line),
        "turns": line.step.turns.value if line.step.turns else None,
        "fixed": line.step.fixed or None,
    }


def _measure(line: Line) -> Values | None:
    """How the line is measured: the points at each place, and what is worked out from them."""
    measure = line.step.measure
    if measure is None:
        return None
    return {
        "points": list(measure.points),
        "how": measure.how.value if measure.how else None,
        "result": measure.result or None,
        "heat": measure.heat.value if measure.heat else None,
        "adjuster": measure.adjuster.value if measure.adjuster else None,
    }


def _reading(survey: Survey, line: Line, judged: Judged) -> Values:
    reading = judged.reading
    if hides_first(survey, line):
        seen: Values = {"value": None, "unit": None, "verdict": None, "hidden": True}
    else:
        seen = {
            "value": reading.text,
            "unit": reading.unit or None,
            "verdict": judged.verdict.value,
            "hidden": False,
        }
    return {
        "place": judged.place.id,
        "round": judged.round,
        **seen,
        "disturbed_since": judged in survey.outdated(line),
        "by": reading.by,
        "at": time_text(reading.at),
        "tool": reading.tool or None,
        "doubt": reading.doubt or None,
        "celsius": reading.celsius,
    }


def _marks(survey: Survey, line: Line) -> list[Values]:
    """The line's own mark, then those of its places."""
    found: list[Values] = []
    mark = survey.build.facts.lines.get(line.id)
    if mark is not None:
        late = survey.build.by_id.get(mark.before)  # a changed option may have taken that line away
        found.append(
            {"place": None, "state": mark.state.value, "by": mark.by, "at": time_text(mark.at), "why": why(mark)}
            | {"before": late.number if late else None, "meanwhile": mark.meanwhile or None}
        )
    ticks = survey.build.facts.ticks.get(line.id, {})
    for place in survey.places(line):
        tick = ticks.get(place.id)
        if tick is not None:
            found.append(
                {"place": place.id, "state": tick.state.value, "by": tick.by, "at": time_text(tick.at)}
                | {"together": tick.together}
            )
    return found


def loose_end_values(ends: Iterable[LooseEnd]) -> list[Values]:
    """The loose ends."""
    return [
        {
            "rule": end.rule,
            "line": end.line.number,
            "step": end.line.id,
            "gate": end.gate or None,
            "places": list(end.places),
            "since": time_text(end.since),
            **phrase_values(end.why),
            "why": say(end.why),
            "harm": say(end.harm),
            "clears": say(end.clears),
            "blocks": end.blocks,
        }
        for end in ends
    ]


def gate_values(standings: Sequence[GateStanding]) -> list[Values]:
    """The gates with what keeps each shut."""
    return [
        {
            "gate": one.gate.id,
            "letter": one.gate.letter,
            "title": one.gate.title,
            "ready": one.ready and not one.passed,
            "passed": time_text(one.passage.at) if one.passage else None,
            "by": one.passage.by if one.passage else None,
            "reasons": [_reason(reason) for reason in one.reasons],
            "conceded": list(one.conceded),
        }
        for one in standings
    ]


def _reason(reason: Shut) -> Values:
    return {
        "line": reason.line,
        "step": reason.step,
        "rules": list(reason.rules),
        "said": [phrase_values(one) for one in reason.why],
        "why": shut_why(reason),
        "harm": say(reason.harm),
        "clears": say(reason.clears),
        "places": list(reason.places),
    }


def ready_values(survey: Survey) -> list[Values]:
    """Each open line: whether it can be taken in hand now, and what it waits for otherwise."""
    return [
        {
            "line": line.number,
            "step": line.id,
            "title": line.step.do,
            "state": survey.state(line).value,
            "ready": survey.ready(line),
            "waits_for": [_waiting(waiting) for waiting in _all_waits(survey, line)],
        }
        for line in survey.build.lines
        if survey.open(line)
    ]


def _all_waits(survey: Survey, line: Line) -> list[Waiting]:
    return [*own_waits(survey.build, line), *survey.waits(line)]


def _waiting(waiting: Waiting) -> Values:
    return {
        "what": waiting.wants.value,
        "line": waiting.line or None,
        "until": time_text(waiting.until) if waiting.until else None,
        "text": say(waiting.said),
        **phrase_values(waiting.said),
        "relation": waiting.row.kind.value if waiting.row else None,
    }


def _kind(said: Phrase | None) -> Values:
    return phrase_values(said) if said is not None else {"kind": None, "args": {}}


def journal_values(entries: Iterable[Told]) -> list[Values]:
    """The journal's entries; `kind` and `args` are the reason beside its words, where the program gave it."""
    return [
        {
            "at": time_text(one.at),
            "by": one.by,
            "event": one.event.value,
            "line": one.line or None,
            "what": one.what,
            "old": one.old,
            "new": one.new,
            "why": one.why,
        }
        | _kind(one.because)
        for one in entries
    ]
