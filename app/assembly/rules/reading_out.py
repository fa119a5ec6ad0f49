"""A reading outside its limits that nobody has decided about."""

from collections.abc import Iterator

from app.assembly.lines import Line
from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Judged, Survey
from app.trade.verdict import Verdict

ID = "reading-out"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a reading that is out."""
    for line in survey.build.lines:
        out = undecided_out(survey, line)
        if not out:
            continue
        bounds = survey.bounds(line)
        values = tuple(f"{one.place.title} {one.reading.text}" for one in out)
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=survey.gate_ahead(line),
            kind=End.READING_OUT,
            args={"values": values, "wanted": bounds.text if bounds else ""},
            since=min(one.reading.at for one in out),
            places=tuple(one.place.id for one in out),
        )


def undecided_out(survey: Survey, line: Line) -> tuple[Judged, ...]:
    """The readings out of limits that no concession speaks of: one written before the reading knew nothing of it."""
    return tuple(one for one in survey.with_verdict(line, Verdict.OUT) if not survey.taken_on(line, ID, one.reading.at))


RULE = Rule(ID, find)
