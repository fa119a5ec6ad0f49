"""What a plan had better say otherwise. A build can be made from it as it is, but somebody will be stuck or misled.

A step stands on the sheet only under some answers to the options. What is said here of several steps is said only where
they can stand there together; answers that none of them asks about make no difference and are not gone through.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from graphlib import CycleError, TopologicalSorter
from itertools import chain, combinations, islice, product
from math import prod

from app.assembly.plan.check import needed
from app.assembly.plan.places import Place, groups_of
from app.assembly.plan.steps import Easy, Plan, Step, Temporary, Turn, wanted
from app.trade.notation import read_quantity
from app.trade.quantity import Kind

LINES_PER_HOLD = 15
# Answers gone through for one question; ten questions with two answers each are 1,024.
MOST_ANSWERS = 20_000
# Whole sheets gone through; each takes some milliseconds.
MOST_SHEETS = 500
Answers = Mapping[str, str]


def advice(plan: Plan) -> list[str]:
    """Everything a sound plan had better say otherwise, as sentences that name the step; empty when all is well.

    The plan must be without faults (`app.assembly.plan_check`).
    """
    look = _Look(plan)
    found = [sentence for check in _CHECKS for sentence in check(look)]
    # Two lines that wait for each other are told as such only where nothing above says so in better words.
    return list(dict.fromkeys(found or [*_circles(look)]))


@dataclass(frozen=True)
class _Look:
    """A plan with its steps by id and by their place in the order."""

    plan: Plan

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        return tuple(self.plan.steps())

    @cached_property
    def by_id(self) -> dict[str, Step]:
        return {step.id: step for step in self.steps}

    @cached_property
    def position(self) -> dict[str, int]:
        return {step.id: number for number, step in enumerate(self.steps)}

    @cached_property
    def choices(self) -> dict[str, tuple[str, ...]]:
        return {option.id: tuple(choice.id for choice in option.choices) for option in self.plan.options}

    @cached_property
    def usual(self) -> dict[str, str]:
        return {option.id: option.default for option in self.plan.options}

    @cached_property
    def behind(self) -> dict[str, set[str]]:
        """For each step everything it waits for, along chains."""
        found: dict[str, set[str]] = {}
        for step in TopologicalSorter(self._direct).static_order():
            found[step] = set().union(*({one} | found[one] for one in self._direct[step]))
        return found

    @cached_property
    def _direct(self) -> dict[str, set[str]]:
        return {step.id: _waited_for(step) for step in self.steps}

    def answers(self, *steps: Step) -> Iterator[Answers]:
        """Every set of answers to the options these steps ask about; of too many, those with at most two not usual."""
        asked = list(dict.fromkeys(when.option for step in steps for when in step.when if when.option))
        if prod(len(self.choices[option]) for option in asked) > MOST_ANSWERS:
            yield from self._nearly_usual(asked)
            return
        for chosen in product(*(self.choices[option] for option in asked)):
            yield dict(zip(asked, chosen, strict=True))

    def _nearly_usual(self, asked: Sequence[str]) -> Iterator[Answers]:
        usual = {option: self.usual[option] for option in asked}
        other = [(option, choice) for option in asked for choice in self.choices[option] if choice != usual[option]]
        yield usual
        for changed in chain(((one,) for one in other), combinations(other, 2)):
            yield {**usual, **dict(changed)}

    def together(self, *steps: Step) -> bool:
        """Whether some answers put all these steps on the sheet."""
        left: dict[str, set[str]] = {}
        for when in (when for step in steps for when in step.when if when.option):
            left.setdefault(when.option, set(self.choices[when.option])).intersection_update(when.any_of)
        return all(left.values())

    def pairs(self, targets: Callable[[Step], Iterable[str]]) -> Iterator[tuple[Step, Step]]:
        """Each step with each of its targets, where both can be on the sheet."""
        for step in self.steps:
            for target in targets(step):
                if self.together(step, self.by_id[target]):
                    yield step, self.by_id[target]

    def later(self, step: Step, other: Step) -> bool:
        """Whether a step stands behind another on the sheet."""
        return self.position[step.id] > self.position[other.id]

    def between(self, first: Step, step: Step, last: Step) -> bool:
        """Whether a step stands between two others, and all three can be on the sheet."""
        return self.later(step, first) and self.later(last, step) and self.together(first, step, last)

    @cached_property
    def spells(self) -> tuple[tuple[Step, Temporary, Step], ...]:
        """Each temporary thing from the line that puts it in to each that takes it out."""
        outs = [(step, item) for step in self.steps for item in step.takes_out]
        return tuple(
            (step, item, out) for step in self.steps for item in step.puts_in for out, name in outs if name == item.id
        )

    def words(self, answers: Answers) -> str:
        """The answers that are not the usual ones."""
        said = [f"{option}={choice}" for option, choice in answers.items() if choice != self.usual[option]]
        return f"with {', '.join(said)}" if said else "with the usual answers"


def _waited_for(step: Step) -> set[str]:
    """What must be closed before a step can be signed off, as the step itself says."""
    found = {*(need.step for need in needed(step)), *step.hides, *(when.step for when in step.when if when.step)}
    return found - {step.id}


def _certain(steps: Iterable[Step]) -> list[Step]:
    """Those that no finding can call off."""
    return [step for step in steps if not any(when.step for when in step.when)]


# --- steps that cannot be reached


def _never_there(look: _Look) -> Iterator[str]:
    """Conditions that no answers meet."""
    for step in look.steps:
        if not look.together(step):
            yield f"step “{step.id}”, when: no answers to the options ever put it on the sheet"
        for finding in dict.fromkeys(when.step for when in step.when if when.step):
            asked = [set(when.any_of) for when in step.when if when.step == finding]
            if not set.intersection(*asked):
                yield f"step “{step.id}”, when: no answer of “{finding}” ever asks for it"


def _wait_beyond_within(look: _Look) -> Iterator[str]:
    """A wait that is longer than the time it must be followed in."""
    for step in look.steps:
        for need in needed(step):
            if need.wait and need.within and _lasts(need.wait) > _lasts(need.within):
                both = f"to wait {need.wait} and follow within {need.within}"
                yield f"step “{step.id}”, needs “{need.step}”: {both} cannot both be done"


def _lasts(text: str) -> timedelta:
    return timedelta(seconds=read_quantity(text, Kind.TIME).magnitude)


# --- order


def _points_forward(look: _Look) -> Iterator[str]:
    """A need, or a hidden line, that stands further down the sheet than what waits for it; holds are told apart."""
    for step, other in look.pairs(lambda step: [need.step for need in needed(step)]):
        if look.later(other, step) and not (step.any_time or other.any_time or step.hold):
            yield f"step “{step.id}”, needs: “{other.id}” stands behind it"
    for step, other in look.pairs(lambda step: step.hides):
        if look.later(other, step):
            yield f"step “{step.id}”, hides: “{other.id}” stands behind it, and would be hidden unchecked"


def _hold_needs_behind(look: _Look) -> Iterator[str]:
    """Everything behind a hold waits for it, so a hold may wait for nothing behind it."""
    for hold in (step for step in look.steps if step.hold):
        for name in sorted(look.behind[hold.id], key=look.position.__getitem__):
            other = look.by_id[name]
            if look.later(other, hold) and look.together(hold, other):
                yield f"step “{hold.id}”, hold: it waits for “{other.id}”, which stands behind it and waits for it"


def _gate_needs_behind(look: _Look) -> Iterator[str]:
    """What keeps a gate shut may not wait for what is behind the gate."""
    for step in (step for step in look.steps if step.gate):
        for name in sorted(look.behind[step.id], key=look.position.__getitem__):
            other = look.by_id[name]
            if other.act == step.gate and look.together(step, other):
                yield f"step “{step.id}”, gate: it waits for “{other.id}”, which goes through “{step.gate}” first"


def _before_turned_round(look: _Look) -> Iterator[str]:
    """`before` and `latest` name what comes after."""
    fields: dict[str, Callable[[Step], Iterable[str]]] = {
        "before": lambda step: step.before,
        "latest": lambda step: step.latest,
    }
    for field, targets in fields.items():
        for step, other in look.pairs(targets):
            if other.id in look.behind[step.id]:
                yield f"step “{step.id}”, {field}: it is to come before “{other.id}” and waits for it too"
            elif look.later(step, other) and not (step.any_time or other.any_time):
                yield f"step “{step.id}”, {field}: “{other.id}” stands in front of it"


def _stand_ins_turned_round(look: _Look) -> Iterator[str]:
    """A trial or a stand-in comes before the thing itself."""
    fields: dict[str, Callable[[Step], Iterable[str]]] = {
        "trial_of": lambda step: [step.trial_of] if step.trial_of else [],
        "stands_in_for": lambda step: [step.stands_in_for] if step.stands_in_for else [],
    }
    for field, targets in fields.items():
        for step, other in look.pairs(targets):
            if look.later(step, other):
                yield f"step “{step.id}”, {field}: “{other.id}” stands in front of it"


def _circles(look: _Look) -> Iterator[str]:
    """Lines that wait for each other in the end: by needs, holds, gates and what floats."""
    # Without a circle among all the steps there is none among some of them.
    gates = [gate.id for gate in look.plan.gates]
    for answers in islice(look.answers(*look.steps), MOST_SHEETS) if _circle(gates, look.steps) else ():
        circle = _circle(gates, [step for step in look.steps if wanted(step, answers)])
        if circle:
            yield f"step “{circle[0]}”: it waits for itself, {look.words(answers)}: {' > '.join(circle)}"
            return


def _circle(gates: Sequence[str], steps: Sequence[Step]) -> list[str]:
    there = {step.id for step in steps}
    waits = {step.id: _waited_for(step) & there for step in steps}
    hold = ""
    for step in steps:
        if hold:
            waits[step.id].add(hold)
        hold = step.id if step.hold else hold
        for late in step.latest:
            if late in there:
                waits[late].add(step.id)
        if step.act:  # a gate is gone through after those in front of it
            passed = gates[: gates.index(step.act) + 1]
            waits[step.id] |= {other.id for other in steps if other.gate in passed}
    try:
        TopologicalSorter({step: sorted(others) for step, others in waits.items()}).prepare()
    except CycleError as error:
        return list(error.args[1][::-1])
    return []


# --- turning the engine


def _turned_while(look: _Look) -> Iterator[str]:
    """A line that turns the engine stands where the plan itself forbids turning."""
    for step in (step for step in look.steps if step.turns is not None):
        for spell in step.not_while:
            if look.between(look.by_id[spell.after], step, look.by_id[spell.until]):
                yield f"step “{step.id}”, not_while: it stands between “{spell.after}” and “{spell.until}”"
        for put_in, item, out in look.spells:
            if not item.turning_ok and look.between(put_in, step, out):
                yield f"step “{step.id}”, turns: “{item.id}” is in, from “{put_in.id}” to “{out.id}”"
        for stand_in in (one for one in look.steps if one.stands_in_for and step.turns is not Turn.HAND):
            if look.between(stand_in, step, look.by_id[stand_in.stands_in_for]):
                yield f"step “{step.id}”, turns: “{stand_in.id}” still stands in for “{stand_in.stands_in_for}”"


# --- gates and holds


def _gate_not_kept(look: _Look) -> Iterator[str]:
    """A gate that nothing keeps shut, or nothing goes through, under some answers."""
    for gate in look.plan.gates:
        kept = [step for step in look.steps if step.gate == gate.id]
        acts = [step for step in look.steps if step.act == gate.id]
        yield from _lacking(look, kept, f"gate “{gate.id}”: no line is sure to keep it shut")
        yield from _lacking(look, acts, f"gate “{gate.id}”: no line is sure to go through it (act)")


def _lacking(look: _Look, steps: Sequence[Step], sentence: str) -> Iterator[str]:
    sure = _certain(steps)
    for answers in look.answers(*sure):
        if not any(wanted(step, answers) for step in sure):
            yield f"{sentence}, {look.words(answers)}"
            return


def _hold_without_gate(look: _Look) -> Iterator[str]:
    """A hold is evidence for a gate."""
    for step in look.steps:
        if step.hold and not step.gate:
            yield f"step “{step.id}”, hold: a line as grave as that keeps a gate shut, and it names none"


def _too_many_holds(look: _Look) -> Iterator[str]:
    """Where everything is a hold, none is heeded. Answers other than the usual ones may take a line or two away."""
    sorts = Counter((tuple(when for when in step.when if when.option), step.hold) for step in look.steps)
    worst, said = 0.0, ""
    for answers in look.answers(*look.steps):
        there = [(hold, n) for (when, hold), n in sorts.items() if all(answers[w.option] in w.any_of for w in when)]
        lines, holds = sum(n for _, n in there), sum(n for hold, n in there if hold)
        over = holds - lines / LINES_PER_HOLD - (0 if answers == look.usual else 1)
        if over > worst:
            worst = over
            said = f"holds: {holds} in {lines} lines are more than 1 in {LINES_PER_HOLD}, {look.words(answers)}"
    if said:
        yield said


# --- temporary things, holes, places


def _left_inside(look: _Look) -> Iterator[str]:
    """A temporary thing whose way out stands in front of it, or is not there under some answers."""
    for step in look.steps:
        for item in step.puts_in:
            outs = [out for out in look.steps if item.id in out.takes_out]
            late = [out for out in _certain(outs) if not look.later(step, out)]
            if not late:
                yield f"step “{step.id}”, puts_in: no line behind it is sure to take “{item.id}” out"
                continue
            for answers in look.answers(step, *late):
                if wanted(step, answers) and not any(wanted(out, answers) for out in late):
                    yield f"step “{step.id}”, puts_in: nothing takes “{item.id}” out, {look.words(answers)}"
                    break


def _hidden_unchecked(look: _Look) -> Iterator[str]:
    """What gets hidden before, or without, anybody having to see to it."""
    hidden = {target for step in look.steps for target in step.hides}
    relied_on = {need.step for step in look.steps for need in needed(step)}
    for step in look.steps:
        if Easy.HIDDEN in step.easy and not step.gate and step.id not in hidden | relied_on:
            yield f"step “{step.id}”, easy: it gets hidden, but no line hides it or needs it, and it keeps no gate shut"
    for group in look.plan.groups:
        if not (group.hidden_by and group.closing):
            continue
        hiding, closing = look.by_id[group.hidden_by], look.by_id[group.closing]
        if look.later(closing, hiding) and look.together(hiding, closing):
            yield f"group “{group.id}”, hidden_by: “{hiding.id}” hides the holes before “{closing.id}” closes them"


def _places_unread(look: _Look) -> Iterator[str]:
    """Places that no line reads or ticks."""
    places = groups_of(look.plan)
    used = {step.places for step in look.steps}
    for group in look.plan.groups:
        if group.id not in used:
            yield f"group “{group.id}”: no line reads or ticks its places"
        for field, name in (("finding", group.finding), ("closing", group.closing)):
            if name:
                yield from _other_places(look, f"group “{group.id}”, {field}", places[group.id], look.by_id[name])
    for one in look.plan.fasteners:
        if not any(step.tightens == one.id for step in look.steps):
            yield f"fasteners “{one.id}”: no line tightens them"


def _other_places(look: _Look, where: str, wanted_places: Sequence[Place], step: Step) -> Iterator[str]:
    """A line for the engine as a whole speaks for every place; one for places of its own must have these."""
    own = {place.id for place in groups_of(look.plan)[step.places]}
    missing = [place.id for place in wanted_places if place.id not in own]
    if len(own) > 1 and missing:
        yield f"{where}: “{step.id}” is for other places, so nobody reads or ticks {', '.join(missing[:4])}"


_CHECKS: tuple[Callable[[_Look], Iterator[str]], ...] = (
    _never_there,
    _wait_beyond_within,
    _points_forward,
    _hold_needs_behind,
    _gate_needs_behind,
    _before_turned_round,
    _stand_ins_turned_round,
    _turned_while,
    _gate_not_kept,
    _hold_without_gate,
    _too_many_holds,
    _left_inside,
    _hidden_unchecked,
    _places_unread,
)
