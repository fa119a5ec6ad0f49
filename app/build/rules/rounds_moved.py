"""Values that moved between rounds: set, turned over and read again, they did not stay."""

from collections.abc import Iterator

from app.build.facts import Reading
from app.build.lines import Line
from app.build.measuring import MOVED, width_of
from app.build.rules.rule import LooseEnd, Rule, harm_of
from app.build.survey import Survey

ID = "rounds-moved"
# Where the figure does not say how far a value may move, a third of the band is asked about (common practice).
SHARE = 1 / 3


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a place whose rounds differ too much."""
    for line in survey.build.lines:
        readings = survey.build.facts.readings.get(line.id)
        rounds = line.step.spec.rounds if line.step.spec else 1
        bounds = survey.bounds(line)
        if not readings or rounds < 2 or bounds is None or MOVED in bounds.parts:
            continue
        moved = {place: pair for place, pair in _pairs(readings).items() if _far(survey, line, place, *pair)}
        if moved and not survey.taken_on(line, ID, max(late.at for _, late in moved.values())):
            place, (early, late) = next(iter(moved.items()))
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=survey.gate_ahead(line),
                why=f"Moved between rounds: {place} read {early.text}, then {late.text}",
                harm=harm_of(line, "what moves while it is turned moves further while it runs"),
                clears=f"Find out why, set it again, and read {line.number} once more over all rounds",
                since=max(late.at for _, late in moved.values()),
                places=tuple(moved),
                blocks=False,
            )


def _pairs(readings: dict[tuple[str, int], Reading]) -> dict[str, tuple[Reading, Reading]]:
    """For each place the last two rounds that were read."""
    found: dict[str, list[Reading]] = {}
    for (place, _turn), one in sorted(readings.items(), key=lambda pair: pair[0][1]):
        found.setdefault(place, []).append(one)
    return {place: (ones[-2], ones[-1]) for place, ones in found.items() if len(ones) > 1}


def _far(survey: Survey, line: Line, place: str, early: Reading, late: Reading) -> bool:
    bounds = survey.bounds(line)
    width = width_of(bounds.limits_at(place)) if bounds is not None else None
    if early.magnitude is None or late.magnitude is None:
        return False
    apart = abs(early.magnitude - late.magnitude)
    allowed = max(width * SHARE if width is not None else 0.0, early.doubt + late.doubt)
    return allowed > 0 and apart > allowed + 1e-9


RULE = Rule(ID, "Moved between rounds", "A value counts once it is read the same again after turning over.", find)
