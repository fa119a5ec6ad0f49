"""The order of the steps of a plan, as rows: which of two comes first, why, and how long apart.

Every relation a plan states, or that follows from where its holds and gates stand, is read here and nowhere else. The
same rows serve the steps of a plan and the lines of a build.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import timedelta
from enum import Enum
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.plan.steps import Gate, Need, Step, Temporary, Turn
from app.trade.notation import read_quantity
from app.trade.quantity import Kind

# What stands in front of a gate's id where a row begins or ends at a gate; no step's id has a colon.
_GATE = "gate:"


class Link(Enum):
    """How two steps hang together, called as the field of a plan it comes from.

    Where nothing else is said `end` waits until `start` is closed.
    """

    NEEDS = "needs"
    BEFORE = "before"  # start comes first, and nothing is held up by it
    HIDES = "hides"  # end hides start
    DISTURBS = "disturbs"  # doing or undoing start opens end
    UNDOING_DISTURBS = "undoing_disturbs"  # undoing start opens end
    SHARES = "shares"  # both hang on one bolt or gasket, and undoing start opens end
    LATEST = "latest"  # start floats, and must not pass end
    TRIAL_OF = "trial_of"  # start tries what end does for good
    STANDS_IN = "stands_in_for"  # start only holds the place of end
    SPELL = "not_while"  # from `after` until start, end is not done
    CONDITION = "when"  # what is found at start decides whether end is there
    GATE = "gate"  # start, a step or the gate in front, keeps the gate shut
    ACT = "act"  # end goes through the gate
    HOLD = "hold"  # start is a hold, and end stands behind it, up to the next hold
    COMES_OUT = "takes_out"  # end takes out the thing that start puts in
    INSIDE = "puts_in"  # end turns the engine, and must not from when `after` put the thing in until start takes it out
    FOR_GOOD = "turns"  # end turns the engine by power, and must not while `after` only stands in for start


# What a step itself says must be closed before it.
STATED_FIRST = (Link.NEEDS, Link.HIDES, Link.CONDITION)


class Delay(Struct, frozen=True):
    """A time between two steps, as the plan writes it (“24 h”)."""

    text: str

    @property
    def length(self) -> timedelta:
        """How long it is; raises NotationError for words that are no time."""
        return _length(self.text)


class Row(Struct, frozen=True):
    """One relation. `start` and `end` are ids of steps, or of gates as `gate_end` writes them.

    `least` is how long to wait after `start`, `most` within what time to follow it. `after` is the step from whose
    doing on the row holds, "" for always. `thing` is the temporary thing it is about and `place` where that is; of a
    condition `place` is the group whose places are decided one by one, and `any_of` the findings that ask for `end`.
    """

    start: str
    end: str
    kind: Link
    least: Delay | None = None
    most: Delay | None = None
    place: str = ""
    why: str = ""
    after: str = ""
    thing: str = ""
    any_of: tuple[str, ...] = ()


class Relations:
    """The rows of some steps, found by where they start and end."""

    def __init__(self, rows: Iterable[Row]) -> None:
        self.rows = tuple(rows)
        self._of_kind: dict[tuple[Link, ...], tuple[Row, ...]] = {}
        self._ending: dict[tuple[Link, ...], Mapping[str, tuple[Row, ...]]] = {}
        self._starting: dict[tuple[Link, ...], Mapping[str, tuple[Row, ...]]] = {}

    def of_kind(self, *kinds: Link) -> tuple[Row, ...]:
        """The rows of these kinds, kind by kind, each in the order of the steps that state them."""
        if kinds not in self._of_kind:
            self._of_kind[kinds] = tuple(row for kind in kinds for row in self.rows if row.kind is kind)
        return self._of_kind[kinds]

    def ending(self, *kinds: Link) -> Mapping[str, tuple[Row, ...]]:
        """The rows of these kinds by the step or gate they end at."""
        if kinds not in self._ending:
            self._ending[kinds] = _grouped((row.end, row) for row in self.of_kind(*kinds))
        return self._ending[kinds]

    def starting(self, *kinds: Link) -> Mapping[str, tuple[Row, ...]]:
        """The rows of these kinds by the step or gate they start at."""
        if kinds not in self._starting:
            self._starting[kinds] = _grouped((row.start, row) for row in self.of_kind(*kinds))
        return self._starting[kinds]

    def into(self, end: str, *kinds: Link) -> tuple[Row, ...]:
        """The rows of these kinds that end at a step or gate."""
        return self.ending(*kinds).get(end, ())

    def out_of(self, start: str, *kinds: Link) -> tuple[Row, ...]:
        """The rows of these kinds that start at a step or gate."""
        return self.starting(*kinds).get(start, ())


def _grouped(rows: Iterable[tuple[str, Row]]) -> Mapping[str, tuple[Row, ...]]:
    found: dict[str, list[Row]] = {}
    for key, row in rows:
        found.setdefault(key, []).append(row)
    return {key: tuple(some) for key, some in found.items()}


def gate_end(gate: str) -> str:
    """A gate as the end of a row."""
    return f"{_GATE}{gate}"


def gate_at(end: str) -> str:
    """The gate that an end of a row is, "" for a step."""
    return end.removeprefix(_GATE) if end.startswith(_GATE) else ""


def needed(step: Step) -> tuple[Need, ...]:
    """The step's needs, each as a `Need`."""
    return tuple(need if isinstance(need, Need) else Need(need) for need in step.needs)


@lru_cache(maxsize=256)
def _length(text: str) -> timedelta:
    return timedelta(seconds=read_quantity(text, Kind.TIME).magnitude)


# --- reading them


def rows(steps: Iterable[Step], gates: Sequence[Gate]) -> tuple[Row, ...]:
    """Every relation among these steps, which stand in working order, and the gates between them.

    A relation to a step that is not among them is left out.
    """
    there = tuple(steps)
    ends = {step.id for step in there} | {gate_end(gate.id) for gate in gates}
    groups = {step.id: step.places for step in there}
    found = [
        *(row for step in there for row in stated(step)),
        *(Row(gate_end(gate.id), gate_end(after.id), Link.GATE) for gate, after in pairwise(gates)),
        *_holds(there),
        *_things(there),
        *_for_good(there),
    ]
    return tuple(
        _by_place(row, groups)
        for row in dict.fromkeys(found)
        if row.start in ends and row.end in ends and (not row.after or row.after in ends)
    )


def stated(step: Step) -> Iterator[Row]:
    """The relations a step's own fields state, whatever else is in the plan; a shared bolt both ways round."""
    me = step.id
    for need in needed(step):
        yield Row(need.step, me, Link.NEEDS, _delay(need.wait), _delay(need.within), why=need.because)
    yield from (Row(me, other, Link.BEFORE) for other in step.before)
    yield from (Row(other, me, Link.HIDES) for other in step.hides)
    yield from (Row(me, other, Link.DISTURBS) for other in step.disturbs)
    yield from (Row(me, other, Link.UNDOING_DISTURBS) for other in step.undoing_disturbs)
    for other in step.shares:
        yield Row(me, other, Link.SHARES)
        yield Row(other, me, Link.SHARES)
    yield from (Row(me, other, Link.LATEST) for other in step.latest)
    if step.trial_of:
        yield Row(me, step.trial_of, Link.TRIAL_OF)
    if step.stands_in_for:
        yield Row(me, step.stands_in_for, Link.STANDS_IN)
    yield from (Row(one.until, me, Link.SPELL, why=one.because, after=one.after) for one in step.not_while)
    yield from (Row(when.step, me, Link.CONDITION, any_of=when.any_of) for when in step.when if when.step)
    if step.gate:
        yield Row(me, gate_end(step.gate), Link.GATE)
    if step.act:
        yield Row(gate_end(step.act), me, Link.ACT)


def named_by(step: Step, row: Row) -> tuple[str, ...]:
    """What a row that a step states names, itself apart; the step again where it names itself."""
    names = [name for name in (row.after, row.start, row.end) if name]
    names.remove(step.id)
    return tuple(names)


def _delay(text: str) -> Delay | None:
    return Delay(text) if text else None


def _by_place(row: Row, groups: Mapping[str, str]) -> Row:
    """A condition decides place by place where what is found and what hangs on it are for the same places."""
    if row.kind is not Link.CONDITION or groups[row.start] != groups[row.end]:
        return row
    return replace(row, place=groups[row.end])


def _holds(steps: Sequence[Step]) -> Iterator[Row]:
    """Everything behind a hold waits for it, and what is behind the next hold for that one, which waits for this."""
    hold = ""
    for step in steps:
        if hold:
            yield Row(hold, step.id, Link.HOLD)
        if step.hold:
            hold = step.id


def _things(steps: Sequence[Step]) -> Iterator[Row]:
    """What goes in and comes out again, and who must not turn the engine in between."""
    turning = [step for step in steps if step.turns is not None]
    for step, item, out in _ways_out(steps):
        yield Row(step.id, out.id, Link.COMES_OUT, place=item.where, thing=item.id)
        for one in turning if not item.turning_ok else ():
            if one is not out:
                yield Row(out.id, one.id, Link.INSIDE, place=item.where, after=step.id, thing=item.id)


def _ways_out(steps: Sequence[Step]) -> Iterator[tuple[Step, Temporary, Step]]:
    outs: dict[str, list[Step]] = {}
    for step in steps:
        for item in step.takes_out:
            outs.setdefault(item, []).append(step)
    for step in steps:
        for thing in step.puts_in:
            yield from ((step, thing, out) for out in outs.get(thing.id, ()))


def _for_good(steps: Sequence[Step]) -> Iterator[Row]:
    """What is turned by more than a hand wants the thing itself, not what stands in for it."""
    powered = [step.id for step in steps if step.turns not in (None, Turn.HAND)]
    for step in steps:
        if step.stands_in_for:
            yield from (Row(step.stands_in_for, one, Link.FOR_GOOD, after=step.id) for one in powered)


# --- without the steps that are not wanted


def resolved(step: Step, kept: Mapping[str, Step], everything: Mapping[str, Step]) -> Step:
    """The step with relations to left-out steps taken away; what a left-out need needed is needed instead."""
    return replace(
        step,
        needs=tuple(_needs(step, kept, everything, {step.id})),
        before=tuple(id_ for id_ in step.before if id_ in kept),
        hides=tuple(id_ for id_ in step.hides if id_ in kept),
        disturbs=tuple(id_ for id_ in step.disturbs if id_ in kept),
        undoing_disturbs=tuple(id_ for id_ in step.undoing_disturbs if id_ in kept),
        shares=tuple(id_ for id_ in step.shares if id_ in kept),
        latest=tuple(id_ for id_ in step.latest if id_ in kept),
        trial_of=step.trial_of if step.trial_of in kept else "",
        stands_in_for=step.stands_in_for if step.stands_in_for in kept else "",
        not_while=tuple(spell for spell in step.not_while if spell.after in kept and spell.until in kept),
        when=tuple(when for when in step.when if when.step in kept),
    )


def _needs(step: Step, kept: Mapping[str, Step], everything: Mapping[str, Step], seen: set[str]) -> list[Need]:
    found: list[Need] = []
    for need in needed(step):
        if need.step in kept:
            found.append(need)
        elif need.step in everything and need.step not in seen:
            found += _needs(everything[need.step], kept, everything, seen | {need.step})
    unique = {need.step: need for need in reversed(found)}
    return list(reversed(unique.values()))
