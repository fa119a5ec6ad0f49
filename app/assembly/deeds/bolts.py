"""What is decided of bolts: a pass of one bolt, a joint described, a joint slackened to begin again."""

from collections.abc import Iterator

from msgspec.structs import replace

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import begin, entry, once, refuse_waiting, tightened
from app.assembly.deeds.find import find_line, find_place
from app.assembly.deeds.reopen import opened, voided
from app.assembly.lines import Line
from app.assembly.plan.figures import read_pass
from app.assembly.plan.places import Place
from app.assembly.plan.steps import Measured, Order
from app.assembly.said import actions as a
from app.assembly.said.bolts import BoltTurn, Tried
from app.assembly.said.deeds import Deed, Entry, EventName, Verb
from app.assembly.said.joints import JOINT, JointSaid
from app.assembly.said.kinds import Subject
from app.assembly.said.marks import TICK, State, Tick
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.said.readings import READING, Reading
from app.assembly.said.reasons import Because
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import (
    Pass,
    bolt_subject,
    joint_key,
    joint_lines,
    joint_of,
    names_in,
    next_pass_of,
    row_counts,
    split_passes,
    stretch_window,
    turns_of,
)
from app.assembly.standing.units import unit_at
from app.assembly.standing.waits import NotYet
from app.trade.agree import first_fall
from app.trade.notation import NotationError, read_limits, read_quantity
from app.trade.quantity import Kind, Limits, Quantity
from app.trade.stretch import Answer, Attempt, TwoSided, accept


@decided.register
def _tighten(action: a.TightenBolt, survey: Survey) -> Deed:
    line = _bolted(survey, action.line)
    place = find_place(survey, line, action.place)
    if survey.state(line) is State.DONE:
        raise Refused(phrase(RefusalKind.IS_DONE_NOT_TIGHTENED, line=line.number))
    refuse_waiting(line, NotYet.TIGHTENED, survey.waits(line))
    the_pass = next_pass_of(survey, line, place)
    if the_pass is None:
        raise Refused(phrase(RefusalKind.LAST_PASS_DONE, line=line.number, place=place.title))
    turn = _turned(survey, line, place, the_pass, action)
    last = turn.done and the_pass.number == the_pass.of
    entries = [entry(survey.build, EventName.BOLT, bolt_subject(line, the_pass.number, place.id), turn)]
    if survey.state(line) is State.TO_DO:
        entries.append(begin(survey, line, action.by, action.at))
    if line.many:
        entries += _ticked(survey, line, place, action, last=last)
    elif last and line.reads:
        entries += _read(survey, line, place, action, turn)
    return Deed(Verb.TIGHTEN, action.by, action.at, once(entries))


def _bolted(survey: Survey, number: str) -> Line:
    line = find_line(survey.build, number)
    if line.tightening is None:
        raise Refused(phrase(RefusalKind.TIGHTENS_NOTHING, line=line.number))
    return line


def _turned(survey: Survey, line: Line, place: Place, the_pass: Pass, action: a.TightenBolt) -> BoltTurn:
    joint = joint_of(survey.build, line)
    unit = unit_at(survey, line) or "N·m"
    torque = _value(line, place, action.torque, Kind.TORQUE, unit if the_pass.torque else "N·m", action.decimal)
    angle = _value(line, place, action.angle, Kind.ANGLE, "deg", action.decimal)
    stretch = _value(line, place, action.stretch, Kind.LENGTH, "mm", action.decimal)
    _check_size(line, place, torque)
    turn = BoltTurn(
        done=True,
        by=action.by,
        at=action.at,
        torque=action.torque.strip(),
        torque_nm=torque.magnitude if torque else None,
        angle=action.angle.strip(),
        angle_deg=angle.magnitude if angle else None,
        stretch=action.stretch.strip(),
        stretch_mm=stretch.magnitude if stretch else None,
        wrench=action.wrench.strip() or (joint.said("wrench") if joint else ""),
        setting=action.setting.strip(),
        threads=action.threads.strip() or (joint.said("state") if joint else ""),
    )
    return _answered(survey, line, place, the_pass, turn)


# No bolt of an engine that is built at home is tightened to more; a flywheel nut of a lorry may be.
MOST_NM = 2000.0


def _check_size(line: Line, place: Place, torque: Quantity | None) -> None:
    if torque is not None and not 0 < torque.magnitude <= MOST_NM:
        raise Refused(
            phrase(RefusalKind.NO_TORQUE_OF_AN_ENGINE, line=line.number, place=place.title, torque=torque.text)
        )


def _value(line: Line, place: Place, text: str, kind: Kind, unit: str, decimal: str) -> Quantity | None:
    if not text.strip():
        return None
    try:
        return read_quantity(text.strip(), kind, unit=unit, decimal=decimal)
    except NotationError as error:
        raise Refused(phrase(RefusalKind.AT_PLACE, line=line.number, place=place.title, matter=str(error))) from error


def _answered(survey: Survey, line: Line, place: Place, the_pass: Pass, turn: BoltTurn) -> BoltTurn:
    """The turn with what torque and stretch together come to, where both are judged."""
    window = stretch_window(line, joint_of(survey.build, line))
    if window is None or the_pass.number != the_pass.of or the_pass.torque is None:
        return turn
    if turn.stretch_mm is None or turn.torque_nm is None:
        raise Refused(phrase(RefusalKind.TORQUE_AND_STRETCH_BOTH, line=line.number, place=place.title))
    before = turns_of(survey.build, line).get((the_pass.number, place.id))
    tries = before.tries if before is not None else 1
    try:
        wanted, attempt = _two_sided(line, window, the_pass.torque), Attempt(turn.torque_nm, turn.stretch_mm, tries)
        answer = accept(wanted, attempt)
    except ValueError as error:
        raise Refused(phrase(RefusalKind.AT_PLACE, line=line.number, place=place.title, matter=str(error))) from error
    return replace(
        turn, done=answer is Answer.WITHIN, tries=tries, answer=answer.value, because=tried(answer, wanted, attempt)
    )


def tried(answer: Answer, wanted: TwoSided, attempt: Attempt) -> Phrase:
    """What an attempt at a stud came to, with its torque in N·m and its stretch in mm as they are said."""
    torque, stretch = f"{attempt.torque_nm:.1f}", f"{attempt.stretch_mm:.3f}"
    match answer:
        case Answer.WITHIN:
            return phrase(Tried.WITHIN, torque=torque, stretch=stretch)
        case Answer.KEEP_GOING:
            return phrase(Tried.KEEP_GOING, torque=torque, stretch=stretch)
        case _ if attempt.stretch_mm > wanted.stretch_high_mm:
            return phrase(Tried.TOO_LONG, torque=torque, stretch=stretch, most=f"{wanted.stretch_high_mm:.3f}")
        case _:
            return phrase(Tried.SLACKEN_GROUP if answer is Answer.SLACKEN_GROUP else Tried.REPLACE, torque=torque)


def _two_sided(line: Line, stretch: Limits, torque: Limits) -> TwoSided:
    if stretch.low is None or stretch.high is None or torque.low is None or torque.high is None:
        raise Refused(phrase(RefusalKind.TWO_SIDED_FIGURES, line=line.number))
    return TwoSided(torque.low, torque.high, stretch.low, stretch.high)


def _ticked(survey: Survey, line: Line, place: Place, action: a.TightenBolt, *, last: bool) -> Iterator[Entry]:
    state = State.DONE if last else State.STARTED
    yield entry(survey.build, EventName.TICK, Subject(TICK, line.id, place.id), Tick(state, action.by, action.at))
    fasteners = survey.build.fasteners.get(line.step.tightens)
    if last and fasteners is not None and fasteners.places == line.step.places:
        yield from tightened(survey.build, line, (place,), action.by, action.at)


def _read(survey: Survey, line: Line, place: Place, action: a.TightenBolt, turn: BoltTurn) -> Iterator[Entry]:
    """The value that a line wants written at each place: the torque of its last pass, or the angle it was turned by."""
    spec = line.step.spec
    assert spec is not None  # a line that reads has one
    by_angle = spec.kind is Measured.ANGLE
    text, magnitude = (turn.angle, turn.angle_deg) if by_angle else (turn.torque, turn.torque_nm)
    if magnitude is None:
        wanted = RefusalKind.WRITE_THE_ANGLE if by_angle else RefusalKind.WRITE_THE_TORQUE
        raise Refused(phrase(wanted, line=line.number, place=place.title))
    unit = read_quantity(text, Kind(spec.kind.value), unit=unit_at(survey, line) or None, decimal=action.decimal).unit
    reading = Reading(text, magnitude, unit, action.by, action.at, turn.wrench)
    yield entry(survey.build, EventName.READ, Subject(READING, line.id, place.id, 1), reading)


# --- the joint itself


@decided.register
def _describe(action: a.DescribeJoint, survey: Survey) -> Deed:
    line = _bolted(survey, action.line)
    said = replace(action.said, by=action.by, at=action.at)
    _check_order(survey, line, said)
    _check_passes(survey, line, said)
    _check_window(line, said)
    made = entry(survey.build, EventName.JOINT, Subject(JOINT, joint_key(line)), said)
    return Deed(Verb.JOINT, action.by, action.at, (made,))


def _check_order(survey: Survey, line: Line, said: JointSaid) -> None:
    places = [place.id for place in survey.places(line)]
    if said.said("pattern") == Order.ROWS.value and sum(row_counts(said.said("rows"))) != len(places):
        raise Refused(phrase(RefusalKind.ROWS_DO_NOT_ADD_UP, line=line.number, bolts=len(places)))
    names = names_in(said.said("order"))
    if names and sorted(names) != sorted(places):
        wrong = [name for name in names if name not in places] or [name for name in places if name not in names]
        raise Refused(
            phrase(
                RefusalKind.ORDER_NAMES_EACH_ONCE,
                line=line.number,
                wrong=wrong[0] if wrong else names[0],
                bolts=tuple(places),
            )
        )


def _check_passes(survey: Survey, line: Line, said: JointSaid) -> None:
    unit = unit_at(survey, line) or "N·m"
    try:
        found = [read_pass(word, unit) for word in split_passes(said.said("passes"))]
    except NotationError as error:
        raise Refused(phrase(RefusalKind.PASSES_UNREADABLE, line=line.number, matter=str(error))) from error
    shares = [one.magnitude for one in found if one.kind is Kind.SHARE]
    if shares and (shares[-1] != 100 or shares[0] <= 0):
        raise Refused(phrase(RefusalKind.SHARES_RISE, line=line.number))
    for kind in (Kind.SHARE, Kind.TORQUE):
        each = [one for one in found if one.kind is kind]
        fall = first_fall([one.magnitude for one in each]) if all(one.magnitude > 0 for one in each) else None
        if fall is not None:
            before, after = each[fall.number - 2].text, each[fall.number - 1].text
            raise Refused(phrase(RefusalKind.PASSES_FALL, line=line.number, before=before, after=after))


def _check_window(line: Line, said: JointSaid) -> None:
    if said.said("stretch"):
        try:
            read_limits(said.said("stretch"), Kind.LENGTH)
        except NotationError as error:
            raise Refused(phrase(RefusalKind.STRETCH_UNREADABLE, line=line.number, matter=str(error))) from error


# --- again from the beginning


@decided.register
def _slacken(action: a.Slacken, survey: Survey) -> Deed:
    line = _bolted(survey, action.line)
    if not action.why.strip():
        raise Refused(phrase(RefusalKind.SAY_WHY_SLACKENED, line=line.number))
    begun = [other for other in joint_lines(survey.build, line) if other.id in survey.build.facts.lines]
    entries: list[Entry] = []
    for other in begun:
        if survey.done(other):
            entries += opened(
                survey, other, action.by, action.at, phrase(Because.JOINT_SLACKENED, why=action.why.strip())
            )
        else:
            entries += voided(survey.build, other, action.at)
        entries += _rubbed_out(survey, other)
    if not entries:
        raise Refused(phrase(RefusalKind.NOTHING_TO_SLACKEN, line=line.number))
    return Deed(Verb.SLACKEN, action.by, action.at, once(entries), action.why.strip())


def _rubbed_out(survey: Survey, line: Line) -> Iterator[Entry]:
    """What was read at bolts that are slack now stands no more; the journal keeps it."""
    for place, turn in survey.build.facts.readings.get(line.id, {}):
        yield entry(survey.build, EventName.RUB_OUT, Subject(READING, line.id, place, turn), None)
