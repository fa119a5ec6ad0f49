"""A reading outside its limits that nobody has decided about."""

from collections.abc import Iterator

from app.assembly.rules.rule import Rule
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.out_of_limits import READING_OUT, undecided_out
from app.assembly.standing.survey import Survey

ID = READING_OUT


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with a reading that is out."""
    for line in survey.read_lines:
        out = undecided_out(survey, line)
        if not out:
            continue
        bounds = survey.bounds(line)
        values = tuple(f"{one.place.title} {one.reading.said}" for one in out)
        yield LooseEnd(
            rule=ID,
            line=line,
            gate=gate_ahead(survey, line),
            kind=End.READING_OUT,
            args={"values": values, "wanted": bounds.text if bounds else ""},
            since=min(one.reading.at for one in out),
            places=tuple(one.place.id for one in out),
        )


RULE = Rule(ID, find)
