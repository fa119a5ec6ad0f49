"""A tightening step as it is worked: the figure, what to set, the bolts and which comes next, for screen and paper."""

from collections.abc import Mapping

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.steps import HowTight, Measured
from app.assembly.said.marks import State
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import (
    Bolt,
    Next,
    Pass,
    Round,
    bolts,
    count_words,
    joint_lines,
    joint_of,
    joint_passes,
    next_bolt,
    passes,
    pattern_of,
    stretch_window,
    written_for,
)
from app.assembly.standing.tools import tool_of
from app.assembly.standing.wrenches import WrenchSum, adapter_of, choices, wrench_sum
from app.sheet.draw.bolts import BoltMark
from app.sheet.rows import Run
from app.trade.notation import second
from app.trade.pattern import Pattern

CAUTION = (
    "Figures worked out here are estimates with the spread they are shown with; the engine maker's and the part "
    "maker's figure goes first. Never a pipe on the handle. Eye protection: a bolt or socket that lets go flies."
)
YIELD_CAUTION = "A bolt tightened to yield has been stretched for good: used again only where its maker says so."
_TO_YIELD = (HowTight.YIELD, HowTight.ANGLE)


class Coming(Struct, frozen=True):
    """What a bolt has coming: its pass, what a wrench that clicks gives at the bolt, and what it is set to.

    `measured` says that a click does not tell what it came to, so that it is written; `window` that stretch is judged.
    """

    title: str
    the_pass: Pass
    torque: str
    setting: str
    measured: bool
    window: bool


class TightenView(Struct, frozen=True):
    """Everything a tightening step shows, in words and marks; `bolts` stand as the pattern counts them.

    `coming` says what each bolt has coming by its place; one that has had its last pass is not there.
    """

    number: str
    title: str
    note: str
    count: str
    figure: str
    other_system: str
    state: str
    passes: str
    boxes: str
    bolts: tuple[BoltMark, ...]
    pattern: Pattern
    bores: int
    next_words: tuple[Run, ...]
    next_place: str
    coming: Mapping[str, Coming]
    wrench: WrenchSum | None
    remarks: tuple[str, ...]
    caution: str


def tighten_view(survey: Survey, line: Line) -> TightenView:
    """The step as it stands; the line must be one that tightens bolts."""
    coming = next_bolt(survey, line)
    rounds = passes(survey, line)
    in_hand = coming.the_pass if coming is not None else rounds[-1]
    pattern, places = pattern_of(survey, line)
    standing = {bolt.place.id: bolt for bolt in bolts(survey, line)}
    here = coming.place.id if coming is not None else ""
    wrench = wrench_sum(survey, line, in_hand)
    plan = line.tightening
    return TightenView(
        number=line.number,
        title=line.step.do,
        note=line.step.note,
        count=count_words(survey, line),
        figure=in_hand.text,
        other_system=second(in_hand.torque) if in_hand.torque is not None else "",
        state=_state_words(survey, line),
        passes=_passes_words(survey, line, in_hand),
        boxes=_boxes_words(survey, line),
        bolts=tuple(_mark(standing[place.id], here) for place in places),
        pattern=pattern,
        bores=plan.bores if plan else 0,
        next_words=_next_words(survey, line, coming, wrench),
        next_place=here,
        coming=_coming(survey, line, rounds, standing, {in_hand.number: wrench}),
        wrench=wrench,
        remarks=_remarks(survey, line, in_hand),
        caution=f"{CAUTION} {YIELD_CAUTION}" if plan and plan.kind in _TO_YIELD else CAUTION,
    )


def _coming(
    survey: Survey,
    line: Line,
    rounds: tuple[Pass, ...],
    standing: Mapping[str, Bolt],
    settings: dict[int, WrenchSum | None],
) -> dict[str, Coming]:
    """What each bolt has coming; `settings` are those already worked out, by their pass."""
    by_angle = line.step.spec is not None and line.step.spec.kind is Measured.ANGLE
    window = stretch_window(line, joint_of(survey.build, line)) is not None
    found = {}
    for key, bolt in standing.items():
        done = {one.number: one.done for one in bolt.passes if one.line == line.id}
        one = next((one for one in rounds if not done[one.number]), None)
        if one is None:
            continue
        if one.number not in settings:
            settings[one.number] = wrench_sum(survey, line, one)
        wrench = settings[one.number] if one.torque is not None else None
        unset = one.number == one.of and one.torque is not None and wrench is None
        found[key] = Coming(
            bolt.place.title,
            one,
            wrench.at_bolt_text if wrench is not None else "",
            wrench.set_text if wrench is not None else "",
            measured=window or (line.reads and (by_angle or unset)),
            window=window,
        )
    return found


def _mark(bolt: Bolt, here: str) -> BoltMark:
    states = tuple(
        State.DONE if one.done else State.STARTED if one.turn is not None else State.TO_DO for one in bolt.passes
    )
    trouble = any(one.turn is not None and not one.done for one in bolt.passes)
    return BoltMark(bolt.place.id, bolt.place.title, bolt.order, states, bolt.place.id == here, trouble)


def _state_words(survey: Survey, line: Line) -> str:
    joint = joint_of(survey.build, line)
    written = written_for(survey, line)
    used = joint.said("state") if joint else ""
    if used and written and used != written and not written.startswith("as "):
        return f"written for {written} threads, here {used}"
    return f"{used or written} threads" if used else f"thread {written}" if written else "thread state not said"


def _passes_words(survey: Survey, line: Line, in_hand: Pass) -> str:
    """“pass 2 of 3”, counted over every line of the joint."""
    every = list(joint_passes(survey, line))
    at = next(n for n, (other, one) in enumerate(every, 1) if other is line and one.number == in_hand.number)
    return f"{in_hand.round.value} {at} of {len(every)}" if len(every) > 1 else "one pass"


def _boxes_words(survey: Survey, line: Line) -> str:
    """What the small boxes mean, in turn: “boxes: 30 N·m, 60 N·m, 82 N·m”."""
    words = [one.text or f"figure of {other.number}" for other, one in joint_passes(survey, line)]
    return f"Boxes: {', '.join(words)}" if len(words) > 1 else ""


def _next_words(survey: Survey, line: Line, coming: Next | None, wrench: WrenchSum | None) -> tuple[Run, ...]:
    if coming is None:
        if survey.done(line):
            return (Run(f"{line.number} is Done.", "text"),)
        return (Run("Every bolt has it.", "text", bold=True), Run(f"Space marks {line.number} Done.", "text"))
    number = "" if coming.place.id.endswith(str(coming.order)) else f", number {coming.order}"
    many = f", {coming.the_pass.title}" if coming.the_pass.of > 1 else ""
    where: tuple[Run, ...] = (Run("Next is", "text"), Run(f"{coming.place.title}{number}{many}.", "text", bold=True))
    if coming.the_pass.first:
        where = (*where, Run(f"First {coming.the_pass.first}.", "stop"))
    if coming.the_pass.torque is None:
        lead = (Run("Turn it", "text"),) if coming.the_pass.round is Round.TURN else ()
        return (*where, *lead, Run(f"{_sentence(coming.the_pass.text)}.", "text", bold=True))
    if wrench is None or not wrench.set_text:
        return where
    return (*where, Run("Set", "text"), Run(f"{wrench.set_text}.", "text", bold=True))


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _remarks(survey: Survey, line: Line, in_hand: Pass) -> tuple[str, ...]:
    """How it is done, which wrench to take, and what speaks against the one chosen."""
    return (*_manner(line), *_wrench_words(survey, line, in_hand))


_MANNER = {
    HowTight.ANGLE: "Torque every bolt first, then turn each; a fresh pen line for each turn. Over the window: slacken "
    "all fully and start again.",
    HowTight.YIELD: "Turned to yield: note every turn; over the window, slacken all fully and start with new bolts "
    "unless their maker says otherwise.",
    HowTight.STRETCH: "By stretch: zero the gauge on each bolt, tighten, read; too little, loosen both of a pair.",
    HowTight.BOTH: "Judged by torque and stretch: write both for each stud.",
    HowTight.TWICE: "Tighten, slacken fully in the reverse order, and tighten again.",
    HowTight.RETORQUE: "Stone cold, in the same order; slacken each only if its maker says so.",
}


def _manner(line: Line) -> tuple[str, ...]:
    plan = line.tightening
    if plan is None:
        return ()
    castle = ("Castle nut: start at the least figure, turn on to the next slot, never back and never past the most.",)
    words = (_MANNER[plan.kind],) if plan.kind in _MANNER else ()
    return (*words, *(castle if plan.castle else ()))


def _wrench_words(survey: Survey, line: Line, in_hand: Pass) -> tuple[str, ...]:
    """Which wrench to take, and what speaks against the one chosen."""
    target = in_hand.target_nm
    if target is None or in_hand.torque is None or not target > 0:
        return ()
    joint = joint_of(survey.build, line)
    found = choices(survey, target + (joint.run_on_nm if joint else 0.0), in_hand.torque.unit, adapter_of(joint))
    if not found:
        return ("No torque wrench is among the tools yet: enter one with its range and its last check.",)
    best, tool = found[0], tool_of(survey.build, joint.said("wrench")) if joint else None
    if tool is None:
        return (f"Take {best.wrench.name}.", *best.sentences)
    own = next((one for one in found if one.wrench.name == tool.name), None)
    if own is None:
        return (f"{tool.name} has no torque range among the tools: write it, such as 20 to 100 N·m.",)
    better = best.usable and best is not own and (not own.usable or len(best.sentences) < len(own.sentences))
    return (*own.sentences, *((f"{best.wrench.name} would do better.",) if better else ()))


def joint_title(survey: Survey, line: Line) -> str:
    """The lines of a joint as one: “7.06 to 7.08”."""
    run = joint_lines(survey.build, line)
    return run[0].number if len(run) == 1 else f"{run[0].number} to {run[-1].number}"
