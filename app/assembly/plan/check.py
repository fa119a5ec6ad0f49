"""What must hold between the parts of a plan before a build can be made from it.

Each check yields sentences that name the step and the field; all of them are reported at once.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from graphlib import CycleError, TopologicalSorter

from app.assembly.plan.figures import read_pass
from app.assembly.plan.measure_check import figure_faults, measure_faults
from app.assembly.plan.order import STATED_FIRST, Link, Relations, Row, gate_at, gate_end, named_by, rows, stated
from app.assembly.plan.places import groups_of
from app.assembly.plan.steps import Measured, Option, Order, Plan, Spec, Step, Tightening, When
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind

MAX_CYLINDERS = 16
MAX_PLACES = 200
MAX_VALVES = 6
MAX_STEPS = 1000
MAX_OTHERS = 200
MAX_WAIT_DAYS = 3650
# Crank degrees of a four-stroke cycle.
CYCLE_DEG = 720.0
QUANTITIES = {kind.value for kind in Kind}


def faults(plan: Plan) -> list[str]:
    """Every fault of a plan, as sentences; an empty list means a build can be made from it."""
    found = [*_sizes(plan), *_arrangement(plan)]
    if found:
        return found
    found += _ids(plan)
    found += _gates(plan)
    found += _options(plan.options)
    found += _named_steps(plan)
    for step in plan.steps():
        found += (f"step “{step.id}”, {fault}" for fault in _step(plan, step))
    return found + list(_cycles(plan))


def _sizes(plan: Plan) -> Iterator[str]:
    """More than these and no person could work it; they also keep the checks below quick."""
    steps = sum(len(stage.steps) for stage in plan.stages)
    if steps > MAX_STEPS:
        yield f"stages: {steps} steps are more than the {MAX_STEPS} a plan may have"
    others = {
        "stages": plan.stages,
        "gates": plan.gates,
        "options": plan.options,
        "sources": plan.sources,
        "groups": plan.groups,
        "fasteners": plan.fasteners,
        "happenings": plan.happenings,
    }
    for name, found in others.items():
        if len(found) > MAX_OTHERS:
            yield f"{name}: {len(found)} are more than the {MAX_OTHERS} a plan may have"
    for group in plan.groups:
        if not 0 <= group.count <= MAX_PLACES or len(group.names) > MAX_PLACES:
            yield f"group “{group.id}”: a group has 1 to {MAX_PLACES} places"


def _arrangement(plan: Plan) -> Iterator[str]:
    engine = plan.arrangement
    if plan.format != 1:
        yield f"format: this program reads format 1, the file says {plan.format}"
    if not 1 <= engine.cylinders <= MAX_CYLINDERS:
        yield f"arrangement, cylinders: {engine.cylinders} is not between 1 and {MAX_CYLINDERS}"
    counts = {
        "mains": engine.mains,
        "crankpins": engine.crankpins,
        "cam_journals": engine.cam_journals,
        "intake_per_cylinder": engine.intake_per_cylinder,
        "exhaust_per_cylinder": engine.exhaust_per_cylinder,
        "rings_per_piston": engine.rings_per_piston,
        "heads": engine.heads,
    }
    for name, count in counts.items():
        most = MAX_VALVES if name.endswith("per_cylinder") else 40
        if not 0 <= count <= most:
            yield f"arrangement, {name}: {count} is not between 0 and {most}"
    if sorted(engine.firing_order) != list(range(1, engine.cylinders + 1)):
        yield "arrangement, firing_order: must name each cylinder once"
    elif engine.intervals:
        yield from _intervals(engine.intervals, engine.cylinders)
    if not plan.stages or not any(stage.steps for stage in plan.stages):
        yield "stages: a plan needs at least one stage with a step"


def _intervals(intervals: Sequence[float], cylinders: int) -> Iterator[str]:
    if len(intervals) != cylinders:
        yield f"arrangement, intervals: {len(intervals)} are given for {cylinders} cylinders; one is wanted for each"
    if not all(one > 0 for one in intervals) or abs(sum(intervals) - CYCLE_DEG) > 0.01:
        yield f"arrangement, intervals: must each be more than 0° and sum to {CYCLE_DEG:g}°, not {sum(intervals):g}°"


def _ids(plan: Plan) -> Iterator[str]:
    named = {
        "stage": [stage.id for stage in plan.stages],
        "step": [step.id for step in plan.steps()],
        "gate": [gate.id for gate in plan.gates],
        "gate letter": [gate.letter for gate in plan.gates],
        "option": [option.id for option in plan.options],
        "source": [source.id for source in plan.sources],
        "group": [group.id for group in plan.groups],
        "fasteners": [one.id for one in plan.fasteners],
        "happening": [one.id for one in plan.happenings],
    }
    for what, ids in named.items():
        yield from (f"{what} “{id_}”: this id stands {times} times" for id_, times in Counter(ids).items() if times > 1)
    for what, ids in named.items():
        if what != "gate letter":
            yield from (f"{what} “{id_}”: an id is small letters, digits and hyphens" for id_ in ids if not _is_id(id_))
    yield from (f"gate “{gate.id}”, letter: one letter is wanted" for gate in plan.gates if not _is_letter(gate.letter))
    for group in plan.groups:
        if bool(group.names) == bool(group.count):
            yield f"group “{group.id}”: give either names or a count"
        if not all(group.names):
            yield f"group “{group.id}”, names: a name is empty"
        if len(set(group.names)) != len(group.names):
            yield f"group “{group.id}”, names: a name stands twice"


def _is_id(text: str) -> bool:
    letters = text.replace("-", "")
    return len(text) <= 60 and letters.isascii() and letters.isalnum() and text == text.lower()


def _is_letter(text: str) -> bool:
    return len(text) == 1 and text.isascii() and text.isalpha() and text.isupper()


def _gates(plan: Plan) -> Iterator[str]:
    order = [stage.id for stage in plan.stages]
    position = -1
    said = [row for step in plan.steps() for row in stated(step)]
    kept_shut = {row.end for row in said if row.kind is Link.GATE}
    gone_through = {row.start for row in said if row.kind is Link.ACT}
    for gate in plan.gates:
        if gate.after not in order:
            yield f"gate “{gate.id}”, after: there is no stage “{gate.after}”"
            continue
        if order.index(gate.after) < position:
            yield f"gate “{gate.id}”, after: stands before the gate in front of it"
        position = order.index(gate.after)
        if gate_end(gate.id) not in kept_shut:
            yield f"gate “{gate.id}”: no step keeps it shut"
        if gate_end(gate.id) not in gone_through:
            yield f"gate “{gate.id}”: no step is the going through it (act)"


def _options(options: Iterable[Option]) -> Iterator[str]:
    for option in options:
        ids = [choice.id for choice in option.choices]
        if option.default not in ids:
            yield f"option “{option.id}”, default: “{option.default}” is none of {', '.join(ids) or 'its choices'}"
        if len(set(ids)) != len(ids):
            yield f"option “{option.id}”, choices: a choice stands twice"


def _named_steps(plan: Plan) -> Iterator[str]:
    """Groups of holes, fasteners and happenings speak of steps and places that must be there."""
    steps = {step.id for step in plan.steps()}
    for group in plan.groups:
        for field, target in (("finding", group.finding), ("closing", group.closing), ("hidden_by", group.hidden_by)):
            if target and target not in steps:
                yield f"group “{group.id}”, {field}: there is no step “{target}”"
    for one in plan.fasteners:
        if one.places not in groups_of(plan):
            yield f"fasteners “{one.id}”, places: there is no place group “{one.places}”"
        if one.limit < 0:
            yield f"fasteners “{one.id}”, limit: must not be less than 0"
    for happening in plan.happenings:
        yield from (
            f"happening “{happening.id}”, disturbs: there is no step “{target}”"
            for target in happening.disturbs
            if target not in steps
        )


def _step(plan: Plan, step: Step) -> Iterator[str]:
    yield from _references(plan, step)
    yield from _conditions(plan, step)
    yield from _order(plan, step)
    if step.places and step.places not in groups_of(plan):
        yield f"places: there is no place group “{step.places}”"
    elif not groups_of(plan)[step.places]:
        yield f"places: the group “{step.places}” has no places on this engine"
    if step.minutes < 0 or step.people < 1:
        yield "minutes, people: must not be less than 0 and 1"
    if (step.hold or step.gate) and not step.harm:
        yield "harm: a gate line or hold says what happens if it is skipped"
    if step.spec is not None:
        yield from (f"spec, {fault}" for fault in _spec(plan, step.spec))
    if step.tightening is not None:
        places = {place.id for place in groups_of(plan).get(step.places, ())}
        yield from (f"tightening, {fault}" for fault in _tightening(step, step.tightening, places))
    if step.measure is not None:
        yield from (f"measure, {fault}" for fault in measure_faults(plan, step, step.measure))
    for row in stated(step):
        for field, delay in (("wait", row.least), ("within", row.most)):
            if delay is not None:
                yield from _wait(f"needs “{row.start}”, {field}", delay.text)
    if step.follow_up is not None:
        yield from _follow_up(step.follow_up.after)
    if step.tightens and step.tightens not in {one.id for one in plan.fasteners}:
        yield f"tightens: there are no fasteners “{step.tightens}”"


def _references(plan: Plan, step: Step) -> Iterator[str]:
    steps = {other.id for other in plan.steps()}
    gates = {gate.id for gate in plan.gates}
    yield from dict.fromkeys(fault for row in stated(step) for fault in _reference(step, row, steps, gates))
    put_in = {item.id for other in plan.steps() for item in other.puts_in}
    yield from (f"takes_out: nothing puts “{item}” in" for item in step.takes_out if item not in put_in)
    taken_out = {item for other in plan.steps() for item in other.takes_out}
    yield from (f"puts_in: nothing takes “{item.id}” out" for item in step.puts_in if item.id not in taken_out)
    parts = {part.id for other in plan.steps() for part in other.parts}
    yield from (f"takes_off: no step fits a part “{part}”" for part in step.takes_off if part not in parts)


def _reference(step: Step, row: Row, steps: set[str], gates: set[str]) -> Iterator[str]:
    """What is wrong with the names in a row; those of a condition are looked at with its answers."""
    field = row.kind.value
    for name in named_by(step, row) if row.kind is not Link.CONDITION else ():
        gate = gate_at(name)
        if gate and gate not in gates:
            yield f"{field}: there is no gate “{gate}”"
        elif not gate and name not in steps:
            yield f"{field}: there is no step “{name}”"
        elif name == step.id:
            yield f"{field}: a step cannot name itself"


def _conditions(plan: Plan, step: Step) -> Iterator[str]:
    options = {option.id: option for option in plan.options}
    steps = {other.id: other for other in plan.steps()}
    for when in step.when:
        if bool(when.option) == bool(when.step):
            yield "when: name either an option or a step"
        elif when.option and when.option not in options:
            yield f"when: there is no option “{when.option}”"
        elif when.step and when.step not in steps:
            yield f"when: there is no step “{when.step}”"
        else:
            yield from _answers(when, options, steps)


def _answers(when: When, options: dict[str, Option], steps: dict[str, Step]) -> Iterator[str]:
    if when.option:
        known = {choice.id for choice in options[when.option].choices}
    else:
        spec = steps[when.step].spec
        if spec is None or spec.kind is not Measured.CHOICE:
            yield f"when: “{when.step}” is not a finding with choices"
            return
        known = set(spec.choices)
    yield from (f"when, any_of: “{answer}” is never an answer" for answer in when.any_of if answer not in known)


def _order(plan: Plan, step: Step) -> Iterator[str]:
    """A gate's own lines stand before its bar, its act behind it."""
    stages = [stage.id for stage in plan.stages]
    mine = next(number for number, stage in enumerate(plan.stages) if step in stage.steps)
    bars = {gate.id: stages.index(gate.after) for gate in plan.gates if gate.after in stages}
    for row in stated(step):
        if row.kind is Link.GATE and mine > bars.get(gate_at(row.end), mine):
            yield f"gate: the line stands behind the bar of “{gate_at(row.end)}”"
        if row.kind is Link.ACT and gate_at(row.start) in bars and mine <= bars[gate_at(row.start)]:
            yield f"act: the line stands before the bar of “{gate_at(row.start)}”"


def _spec(plan: Plan, spec: Spec) -> Iterator[str]:
    if spec.source and spec.source not in {source.id for source in plan.sources}:
        yield f"source: there is no source “{spec.source}”"
    if spec.rounds < 1 or spec.rounds > 9:
        yield "rounds: must be 1 to 9"
    if spec.kind is Measured.CHOICE:
        if len(spec.choices) < 2:
            yield "choices: a finding in words needs at least two"
        yield from (f"good: “{word}” is none of the choices" for word in spec.good if word not in spec.choices)
    if spec.kind.value in QUANTITIES:
        kind = Kind(spec.kind.value)
        if spec.limits:
            yield from figure_faults("limits", spec.limits, kind, spec.unit)
        elif not spec.unit:
            yield "unit: a figure left for the person to enter needs its unit"
        if spec.unit:
            yield from _reads("unit", f"1 {spec.unit}", kind)


def _tightening(step: Step, one: Tightening, places: set[str]) -> Iterator[str]:
    """Every bolt once in each list, and passes that rise to the figure."""
    if step.spec is None or step.spec.kind not in (Measured.TORQUE, Measured.ANGLE):
        yield "the step needs a spec of torque or angle to tighten to"
    if one.rows and sum(one.rows) != len(places):
        yield f"rows: {sum(one.rows)} bolts stand in them, and the step has {len(places)} places"
    if one.pattern is Order.ROWS and not one.rows:
        yield "rows: say how many bolts stand in each row"
    for field, names in (("lie", one.lie), ("order", one.order)):
        if names and (set(names) != places or len(names) != len(places)):
            yield f"{field}: must name each of the step's places once"
    for word in one.passes:
        if not _is_pass(word):
            yield f"passes: “{word}” is neither a share such as 70 % nor a torque such as 30 N·m"
    if one.stretch:
        yield from figure_faults("stretch", one.stretch, Kind.LENGTH, "")
    if not 0 <= one.bores <= MAX_CYLINDERS:
        yield f"bores: must be 0 to {MAX_CYLINDERS}"


def _is_pass(word: str) -> bool:
    try:
        read_pass(word, "")
    except NotationError:
        return False
    return True


def _reads(field: str, text: str, kind: Kind) -> Iterator[str]:
    try:
        read_quantity(text, kind)
    except NotationError as error:
        yield f"{field}: {error}"


def _wait(field: str, text: str) -> Iterator[str]:
    try:
        days = read_quantity(text, Kind.TIME).magnitude / 86400
    except NotationError as error:
        yield f"{field}: {error}"
        return
    if days > MAX_WAIT_DAYS:
        yield f"{field}: “{text}” is longer than ten years"


def _follow_up(text: str) -> Iterator[str]:
    """A count of heat cycles, a distance or a time."""
    if re.fullmatch(r"[1-9]\d{0,3} heat cycles?", text):
        return
    for kind in (Kind.LENGTH, Kind.TIME):
        try:
            read_quantity(text, kind)
        except NotationError:
            continue
        return
    yield f"follow_up, after: “{text}” is no time, distance or count; write 20 h, 500 miles or 1 heat cycle"


def _cycles(plan: Plan) -> Iterator[str]:
    """What hides a line, or hangs on its findings, waits for it as well as what needs it: all make one order."""
    order = Relations(rows(plan.steps(), plan.gates))
    before = {step.id: {row.start for row in order.into(step.id, *STATED_FIRST)} - {step.id} for step in plan.steps()}
    try:
        TopologicalSorter(before).prepare()
    except CycleError as error:
        circle = error.args[1][::-1]
        yield f"step “{circle[0]}”, needs: goes round in a circle: {' > '.join(circle)}"
