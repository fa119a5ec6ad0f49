"""A torque noted by hand in a unit that the wrench does not show: which one was read?"""

from collections.abc import Iterator

from app.assembly.build import Build
from app.assembly.rules.rule import Rule
from app.assembly.said.bolts import BoltTurn
from app.assembly.standing.ends import End
from app.assembly.standing.gates_ahead import gate_ahead
from app.assembly.standing.loose_end import LooseEnd
from app.assembly.standing.survey import Survey
from app.assembly.standing.tightening import described_lines, turns_of
from app.assembly.standing.tools import tool_of
from app.trade.notation import NotationError, read_quantity
from app.trade.quantity import Kind

ID = "unit-not-on-wrench"


def find(survey: Survey) -> Iterator[LooseEnd]:
    """One loose end for each line with torques written in another unit than their wrench reads."""
    for line, _said in described_lines(survey):
        turns = turns_of(survey.build, line)
        wrong = {place: turn for (_, place), turn in turns.items() if _other_unit(survey.build, turn)}
        if wrong:
            first = next(iter(wrong.values()))
            yield LooseEnd(
                rule=ID,
                line=line,
                gate=gate_ahead(survey, line),
                kind=End.UNIT_NOT_ON_WRENCH,
                args={"torque": first.torque, "wrench": first.wrench},
                since=min(turn.at for turn in wrong.values()),
                places=tuple(wrong),
                blocks=False,
            )


def _other_unit(build: Build, turn: BoltTurn) -> bool:
    """Whether a torque was typed by hand, with a unit that its wrench's range is not written in."""
    from app.assembly.standing.wrenches import span_of  # wanted only where a joint is described

    tool = tool_of(build, turn.wrench)
    span = span_of(tool) if tool is not None else None
    if span is None or not turn.torque or turn.setting:
        return False
    try:
        return read_quantity(turn.torque, Kind.TORQUE).unit != span.unit
    except NotationError:
        return False  # typed without a unit: the figure's own, which the person had before them


RULE = Rule(ID, find)
