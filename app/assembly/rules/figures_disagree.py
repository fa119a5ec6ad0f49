"""Figures offered for a line that do not agree, or that contradict themselves, or a choice against what is printed."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.plan.figures import Bounds, read_figure
from app.assembly.plan.steps import Measured, Trust
from app.assembly.rules.rule import Rule
from app.assembly.said.figures import CANDIDATE, Candidate
from app.assembly.said.phrase import Phrase, phrase
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.trade.conditions import differ
from app.trade.notation import NotationError
from app.trade.quantity import Kind

ID = "figures-disagree"
# Two printed roundings of one figure differ by less; anything more is another figure.
TOLERANCE = 0.02
_PRINTED = (Trust.MAKER.value, Trust.BULLETIN.value, Trust.PART_MAKER.value, Trust.PUBLISHED.value)
_WEAK = (Trust.ADVICE.value, Trust.JUDGEMENT.value, Trust.PRACTICE.value)


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each thing wrong with the figures offered for a line, until one is chosen with its reason."""
    shelves: dict[str, dict[str, Candidate]] = {}
    for (step, key), one in survey.build.facts.of(CANDIDATE).items():
        shelves.setdefault(step, {})[key] = one
    for step, shelf in shelves.items():
        line = survey.build.by_id.get(step)
        if line is not None:
            for said in _faults(survey, line, shelf):
                yield LooseEnd(
                    rule=ID,
                    line=line,
                    gate=gate_ahead(survey, line),
                    kind=said.kind,
                    args=said.args,
                    since=max(one.at for one in shelf.values()),
                )


def _faults(survey: Survey, line: Line, shelf: dict[str, Candidate]) -> Iterator[Phrase]:
    figure = survey.build.facts.figures.get(line.id)
    newest = max(one.at for one in shelf.values())
    if figure is not None and figure.at >= newest:
        yield from _chosen_weak(figure.source, shelf)
        return
    read = {key: _read(line, one) for key, one in shelf.items()}
    for key, one in shelf.items():
        if isinstance(read[key], str):
            yield phrase(End.FIGURE_CONTRADICTS, key=key, text=one.text, fault=str(read[key]))
    sound = {key: limits for key, limits in read.items() if not isinstance(limits, str)}
    keys = list(sound)
    apart = [(a, b) for n, a in enumerate(keys) for b in keys[n + 1 :] if not _agree(sound[a], sound[b])]
    for a, b in apart:
        first = {"first": a, "first_text": shelf[a].text, "first_source": shelf[a].source}
        second = {"second": b, "second_text": shelf[b].text, "second_source": shelf[b].source}
        yield Phrase(End.FIGURES_DISAGREE, first | second)
    if figure is not None:
        later = [key for key, one in shelf.items() if one.at > figure.at]
        if later and not apart:
            yield phrase(End.FIGURE_CAME_LATER, keys=tuple(later))


def _chosen_weak(source: str, shelf: dict[str, Candidate]) -> Iterator[Phrase]:
    chosen = [one for one in shelf.values() if source.startswith(one.source)]
    printed = [one for one in shelf.values() if one.trust in _PRINTED]
    if chosen and chosen[0].trust in _WEAK and printed:
        weak, strong = chosen[0], printed[0]
        yield phrase(
            End.FIGURE_CHOSEN_WEAK, text=weak.text, trust=weak.trust, printed=strong.text, source=strong.source
        )


def _read(line: Line, one: Candidate) -> Bounds | str:
    spec = line.step.spec
    kind, unit = (spec.kind, spec.unit) if spec else (Measured.LENGTH, "")
    try:
        return read_figure(one.text, Kind(kind.value), unit)
    except NotationError as error:
        return str(error)


def _agree(one: Bounds, other: Bounds) -> bool:
    """Whether two figures ask for the same: near enough in numbers, and alike in how they are meant."""
    a, b = one.own, other.own
    near = all(_near(x, y) for x, y in ((a.low, b.low), (a.high, b.high), (a.target, b.target)))
    return near and not differ(one.conditions, other.conditions)


def _near(x: float | None, y: float | None) -> bool:
    if x is None or y is None:
        return x is y
    return abs(x - y) <= TOLERANCE * max(abs(x), abs(y), 1e-12)


RULE = Rule(ID, find)
