"""Values that moved between rounds: set, turned over and read again, they did not stay."""

from collections.abc import Iterator
from functools import partial

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.readings import Reading
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.results import MOVED, width_of
from app.assembly.standing.survey import Survey

ID = "rounds-moved"
# Where the figure does not say how far a value may move, a third of the band is asked about (common practice).
SHARE = 1 / 3


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a place whose rounds differ too much."""
    return (end for line in survey.read_lines if (end := of_line(survey, line)) is not None)


def of_line(survey: Survey, line: Line) -> LooseEnd | None:
    """The loose end of one line, None where its rounds agree."""
    if len(survey.rounds(line)) < 2 or line.id not in survey.build.facts.readings:
        return None
    moved = survey.kept(ID, line, partial(_moved, survey))
    since = max((late.at for _, late in moved.values()), default=survey.now)
    if not moved or survey.taken_on(line, ID, since):
        return None
    place, (early, late) = next(iter(moved.items()))
    return LooseEnd(
        rule=ID,
        line=line,
        gate=gate_ahead(survey, line),
        kind=End.ROUNDS_MOVED,
        args={"place": place, "early": early.text, "late": late.text},
        since=since,
        places=tuple(moved),
        blocks=False,
    )


Pair = tuple[Reading, Reading]


def _moved(survey: Survey, line: Line) -> dict[str, Pair]:
    """The places whose last two rounds are too far apart; none where the figure itself says how far is too far."""
    bounds = survey.bounds(line)
    if bounds is None or MOVED in bounds.parts:
        return {}
    width = width_of(bounds.limits)
    if not bounds.parts:
        return {place: pair for place, pair in _pairs(survey, line) if _far(*pair, width)}
    return {place: pair for place, pair in _pairs(survey, line) if _far(*pair, width_of(bounds.limits_at(place)))}


def _pairs(survey: Survey, line: Line) -> Iterator[tuple[str, Pair]]:
    """For each place the last two rounds that were read."""
    readings = survey.build.facts.readings[line.id]
    rounds = survey.rounds(line)[-1]
    for place in survey.places(line):
        early, late = readings.get((place.id, rounds - 1)), readings.get((place.id, rounds))
        if early is None or late is None:  # a round is left out, or still to come
            known = [one for turn in survey.rounds(line) if (one := readings.get((place.id, turn))) is not None]
            if len(known) < 2:
                continue
            early, late = known[-2:]
        yield place.id, (early, late)


def _far(early: Reading, late: Reading, width: float | None) -> bool:
    if early.magnitude is None or late.magnitude is None:
        return False
    apart = abs(early.magnitude - late.magnitude)
    allowed = max(width * SHARE if width is not None else 0.0, early.doubt + late.doubt)
    return allowed > 0 and apart > allowed + 1e-9


RULE = Rule(ID, find)
