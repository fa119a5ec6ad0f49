"""Builds of a given size to measure with."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from app.assembly.build import Build
from app.assembly.make import begin_build, make_blank
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.facts import Fact
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import MARK, Mark, State
from app.assembly.said.readings import READING, Reading
from app.exchange.plan_file import parse_plan
from app.store.workshop import Workshop

FOUR_OHV = Path(__file__).parents[2] / "resources" / "plans" / "four-ohv.toml"
NOW = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


def shipped_workshop(folder: Path) -> None:
    """A workshop with one build of the shipped plan, 150 lines or more."""
    text = FOUR_OHV.read_text("utf-8")
    blank = make_blank(parse_plan(text), {})
    assert len(blank.lines) >= 150
    with Workshop.create(folder, name="Benchmark", now=NOW) as workshop:
        workshop.make_build("Four", blank, text, by="MK", now=NOW)
        workshop.keep_initials("MK")


def large_build(lines: int, readings: int) -> Build:
    """A build in memory with this many lines, two thirds of them read and Done, and this many readings."""
    plan = parse_plan(_large_plan(lines, readings))
    blank = make_blank(plan, {})
    build = begin_build(blank, key=1, name="Large", made=NOW)
    entries: list[Entry] = []
    for line in blank.lines[: lines * 2 // 3]:
        entries.append(_entry(Subject(MARK, line.id), Mark(State.DONE, "MK", NOW)))
        entries += [
            _entry(Subject(READING, line.id, place.id, turn), _reading(line.position, number))
            for number, place in enumerate(line.places if line.reads else ())
            for turn in (1, 2)
        ]
    build = build.after(Deed(Verb.MARK, "MK", NOW, tuple(entries)))
    held = sum(len(found) for found in build.facts.readings.values())
    assert held >= readings, f"only {held} readings"
    return build


def _reading(line: int, place: int) -> Reading:
    """In limits, but for one place on every twentieth line."""
    hundredths = 0 if line % 20 == 0 and place == 0 else 1 + (line + place) % 8
    return Reading(f"0.0{hundredths} mm", 0.01 * hundredths, "mm", "MK", NOW - timedelta(minutes=place))


def _entry(subject: Subject, fact: Fact) -> Entry:
    return Entry(EventName.MARK, subject, None, fact)


def _large_plan(lines: int, readings: int) -> str:
    stages = 20
    per_stage = lines // stages
    places = 1 + readings * 3 // (lines * 2 * 2)
    gates = "".join(
        f'[[gates]]\nid = "gate-{n}"\nletter = "{chr(65 + n)}"\ntitle = "Gate {n}"\nafter = "stage-{n * 2 + 1}"\n'
        f'means = "m"\nharm = "h"\n'
        for n in range(7)
    )
    body = "".join(
        f'[[stages]]\nid = "stage-{stage}"\ntitle = "Stage {stage}"\n'
        + "".join(_step(stage, row, per_stage) for row in range(per_stage))
        for stage in range(stages)
    )
    return f"""format = 1
id = "large"
title = "Large"
edition = "1"
summary = "For the benchmarks"
[arrangement]
layout = "inline"
cylinders = 4
firing_order = [1, 3, 4, 2]
mains = 5
crankpins = 4
cam_journals = 3
[[groups]]
id = "many"
title = "Places"
count = {places}
{gates}{body}"""


def _step(stage: int, row: int, per_stage: int) -> str:
    number = stage * per_stage + row
    gate = min(stage // 2, 6)
    text = f'[[stages.steps]]\nid = "step-{number}"\ndo = "Do the thing number {number}"\nplaces = "many"\nharm = "h"\n'
    text += 'spec = { kind = "length", limits = "0.01 to 0.08 mm", unit = "mm", rounds = 2 }\n'
    if row == 0 and stage <= gate * 2 + 1 and stage < 14:
        text += f'gate = "gate-{gate}"\n'
    if row == 1 and stage >= 2 and stage % 2 == 0 and stage // 2 - 1 < 7:
        text += f'act = "gate-{stage // 2 - 1}"\n'
    if number % 3 == 1:
        text += f'needs = ["step-{number - 1}"]\n'
    if number % 25 == 7:
        text += "hold = true\n"
    return text
