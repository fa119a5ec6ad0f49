"""Writing down what was found, and deciding about it."""

from msgspec.structs import replace

from app.assembly.deeds.decide import decided
from app.assembly.deeds.entries import entry, next_key
from app.assembly.deeds.find import find_line, find_place, must_say
from app.assembly.said import actions as a
from app.assembly.said.deeds import Deed, EventName, Verb
from app.assembly.said.findings import FINDING, Disposition, Finding
from app.assembly.said.kinds import Subject
from app.assembly.said.phrase import phrase
from app.assembly.said.refusal import Refused
from app.assembly.said.refusals import RefusalKind
from app.assembly.standing.conditions import check_condition
from app.assembly.standing.survey import Survey


@decided.register
def _find(action: a.Find, survey: Survey) -> Deed:
    line = find_line(survey.build, action.line)
    place = find_place(survey, line, action.place).id if action.place else ""
    what = must_say(action.what, RefusalKind.SAY_WHAT_WAS_FOUND)
    finding = Finding(line.id, place, what, action.measured.strip(), action.symptom, action.by, action.at)
    key = next_key(survey.build, FINDING, "f")
    made = entry(survey.build, EventName.FOUND, Subject(FINDING, key), finding)
    return Deed(Verb.FIND, action.by, action.at, (made,))


@decided.register
def _decide_finding(action: a.DecideFinding, survey: Survey) -> Deed:
    findings = {key: one for (key, _), one in survey.build.facts.of(FINDING).items()}
    if action.finding not in findings:
        raise Refused(phrase(RefusalKind.NO_FINDING, finding=action.finding, known=tuple(findings)))
    old = findings[action.finding]
    if action.decision is Disposition.OPEN:
        raise Refused(phrase(RefusalKind.SAY_WHAT_IS_DECIDED, finding=action.finding))
    if old.symptom and action.decision is Disposition.USE_AS_IS:
        raise Refused(phrase(RefusalKind.SYMPTOM_NOT_USED_AS_IS, finding=action.finding))
    why = must_say(action.why, RefusalKind.SAY_WHY_DECIDED_SO)
    decided_one = replace(
        old,
        decision=action.decision,
        decided_by=action.by,
        decided_at=action.at,
        why=why,
        watch=action.watch.strip(),
        reopens=tuple(check_condition(survey.build, text) for text in action.reopens),
    )
    made = entry(survey.build, EventName.DECIDED, Subject(FINDING, action.finding), decided_one)
    return Deed(Verb.DECIDE, action.by, action.at, (made,), why)
