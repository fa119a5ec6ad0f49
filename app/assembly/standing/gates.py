"""Gates: whether each is ready, and every reason why not, in the order one would work them off."""

from collections.abc import Iterable

from msgspec import Struct

from app.assembly.lines import Line
from app.assembly.plan.steps import Gate
from app.assembly.said.gates import Passage
from app.assembly.said.marks import State
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.said.refusal import Shut
from app.assembly.standing.ends import Shutting
from app.assembly.standing.entry_places import without_first
from app.assembly.standing.gates_ahead import gate_lines
from app.assembly.standing.loose_end import LooseEnd, planned
from app.assembly.standing.survey import Survey

# What a concession for a merely open gate line covers, beside the rules that spoke of it.
GATE_LINE = "gate-line"


class GateStanding(Struct, frozen=True):
    """A gate as it stands: passed or not, ready or not, and what keeps it shut."""

    gate: Gate
    passage: Passage | None
    reasons: tuple[Shut, ...]
    conceded: tuple[str, ...]

    @property
    def passed(self) -> bool:
        """Whether it has been gone through."""
        return self.passage is not None

    @property
    def ready(self) -> bool:
        """Whether nothing keeps it shut any more."""
        return not self.reasons


def gate_standings(survey: Survey, ends: Iterable[LooseEnd]) -> tuple[GateStanding, ...]:
    """Every gate of the build in order."""
    blocking: dict[str, list[LooseEnd]] = {}
    for end in ends:
        if end.blocks:
            blocking.setdefault(end.gate, []).append(end)
    return tuple(_standing(survey, gate, blocking.get(gate.id, [])) for gate in survey.build.gates)


def _standing(survey: Survey, gate: Gate, ends: list[LooseEnd]) -> GateStanding:
    passage = survey.build.facts.gates.get(gate.id)
    concessions = survey.build.facts.concessions
    written = (survey.build.by_id.get(step) for step, said in concessions.items() if gate.id in said)
    about = [line for line in written if line is not None]
    conceded = tuple(line.number for line in sorted(about, key=lambda line: line.position))
    if passage is not None:
        return GateStanding(gate, passage, (), conceded)
    return GateStanding(gate, None, _reasons(survey, gate, ends), conceded)


def _reasons(survey: Survey, gate: Gate, ends: list[LooseEnd]) -> tuple[Shut, ...]:
    findings: dict[str, list[LooseEnd]] = {}
    for end in ends:
        findings.setdefault(end.line.id, []).append(end)
    lines = {line.id for line in gate_lines(survey, gate.id) if survey.open(line)} | set(findings)
    ordered = sorted((survey.build.by_id[id_] for id_ in lines), key=lambda line: line.position)
    return tuple(
        _shut(survey, line, findings.get(line.id, []), gate)
        for line in ordered
        if not _covered(survey, line, findings.get(line.id, []), gate)
    )


def _shut(survey: Survey, line: Line, found: list[LooseEnd], gate: Gate) -> Shut:
    own = (GATE_LINE,) if line.step.gate == gate.id and survey.open(line) else ()
    rules = own + tuple(end.rule for end in found)
    if found:
        places = tuple(dict.fromkeys(place for end in found for place in end.places))
        why = tuple(without_first(survey, line, end.why) for end in found)
        return Shut(line.number, line.id, rules, why, found[0].harm, found[0].clears, places)
    return Shut(
        line.number,
        line.id,
        rules,
        (_open(survey, line),),
        planned(line.step.harm or gate.harm),
        phrase(Shutting.DO_IT, number=line.number),
    )


def _open(survey: Survey, line: Line) -> Phrase:
    state = survey.state(line)
    cures = [waiting.until for waiting in survey.waits(line) if waiting.until is not None]
    until = max(cures) if cures and state is State.TO_DO else None
    return phrase(Shutting.OPEN, state=state, hold=line.step.hold, until=until)


def _covered(survey: Survey, line: Line, found: list[LooseEnd], gate: Gate) -> bool:
    """Whether concessions were written about everything that is the matter; a new finding wants a new one."""
    written = survey.build.facts.concessions.get(line.id, {})
    if line.step.gate == gate.id and survey.open(line) and not any(GATE_LINE in one.covers for one in written.values()):
        return False
    return survey.conceded(line) and all(survey.taken_on(line, end.rule, end.since) for end in found)
