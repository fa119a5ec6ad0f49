"""Bolts tightened more often than they stand."""

from collections.abc import Iterator

from app.assembly.build import Build
from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.said.counts import COUNT
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey

ID = "count-reached"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each set of fasteners with a bolt past its limit."""
    counts = survey.build.facts.of(COUNT)
    for fasteners in survey.build.fasteners.values():
        over = {
            place: one
            for (key, place), one in counts.items()
            if key == fasteners.id and fasteners.limit and one.times > fasteners.limit
        }
        line = _line(survey.build, fasteners.id)
        if not over or line is None:
            continue
        times = max(one.times for one in over.values())
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.COUNT_REACHED,
            args={"title": fasteners.title, "times": times, "limit": fasteners.limit},
            since=max(one.at for one in over.values()),
            places=tuple(over),
        )


def _line(build: Build, fasteners: str) -> Line | None:
    """The last line that tightens them: the one that counts."""
    return next((line for line in reversed(build.lines) if line.step.tightens == fasteners), None)


RULE = Rule(ID, find)
