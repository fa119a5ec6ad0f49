"""How the bolts of a joint stand: its passes, its order, what each bolt has had, and which comes next.

A joint is every line of one run of fixed order that tightens the same places; a line that stands alone is a joint of
its own. The order and the passes are the person's, where they said so, before the plan's.
"""

from collections.abc import Iterator
from enum import Enum
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.plan.figures import read_pass
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured, Order, Tightening
from app.assembly.said.bolts import BOLT, BoltTurn
from app.assembly.said.counts import COUNT
from app.assembly.said.joints import JOINT, JointSaid
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import State
from app.assembly.standing.survey import Survey
from app.trade.conditions import UNSAID, Threads
from app.trade.notation import read_limits, write_limits, write_magnitude, write_step, write_turn
from app.trade.pattern import Pattern, circle, from_list, spiral
from app.trade.programme import Angle, Programme, Slacken, Step, Stretch, Torque, Wait
from app.trade.quantity import Kind, Limits, TorqueTurn

# What the person may say of a joint, by the name it is kept under.
SAID = (
    "thread",
    "strength",
    "written_for",
    "state",
    "method",
    "face",
    "hole",
    "clamped",
    "tapped",
    "engagement",
    "stretch",
    "longest",
    "necked",
    "wrench",
    "lever",
    "adapter",
    "adapter_angle",
    "run_on",
    "passes",
    "pattern",
    "rows",
    "order",
)


class Round(Enum):
    """What is done to each bolt in one round over them; the value is what it is called."""

    TORQUE = "pass"
    TURN = "turn"
    SLACKEN = "slackening"
    NEW_BOLT = "change of bolt"
    STRETCH = "stretch"


class Pass(Struct, frozen=True):
    """One round over the bolts: to a torque (N·m), by an angle (degrees), or what else a programme asks for.

    `text` is how it is said, `first` what is to be waited for before it ("" for nothing).
    """

    number: int
    of: int
    text: str
    torque: Limits | None = None
    turn_deg: float | None = None
    round: Round = Round.TORQUE
    first: str = ""

    @property
    def title(self) -> str:
        """“pass 2 of 3”, “turn”, “slackening 2 of 4”."""
        return f"{self.round.value} {self.number} of {self.of}" if self.of > 1 else self.round.value

    @property
    def target_nm(self) -> float | None:
        """The torque the wrench is to give at the bolt: the figure, or the middle of its limits."""
        return self.torque.middle if self.torque is not None else None


class BoltPass(Struct, frozen=True):
    """One pass of one bolt: whether it is done, and what was kept of it."""

    line: str
    number: int
    done: bool
    turn: BoltTurn | None


class Bolt(Struct, frozen=True):
    """One bolt: its place, its number in the order, and each pass of the whole joint in turn."""

    place: Place
    order: int
    passes: tuple[BoltPass, ...]
    tightened: int | None


class Next(Struct, frozen=True):
    """The bolt and pass that come next on a line."""

    place: Place
    order: int
    the_pass: Pass


def joint_key(line: Line) -> str:
    """What the joint of a line is kept under: the places it tightens, or itself where it has one bolt only."""
    return line.step.places or line.id


def joint_of(build: Build, line: Line) -> JointSaid | None:
    """What was said of the joint, or None."""
    found = build.facts.get(Subject(JOINT, joint_key(line)))
    return found if isinstance(found, JointSaid) else None


def written_for(survey: Survey, line: Line) -> str:
    """The thread state a line's figure was written for: as was said, as the figure itself says, or as its plan does."""
    joint, bounds = joint_of(survey.build, line), survey.bounds(line)
    if joint is not None and joint.said("written_for"):
        return joint.said("written_for")
    meant = bounds.conditions if bounds is not None else UNSAID
    if meant.threads is not Threads.UNKNOWN:
        return meant.lubricant if meant.threads is Threads.COMPOUND and meant.lubricant else meant.threads.value
    return line.step.spec.state if line.step.spec is not None else ""


def joint_lines(build: Build, line: Line) -> tuple[Line, ...]:
    """The lines that tighten the same bolts, in order; the line itself among them."""
    if not line.step.fixed:
        return (line,)
    return tuple(
        other
        for other in build.lines
        if other.step.fixed == line.step.fixed
        and other.step.places == line.step.places
        and other.tightening is not None
    )


def fasteners_of(build: Build, line: Line) -> str:
    """Whose tightenings are counted at the joint of a line; only its final lines count, "" where none does."""
    key = joint_key(line)
    return next((one.step.tightens for one in build.lines if one.step.tightens and joint_key(one) == key), "")


# Eight rules ask the same of one look at a build.
@lru_cache(maxsize=1)
def described_lines(survey: Survey) -> tuple[tuple[Line, JointSaid], ...]:
    """The lines whose joint was described, with what was said."""
    said = {key: one for (key, _), one in survey.build.facts.of(JOINT).items()}
    if not said:
        return ()
    tightening = ((line, joint_key(line)) for line in survey.build.lines if line.tightening is not None)
    return tuple((line, said[key]) for line, key in tightening if key in said)


def begun(survey: Survey, line: Line) -> bool:
    """Whether any bolt of a line has had a pass, or the line is signed off."""
    build = survey.build
    ticked = any(tick.state is not State.TO_DO for tick in build.facts.ticks.get(line.id, {}).values())
    return survey.done(line) or ticked or bool(build.facts.readings.get(line.id)) or bool(turns_of(build, line))


# --- passes


def passes(survey: Survey, line: Line) -> tuple[Pass, ...]:
    """The passes of one line: by torque first, then by angle; one without a figure while that is missing."""
    bounds = survey.bounds(line)
    spec = line.step.spec
    limits = bounds.limits if bounds is not None else None
    if bounds is not None and bounds.programme is not None and bounds.programme.torque_turn() is None:
        return _numbered(_by_programme(bounds.programme))
    if isinstance(limits, TorqueTurn):
        windows = limits.windows_deg or tuple((turn, turn) for turn in limits.turns_deg)
        turns = (_turn(turn, *window) for turn, window in zip(limits.turns_deg, windows, strict=True))
        return _numbered([*_by_torque(survey, line, limits.torque), *turns])
    if spec is not None and spec.kind is Measured.ANGLE:
        return (Pass(1, 1, bounds.text if bounds else "", None, limits.middle if limits else None, Round.TURN),)
    if limits is None:
        return (Pass(1, 1, "", Limits(Kind.TORQUE, None, None, None, "N·m", "")),)
    return _numbered(_by_torque(survey, line, limits))


def _numbered(found: list[Pass]) -> tuple[Pass, ...]:
    return tuple(replace(one, number=n, of=len(found)) for n, one in enumerate(found, 1))


def _turn(angle: float, low: float, high: float) -> Pass:
    return Pass(0, 0, write_turn(low, high), None, angle, Round.TURN)


def _by_programme(programme: Programme) -> list[Pass]:
    """Every round of a programme; a wait is said before the round that comes after it."""
    found: list[Pass] = []
    wait = ""
    for step in programme.unrolled():
        if isinstance(step, Wait):
            wait = write_step(step)
        else:
            found.append(replace(_round(step), first=wait))
            wait = ""
    return found


def _round(step: Step) -> Pass:
    match step:
        case Torque(limits):
            return Pass(0, 0, write_limits(limits), limits)
        case Angle(target, low, high):
            return _turn(target, low, high)
        case Slacken():
            return Pass(0, 0, write_step(step), round=Round.SLACKEN)
        case Stretch():
            return Pass(0, 0, write_step(step), round=Round.STRETCH)
        case _:
            return Pass(0, 0, write_step(step), round=Round.NEW_BOLT)


def _by_torque(survey: Survey, line: Line, final: Limits) -> list[Pass]:
    """The passes up to the figure: the last is the figure itself, whatever the list ends with."""
    joint = joint_of(survey.build, line)
    said = split_passes(joint.said("passes")) if joint and joint.said("passes") else ()
    words = said or (line.tightening.passes if line.tightening else ())
    if len(joint_lines(survey.build, line)) > 1 and not (line.tightening and line.tightening.passes):
        words = ()  # the plan's own lines are the passes
    first = [_a_pass(word, final) for word in words[:-1]]
    text = write_magnitude(final.target, final.unit) if final.target is not None else final.text
    return [*first, Pass(0, 0, text, final)]


def _a_pass(word: str, final: Limits) -> Pass:
    torque = pass_torque(word, final)
    limits = Limits(Kind.TORQUE, torque, torque, torque, final.unit, word)
    return Pass(0, 0, write_magnitude(torque, final.unit), limits)


def pass_torque(word: str, final: Limits) -> float:
    """The torque of a pass in N·m: a share of the figure (“70 %”) or a torque. Raises NotationError."""
    said = read_pass(word, final.unit)
    return (final.middle or 0.0) * said.magnitude / 100 if said.kind is Kind.SHARE else said.magnitude


def split_passes(text: str) -> tuple[str, ...]:
    """The passes of a list such as “70 %, 100 %”, or “30 N·m; 60 N·m; 82 N·m”."""
    return tuple(word.strip() for word in text.replace(";", ",").split(", ") if word.strip(" ,"))


# --- order and where the bolts lie


def pattern_of(survey: Survey, line: Line) -> tuple[Pattern, tuple[Place, ...]]:
    """How the bolts lie and in what order they come, and the places as the pattern counts them.

    A pattern that does not fit the number of bolts is left for the order of the list.
    """
    joint, plan = joint_of(survey.build, line), line.tightening or Tightening()
    chosen = Order(joint.said("pattern")) if joint and joint.said("pattern") else plan.pattern
    counts = row_counts(joint.said("rows")) if joint and joint.said("rows") else plan.rows
    listed = _named(survey, line, names_in(joint.said("order")) if joint and joint.said("order") else plan.order)
    lying = _named(survey, line, plan.lie)
    if chosen is Order.CIRCLE:
        return circle(len(lying)), lying
    fits = sum(counts) == len(lying)
    across = spiral(counts if fits else _rows_for(len(lying)))
    if chosen is Order.ROWS and fits:
        return across, lying
    return from_list([lying.index(place) + 1 for place in listed], across.at), lying


def _named(survey: Survey, line: Line, names: tuple[str, ...]) -> tuple[Place, ...]:
    """The line's places as named, or in the plan's own order where the names do not fit them."""
    places = survey.places(line)
    by_id = {place.id: place for place in places}
    return tuple(by_id[name] for name in names) if sorted(names) == sorted(by_id) else places


def _rows_for(count: int) -> tuple[int, ...]:
    """How bolts are drawn whose plan does not say how they lie: in as few rows as can be read."""
    many = 1 if count <= 6 else 2 if count <= 20 else 3
    return tuple(count // many + (row < count % many) for row in range(many))


def row_counts(text: str) -> tuple[int, ...]:
    """The bolts of each row from “5, 5”, or “2 x 5” for two rows of five; empty where nothing of the kind stands."""
    many, times, each = text.lower().replace("×", "x").partition("x")
    if times and many.strip().isdigit() and each.strip().isdigit():
        return (int(each),) * int(many)
    words = [word.strip() for word in text.split(",")]
    return tuple(int(word) for word in words) if all(word.isdigit() for word in words) else ()


def names_in(text: str) -> tuple[str, ...]:
    """The names of a list with commas between them."""
    return tuple(word.strip() for word in text.split(",") if word.strip())


def in_order(survey: Survey, line: Line) -> tuple[Place, ...]:
    """The line's places in the order they are tightened."""
    pattern, places = pattern_of(survey, line)
    return tuple(places[number - 1] for number in pattern.order)


# --- what each bolt has had


def bolt_subject(line: Line, number: int, place: str) -> Subject:
    """What one pass of one bolt is kept under."""
    return Subject(BOLT, line.id, f"{number}/{place}")


def turns_of(build: Build, line: Line) -> dict[tuple[int, str], BoltTurn]:
    """What is kept of a line's bolts, by pass and place."""
    found = {}
    for (step, where), turn in build.facts.of(BOLT).items():
        if step == line.id:
            number, _, place = where.partition("/")
            found[int(number), place] = turn
    return found


def bolts(survey: Survey, line: Line) -> tuple[Bolt, ...]:
    """Every bolt of the joint in its order, with each pass of every line of the joint."""
    build = survey.build
    counts, fasteners = build.facts.of(COUNT), fasteners_of(build, line)
    kept = [(other, passes(survey, other), turns_of(build, other)) for other in joint_lines(build, line)]
    found = []
    for order, place in enumerate(in_order(survey, line), 1):
        each = tuple(
            BoltPass(
                other.id,
                one.number,
                _pass_done(survey, other, place, one.number, turns),
                turns.get((one.number, place.id)),
            )
            for other, rounds, turns in kept
            for one in rounds
        )
        count = counts.get((fasteners, place.id))
        found.append(Bolt(place, order, each, count.times if count else None))
    return tuple(found)


def _pass_done(survey: Survey, line: Line, place: Place, number: int, turns: dict[tuple[int, str], BoltTurn]) -> bool:
    """A pass is done when it was kept as such, or when the place was ticked or read as a whole on the sheet."""
    turn = turns.get((number, place.id))
    return (turn is not None and turn.done) or whole(survey, line, place)


def whole(survey: Survey, line: Line, place: Place) -> bool:
    """Whether a place of a line is ticked, or read since it was last disturbed, or its line is signed off."""
    build = survey.build
    tick = build.facts.ticks.get(line.id, {}).get(place.id)
    if tick is not None and tick.state is State.DONE:
        return True
    if build.facts.standing(line.id, place.id, 1) is not None:
        return True
    return survey.done(line) and not line.many and not line.reads


def next_bolt(survey: Survey, line: Line) -> Next | None:
    """The next bolt and pass of a line, pass by pass in the order of the pattern; None when every bolt has its last."""
    turns = turns_of(survey.build, line)
    order = in_order(survey, line)
    for one in passes(survey, line):
        for number, place in enumerate(order, 1):
            if not _pass_done(survey, line, place, one.number, turns):
                return Next(place, number, one)
    return None


def next_pass_of(survey: Survey, line: Line, place: Place) -> Pass | None:
    """The next pass of one bolt, None when it has had its last."""
    turns = turns_of(survey.build, line)
    return next((one for one in passes(survey, line) if not _pass_done(survey, line, place, one.number, turns)), None)


def count_words(survey: Survey, line: Line) -> str:
    """“11 of 16, pass 2”: how far the pass in hand is."""
    rounds, turns, places = passes(survey, line), turns_of(survey.build, line), survey.places(line)
    for one in rounds:
        done = sum(_pass_done(survey, line, place, one.number, turns) for place in places)
        if done < len(places) or one.number == len(rounds):
            what = f", {one.round.value} {one.number}" if len(rounds) > 1 else ""
            return f"{done} of {len(places)}{what}"
    return ""


def joint_passes(survey: Survey, line: Line) -> Iterator[tuple[Line, Pass]]:
    """Every pass of the joint in turn, with the line it belongs to."""
    for other in joint_lines(survey.build, line):
        for one in passes(survey, other):
            yield other, one


def stretch_window(line: Line, joint: JointSaid | None) -> Limits | None:
    """The window of bolt elongation, the person's before the plan's; None where stretch is not judged."""
    text = (joint.said("stretch") if joint else "") or (line.tightening.stretch if line.tightening else "")
    return read_limits(text, Kind.LENGTH) if text else None
