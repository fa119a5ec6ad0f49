"""What cranking pressures and leak-down say of each cylinder, by every rule side by side."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from app.sheet.draw.tokens import Token
from app.sheet.sections import FIGURE_PX, Section
from app.sheet.sums.reading import by_number, numbers, read_lines
from app.sheet.sums.shown import both_kpa, cited, formula, section, sources_section, words
from app.sheet.sums.sum import Answer, Ask, Group, Shelf, Sum, Typed
from app.trade.health import (
    LEAK_HEARD,
    RuleAnswer,
    judge_compression,
    judge_each_cylinder,
    judge_leakage,
    leak_percent,
    low_alike,
    oil_shot,
)
from app.trade.quantity import Kind
from app.trade.tables import Known
from app.trade.verdict import Verdict

MOST_CYLINDERS = 24
MOST_KPA = 10_000.0
ASKS = (
    Ask("cranking", "Cranking pressure", "1 150; 2 110; 3 148 psi", optional=True, long=True),
    Ask("oiled", "The same after a little oil", "2 115 psi; only cylinders that are low", optional=True),
    Ask("beside", "Cylinders side by side", "1-2-3-4, or 1-3-5-7; 2-4-6-8", optional=True),
    Ask("leak", "Leak-down", "1 8; 2 14 %, or what is held: 1 74; 2 69 psi", optional=True, long=True),
    Ask("supply", "Tester's supply, for what is held", "80 psi", optional=True),
)
_OIL = formula("Rises with oil: rings; does not: valves; low neighbours: gasket", "factory repair pages", Known.READ)
_LEAK = formula("Leakage: (supply − held) ÷ supply", "AC 43.13-1B par. 8-14 as reprinted", Known.READ)
_HEARD = formula("Where the air is heard", "factory repair pages", Known.READ)
_INK: dict[Verdict, Token] = {Verdict.IN: "text", Verdict.OUT: "stop", Verdict.UNDECIDED: "mind"}
_WORD = {Verdict.IN: "good", Verdict.OUT: "bad", Verdict.UNDECIDED: "between good and bad"}


def work(typed: Typed, shelf: Shelf) -> Answer:
    """The rules side by side, each cylinder by each of them, and what a bad one usually points to."""
    if not typed.text("cranking") and not typed.text("leak"):
        raise typed.fault("cranking", "give this for two cylinders or more, or the leak-down.")
    cranking = _by_cylinder(typed, "cranking", Kind.PRESSURE, None, MOST_KPA)
    oiled = _oiled(typed, cranking)
    beside = typed.of("beside", _beside)
    leaks = _leaks(typed)
    sections: list[Section] = []
    sources: list[str] = []
    values: dict[str, object] = {"compression": [], "leak": [], "cylinders": [], "leaks": [], "points_to": []}
    if cranking:
        sections += _compression(typed, shelf, cranking, oiled, beside, values)
        sources += [cited(one.id, one.origin) for one in shelf.measuring.compression] + [_OIL]
    if leaks:
        sections += _leakage(typed, shelf, leaks, values)
        sources += [cited(one.id, one.origin) for one in shelf.measuring.leak] + [_HEARD]
        sources += [_LEAK] if typed.text("supply") else []
    sections += [
        section(
            "Before you trust it",
            "The maker's own limits go first.",
            "Cranking: all plugs out, throttle open, battery full, the same 4 to 5 strokes each.",
            "Never compare engines with different cams: the cam alone changes it.",
            "Leak-down: piston at firing TDC, crank held; figures of two testers are not comparable.",
        ),
        sources_section(sources),
    ]
    return Answer(tuple(sections), {**values, "sources": sources})


# --- what was typed


def _by_cylinder(typed: Typed, key: str, kind: Kind, unit: str | None, most: float) -> dict[int, float]:
    found = typed.figures(key, kind, unit, most=most, over=False)
    return typed.of(key, lambda _: by_number(found, 1, MOST_CYLINDERS))


def _oiled(typed: Typed, cranking: Mapping[int, float]) -> dict[int, float]:
    found = _by_cylinder(typed, "oiled", Kind.PRESSURE, None, MOST_KPA)
    alone = [one for one in found if one not in cranking]
    if alone:
        raise typed.fault("oiled", f"cylinder {alone[0]} was not read dry; give its cranking pressure too.")
    return found


def _beside(text: str) -> tuple[tuple[int, int], ...]:
    rows = [numbers(row) for row in read_lines(text)]
    return tuple(pair for row in rows for pair in pairwise(row))


def _leaks(typed: Typed) -> dict[int, float]:
    if not typed.text("supply"):
        return _by_cylinder(typed, "leak", Kind.SHARE, "%", 100.0)
    supply = typed.pressure_kpa("supply")
    if not typed.text("leak"):
        raise typed.fault("leak", "still to be given: what each cylinder held of the supply.")
    held = _by_cylinder(typed, "leak", Kind.PRESSURE, None, MOST_KPA)
    return typed.of("leak", lambda _: {one: leak_percent(supply, kpa) for one, kpa in held.items()})


# --- cranking


def _compression(
    typed: Typed,
    shelf: Shelf,
    readings: Mapping[int, float],
    oiled: Mapping[int, float],
    beside: tuple[tuple[int, int], ...],
    values: dict[str, object],
) -> Iterator[Section]:
    rules = shelf.measuring.compression
    answers = typed.of("cranking", lambda _: judge_compression(readings, rules))
    each = judge_each_cylinder(readings, rules)
    low = [one for one, found in each.items() if any(answer.verdict is Verdict.OUT for answer in found)]
    points = _points(readings, oiled, low, beside)
    values |= {"compression": _told(answers), "cylinders": _cylinders(readings, each), "points_to": list(points)}
    yield section("Cranking pressure", _agreement(answers), ink=_ink(answers), px=FIGURE_PX)
    yield _rules("By each rule", answers)
    high = max(readings.values())
    rows = []
    for one, kpa in readings.items():
        against = [answer.rule for answer in each[one] if answer.verdict is Verdict.OUT]
        share = f", {kpa / high:.0%} of the highest" if high else ""
        said = f"low by: {'; '.join(against)}" if against else "good by every rule"
        rows.append(
            words(
                f"{one}: {both_kpa(kpa)}{share}; {said}",
                "mind" if against else "text",
            )
        )
    yield Section("Each cylinder", tuple(rows))
    if points:
        yield section("What it usually points to", *points)


def _points(
    readings: Mapping[int, float],
    oiled: Mapping[int, float],
    low: list[int],
    beside: tuple[tuple[int, int], ...],
) -> tuple[str, ...]:
    wet = [one for one in low if one in oiled]
    alike = low_alike(readings, low)
    if alike:
        return (alike,)
    found = list(oil_shot({one: readings[one] for one in wet}, {one: oiled[one] for one in wet}, beside))
    dry = [str(one) for one in low if one not in oiled]
    if dry:
        cylinders = f"cylinder {dry[0]}" if len(dry) == 1 else f"cylinders {', '.join(dry)}"
        found.append(f"Put a little oil into {cylinders} and crank again: a rise tells rings from valves.")
    return tuple(found)


def _cylinders(readings: Mapping[int, float], each: Mapping[int, tuple[RuleAnswer, ...]]) -> list[dict[str, object]]:
    return [
        {"cylinder": one, "pressure_kpa": kpa, "low_by": [a.rule for a in each[one] if a.verdict is Verdict.OUT]}
        for one, kpa in readings.items()
    ]


# --- leak-down


def _leakage(typed: Typed, shelf: Shelf, leaks: Mapping[int, float], values: dict[str, object]) -> Iterator[Section]:
    rules = shelf.measuring.leak
    answers = typed.of("leak", lambda _: judge_leakage({k: round(v, 2) for k, v in leaks.items()}, rules))
    values |= {
        "leak": _told(answers),
        "leaks": [{"cylinder": one, "leak_percent": percent} for one, percent in leaks.items()],
    }
    yield section("Leak-down", _agreement(answers), ink=_ink(answers), px=FIGURE_PX)
    yield _rules("By each rule", answers)
    rows = []
    for one, percent in leaks.items():
        rows.append(f"{one}: {percent:.0f} %; {_leak_said(judge_leakage({one: percent}, rules))}")
    yield section("Each cylinder alone", *rows)
    yield section("Listen while the air is on", *(f"{where}: {what}" for where, what in LEAK_HEARD))


def _leak_said(answers: tuple[RuleAnswer, ...]) -> str:
    """The rules by what they say: “bad by street engine; good by boat engine, …”."""
    groups = {verdict: [one.rule for one in answers if one.verdict is verdict] for verdict in _WORD}
    return "; ".join(f"{_WORD[verdict]} by {' and '.join(rules)}" for verdict, rules in groups.items() if rules)


# --- rules side by side


def _agreement(answers: tuple[RuleAnswer, ...]) -> str:
    verdicts = {answer.verdict for answer in answers}
    return next(iter(verdicts)).value if len(verdicts) == 1 else "The rules differ"


def _ink(answers: tuple[RuleAnswer, ...]) -> Token:
    verdicts = {answer.verdict for answer in answers}
    return _INK[next(iter(verdicts))] if len(verdicts) == 1 else "mind"


def _rules(heading: str, answers: tuple[RuleAnswer, ...]) -> Section:
    rows = (words(f"{one.verdict.value}, {one.rule}: {one.sentence}", _INK[one.verdict]) for one in answers)
    return Section(heading, tuple(rows))


def _told(answers: tuple[RuleAnswer, ...]) -> list[dict[str, str]]:
    return [
        {"rule": one.rule, "verdict": one.verdict.value, "says": one.sentence, "source": one.source} for one in answers
    ]


PRESSURES = Sum(
    id="pressures",
    title="Compression and leak-down",
    about="Each cylinder by every rule, and what a low one points to.",
    group=Group.ENGINE,
    asks=ASKS,
    work=work,
    example={
        "cranking": "1 150; 2 110; 3 148; 4 145 psi",
        "oiled": "2 112 psi",
        "beside": "1-2-3-4",
        "leak": "1 6; 2 22; 3 8; 4 7 %",
    },
)
