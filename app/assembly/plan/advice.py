"""What a plan had better say otherwise. A build can be made from it as it is, but somebody will be stuck or misled.

A step stands on the sheet only under some answers to the options. What is said here of several steps is said only where
they can stand there together; answers that none of them asks about make no difference and are not gone through.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from graphlib import CycleError, TopologicalSorter
from itertools import chain, combinations, islice, product
from math import prod

from msgspec import Struct

from app.assembly.plan.order import STATED_FIRST, Link, Relations, gate_at, gate_end, rows
from app.assembly.plan.places import Place, groups_of
from app.assembly.plan.steps import Easy, Gate, Plan, Step, wanted

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


class _Look(Struct, frozen=True, dict=True):
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
    def order(self) -> Relations:
        return Relations(rows(self.steps, self.plan.gates))

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
        return {step.id: _stated_first(self.order, step) for step in self.steps}

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

    def pairs(self, kind: Link) -> Iterator[tuple[Step, Step]]:
        """The two steps of each relation of a kind, where both can be on the sheet."""
        for row in self.order.of_kind(kind):
            start, end = self.by_id[row.start], self.by_id[row.end]
            if self.together(start, end):
                yield start, end

    def later(self, step: Step, other: Step) -> bool:
        """Whether a step stands behind another on the sheet."""
        return self.position[step.id] > self.position[other.id]

    def between(self, first: Step, step: Step, last: Step) -> bool:
        """Whether a step stands between two others, and all three can be on the sheet."""
        return self.later(step, first) and self.later(last, step) and self.together(first, step, last)

    def words(self, answers: Answers) -> str:
        """The answers that are not the usual ones."""
        said = [f"{option}={choice}" for option, choice in answers.items() if choice != self.usual[option]]
        return f"with {', '.join(said)}" if said else "with the usual answers"


def _stated_first(order: Relations, step: Step) -> set[str]:
    """What must be closed before a step can be signed off, as the step itself says."""
    return {row.start for row in order.into(step.id, *STATED_FIRST)} - {step.id}


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
    for row in look.order.of_kind(Link.NEEDS):
        if row.least and row.most and row.least.length > row.most.length:
            both = f"to wait {row.least.text} and follow within {row.most.text}"
            yield f"step “{row.end}”, needs “{row.start}”: {both} cannot both be done"


# --- order


def _points_forward(look: _Look) -> Iterator[str]:
    """A need, or a hidden line, that stands further down the sheet than what waits for it; holds are told apart."""
    for other, step in look.pairs(Link.NEEDS):
        if look.later(other, step) and not (step.any_time or other.any_time or step.hold):
            yield f"step “{step.id}”, needs: “{other.id}” stands behind it"
    for other, step in look.pairs(Link.HIDES):
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
    for row in look.order.of_kind(Link.GATE):
        behind = look.behind.get(row.start, ())  # a gate that keeps the next one shut waits for nothing itself
        through = {act.end for act in look.order.out_of(row.end, Link.ACT)}
        for name in sorted(through.intersection(behind), key=look.position.__getitem__):
            if look.together(look.by_id[row.start], look.by_id[name]):
                gate = gate_at(row.end)
                yield f"step “{row.start}”, gate: it waits for “{name}”, which goes through “{gate}” first"


def _before_turned_round(look: _Look) -> Iterator[str]:
    """`before` and `latest` name what comes after."""
    for kind in (Link.BEFORE, Link.LATEST):
        for step, other in look.pairs(kind):
            if other.id in look.behind[step.id]:
                yield f"step “{step.id}”, {kind.value}: it is to come before “{other.id}” and waits for it too"
            elif look.later(step, other) and not (step.any_time or other.any_time):
                yield f"step “{step.id}”, {kind.value}: “{other.id}” stands in front of it"


def _stand_ins_turned_round(look: _Look) -> Iterator[str]:
    """A trial or a stand-in comes before the thing itself."""
    for kind in (Link.TRIAL_OF, Link.STANDS_IN):
        for step, other in look.pairs(kind):
            if look.later(step, other):
                yield f"step “{step.id}”, {kind.value}: “{other.id}” stands in front of it"


def _circles(look: _Look) -> Iterator[str]:
    """Lines that wait for each other in the end: by needs, holds, gates and what floats."""
    # Without a circle among all the steps there is none among some of them.
    gates = look.plan.gates
    for answers in islice(look.answers(*look.steps), MOST_SHEETS) if _circle(gates, look.steps) else ():
        circle = _circle(gates, [step for step in look.steps if wanted(step, answers)])
        if circle:
            yield f"step “{circle[0]}”: it waits for itself, {look.words(answers)}: {' > '.join(circle)}"
            return


def _circle(gates: Sequence[Gate], steps: Sequence[Step]) -> list[str]:
    order = Relations(rows(steps, gates))
    waits = {step.id: _waited_for(order, step) for step in steps}
    try:
        TopologicalSorter({step: sorted(others) for step, others in waits.items()}).prepare()
    except CycleError as error:
        return list(error.args[1][::-1])
    return []


def _waited_for(order: Relations, step: Step) -> set[str]:
    """What must be closed before a step, as it says itself and as what floats, holds and gates say."""
    first = _stated_first(order, step)
    first.update(row.start for row in order.into(step.id, Link.HOLD, Link.LATEST))
    for row in order.into(step.id, Link.ACT):
        first.update(_keeping_shut(order, row.start))
    return first


def _keeping_shut(order: Relations, gate: str) -> Iterator[str]:
    """The steps that keep a gate shut, those of the gates in front of it too: it is gone through after them."""
    for row in order.into(gate, Link.GATE):
        if gate_at(row.start):
            yield from _keeping_shut(order, row.start)
        else:
            yield row.start


# --- turning the engine


def _turned_while(look: _Look) -> Iterator[str]:
    """A line that turns the engine stands where the plan itself forbids turning."""
    for step in (step for step in look.steps if step.turns is not None):
        for row in look.order.into(step.id, Link.SPELL, Link.INSIDE, Link.FOR_GOOD):
            if not look.between(look.by_id[row.after], step, look.by_id[row.start]):
                continue
            if row.kind is Link.SPELL:
                yield f"step “{step.id}”, not_while: it stands between “{row.after}” and “{row.start}”"
            elif row.kind is Link.INSIDE:
                yield f"step “{step.id}”, turns: “{row.thing}” is in, from “{row.after}” to “{row.start}”"
            else:
                yield f"step “{step.id}”, turns: “{row.after}” still stands in for “{row.start}”"


# --- gates and holds


def _gate_not_kept(look: _Look) -> Iterator[str]:
    """A gate that nothing keeps shut, or nothing goes through, under some answers."""
    for gate in look.plan.gates:
        into, out_of = look.order.into(gate_end(gate.id), Link.GATE), look.order.out_of(gate_end(gate.id), Link.ACT)
        kept = [look.by_id[row.start] for row in into if not gate_at(row.start)]
        acts = [look.by_id[row.end] for row in out_of]
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
            ways = look.order.out_of(step.id, Link.COMES_OUT)
            outs = [look.by_id[row.end] for row in ways if row.thing == item.id]
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
    seen_to = {row.start for kind in (Link.HIDES, Link.NEEDS) for row in look.order.of_kind(kind)}
    for step in look.steps:
        if Easy.HIDDEN in step.easy and not step.gate and step.id not in seen_to:
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
