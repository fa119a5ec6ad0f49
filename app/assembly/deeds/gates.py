"""Going on in writing, and going through a gate."""

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import check_order, entry
from app.assembly.deeds.find import find_gate, find_line
from app.assembly.lines import Line
from app.assembly.plan.steps import Role
from app.assembly.rules import hole_unsealed, loose_ends, not_primed
from app.assembly.said.actions import Concede, PassGate
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.gates import CONCESSION, GATE, Concession, Passage
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import NotReady, Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.gates import GATE_LINE, gate_standings
from app.assembly.standing.survey import Survey
from app.trade.verdict import Verdict


@decided.register
def _concede(action: Concede, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    out = bool(survey.with_verdict(line, Verdict.OUT))
    matter = out or any(end.line is line and end.blocks for end in loose_ends(survey))
    if not survey.open(line) and not matter:
        raise Refused(phrase(RefusalKind.NOTHING_TO_CONCEDE, line=line.number, state=phrase(survey.state(line))))
    check_order(survey, line, action.at)
    if action.before:
        before = find_line(survey.build, action.before)
        if before.position <= line.position:
            raise Refused(phrase(RefusalKind.CLEARED_BEFORE_EARLIER, line=line.number, before=before.number))
    covers = _covers(survey, line)
    before_id = find_line(survey.build, action.before).id if action.before else ""
    concession = Concession(_written(line, action.text), action.by, action.at, covers, before_id)
    made = entry(survey.build, EventName.CONCESSION, Subject(CONCESSION, line.id), concession)
    return Deed(Verb.CONCEDE, action.by, action.at, (made,), action.text.strip())


def _covers(survey: Survey, line: Line) -> tuple[str, ...]:
    """What is the matter with the line now or by going on, and what an earlier such concession spoke of already."""
    earlier = survey.build.facts.concessions.get(line.id, {}).get("")
    rules = (end.rule for end in loose_ends(survey) if end.line is line and end.blocks)
    return tuple(dict.fromkeys((GATE_LINE, *(earlier.covers if earlier else ()), *rules, *_by_going_on(line))))


def _by_going_on(line: Line) -> tuple[str, ...]:
    """The rule that speaks up because somebody goes on without this line; it is not asked about a second time."""
    rules = {Role.PRIME: not_primed.ID, Role.HOLE_SEAL: hole_unsealed.ID}
    return (rules[line.step.role],) if line.step.role in rules else ()


@decided.register
def _pass(action: PassGate, survey: Survey) -> Deed:
    gate = find_gate(survey.build, action.gate)
    standings = {one.gate.id: one for one in gate_standings(survey, loose_ends(survey))}
    standing = standings[gate]
    title = standing.gate.title
    if standing.passage is not None:
        raise Refused(phrase(RefusalKind.GATE_PASSED, gate=title, at=standing.passage.at, by=standing.passage.by))
    earlier = next((one for one in standings.values() if not one.passed), standing)
    if earlier is not standing:
        raise Refused(phrase(RefusalKind.EARLIER_GATE_SHUT, gate=title, earlier=earlier.gate.title))
    conceded = {find_line(survey.build, number).id: text for number, text in action.concessions.items()}
    reasons = {reason.step: reason for reason in standing.reasons}
    for step in conceded:
        if step not in reasons:
            raise Refused(phrase(RefusalKind.DOES_NOT_KEEP_SHUT, line=survey.build.by_id[step].number, gate=title))
    left = tuple(reason for reason in standing.reasons if reason.step not in conceded)
    if left:
        lines = tuple(reason.line for reason in left)
        raise NotReady(phrase(RefusalKind.GATE_SHUT, gate=title, lines=lines), left)
    entries = [
        entry(
            survey.build,
            EventName.CONCESSION,
            Subject(CONCESSION, step, gate),
            Concession(
                _written(survey.build.by_id[step], text),
                action.by,
                action.at,
                tuple(dict.fromkeys((*reasons[step].rules, *_by_going_on(survey.build.by_id[step])))),
            ),
        )
        for step, text in conceded.items()
    ]
    entries.append(entry(survey.build, EventName.PASS, Subject(GATE, gate), Passage(action.by, action.at)))
    return Deed(Verb.PASS, action.by, action.at, tuple(entries))


def _written(line: Line, text: str) -> str:
    if not text.strip():
        raise Refused(phrase(RefusalKind.SAY_WHY_GOING_ON, line=line.number))
    return text.strip()
